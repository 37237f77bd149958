"""A machine, cutter, material or job on the desk: what its file holds, what was changed, the way back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from swarfbook import records
from swarfbook.book import Book, Entry
from swarfbook.decisions.troubles import lacks
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.records import Material, Record
from swarfbook.tui.places import places, put, value_at

Values = dict[str, Any]


def difference(before: Mapping[str, Any], after: Mapping[str, Any]) -> Values:
    """Give what changes one into the other, nested as in the file; None for what is taken out."""
    found: Values = {}
    for key in dict.fromkeys((*before, *after)):
        old, new = before.get(key), after.get(key)
        if isinstance(old, Mapping) and isinstance(new, Mapping):
            if inner := difference(old, new):
                found[key] = inner
        elif old != new or type(old) is not type(new):
            found[key] = new
    return found


class RecordDraft:
    """One record being worked on.

    Attributes:
        kind: machine, tool, material or job.
        record: the last values that read, in SI units.
        problems: why the present values do not read; empty when `record` is of them.
    """

    def __init__(self, book: Book, kind: str, record_id: str) -> None:
        """Take a record from the book; raises SwarfbookError if its file does not read."""
        self.kind = kind
        self._book = book
        self._entry: Entry[Any] = book.get(kind, record_id)
        self.record: Record = self._entry.record
        self.problems: tuple[Problem, ...] = ()
        # Every state since the file was read; `_now` is the place of the one on the desk.
        self._states: list[Values] = [self._entry.raw]
        self._now = 0

    @property
    def id(self) -> str:
        """Its id."""
        return self._entry.id

    @property
    def where(self) -> str:
        """Its file, relative to the book."""
        return self._entry.where

    @property
    def entry(self) -> Entry[Any]:
        """The file as last read."""
        return self._entry

    @property
    def values(self) -> Values:
        """The record as it stands on the desk, as typed."""
        return self._states[self._now]

    @property
    def changes(self) -> Values:
        """What differs from the file, nested as in it; None for what is taken out."""
        return difference(self._entry.raw, self.values)

    @property
    def dirty(self) -> bool:
        """Whether anything differs from the file."""
        return bool(self.changes)

    @property
    def can_undo(self) -> bool:
        """Whether there is a change to take back."""
        return self._now > 0

    @property
    def can_redo(self) -> bool:
        """Whether there is a change taken back that can be made again."""
        return self._now < len(self._states) - 1

    def changed_keys(self) -> list[str]:
        """Give the places whose values differ from the file."""
        before, after = self._entry.raw, self.values
        keys = dict.fromkeys((*places(self.kind, after), *places(self.kind, before)))
        return [key for key in keys if value_at(before, key) != value_at(after, key)]

    def preview(self, changes: Mapping[str, Any]) -> tuple[Problem, ...]:
        """Say what would not fit after changes, by place; the draft stays as it is."""
        return self._read(self._with(changes))[1]

    def _with(self, changes: Mapping[str, Any]) -> Values:
        after = self.values
        for dotted, value in changes.items():
            after = put(after, dotted, value)
        return after

    def _read(self, values: Values) -> tuple[Record, tuple[Problem, ...]]:
        try:
            record = records.parse(self.kind, values, where=self.where)
        except SwarfbookError as error:
            return self.record, error.problems
        return record, tuple(lacks(record, where=self.where) if isinstance(record, Material) else ())

    def change(self, changes: Mapping[str, Any]) -> None:
        """Make changes that can be taken back."""
        self._step(self._with(changes))

    def _step(self, after: Values) -> None:
        if difference(self.values, after):
            self._states[self._now + 1 :] = [after]
            self._now += 1
        self._judge()

    def _judge(self) -> None:
        self.record, self.problems = self._read(self.values)

    def undo(self) -> bool:
        """Take the last change back; False where there is none."""
        return self._go(-1)

    def redo(self) -> bool:
        """Make a change taken back again; False where there is none."""
        return self._go(1)

    def _go(self, step: int) -> bool:
        if not 0 <= self._now + step < len(self._states):
            return False
        self._now += step
        self._judge()
        return True

    def save(self) -> None:
        """Write the changes; raises SwarfbookError, ConflictError among it, with the draft as it was."""
        self._entry = self._book.save(self.kind, self.id, self.changes, seen=self._entry.sha)
        self._step(self._entry.raw)

    def changed_on_disk(self) -> bool:
        """Say whether the file changed or went away since it was read."""
        return self._book.changed(self._entry)

    @property
    def as_read(self) -> Mapping[str, Any]:
        """The values as the file had them when it was read."""
        return self._entry.raw

    def on_disk(self) -> Mapping[str, Any] | None:
        """Give the values as the file has them now; None where it went away or does not read."""
        try:
            return self._book.get(self.kind, self.id).raw
        except SwarfbookError:
            return None

    def read_again(self, *, keep_mine: bool) -> None:
        """Take the file as it now stands, with or without the changes of the desk; both can be undone.

        Raises:
            SwarfbookError: the file went away or no longer reads; the draft stays as it was.
        """
        mine = self._mine() if keep_mine else {}
        self._entry = self._book.get(self.kind, self.id)
        after = self._entry.raw
        for dotted, value in mine.items():
            after = put(after, dotted, value)
        self._step(after)

    def _mine(self) -> Values:
        """Give what was changed here, by place; a list whose entries are others now as a whole."""
        before, after = self._entry.raw, self.values
        lists = {key for key, value in after.items() if _entries(value) != _entries(before.get(key))}
        mine = {
            key: value_at(after, key) for key in self.changed_keys() if key.partition("[")[0] not in lists
        }
        return {**mine, **{key: after[key] for key in lists}}


def _entries(value: object) -> int:
    return len(value) if isinstance(value, list) else 0
