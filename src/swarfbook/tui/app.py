"""The terminal program itself: a book on screen."""

from __future__ import annotations

from textual.app import App

from swarfbook.book import Book
from swarfbook.tui.desk import Desk
from swarfbook.tui.page import Page
from swarfbook.tui.themes import LAMPLIGHT, THEMES


class SwarfbookApp(App[None]):
    """One book, one page, and what opens over it."""

    TITLE = "swarfbook"
    ENABLE_COMMAND_PALETTE = False

    def __init__(self, book: Book, recipe_id: str | None = None) -> None:
        super().__init__()
        self.desk = Desk(book, recipe_id)

    def on_mount(self) -> None:
        """Put the page up."""
        for theme in THEMES:
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
