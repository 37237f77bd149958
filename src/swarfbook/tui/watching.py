"""What the page knows of files that do not read or fit: counted beside the keys, said in its head."""

from __future__ import annotations

from textual import on, work
from textual.message import Message
from textual.worker import get_current_worker

from swarfbook.decisions.troubles import look_through
from swarfbook.errors import Problem
from swarfbook.reports.trouble_page import bad_files
from swarfbook.tui.beside import Pace
from swarfbook.tui.recalling import Recalling

STEPS = 8  # recipes looked at between two rests


class Watched(Message):
    """All files were looked at.

    Attributes:
        bad: how many have problems.
    """

    def __init__(self, bad: int) -> None:
        super().__init__()
        self.bad = bad


class Watching(Recalling):
    """The page as far as it knows how many files have problems."""

    def log_known(self) -> None:
        """Begin to look: not before, for both read the log, and one reading of it is enough."""
        self.look_over()

    @work(thread=True, exclusive=True)
    def look_over(self) -> None:
        """Look through the book beside the keys: a book of thousands takes a while."""
        pace, found = Pace(get_current_worker(), every=STEPS), list[Problem]()
        for _, problems in look_through(self.desk.book):
            if pace.stops():
                return
            found += problems
        self.post_message(Watched(bad_files(found)))

    @on(Watched)
    def take_watched(self, message: Watched) -> None:
        """Say how many there are."""
        self.know_bad_files(message.bad)

    def know_bad_files(self, bad: int | None) -> None:
        """Take how many files have problems, as someone else counted them; None where that was cut off."""
        if bad is None:
            self.look_over()
        elif bad != self.desk.bad_files:
            self.desk.bad_files = bad
            self.draw()
