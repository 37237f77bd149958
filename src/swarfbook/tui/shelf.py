"""The recipes of a book as rows of a list: read, judged, found by words. No widget."""

from __future__ import annotations

from dataclasses import dataclass, replace

from swarfbook.book import Book
from swarfbook.decisions.case import case_of
from swarfbook.decisions.check import Check, check
from swarfbook.errors import SwarfbookError
from swarfbook.reports.listing import telling
from swarfbook.reports.words import title
from swarfbook.tui.desk import Desk
from swarfbook.tui.finding import Finder, findable

NOT_READ = "cannot be read"


@dataclass(frozen=True, slots=True)
class Row:
    """One recipe in the list.

    Attributes:
        id: its id.
        group: machine and material, by name.
        name: its name.
        standing: its standing; empty for one that cannot be read.
        words: everything the find line looks in, as `findable` gives it.
        judged: the limit that tells most and the verdict; empty while not worked out.
        dirty: it has changes that are not saved.
    """

    id: str
    group: str
    name: str
    standing: str
    words: str
    judged: str = ""
    dirty: bool = False


def read_rows(desk: Desk) -> list[Row]:
    """Read all recipes of the book, as they stand on the desk if there; those that do not read come last."""
    return sorted((_row(desk, recipe) for recipe in desk.book.ids("recipe")), key=_order)


def _order(row: Row) -> tuple[bool, str, str]:
    return row.group == NOT_READ, row.group.lower(), row.name.lower()


def _row(desk: Desk, recipe: str) -> Row:
    draft = desk.drafts.get(recipe)
    try:
        values = draft.values if draft else desk.book.get("recipe", recipe).raw
    except SwarfbookError as error:
        return Row(recipe, NOT_READ, recipe, "", findable(f"{recipe} {error}"), str(error.problems[0]))
    group = " · ".join(desk.name(kind, str(values.get(kind))) for kind in ("machine", "material"))
    keys = ("name", "machine", "tool", "material", "operation", "standing")
    tool = desk.name("tool", str(values.get("tool")))
    said = [recipe, group, tool, *(str(values.get(key)) for key in keys)]
    return Row(
        id=recipe,
        group=group,
        name=str(values.get("name", recipe)),
        standing=str(values.get("standing", "")),
        words=findable(" ".join(said)),
        dirty=bool(draft and draft.dirty),
    )


def judged(book: Book, desk: Desk, recipe: str) -> str:
    """Say what tells most of a recipe and its verdict, or why it cannot be judged."""
    draft = desk.drafts.get(recipe)
    try:
        values = draft.values if draft else book.get("recipe", recipe).raw
        return in_short(check(case_of(book, recipe, values)))
    except SwarfbookError as error:
        return f"not judged: {error.problems[0].remedy}"


def in_short(one: Check) -> str:
    """Say the limit that tells most of a recipe, its use and the verdict."""
    limit = telling(one)
    return f"{title(limit.name):<14}{limit.use or 0.0:6.2f}  {one.verdict}"


class Shelf(Finder[Row]):
    """The list of recipes as it stands."""

    __slots__ = ()

    def judge(self, verdicts: dict[str, str]) -> None:
        """Put in what was worked out, by id; what is chosen stays chosen."""
        rows = [replace(row, judged=verdicts.get(row.id, row.judged)) for row in self.rows]
        self.fill(rows, self.chosen)
