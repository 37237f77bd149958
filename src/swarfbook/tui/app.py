"""The terminal program itself: a book on screen."""

from __future__ import annotations

import gc
from pathlib import Path
from typing import TYPE_CHECKING

from textual.app import App

from swarfbook.errors import SwarfbookError
from swarfbook.tui.commands import bind
from swarfbook.tui.opening import Opening
from swarfbook.tui.screen_file import read_settings
from swarfbook.tui.themes import LAMPLIGHT, SIXTEEN, THEMES, in_sixteen

if TYPE_CHECKING:
    from swarfbook.book import Book
    from swarfbook.tui.desk import Desk
    from swarfbook.tui.page import Page


class SwarfbookApp(App[None]):
    """One book, one page, and what opens over it.

    Attributes:
        desk: the book and what is open.
        page: the page.
        trouble: why the book could not be opened; None where it could.
    """

    TITLE = "swarfbook"
    ENABLE_COMMAND_PALETTE = False
    desk: Desk
    page: Page

    def __init__(self, book: Book | Path, recipe_id: str | None = None) -> None:
        """Show a book.

        Args:
            book: the book; its folder, to have a frame on screen before all that judging takes is loaded.
            recipe_id: the recipe to begin with; left out, the first that can be read.
        """
        super().__init__()
        self._book = book
        self._recipe_id = recipe_id
        self.trouble: SwarfbookError | None = None

    def on_mount(self) -> None:
        """Put the page up, or a first frame while it loads."""
        for theme in THEMES:
            self.register_theme(in_sixteen(theme) if self.console.color_system == SIXTEEN else theme)
        self._settings = read_settings(tuple(theme.name for theme in THEMES))
        self.theme = self._settings.theme or LAMPLIGHT.name
        bind(self._settings.keys, served=self.is_web)
        if isinstance(self._book, Path):
            self._opening = Opening(self._book, self._recipe_id)
            self.push_screen(self._opening)
            self.call_after_refresh(self._load, self._book)
        else:
            self._put_up(self._book)

    async def _load(self, root: Path) -> None:
        from swarfbook.book import Book

        try:
            book = Book.open(root)
            if self._recipe_id is not None:
                book.get("recipe", self._recipe_id)
        except SwarfbookError as error:
            self.trouble = error
            self.exit()
            return
        self._put_up(book)
        # What was loaded stays to the end: no collection need look through it again.
        gc.freeze()
        gc.enable()
        for key in self._opening.kept:
            self.page.post_message(key)

    def _put_up(self, book: Book) -> None:
        from swarfbook.tui.desk import DEMO, Desk
        from swarfbook.tui.page import Page

        self.desk = Desk(book, self._recipe_id)
        self.page = Page(self.desk)
        said = [DEMO] if book.built_in else []
        self.page.sheet.message = "; ".join([*map(str, self._settings.problems), *said])
        self.push_screen(self.page)

    async def action_quit(self) -> None:
        """Leave as `q` does, asking when something is not saved; Textual's own key for it comes here."""
        if self.screen is self.page:
            self.page.action_leave()


def run(root: Path, recipe_id: str | None = None) -> None:
    """Open a book on screen.

    Args:
        root: folder of the book.
        recipe_id: the recipe to begin with; left out, the first that can be read.

    Raises:
        SwarfbookError: it is no book, or has no such recipe; the screen is left by then.
    """
    app = SwarfbookApp(root, recipe_id)
    app.run()
    if app.trouble is not None:
        raise app.trouble
