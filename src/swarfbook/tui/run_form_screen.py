"""A run being written down or corrected, over the page: outcome first, minutes, all else where one likes."""

from __future__ import annotations

from collections.abc import Callable
from threading import Lock
from typing import Any

from textual import on, work
from textual.message import Message
from textual.worker import Worker, get_current_worker

from swarfbook.decisions.running import Report
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.tui.commands import footer
from swarfbook.tui.form_screen import FormScreen
from swarfbook.tui.run_form import MINUTES, OUTCOME, RunForm


class Kept(Message):
    """The run is in the log.

    Attributes:
        done: what came of it.
    """

    def __init__(self, done: object) -> None:
        super().__init__()
        self.done = done


class Refused(Message):
    """Something will not do, and nothing was written.

    Attributes:
        problem: what, and what would.
    """

    def __init__(self, problem: Problem) -> None:
        super().__init__()
        self.problem = problem


class RunFormScreen(FormScreen[Any]):
    """Gives what came of the report, or None for going back with nothing written."""

    MODE = "log"
    form: RunForm

    def __init__(
        self, title: str, form: RunForm, keep: Callable[[Report], object], *, aside: str = "", verb: str = ""
    ) -> None:
        """Ask for a report.

        Args:
            title: what run this is.
            form: what is said of it to begin with.
            keep: writes a report down, beside the keys; raises SwarfbookError.
            aside: what file it is of, or what else there is to know.
            verb: what Enter does, in the footer; empty for the table's.
        """
        super().__init__(title, form, aside=aside)
        self._now = {"open": verb} if verb else {}
        self._keep = keep
        self._gate = Lock()
        self._writing = False
        self._left = False

    def foot(self, width: int) -> str:
        """Give the hints for the keys."""
        return footer(self.MODE, width, self.usable, self._now)

    # Keys

    def action_open(self) -> None:
        """Write the run down; from the outcome go on to the minutes while they are missing."""
        if self.busy:
            return
        if self.form.asked.id == OUTCOME and self.form.lacks_minutes and self.form.outcomes.chosen:
            self.form.go(MINUTES)
        else:
            self.busy = "reading the meter's file …" if self.form.meter else "writing it down …"
            self.write()
        self.draw()

    def action_close(self) -> None:
        """Go back; nothing is written, unless it is being written already."""
        with self._gate:
            self._left = not self._writing
        if self._left:
            self.dismiss(None)

    @property
    def writes(self) -> bool:
        """Whether files are being written."""
        return bool(self.busy)

    # Writing happens beside the keys: a meter's file may be long, and a disk slow.

    @work(thread=True)
    def write(self) -> None:
        """Read the meter's file, if there is one, and write the run down."""
        worker = get_current_worker()
        try:
            report = self.form.report()
            if not self._may_write(worker):
                return
            done = self._keep(report)
        except SwarfbookError as error:
            self._writing = False
            self.post_message(Refused(error.problems[0]))
        else:
            self.post_message(Kept(done))

    def _may_write(self, worker: Worker[None]) -> bool:
        # From here on the run is in the log, whatever key is pressed.
        with self._gate:
            self._writing = not (self._left or worker.is_cancelled)
        return self._writing

    @on(Kept)
    def take_kept(self, message: Kept) -> None:
        """Go back with what came of it."""
        self.dismiss(message.done)

    @on(Refused)
    def take_refused(self, message: Refused) -> None:
        """Say what will not do, beside its field; what was written stays."""
        self.busy = ""
        self.form.refuse(message.problem)
        self.draw()
