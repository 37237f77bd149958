"""What every page of a record does with its file: undo, save, read again, notice what others changed.

`FiledSheet` is the state of such a page, `FiledScreen` its keys; the record at hand is any `Filed`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Protocol, TypeVar

from swarfbook.book import Book
from swarfbook.decisions.differences import changes
from swarfbook.decisions.titles import said
from swarfbook.errors import ConflictError, Problem, SwarfbookError
from swarfbook.records import as_toml
from swarfbook.reports.trouble_page import trouble_text
from swarfbook.tui.ask_screen import AskScreen
from swarfbook.tui.desk import READ_ONLY
from swarfbook.tui.keyed import Keyed

AnswerT = TypeVar("AnswerT")
Question = tuple[Sequence[str], Mapping[str, str]]
Values = Mapping[str, Any]
MOST_TOLD = 10
"""Values told one by one when two changed a file: more would not stand above the answers."""


class Filed(Protocol):
    """A record being worked on."""

    @property
    def where(self) -> str:
        """Its file, relative to the book."""

    @property
    def dirty(self) -> bool:
        """Whether anything differs from the file."""

    def undo(self) -> bool:
        """Take the last change back; False where there is none."""

    def redo(self) -> bool:
        """Make a change taken back again; False where there is none."""

    def save(self) -> None:
        """Write the changes; raises SwarfbookError, ConflictError among it."""

    def read_again(self, *, keep_mine: bool) -> None:
        """Take the file as it now stands; raises SwarfbookError."""

    def changed_on_disk(self) -> bool:
        """Say whether the file changed since it was read."""


class FiledSheet:
    """The state of a page of a record, as far as its file goes.

    Attributes:
        message: what the last command has to say, until the next key.
        on_disk: the file changed under changes made here.
    """

    message: str
    on_disk: bool

    @property
    def filed(self) -> Filed | None:
        """The record at hand; None while there is none."""
        raise NotImplementedError

    @property
    def book(self) -> Book:
        """The book it belongs to."""
        raise NotImplementedError

    def judge(self) -> None:
        """Work out anew what follows from the values."""
        raise NotImplementedError

    def say(self, message: str) -> None:
        """Work out anew what follows from the values, and have something to say."""
        self.judge()
        self.message = message

    def undo(self) -> None:
        """Take the last change back."""
        if self.filed is not None and self.filed.undo():
            self.say("taken back; U makes it again")

    def redo(self) -> None:
        """Make a change taken back again."""
        if self.filed is not None and self.filed.redo():
            self.say("made again")

    def save(self) -> bool:
        """Write the changes into the file; False if someone else changed it since it was read."""
        if self.filed is None:
            return True
        if self.book.built_in:
            self.message = READ_ONLY
            return True
        try:
            self.filed.save()
        except ConflictError:
            return False
        except SwarfbookError as error:
            self.message = f"not saved: {on_page(error.problems[0], self.filed.where)}"
            return True
        lost = unkept(self.book)
        self.say(f"saved{lost}" if lost else f"saved in {self.filed.where}")
        return True

    def read_again(self, *, keep_mine: bool) -> None:
        """Take the file as it stands on disk, with or without the changes made here."""
        if self.filed is None:
            return
        try:
            self.filed.read_again(keep_mine=keep_mine)
        except SwarfbookError as error:
            self.message = str(error.problems[0])
            return
        self.on_disk = False
        self.say("read again from disk; your changes are on top" if keep_mine else "read again from disk")

    def notice(self) -> bool:
        """Notice that the file changed; True if the page has to be drawn.

        A record without changes is read again; one with changes is marked and left to the person.
        """
        if self.filed is None or self.on_disk or not self.filed.changed_on_disk():
            return False
        self.on_disk = True
        if not self.filed.dirty:
            self.read_again(keep_mine=False)
        return True


class FiledScreen(Keyed[AnswerT]):
    """A page of a record, as far as its file goes."""

    sheet: FiledSheet

    def draw(self) -> None:
        """Draw every part."""
        raise NotImplementedError

    def conflict(self) -> Question:
        """Ask whose values stand when the file changed under changes made here."""
        raise NotImplementedError

    def action_undo(self) -> None:
        """Take the last change back."""
        self.sheet.undo()
        self.draw()

    def action_redo(self) -> None:
        """Make a change taken back again."""
        self.sheet.redo()
        self.draw()

    def action_save(self) -> None:
        """Write the changes into the record's file."""
        if not self.sheet.save():
            self.ask_whose()
        self.draw()

    def action_read_again(self) -> None:
        """Read the file again, asking whose values stand where something is not saved."""
        if self.sheet.filed is not None and self.sheet.filed.dirty:
            self.ask_whose()
        else:
            self.sheet.read_again(keep_mine=False)
            self.draw()

    def ask_whose(self) -> None:
        """Ask whose values stand."""
        self.app.push_screen(AskScreen(*self.conflict()), self._settle)

    def _settle(self, answer: str | None) -> None:
        if answer is not None:
            self.sheet.read_again(keep_mine=answer == "m")
            self.draw()


def unkept(book: Book) -> str:
    """Say why what was written is not in the history; empty where it is."""
    return "".join(f"; history {problem.remedy}" for problem in book.unkept()[:1])


def on_page(problem: Problem, where: str) -> str:
    """Word a problem for the page of a file, which need not be named: the line is short for the reason."""
    if problem.where != where:
        return str(problem)
    return ": ".join(filter(None, (problem.key, trouble_text(problem))))


def whose(where: str, apart: Sequence[str]) -> Question:
    """Word the question whose values stand.

    Args:
        where: the file.
        apart: what was changed here and there, a line a value; see `mine_and_theirs`.
    """
    return (
        [f"{where} changed on disk since it was read. Nothing was overwritten.", *apart],
        {"m": "read the file again and keep my changes on top",
         "t": "read the file again and drop my changes (u brings them back)"},
    )  # fmt: skip


def mine_and_theirs(read: Values, mine: Values, theirs: Values | None) -> list[str]:
    """Say value by value what was changed here and what on disk.

    Args:
        read: the values as the file had them when it was read.
        mine: as they stand on the page.
        theirs: as the file has them now; None where it does not read.
    """
    here = {one.key: one.after for one in changes(read, mine)}
    there = {one.key: one for one in changes(read, theirs)} if theirs is not None else {}
    lines = [
        f"  {said(key)}: mine {as_typed(value)}, on disk {as_typed(there[key].after)}"
        if key in there
        else f"  {said(key)}: mine {as_typed(value)}, on disk as it was"
        for key, value in here.items()
    ]
    lines += [
        f"  {said(key)}: on disk {as_typed(one.after)}, here as it was, {as_typed(one.before)}"
        for key, one in there.items()
        if key not in here
    ]
    told, more = lines[:MOST_TOLD], len(lines) - MOST_TOLD
    told += [f"  and {more} more"] if more > 0 else []
    return [*told, *([] if theirs is not None else ["  what stands on disk does not read"])]


def as_typed(value: object) -> str:
    """Write a value as it stands in a file; one that does not stand there is left out."""
    return "left out" if value is None else str(value) if isinstance(value, str) else as_toml(value)
