"""What measured power has taught, over the page: worked out beside the keys."""

from __future__ import annotations

from collections.abc import Sequence

from swarfbook.book import Book
from swarfbook.decisions.fit import Fit, fit
from swarfbook.reports.breaking import wrap
from swarfbook.reports.fit_page import fit_lines
from swarfbook.tui.beside import Progress
from swarfbook.tui.text_screen import TextScreen
from swarfbook.tui.working import WorkedScreen


class FitScreen(WorkedScreen[None], TextScreen):
    """Shows the fit of a book's runs, drawn for the width there is."""

    LEAST = 0

    def __init__(self, book: Book) -> None:
        """Show what a book's runs teach."""
        super().__init__("What measured power has taught")
        self._book = book
        self._found: Fit | None = None

    def work_out(self) -> None:
        """Begin: a log of years takes a while."""
        self.begin(Progress("working it out …"), lambda _: fit(self._book), self._take)

    def _take(self, found: Fit) -> None:
        self._found = found

    def told(self, width: int) -> Sequence[str] | None:
        """Write what they teach; the drawing is made for the width and never wrapped."""
        if self._found is None:
            return None
        lines = fit_lines(self._found, width=width - 1)
        return [part for line in lines for part in wrap(line, width - 1, subsequent_indent="  ") or [""]]
