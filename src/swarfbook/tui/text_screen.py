"""Text to read over the page: help, notes and cautions."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from textual.app import ComposeResult

from swarfbook.tui.commands import footer
from swarfbook.tui.keyed import Over
from swarfbook.tui.lines import Line, Lines


class TextScreen(Over[None]):
    """Shows lines; those that do not begin with a blank are headings."""

    MODE = "text"
    DEFAULT_CSS = """
    TextScreen > #text { height: 1fr; }
    """

    def __init__(self, title: str, lines: Sequence[str]) -> None:
        super().__init__()
        self.heading = title
        self.text = lines
        self.top = 0

    def compose(self) -> ComposeResult:
        """Lay out the text and its footer."""
        yield Lines(id="text", classes="top")
        yield Lines(id="foot")

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.draw()

    def draw(self) -> None:
        """Draw what fits from the line on top."""
        width, height = self.size.width, self.size.height - 6
        lines = self._wrapped(width)
        self.top = min(self.top, max(len(lines) - height, 0))
        head: list[Line] = [[(f" {self.heading}", "strong")], []]
        self.query_one("#text", Lines).show([*head, *lines[self.top : self.top + height]])
        more = "" if self.top + height >= len(lines) else "  … more below"
        self.query_one("#foot", Lines).show([[(footer("text", width) + more, "faint")]])

    def _wrapped(self, width: int) -> list[Line]:
        lines: list[Line] = []
        for line in self.text:
            style = "plain" if line.startswith(" ") else "strong"
            indent = " " * (len(line) - len(line.lstrip()) + 2)
            parts = wrap(line, width - 2, subsequent_indent=indent, drop_whitespace=True) or [""]
            lines += [[(f" {part}", style)] for part in parts]
        return lines

    def action_down(self) -> None:
        """Read on."""
        self.top += 1
        self.draw()

    def action_up(self) -> None:
        """Read back."""
        self.top = max(self.top - 1, 0)
        self.draw()

    def action_close(self) -> None:
        """Go back."""
        self.dismiss()
