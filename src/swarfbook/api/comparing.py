"""`swarfbook.compare`: recipes side by side, what differs first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from swarfbook.api.checking import CheckResult
from swarfbook.api.result import Result, cell, frame
from swarfbook.decisions.as_json import compare_json
from swarfbook.decisions.check import check
from swarfbook.decisions.compare import Comparison, load_cases
from swarfbook.decisions.compare import compare as set_side_by_side

if TYPE_CHECKING:
    import pandas as pd

    from swarfbook.book import Book


class CompareResult(Result):
    """Recipes, judged, and everything they differ in."""

    def __init__(self, comparison: Comparison, book: Book) -> None:
        self._comparison, self._book = comparison, book

    @property
    def checks(self) -> tuple[CheckResult, ...]:
        """The recipes, judged, in the order in which they were named."""
        return tuple(CheckResult(one, self._book) for one in self._comparison.checks)

    def to_dict(self) -> dict[str, Any]:
        """Give the object that `swarfbook compare --json` prints."""
        return compare_json(self._comparison)

    def table(self) -> pd.DataFrame:
        """Give what differs as a pandas table: a column a recipe, the last over the first, the unit."""
        rows = [
            {
                "name": one.name,
                **dict(zip(self._ids(), one.values, strict=True)),
                "ratio": one.ratio,
                "unit": one.unit,
            }
            for one in self._comparison.differences
        ]
        return frame(rows, index="name")

    def _ids(self) -> list[str]:
        return [one.case.recipe_id for one in self._comparison.checks]

    def _page(self, units: str | None, *, plain: bool) -> str:
        del plain
        from swarfbook.cli.text import page_width  # noqa: PLC0415 - not for a loop
        from swarfbook.reports.side_by_side import side_by_side  # noqa: PLC0415

        return "\n".join(side_by_side(self._comparison, width=page_width(), system=units))

    def _in_brief(self) -> str:
        return f"{', '.join(self._ids())}: {len(self._comparison.differences)} differences"

    def _cells(self, units: str) -> tuple[Sequence[str], Iterable[Sequence[str]]]:
        del units
        rows = ((one.name, *map(cell, one.values), one.unit) for one in self._comparison.differences)
        return ("", *self._ids(), "unit"), rows


def compare(book: Book, *recipes: str) -> CompareResult:
    """Set recipes side by side, what differs first.

    Args:
        book: the book.
        recipes: ids of two or more.

    Raises:
        SwarfbookError: with every problem of all: an unknown id, or a recipe that does not read.
        TypeError: fewer than two.
    """
    if len(recipes) < 2:
        raise TypeError("compare takes two recipes or more")
    return CompareResult(set_side_by_side([check(case) for case in load_cases(book, recipes)]), book)
