"""Rows, a find line and what it leaves: the state of every list that opens over the page. No widget."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from typing import Generic, Protocol, TypeVar

from swarfbook.reports.listing import wanted
from swarfbook.tui.line_edit import LineEdit


class Findable(Protocol):
    """What a list asks of its rows."""

    @property
    def id(self) -> str:
        """What tells it from the others."""

    @property
    def group(self) -> str:
        """The heading it stands under; empty for none."""

    @property
    def words(self) -> str:
        """Everything the find line looks in, as `findable` gives it."""


RowT = TypeVar("RowT", bound=Findable)


@dataclass(slots=True)
class Finder(Generic[RowT]):
    """A list as it stands: rows, the find line, what it leaves, and the chosen row.

    Attributes:
        rows: all rows, in order, those of a group together.
        find: the find line.
        hits: the rows it leaves.
        place: the chosen one among them.
    """

    rows: list[RowT] = field(default_factory=list)
    find: LineEdit = field(default_factory=LineEdit)
    hits: list[RowT] = field(default_factory=list)
    place: int = 0

    def fill(self, rows: Sequence[RowT], chosen: str | None) -> None:
        """Put rows in, the chosen one by its id."""
        self.rows = list(rows)
        self._look(chosen, self.rows)

    def press(self, key: str, character: str | None) -> bool:
        """Give a key to the find line; False if it has no use for it."""
        before = self.find.text
        if not self.find.press(key, character):
            return False
        if self.find.text != before:
            # A word that goes on can only lose rows: ten thousand are looked through once, not at every key.
            self._look(self.chosen, self.hits if self.find.text.startswith(before) else self.rows)
        return True

    def _look(self, chosen: str | None, among: list[RowT]) -> None:
        hits = among
        for beginning in wanted(self.find.text):
            hits = [row for row in hits if beginning in self.found_by(row)]
        self.hits = hits
        self.place = next((at for at, row in enumerate(hits) if row.id == chosen), 0)

    def found_by(self, row: RowT) -> str:
        """Give the words a row is found by."""
        return row.words

    def heading(self, row: RowT) -> str:
        """Give the heading a row stands under; empty for none."""
        return row.group

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
        for group, places in groupby(near, key=lambda at: self.heading(self.hits[at])):
            listed += [*([group] if group else []), *places]
        at = listed.index(self.place) if self.hits else 0
        first = min(max(at - height // 2, 0), max(len(listed) - height, 0))
        yield from listed[first : first + height]
