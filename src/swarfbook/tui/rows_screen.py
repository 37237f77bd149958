"""Rows over the page, one of them chosen, and what is to say of it below; letters are commands."""

from __future__ import annotations

from typing import Any, TypeVar

from textual import on
from textual.app import ComposeResult

from swarfbook.tui.finding import Finder
from swarfbook.tui.keyed import Over
from swarfbook.tui.lines import Line, Lines

AnswerT = TypeVar("AnswerT")
ROOMY = 24  # rows from which there is room for more to say
PAGE_ABOVE = 3  # rows the page above and the edge take
FOOT = 1


class RowsScreen(Over[AnswerT]):
    """Draws a head, the rows around the chosen one, what is to say of it, and the footer."""

    DEFAULT_CSS = """
    RowsScreen > #rows { height: 1fr; }
    """

    def compose(self) -> ComposeResult:
        """Lay out the parts, top to bottom."""
        yield Lines(id="head", classes="top")
        for part in ("rows", "detail", "foot"):
            yield Lines(id=part)

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.draw()

    # What the screens that are made of this say

    def rows(self) -> Finder[Any]:
        """Give the rows."""
        raise NotImplementedError

    def head(self, width: int) -> list[Line]:
        """Give the lines on top."""
        raise NotImplementedError

    def row(self, at: int, width: int) -> Line:
        """Give the line of the row at a place."""
        raise NotImplementedError

    def detail(self, width: int, height: int) -> list[Line]:
        """Give what is to say of the chosen row, at most so many lines."""
        raise NotImplementedError

    def foot(self, width: int) -> str:
        """Give the hints for the keys."""
        raise NotImplementedError

    def action_open(self) -> None:
        """Do with the chosen row what it is there for."""
        raise NotImplementedError

    # Drawing

    def detail_height(self) -> int:
        """Rows kept for what is to say of the chosen one."""
        return 3 if self.size.height >= ROOMY else 2

    def room(self) -> int:
        """Rows there are for the list."""
        taken = PAGE_ABOVE + len(self.query_one("#head", Lines).lines) + self.detail_height() + FOOT
        return max(self.size.height - taken, 1)

    def draw(self) -> None:
        """Draw every part."""
        width = self.size.width
        self.query_one("#head", Lines).show(self.head(width))
        self.query_one("#rows", Lines).show([self._item(item, width) for item in self._items()])
        said = self.detail(width, self.detail_height())[: self.detail_height()]
        self.query_one("#detail", Lines).show([*said, *([[]] * (self.detail_height() - len(said)))])
        self.query_one("#foot", Lines).show([[(self.foot(width), "faint")]])

    def _items(self) -> list[str | int]:
        return list(self.rows().lines(self.room()))

    def _item(self, item: str | int, width: int) -> Line:
        return [(f" {item}"[:width], "faint")] if isinstance(item, str) else self.row(item, width)

    # Keys and mouse

    @on(Lines.Pressed, "#rows")
    def press_row(self, event: Lines.Pressed) -> None:
        """Choose the row under the mouse; a second press opens it."""
        items = self._items()
        if event.row >= len(items) or isinstance(items[event.row], str) or not self.may_leave():
            return
        place = int(items[event.row])
        again, self.rows().place = place == self.rows().place, place
        if again:
            self.press_again()
        self.draw()

    def press_again(self) -> None:
        """Do what a second press on the chosen row is there for."""
        self.action_open()

    def may_leave(self) -> bool:
        """Say whether another row may be chosen now."""
        return True

    def move(self, step: int) -> None:
        """Choose another row."""
        self.rows().move(step)
        self.draw()

    def action_down(self) -> None:
        """Go down."""
        self.move(1)

    def action_up(self) -> None:
        """Go up."""
        self.move(-1)

    def action_page_down(self) -> None:
        """Go down a screenful."""
        self.move(self.room() - 1)

    def action_page_up(self) -> None:
        """Go up a screenful."""
        self.move(1 - self.room())
