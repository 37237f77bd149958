"""The recipes of a book as rows of a list: read, judged, found by words. No widget."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import groupby

from swarfbook.book import Book
from swarfbook.decisions.case import case_of
from swarfbook.decisions.check import Check, check
from swarfbook.errors import SwarfbookError
from swarfbook.reports.listing import telling
from swarfbook.reports.words import title
from swarfbook.tui.desk import Desk
from swarfbook.tui.line_edit import LineEdit

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


def findable(text: str) -> str:
    """Give a text as small words with a blank before each, so that a search can hold to their beginnings.

    Looked for inside words, "out" would find every router.
    """
    return "".join(f" {word}" for word in re.split(r"[^\w./]+", text.lower()) if word)


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


@dataclass(slots=True)
class Shelf:
    """The list as it stands: rows, the find line, what it leaves, and the chosen row.

    Attributes:
        rows: all rows, in order.
        find: the find line.
        hits: the rows it leaves.
        place: the chosen one among them.
    """

    rows: list[Row] = field(default_factory=list)
    find: LineEdit = field(default_factory=LineEdit)
    hits: list[Row] = field(default_factory=list)
    place: int = 0

    def fill(self, rows: list[Row], chosen: str | None) -> None:
        """Put rows in, the chosen one by its id."""
        self.rows = rows
        self._look(chosen)

    def judge(self, verdicts: dict[str, str]) -> None:
        """Put in what was worked out, by id; what is chosen stays chosen."""
        self.rows = [replace(row, judged=verdicts.get(row.id, row.judged)) for row in self.rows]
        self._look(self.chosen)

    def press(self, key: str, character: str | None) -> bool:
        """Give a key to the find line; False if it has no use for it."""
        before = self.find.text
        if not self.find.press(key, character):
            return False
        if self.find.text != before:
            self._look(self.chosen)
        return True

    def _look(self, chosen: str | None) -> None:
        wanted = [f" {word}" for word in findable(self.find.text).split()]
        self.hits = [row for row in self.rows if all(word in row.words for word in wanted)]
        self.place = next((at for at, row in enumerate(self.hits) if row.id == chosen), 0)

    @property
    def chosen(self) -> str | None:
        """Id of the chosen row; None while none is left."""
        return self.hits[self.place].id if self.hits else None

    def move(self, step: int) -> None:
        """Choose another row, as far as there are any."""
        self.place = min(max(self.place + step, 0), max(len(self.hits) - 1, 0))

    def lines(self, height: int) -> Iterator[str | int]:
        """Yield what `height` rows around the chosen one hold: a group's heading or a place in `hits`."""
        # A heading costs a row, so at most `height` hits matter on either side of the chosen one.
        near = range(max(self.place - height, 0), min(self.place + height + 1, len(self.hits)))
        listed: list[str | int] = []
        for group, places in groupby(near, key=lambda at: self.hits[at].group):
            listed += [group, *places]
        at = listed.index(self.place) if self.hits else 0
        first = min(max(at - height // 2, 0), max(len(listed) - height, 0))
        yield from listed[first : first + height]
