"""Something that reads or writes many files, over the page: keys wait until it is done."""

from __future__ import annotations

from collections.abc import Callable

from textual import events, on, work
from textual.app import ComposeResult
from textual.message import Message

from swarfbook.errors import SwarfbookError
from swarfbook.reports.breaking import wrap
from swarfbook.tui import beside
from swarfbook.tui.keyed import Over
from swarfbook.tui.lines import Lines


class Done(Message):
    """It is done, or was refused.

    Attributes:
        refusal: why it was refused; empty where it was not.
    """

    def __init__(self, refusal: str) -> None:
        super().__init__()
        self.refusal = refusal


class BusyScreen(Over[str]):
    """Gives why it could not be done, empty where it was.

    What writes many files is not stopped half-way: the book would have to be mended at its next opening.
    """

    MODE = "busy"

    def __init__(self, said: str, task: Callable[[], object]) -> None:
        """Do something.

        Args:
            said: what is being done, said where it takes a while.
            task: does it, beside the keys; raises SwarfbookError.
        """
        super().__init__()
        self.said = said
        self._perform = task
        self._kept: list[events.Key] = []

    def compose(self) -> ComposeResult:
        """Lay out the one line."""
        yield Lines(id="busy")

    def on_mount(self) -> None:
        """Begin, and say so unless it is done by then."""
        self.set_timer(beside.PATIENCE, self.tell)
        self.run()

    def tell(self) -> None:
        """Say what is being done."""
        said = wrap(f"{self.said} …", self.size.width - 2)
        self.query_one("#busy", Lines).show([[], *([(f" {line}", "strong")] for line in said), []])

    @work(thread=True)
    def run(self) -> None:
        """Do it."""
        try:
            self._perform()
        except SwarfbookError as error:
            self.post_message(Done(error.problems[0].remedy))
        else:
            self.post_message(Done(""))

    @on(Done)
    def take_done(self, message: Done) -> None:
        """Go back, and give the keys typed meanwhile to the screen below."""
        self.dismiss(message.refusal)
        for key in self._kept:
            self.app.screen.post_message(key)

    def on_key(self, event: events.Key) -> None:
        """Keep a key for the screen below."""
        event.stop()
        event.prevent_default()
        self._kept.append(events.Key(event.key, event.character))
