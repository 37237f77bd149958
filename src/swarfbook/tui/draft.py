"""A recipe on the desk: what stands in its file, what was changed since, and how to go back. No widget."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from swarfbook.book import Book
from swarfbook.book.entry import Entry
from swarfbook.decisions.case import Case, again, case_of
from swarfbook.decisions.check import Check, check
from swarfbook.decisions.following import Facts, facts_of
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.records import Record
from swarfbook.tui.logbook import Logbook

Values = Mapping[str, Any]
Changes = Mapping[str, Any]
"""New values by key; None takes a key out."""

PARTS = ("machine", "tool", "material")


def applied(values: Values, changes: Changes) -> dict[str, Any]:
    """Give values with changes in them; None takes a key out."""
    merged = {**values, **changes}
    return {key: value for key, value in merged.items() if value is not None}


class Draft:
    """One recipe being worked on.

    Attributes:
        recipe_id: its id.
        saved: the record as it stands on disk, as typed.
        values: the record as it stands on the desk.
        check: the last values that could be judged; None while none could.
        problems: why the present values cannot be judged; empty when `check` is of them.
    """

    def __init__(self, book: Book, recipe_id: str, logbook: Logbook | None = None) -> None:
        """Take a recipe from the book; raises SwarfbookError if its file does not read.

        Args:
            book: the book.
            recipe_id: its id.
            logbook: the run log as far as it is known; None judges without it.
        """
        self._book = book
        self._logbook = logbook or Logbook(book)
        self._entry: Entry[Any] = book.get("recipe", recipe_id)
        self._past: list[dict[str, Any]] = []
        self._future: list[dict[str, Any]] = []
        self._parts: list[Entry[Record]] = []
        self.recipe_id = recipe_id
        self.saved: dict[str, Any] = dict(self._entry.raw)
        self.values = dict(self.saved)
        self.check: Check | None = None
        self.problems: tuple[Problem, ...] = ()
        self.judge()

    @property
    def case(self) -> Case | None:
        """The last values that could be judged, resolved."""
        return self.check.case if self.check else None

    @property
    def facts(self) -> Facts | None:
        """What the cutter and the machine say about the values; None while none could be judged."""
        return facts_of(self.check.case) if self.check else None

    @property
    def where(self) -> str:
        """The recipe's file, relative to the book."""
        return f"recipes/{self.recipe_id}.toml"

    @property
    def path(self) -> Path:
        """The recipe's file."""
        return self._entry.path

    @property
    def dirty(self) -> bool:
        """Whether anything differs from the file."""
        return self.values != self.saved

    @property
    def changes(self) -> dict[str, Any]:
        """What differs from the file, None for what is taken out."""
        keys = dict.fromkeys((*self.saved, *self.values))
        return {key: self.values.get(key) for key in keys if self.values.get(key) != self.saved.get(key)}

    @property
    def can_undo(self) -> bool:
        """Whether there is a change to take back."""
        return bool(self._past)

    @property
    def can_redo(self) -> bool:
        """Whether there is a change taken back that can be made again."""
        return bool(self._future)

    def judge(self) -> None:
        """Judge the present values, keeping the last good check where they cannot be."""
        try:
            self.check, self.problems = check(self._fresh_case(self.values)), ()
        except SwarfbookError as error:
            self.problems = error.problems
        self._parts = list(self._read_parts())

    def preview(self, changes: Changes) -> tuple[Check | None, tuple[Problem, ...]]:
        """Judge the values as they would be after changes; the draft stays as it is."""
        after = applied(self.values, changes)
        try:
            return check(self._case(after)), ()
        except SwarfbookError as error:
            return None, error.problems

    def _case(self, values: Values) -> Case:
        # With the machine, the cutter and the material at hand nothing has to be read at every key.
        case = self.case
        if case is None or any(values.get(part) != case.values.get(part) for part in PARTS):
            return self._fresh_case(values)
        return again(case, values)

    def _fresh_case(self, values: Values) -> Case:
        return self._logbook.judged(case_of(self._book, self.recipe_id, values))

    def change(self, changes: Changes) -> bool:
        """Make changes that can be taken back; False where they change nothing."""
        after = applied(self.values, changes)
        if after == self.values:
            return False
        self._step(after)
        return True

    def _step(self, after: dict[str, Any]) -> None:
        self._past.append(self.values)
        self._future.clear()
        self.values = after
        self.judge()

    def discard(self) -> bool:
        """Put every value back as it stands in the file, which can be undone; False where all are."""
        return self.change({key: self.saved.get(key) for key in self.changes})

    def undo(self) -> bool:
        """Take the last change back; False where there is none."""
        return self._swap(self._past, self._future)

    def redo(self) -> bool:
        """Make a change taken back again; False where there is none."""
        return self._swap(self._future, self._past)

    def _swap(self, source: list[dict[str, Any]], target: list[dict[str, Any]]) -> bool:
        if not source:
            return False
        target.append(self.values)
        self.values = source.pop()
        self.judge()
        return True

    def save(self) -> None:
        """Write the changes; raises SwarfbookError, ConflictError among it, with the draft as it was."""
        self._settle(self._book.save("recipe", self.recipe_id, self.changes, seen=self._entry.sha))

    def _settle(self, entry: Entry[Any]) -> None:
        self._entry = entry
        self.saved = dict(entry.raw)
        self.values = dict(entry.raw)
        self.judge()

    def changed_on_disk(self) -> bool:
        """Say whether the recipe's file changed or went away since it was read."""
        return self._book.changed(self._entry)

    def on_disk(self) -> Mapping[str, Any] | None:
        """Give the values as the file has them now; None where it went away or does not read."""
        try:
            return self._book.get("recipe", self.recipe_id).raw
        except SwarfbookError:
            return None

    def parts_changed_on_disk(self) -> bool:
        """Say whether its machine's, cutter's or material's file did."""
        return any(self._book.changed(part) for part in self._parts)

    def read_again(self, *, keep_mine: bool) -> None:
        """Take the file as it now stands, with or without the changes of the desk; both can be undone.

        Raises:
            SwarfbookError: the file went away or no longer reads; the draft stays as it was.
        """
        mine = self.changes if keep_mine else {}
        entry = self._book.get("recipe", self.recipe_id)
        self._entry = entry
        self.saved = dict(entry.raw)
        after = applied(self.saved, mine)
        if after == self.values:
            self.judge()
        else:
            self._step(after)

    def follow(self) -> None:
        """Take up what this program itself wrote into the file; changes made here stay, nothing is to undo.

        Raises:
            SwarfbookError: the file went away or no longer reads.
        """
        entry, before = self._book.get("recipe", self.recipe_id), self.saved
        written = {key: entry.raw.get(key) for key in {**before, **entry.raw}}
        moved = {key: value for key, value in written.items() if value != before.get(key)}
        self._past, self._future = (
            [_moved(one, before, moved) for one in steps] for steps in (self._past, self._future)
        )
        self.values = _moved(self.values, before, moved)
        self._entry, self.saved = entry, dict(entry.raw)
        self.judge()

    def _read_parts(self) -> Iterable[Entry[Record]]:
        for kind in PARTS:
            try:
                yield self._book.get(kind, str(self.values.get(kind)))
            except SwarfbookError:
                continue


def _moved(values: Values, before: Values, moved: Changes) -> dict[str, Any]:
    """Give values with what moved in the file, where they stood as the file did."""
    follows = {key: value for key, value in moved.items() if values.get(key) == before.get(key)}
    return applied(values, follows)
