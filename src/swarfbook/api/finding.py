"""`swarfbook.pick` and `swarfbook.solve`: a recipe of the book for a job, or a first one to try."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from swarfbook.api.checking import LADDER, CheckResult, ladder_rows
from swarfbook.api.given import Measured, Share, as_arguments, told
from swarfbook.api.result import Result, frame
from swarfbook.api.saving import save_new
from swarfbook.decisions.asking import asked_told, wishes_told
from swarfbook.decisions.first_values import Wishes
from swarfbook.decisions.pick import Asked, Candidate, pick_json
from swarfbook.decisions.pick import pick as rank
from swarfbook.decisions.solve import Solution, solution_json, solve_in_book

if TYPE_CHECKING:
    from pathlib import Path

    import pandas as pd

    from swarfbook.book import Book
    from swarfbook.records.recipe import Cooling, Direction, Operation

LENGTHS = (
    "wall", "inside_corner", "slot", "tolerance", "finish",
    "depth", "width", "allowance", "hole", "stickout",
)  # fmt: skip
DIMENSIONS = dict.fromkeys(LENGTHS, "length") | {"margin": "ratio", "ramp_angle": "angle"}


class PickResult(Result):
    """The recipes of a book, ranked for a job."""

    def __init__(self, asked: Asked, candidates: list[Candidate], book: Book) -> None:
        self._asked, self._candidates, self._book = asked, candidates, book

    @property
    def recipes(self) -> tuple[str, ...]:
        """Ids of the recipes that may be run as they stand, the best first."""
        return tuple(one.recipe for one in self._candidates if one.usable and not one.adapted)

    @property
    def checks(self) -> tuple[CheckResult, ...]:
        """Every recipe that was looked at, judged for this job, in the order of the ranking."""
        return tuple(CheckResult(one.check, self._book) for one in self._candidates)

    def to_dict(self) -> dict[str, Any]:
        """Give the object that `swarfbook pick --json` prints."""
        return pick_json(self._asked, self._candidates)

    def table(self) -> pd.DataFrame:
        """Give the ranking as a pandas table, the best first; removal rates in cm^3/min."""
        names = ("recipe", "fit", "standing", "removal_rate", "adapted_from")
        rows = [
            {name: one[name] for name in names} | {"reasons": "; ".join(one["reasons"])}
            for one in self._rows()
        ]
        return frame(rows)

    def _rows(self) -> list[dict[str, Any]]:
        rows: list[dict[str, Any]] = self.to_dict()["candidates"]
        return rows

    def _page(self, units: str | None, *, plain: bool) -> str:
        del plain
        from swarfbook.cli.text import page_width  # noqa: PLC0415 - not for a loop
        from swarfbook.reports.pick_page import pick_lines  # noqa: PLC0415

        return "\n".join(pick_lines(self._asked, self._candidates, width=page_width(), system=units))

    def _in_brief(self) -> str:
        of = f"{self._asked.operation} in {self._asked.material}"
        return f"{of}: {len(self.recipes)} of {len(self._candidates)} fit"

    def _cells(self, units: str) -> tuple[Sequence[str], Iterable[Sequence[str]]]:
        del units
        rows = (
            (
                one["recipe"],
                one["fit"],
                one["standing"],
                f"{one['removal_rate']:.3g}",
                "; ".join(one["reasons"]),
            )
            for one in self._rows()
        )
        return ("recipe", "fit", "standing", "cm³/min", "why no better"), rows


def pick(
    book: Book,
    *,
    material: str,
    operation: Operation,
    machine: str | None = None,
    wall: Measured | None = None,
    inside_corner: Measured | None = None,
    slot: Measured | None = None,
    tolerance: Measured | None = None,
    finish: Measured | None = None,
    minutes: float | str | None = None,
    hands_off: bool = False,
    margin: Share | None = None,
) -> PickResult:
    """Rank the recipes of a book for a job: what has run clean first, then by time.

    Args:
        book: the book.
        material: id of what is to be cut.
        operation: what is to be done.
        machine: on this machine; else on any.
        wall: height of the wall: a cutter has to reach that deep.
        inside_corner: smallest inside corner in plan, its radius.
        slot: width of the narrowest slot.
        tolerance: of the wall.
        finish: mean roughness of the wall.
        minutes: how long it will run at a stretch; a text may have another unit, "1.5 h".
        hands_off: no hand on the controls, someone within reach of the stop.
        margin: share of every limit on a load to leave free; else none.

    Raises:
        SwarfbookError: an unknown id, or something that does not read.
        TypeError: a number without the unit it needs.

    Example:
        >>> import swarfbook
        >>> book = swarfbook.Book.demo()
        >>> swarfbook.pick(book, material="6082-t6", operation="rough", wall="14 mm").recipes[0]
        'mill-8mm-6082-rough'
    """
    given = {
        "material": material, "operation": operation, "machine": machine, "wall": wall,
        "inside_corner": inside_corner, "slot": slot, "tolerance": tolerance, "finish": finish,
        "minutes": None if minutes is None else str(minutes), "margin": margin,
    }  # fmt: skip
    with as_arguments():
        asked = asked_told(told(given, DIMENSIONS), hands_off=hands_off)
        return PickResult(asked, rank(book, asked), book)


class SolveResult(Result):
    """A first recipe to try, from tables and physics."""

    def __init__(self, found: Solution, wishes: Wishes, book: Book) -> None:
        self._found, self._wishes, self._book = found, wishes, book

    @property
    def values(self) -> dict[str, Any]:
        """The recipe as it would be written; on trial."""
        return dict(self._found.values)

    @property
    def check(self) -> CheckResult:
        """It, judged."""
        return CheckResult(self._found.check, self._book)

    @property
    def limited_by(self) -> tuple[str, ...]:
        """Limits whose room is used up, the fullest first."""
        return self._found.limited_by

    def save(self, new_id: str) -> Path:
        """Write it into the book, on trial; gives its file, raises SwarfbookError as `DerateResult.save`."""
        return save_new(self._book, self.values, new_id)

    def to_dict(self) -> dict[str, Any]:
        """Give the object that `swarfbook solve --json` prints."""
        return solution_json(self._found)

    def table(self) -> pd.DataFrame:
        """Give its limits as a pandas table."""
        return self.check.table()

    def _page(self, units: str | None, *, plain: bool) -> str:
        from swarfbook.cli.text import page_width  # noqa: PLC0415 - not for a loop
        from swarfbook.reports.solve_page import solve_lines  # noqa: PLC0415

        return "\n".join(
            solve_lines(self._found, self._wishes, width=page_width(), system=units, plain=plain)
        )

    def _in_brief(self) -> str:
        rate = self.check.quantities["material_removal_rate"]
        by = ", ".join(self.limited_by) or "the job"
        return f"a first recipe, {rate.value:.3g} {rate.unit}, limited by {by}"

    def _cells(self, units: str) -> tuple[Sequence[str], Iterable[Sequence[str]]]:
        return LADDER, ladder_rows(self._found.check, units)


def solve(
    book: Book,
    *,
    machine: str,
    tool: str,
    material: str,
    operation: Operation,
    margin: Share | None = None,
    depth: Measured | None = None,
    width: Measured | None = None,
    tolerance: Measured | None = None,
    finish: Measured | None = None,
    allowance: Measured | None = None,
    hole: Measured | None = None,
    ramp_angle: Measured | None = None,
    stickout: Measured | None = None,
    direction: Direction = "climb",
    cooling: Cooling = "air-blast",
) -> SolveResult:
    """Find a first recipe to try: the most removal rate that every limit allows, with a margin on the loads.

    Args:
        book: the book.
        machine: id of the machine.
        tool: id of the cutter.
        material: id of the material.
        operation: what it is to do.
        margin: share of every limit on a load to leave free; else 25 %.
        depth: wall, slot or step to be cut; else as the flutes allow.
        width: stock to go sideways, for a pass along a wall or an edge.
        tolerance: of the wall.
        finish: mean roughness of the wall.
        allowance: stock to be left on the wall.
        hole: diameter of the hole, for a bore.
        ramp_angle: how steeply it goes in, for a ramp; else 3 deg.
        stickout: cutter out of the collet; else as short as it can be.
        direction: climb or conventional.
        cooling: what cools it.

    Returns:
        A trial that rests on no run of yours: it is to be come up to in steps.

    Raises:
        SwarfbookError: an unknown id, something that does not read, or nothing that keeps every limit.
        TypeError: a number without the unit it needs.
    """
    given = {
        "margin": margin, "depth": depth, "width": width, "tolerance": tolerance, "finish": finish,
        "allowance": allowance, "hole": hole, "ramp_angle": ramp_angle, "stickout": stickout,
        "direction": direction, "cooling": cooling,
    }  # fmt: skip
    with as_arguments():
        wishes = wishes_told(told(given, DIMENSIONS))
        return SolveResult(solve_in_book(book, (machine, tool, material), operation, wishes), wishes, book)
