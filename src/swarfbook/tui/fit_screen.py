"""What measured power has taught, over the page: worked out beside the keys."""

from __future__ import annotations

from textwrap import wrap

from textual import on, work
from textual.message import Message

from swarfbook.book import Book
from swarfbook.decisions.fit import Fit, fit
from swarfbook.reports.fit_page import fit_lines
from swarfbook.tui.lines import Line
from swarfbook.tui.text_screen import TextScreen

TITLE = "What measured power has taught"
WORKING = " working it out …"


class Fitted(Message):
    """The runs were fitted.

    Attributes:
        found: what they teach.
    """

    def __init__(self, found: Fit) -> None:
        super().__init__()
        self.found = found


class FitScreen(TextScreen):
    """Shows the fit of a book's runs, drawn for the width there is."""

    def __init__(self, book: Book) -> None:
        """Show what a book's runs teach."""
        super().__init__(TITLE, [WORKING])
        self._book = book
        self._found: Fit | None = None

    def on_mount(self) -> None:
        """Begin to work it out."""
        self.work_out()

    @work(thread=True, exclusive=True)
    def work_out(self) -> None:
        """Work it out beside the keys: a log of years takes a while."""
        self.post_message(Fitted(fit(self._book)))

    @on(Fitted)
    def take_fit(self, message: Fitted) -> None:
        """Show it."""
        self._found = message.found
        self.draw()

    def _wrapped(self, width: int) -> list[Line]:
        if self._found is None:
            return super()._wrapped(width)
        # The drawing is made for the width and never wrapped.
        lines = fit_lines(self._found, width=width - 2)
        parts = [part for line in lines for part in wrap(line, width - 2, subsequent_indent="  ") or [""]]
        return [[(f" {part}", "plain")] for part in parts]
