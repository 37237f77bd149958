"""A list of records that is empty: it asks whether to begin one, or to bring back one that was deleted."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from swarfbook.book.ids import file_name
from swarfbook.errors import SwarfbookError
from swarfbook.records import starter
from swarfbook.reports.part_words import KINDS
from swarfbook.tui.ask_screen import AskScreen
from swarfbook.tui.choose_screen import Choice, ChooseScreen
from swarfbook.tui.desk import Desk
from swarfbook.tui.keyed import Keyed
from swarfbook.tui.shelving import deleted

AnswerT = TypeVar("AnswerT")
BEFORE = {"job": "it is cut"}
"""What comes after the numbers are one's own, where that is not a recipe that rests on them."""


class Beginning(Keyed[AnswerT]):
    """A list of records as far as it begins the first one.

    Attributes:
        desk: the book and what is open.
        kind: kind of the records.
    """

    desk: Desk
    kind: str

    def open_part(self, record_id: str) -> None:
        """Open a record's page."""
        raise NotImplementedError

    def begun(self) -> dict[str, Any]:
        """Give the first record, as typed."""
        return starter(self.kind)

    def ask_to_begin(self) -> None:
        """Ask whether to begin one."""
        where = file_name(self.kind, f"my-{self.kind}")
        lines = [
            f"There is no {KINDS[self.kind]} in this book yet. One can begin in {where}.",
            "Its numbers are an example's: write your own over them before "
            f"{BEFORE.get(self.kind, 'a recipe rests on them')}.",
        ]
        answers = {"y": "begin it", **({"b": "bring back one that was deleted"} if self._deleted() else {})}
        self.app.push_screen(AskScreen(lines, answers), self._begin)

    def _deleted(self) -> list[Choice]:
        return deleted(self.desk.book, self.kind)

    def _begin(self, answer: str | None) -> None:
        if answer is None:
            return
        if answer == "b":
            screen = ChooseScreen(f"Bring back a {KINDS[self.kind]}", self._deleted())
            self.app.push_screen(screen, self._restore)
            return
        self._do(f"my-{self.kind}", lambda new: self.desk.book.save(self.kind, new, self.begun(), seen=None))

    def _restore(self, record_id: str | None) -> None:
        if record_id is not None:
            self._do(record_id, lambda gone: self.desk.book.restore(self.kind, gone))

    def _do(self, record_id: str, write: Callable[[str], object]) -> None:
        """Have a record written, and open it; say why where it could not be."""
        try:
            write(record_id)
        except SwarfbookError as error:
            self.app.push_screen(AskScreen([str(error)], {}))
            return
        self.open_part(record_id)
