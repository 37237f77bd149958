"""`swarfbook.derate`: a recipe backed off, and its child saved where that is wanted."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from swarfbook import quantities
from swarfbook.api.checking import CheckResult
from swarfbook.api.given import Share, as_arguments, share
from swarfbook.api.result import Result, frame
from swarfbook.api.saving import save_new
from swarfbook.decisions.as_json import derate_json, risk_json
from swarfbook.decisions.backed_off import BackedOff, back_off
from swarfbook.decisions.derate import Method, percent_text
from swarfbook.errors import Problem, SwarfbookError

if TYPE_CHECKING:
    from pathlib import Path

    import pandas as pd

    from swarfbook.book import Book


class DerateResult(Result):
    """A child recipe and how it stands to its parent."""

    def __init__(self, found: BackedOff, book: Book) -> None:
        self._found, self._book = found, book

    @property
    def parent(self) -> str:
        """Id of the recipe that was backed off."""
        return self._found.recipe

    @property
    def margin(self) -> float:
        """Share that is taken off every load."""
        return self._found.derating.margin

    @property
    def reached(self) -> bool:
        """Whether the promise is kept by the numbers as they will be written."""
        return self._found.derating.reached

    @property
    def note(self) -> str:
        """What could not be reached, or what stays over; empty when all is well."""
        return str(self.to_dict()["note"])

    @property
    def values(self) -> dict[str, Any]:
        """The child's record as it would be written."""
        return dict(self._found.derating.values)

    @property
    def removal_rate_ratio(self) -> float:
        """The child's removal rate over the parent's."""
        return self._found.derating.removal_rate_ratio

    @property
    def check(self) -> CheckResult:
        """The child, judged."""
        return CheckResult(self._found.derating.check, self._book)

    def save(self, new_id: str) -> Path:
        """Write the child into the book.

        Args:
            new_id: id of the new recipe.

        Returns:
            Its file.

        Raises:
            SwarfbookError: the margin is not reached, the id is taken or none, or the disk refuses.
        """
        if not self.reached:
            raise SwarfbookError(Problem("save", "", new_id, f"nothing is saved: {self.note}"))
        return save_new(self._book, self.values, new_id)

    def to_dict(self) -> dict[str, Any]:
        """Give the object that `swarfbook derate --json` prints."""
        risk = self._found.risk
        found = derate_json(self._found.derating) if risk is None else risk_json(risk)
        return found | {"child": self.values}

    def table(self) -> pd.DataFrame:
        """Give the promised loads as a pandas table: parent, child, ratio, unit."""
        return frame(self.to_dict()["demands"], index="name")

    def _page(self, units: str | None, *, plain: bool) -> str:
        del plain
        from swarfbook.cli.derate_text import derate_text, hold_text  # noqa: PLC0415 - not for a loop

        found = self._found
        return derate_text(found.derating, units, risk=found.risk, in_job=hold_text(found))

    def _in_brief(self) -> str:
        done = "reached" if self.reached else "not reached"
        rate = f"removal rate {self.removal_rate_ratio:.3f} of it"
        return f"{self.parent} less {percent_text(self.margin)}: {done}, {rate}"

    def _cells(self, units: str) -> tuple[Sequence[str], Iterable[Sequence[str]]]:
        del units
        return ("load", "parent", "child", "ratio"), map(self._row, self._found.derating.demands)

    def _row(self, demand: Any) -> Sequence[str]:  # noqa: ANN401
        dimension, unit = self._found.derating.measure(demand.name)
        before, after = (quantities.show(si, dimension, unit=unit) for si in (demand.parent, demand.child))
        return demand.name, before, after, f"{demand.ratio:.3f}"


def derate(
    book: Book,
    recipe: str,
    *,
    margin: Share | None = None,
    risk: Share | None = None,
    by: Method = "least-time",
    job: str | None = None,
) -> DerateResult:
    """Back a recipe off: every load at most (1 - margin) of it, as the numbers will be written.

    Args:
        book: the book.
        recipe: id of the recipe.
        margin: share to take off every load: 0.25, or "25%".
        risk: in its place the chance allowed of passing each load's limit: 0.01, or "1%".
        by: which knobs move: all of them, or the one that is named.
        job: id of a job; as much is then promised of what its hold bears.

    Returns:
        The child; nothing is saved until its `save` is called.

    Raises:
        SwarfbookError: an unknown id, or a margin or risk that will not do.
        TypeError: neither a margin nor a risk, or both.

    Example:
        >>> import swarfbook
        >>> child = swarfbook.derate(swarfbook.Book.demo(), "long-bed-6mm-6082-max", margin=0.25)
        >>> child.reached, child.values["axial_depth"]
        (True, '...')
    """
    if (margin is None) == (risk is None):
        raise TypeError("derate takes a margin, as margin=0.25, or a risk, as risk=0.01")
    name, given = ("margin", margin) if risk is None else ("risk", risk)
    with as_arguments():
        found = back_off(book, recipe, share=share(name, given), to_risk=risk is not None, method=by, job=job)
    return DerateResult(found, book)
