"""`swarfbook.check`: a recipe judged, as it stands or with other values, nothing saved."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal, TypedDict, Unpack

from swarfbook import records
from swarfbook.api.given import Measured, Share, typed
from swarfbook.api.result import Named, Result
from swarfbook.api.values import JudgedLimit, Value
from swarfbook.decisions.check import Check
from swarfbook.decisions.check import check as judge
from swarfbook.decisions.evidence import case_of, load_case

if TYPE_CHECKING:
    import pandas as pd

    from swarfbook.book import Book
    from swarfbook.decisions.case import Case
    from swarfbook.records.recipe import Cooling, Direction, Knob, Operation, Standing

FEEDS = {"feed_rate": "feed_per_tooth", "feed_per_tooth": "feed_rate"}
"""A recipe has one of these: giving one takes the other out."""


class Changes(TypedDict, total=False):
    """Values of a recipe that are to be different; None takes one out that may be left out."""

    name: str
    machine: str
    tool: str
    material: str
    operation: Operation
    standing: Standing
    spindle_speed: Measured
    feed_per_tooth: Measured
    feed_rate: Measured
    axial_depth: Measured
    radial_width: Measured
    direction: Direction
    stickout: Measured
    cooling: Cooling
    allowance: Measured | None
    tolerance: Measured | None
    hole_diameter: Measured | None
    stock_offset: Measured | None
    ramp_angle: Measured | None
    wear: Share | None
    keep: Sequence[Knob] | None
    notes: str


class CheckResult(Result):
    """What is known of a recipe before the first chip."""

    def __init__(self, check: Check, book: Book) -> None:
        self._check, self._book = check, book
        self._leavings: dict[str, Any] | None = None

    @property
    def recipe(self) -> str:
        """Id of the recipe."""
        return self._check.case.recipe_id

    @property
    def verdict(self) -> Literal["holds", "tight", "over", "not judged"]:
        """Verdict of the tightest hard limit, which is the recipe's."""
        return self._check.verdict

    @property
    def covered(self) -> bool:
        """Whether every demand is at or under a high-water mark that nothing disputes."""
        return self._check.covered

    @property
    def tightest(self) -> JudgedLimit:
        """The hard limit of highest use."""
        return JudgedLimit(self._check, self._check.tightest)

    @property
    def limits(self) -> Named[JudgedLimit]:
        """Every limit by name, the tightest first, those that are not judged last."""
        return Named({one.name: JudgedLimit(self._check, one) for one in self._check.limits})

    @property
    def quantities(self) -> Named[Value]:
        """Everything that was worked out, by name."""
        from swarfbook.decisions.leaves import leavings  # noqa: PLC0415 - a verdict does without them

        figures = self._check.figures | leavings(self._check)
        return Named({name: Value(one) for name, one in figures.items()})

    @property
    def cautions(self) -> tuple[str, ...]:
        """What to mind before running it, a line each."""
        return self._check.cautions

    @property
    def values(self) -> dict[str, Any]:
        """The recipe's values as typed."""
        return dict(self._check.case.values)

    def to_dict(self) -> dict[str, Any]:
        """Give the object that `swarfbook check --json` prints."""
        from swarfbook.decisions.as_json import check_json  # noqa: PLC0415 - asked for by few

        return check_json(self._check)

    def table(self) -> pd.DataFrame:
        """Give the limits as a pandas table; `quantities.table()` gives the quantities."""
        return self.limits.table()

    def _page(self, units: str | None, *, plain: bool) -> str:
        from swarfbook.cli.check_text import check_text  # noqa: PLC0415 - not for a loop over values

        return check_text(self._check, units, plain=plain)

    def _in_brief(self) -> str:
        tightest = self._check.tightest
        return f"{self.recipe}: {self.verdict}, {tightest.name} at {tightest.use or 0.0:.2f}"

    def _cells(self, units: str) -> tuple[Sequence[str], Iterable[Sequence[str]]]:
        return LADDER, ladder_rows(self._check, units)


LADDER = ("limit", "asks", "of", "unit", "use", "verdict")


def ladder_rows(check: Check, units: str) -> list[Sequence[str]]:
    """Give the rungs of a ladder as cells: the words and numbers that the page has."""
    from swarfbook.reports.ladder import rungs  # noqa: PLC0415 - as the page

    return [
        (f"{one.title}{'*' * one.assumed}", one.asks, one.of, one.unit, f"{one.use:.2f}", one.word)
        for one in rungs(check, system=units)
    ]


def check(book: Book, recipe: str, **changes: Unpack[Changes]) -> CheckResult:
    """Judge a recipe against every limit.

    Args:
        book: the book.
        recipe: id of the recipe.
        changes: values that are to be different, by the recipe's keys, as text with a unit or as pint
            quantities; nothing is saved. A feed rate takes the place of a feed per tooth, and the reverse.

    Returns:
        The recipe, judged.

    Raises:
        SwarfbookError: an unknown id or key, or values that will not do; a line for each problem.
        TypeError: a number without the unit it needs.

    Example:
        >>> import swarfbook
        >>> book = swarfbook.Book.demo()
        >>> swarfbook.check(book, "long-bed-6mm-6082-rough").verdict
        'holds'
        >>> swarfbook.check(book, "long-bed-6mm-6082-rough", axial_depth="9 mm").verdict
        'over'
    """
    return CheckResult(judge(changed_case(book, recipe, changes)), book)


def changed_case(book: Book, recipe: str, changes: Mapping[str, object]) -> Case:
    """Resolve a recipe with other values; raises as `check`."""
    if not changes:
        return load_case(book, recipe)
    values = dict(book.get("recipe", recipe).raw)
    for key, given in changes.items():
        values.pop(FEEDS.get(key, ""), None)
        values.pop(key, None)
        if given is not None:
            values[key] = _value(key, given)
    return case_of(book, recipe, values)


def _value(key: str, given: object) -> object:
    dimension = records.dimension("recipe", key)
    if dimension is None:
        return given if isinstance(given, str) or not isinstance(given, Sequence) else list(given)
    return (
        float(given)
        if dimension == "ratio" and isinstance(given, int | float)
        else typed(key, given, dimension)
    )
