"""What `log`, `correct` and `runs --run` print after a run that did not go clean."""

from __future__ import annotations

from typing import TYPE_CHECKING

from swarfbook.book import Book

if TYPE_CHECKING:
    from swarfbook.records import Run


def aftermath_text(book: Book, run: Run, units: str | None) -> list[str]:
    """Write what to make of a run, a blank line before it; nothing for a clean one.

    Args:
        book: the book.
        run: a run of its log.
        units: units shown; None for the book's own choice.
    """
    if run.clean:
        return []
    from swarfbook.cli.text import page_width
    from swarfbook.decisions.aftermath import after_run
    from swarfbook.reports.aftermath_page import aftermath_lines

    found = after_run(book, run)
    if found is None:
        return []
    return ["", *aftermath_lines(found, width=page_width(), system=units or book.settings.units)]
