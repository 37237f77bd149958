"""Screens that work something out beside the keys: how far it is, Escape, what came of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import ClassVar, TypeVar

from textual import on, work
from textual.message import Message
from textual.worker import get_current_worker

from swarfbook.errors import Problem, SwarfbookError
from swarfbook.tui import beside
from swarfbook.tui.beside import Pace, Progress
from swarfbook.tui.keyed import Over
from swarfbook.tui.lines import Line
from swarfbook.tui.logbook import Stopped
from swarfbook.tui.text_screen import Reading

AnswerT = TypeVar("AnswerT")
FoundT = TypeVar("FoundT")
Step = Callable[[], None]
"""Called between steps of a work; raises Stopped to end it."""


class Worked(Message):
    """The work is done, or was refused.

    Attributes:
        round: which work it was.
        take: takes what came of it.
    """

    def __init__(self, round_: int, take: Callable[[], None]) -> None:
        super().__init__()
        self.round = round_
        self.take = take


class Working(Over[AnswerT]):
    """A screen over the page that works something out.

    Attributes:
        progress: how far the work is; None while nothing is worked out.
    """

    progress: Progress | None = None
    _round = 0

    def on_mount(self) -> None:
        """Say how far the work is, now and then."""
        self.set_interval(beside.PATIENCE, self._tell)

    def _tell(self) -> None:
        if self.progress is not None:
            self.draw()

    def draw(self) -> None:
        """Draw every part."""
        raise NotImplementedError

    def take_refused(self, problem: Problem) -> None:
        """Take why the work came to nothing."""
        raise NotImplementedError

    @property
    def said(self) -> str:
        """How far the work is, once it takes long; empty before and where there is none."""
        return self.progress.text() if self.progress else ""

    def begin(
        self, progress: Progress, work_out: Callable[[Step], FoundT], take: Callable[[FoundT], None]
    ) -> None:
        """Begin a work in place of the one before.

        Args:
            progress: how far it is; counted up at every step.
            work_out: works it out, beside the keys; raises SwarfbookError for `take_refused`.
            take: takes what came of it.
        """
        self._round += 1
        self.progress = progress
        round_ = self._round

        def work_and_tell(pace: Pace) -> None:
            try:
                found = work_out(partial(_step, pace, progress))
            except Stopped:
                return
            except SwarfbookError as error:
                self.post_message(Worked(round_, partial(self.take_refused, error.problems[0])))
            else:
                self.post_message(Worked(round_, partial(take, found)))

        self._beside_keys(work_and_tell)

    @work(thread=True, exclusive=True, group="working")
    def _beside_keys(self, work_and_tell: Callable[[Pace], None]) -> None:
        work_and_tell(Pace(get_current_worker()))

    def stop(self) -> None:
        """End the work with nothing come of it."""
        self._round += 1
        self.progress = None
        self.workers.cancel_group(self, "working")

    @on(Worked)
    def take_worked(self, message: Worked) -> None:
        """Take what came of it, unless something else is asked for by now."""
        if message.round == self._round:
            self.progress = None
            message.take()
            self.draw()


def _step(pace: Pace, progress: Progress) -> None:
    progress.done += 1
    if pace.stops():
        raise Stopped


class WorkedScreen(Reading[AnswerT], Working[AnswerT]):
    """Text that is worked out first, and written for the width there is."""

    LEAST: ClassVar[int] = 60
    """Columns that it takes at least."""

    def __init__(self, title: str) -> None:
        """Show what comes of a work under a title."""
        super().__init__(title, [])

    def on_mount(self) -> None:
        """Begin."""
        self.work_out()

    def work_out(self) -> None:
        """Begin to work it out."""
        raise NotImplementedError

    def told(self, width: int) -> Sequence[str] | None:
        """Write what came of it, not to be broken again; None while nothing did."""
        raise NotImplementedError

    def take_refused(self, problem: Problem) -> None:
        """Say why there is nothing to show."""
        self.text = [f" {problem.remedy}"]

    def _wrapped(self, width: int) -> list[Line]:
        if self.progress is not None:
            return [[(f" {self.said}", "faint")]]
        edge = " " if width > self.LEAST else ""
        told = self.told(max(width - len(edge), self.LEAST))
        if told is None:
            return super()._wrapped(width)
        return [[(edge + part, "plain")] for line in told for part in line.split("\n")]
