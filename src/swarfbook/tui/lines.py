"""A widget that shows lines of styled text and nothing else; every part of every screen is made of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region, Size
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from swarfbook.errors import undriven

Span = tuple[str, str]
"""A stretch of text and the name of its style, one of `STYLES`."""
Line = Sequence[Span]

STYLES = ("plain", "value", "chosen", "caret", "faint", "strong", "over")


class Lines(Widget):
    """Lines of spans, one terminal row each; as high as its lines unless its styles say otherwise."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {f"lines--{style}" for style in STYLES}
    DEFAULT_CSS = """
    Lines { height: auto; width: 1fr; color: $foreground; }
    Lines > .lines--value { text-style: bold; }
    Lines > .lines--chosen { color: $accent; text-style: bold underline; }
    Lines > .lines--caret { color: $background; background: $accent; }
    Lines > .lines--faint { color: $secondary; }
    Lines > .lines--strong { text-style: bold; }
    Lines > .lines--over { text-style: bold reverse; }
    """

    class Pressed(Message):
        """The mouse was pressed on a line.

        Attributes:
            lines: the widget.
            row, column: where, from 0.
        """

        def __init__(self, lines: Lines, row: int, column: int) -> None:
            super().__init__()
            self.lines = lines
            self.row = row
            self.column = column

        @property
        def control(self) -> Lines:
            """The widget."""
            return self.lines

    def __init__(self, *, id: str, classes: str = "") -> None:  # noqa: A002 - Textual's own name for it
        super().__init__(id=id, classes=classes)
        self.lines: list[Line] = []

    def show(self, lines: Sequence[Line]) -> None:
        """Show other lines: only rows that differ are drawn anew, unless there are more or fewer of them."""
        before, self.lines = self.lines, list(lines)
        if len(before) != len(lines):
            self.refresh(layout=True)
            return
        rows = [row for row, (old, new) in enumerate(zip(before, lines, strict=True)) if old != new]
        if rows:
            self.refresh(*(Region(0, row, self.size.width, 1) for row in rows))

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Give the number of lines; see Textual."""
        del container, viewport, width
        return len(self.lines)

    def render_line(self, y: int) -> Strip:
        """Draw one row; see Textual."""
        if y >= len(self.lines):
            return Strip.blank(self.size.width, self.rich_style)
        segments = [Segment(undriven(text), self._style(style)) for text, style in self.lines[y]]
        return Strip(segments).crop_extend(0, self.size.width, self.rich_style)

    def _style(self, name: str) -> Style:
        return self.rich_style if name == "plain" else self.get_component_rich_style(f"lines--{name}")

    def on_click(self, event: events.Click) -> None:
        """Say where the mouse was pressed."""
        event.stop()
        self.post_message(self.Pressed(self, event.y, event.x))


def text_of(line: Line) -> str:
    """Give a line without its styles."""
    return "".join(text for text, _ in line)
