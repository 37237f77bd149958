"""The page as far as it knows the run log: read beside the keys after the first paint and when it changes."""

from __future__ import annotations

import gc

from textual import on, work
from textual.message import Message
from textual.worker import get_current_worker

from swarfbook.tui.beside import READS, Pace
from swarfbook.tui.desk import Desk
from swarfbook.tui.filed import FiledScreen
from swarfbook.tui.keyed import Keyed
from swarfbook.tui.logbook import Known, Stopped


class LogRead(Message):
    """The run log was read.

    Attributes:
        known: what it says.
    """

    def __init__(self, known: Known) -> None:
        super().__init__()
        self.known = known


class Recalling(FiledScreen[None]):
    """The page as far as it knows the run log.

    Attributes:
        desk: the book and what is open.
    """

    desk: Desk
    _reading = False

    def read_log(self) -> None:
        """Begin to read the log and what follows from it; of two readings the later counts."""
        self._reading = True
        self._read_log()

    @work(thread=True, exclusive=True, group="log")
    def _read_log(self) -> None:
        pace = Pace(get_current_worker(), every=READS)

        def step() -> None:
            if pace.stops():
                raise Stopped

        # What is read stays: to look through a hundred thousand runs for garbage would hold the keys up.
        gc.disable()
        try:
            known = self.desk.logbook.read(step)
        except Stopped:
            return
        finally:
            gc.freeze()
            gc.enable()
        self.post_message(LogRead(known))

    def look_at_log(self) -> None:
        """Notice that the log changed, by whoever wrote into it."""
        if not self._reading and self.desk.logbook.changed():
            self.read_log()

    @on(LogRead)
    def take_log(self, message: LogRead) -> None:
        """Judge what is on the desk anew where the log says something else of it."""
        before, known = self.desk.logbook.known, message.known
        self._reading = False
        self.desk.logbook.known = known
        if before is None:
            self.log_known()
        told = (before.log is known.log, before.pasts == known.pasts) if before else (not known.pasts,)
        if all(told):
            return
        self.desk.judge()
        self.sheet.judge()
        self.draw()
        for screen in self.app.screen_stack:
            if isinstance(screen, Keyed):
                screen.log_read()

    def log_known(self) -> None:
        """Do what waited until the log was read for the first time."""
