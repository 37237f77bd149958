"""The terminal program itself: a book on screen."""

from __future__ import annotations

from textual.app import App
from textual.theme import Theme

from swarfbook.book import Book
from swarfbook.tui.desk import Desk
from swarfbook.tui.page import Page

# Ink on paper, by lamplight and by day; meaning is never in the colour.
LAMPLIGHT = Theme(
    name="lamplight", dark=True, primary="#9db4c8", secondary="#a39c8e", accent="#8fc1e3",
    foreground="#ece6d8", background="#1c1b19", surface="#262420", panel="#302d28",
)  # fmt: skip
DAYLIGHT = Theme(
    name="daylight", dark=False, primary="#24435c", secondary="#6b6558", accent="#1d4f8a",
    foreground="#201d18", background="#f6f2e7", surface="#ece6d6", panel="#e0d9c6",
)  # fmt: skip


class SwarfbookApp(App[None]):
    """One book, one page, and what opens over it."""

    TITLE = "swarfbook"
    ENABLE_COMMAND_PALETTE = False

    def __init__(self, book: Book, recipe_id: str | None = None) -> None:
        super().__init__()
        self.desk = Desk(book, recipe_id)

    def on_mount(self) -> None:
        """Put the page up."""
        for theme in (LAMPLIGHT, DAYLIGHT):
            self.register_theme(theme)
        self.theme = LAMPLIGHT.name
        self.page = Page(self.desk)
        self.push_screen(self.page)

    async def action_quit(self) -> None:
        """Leave as `q` does, asking when something is not saved; Textual's own key for it comes here."""
        if self.screen is self.page:
            self.page.action_leave()


def run(book: Book, recipe_id: str | None = None) -> None:
    """Open a book on screen.

    Args:
        book: the book.
        recipe_id: the recipe to begin with; left out, the first that can be read.
    """
    SwarfbookApp(book, recipe_id).run()
