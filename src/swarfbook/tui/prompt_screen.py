"""A line of text asked for, over the page."""

from __future__ import annotations

from collections.abc import Callable
from textwrap import shorten, wrap

from textual.app import ComposeResult

from swarfbook.tui.commands import footer
from swarfbook.tui.keyed import Over
from swarfbook.tui.line_edit import LineEdit
from swarfbook.tui.lines import Line, Lines, Span

BEFORE = " > "


class PromptScreen(Over[str | None]):
    """Asks for a line of text and gives it, without the blanks at its ends, or None for going back."""

    MODE = "prompt"

    def __init__(
        self, title: str, *, hint: str = "", text: str = "", check: Callable[[str], str] | None = None
    ) -> None:
        """Ask for a text.

        Args:
            title: what is asked.
            hint: what may be written, and what comes of it.
            text: what stands there to begin with, the caret behind it.
            check: gives why a text will not do, empty where it does; left out, any text does.
        """
        super().__init__()
        self.heading = title
        self.told = hint
        self.line = LineEdit.holding(text)
        self.refusal = ""
        self._check = check

    def compose(self) -> ComposeResult:
        """Lay out the question, the line and the footer."""
        yield Lines(id="prompt")
        yield Lines(id="foot")

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.draw()

    def draw(self) -> None:
        """Draw every part."""
        width = self.size.width
        self.query_one("#prompt", Lines).show(self._lines(width))
        self.query_one("#foot", Lines).show([[(footer(self.MODE, width), "faint")]])

    def _lines(self, width: int) -> list[Line]:
        title: Line = [(f" {shorten(self.heading, width - 2, placeholder=' …')}", "strong")]
        hint: list[Line] = [[(f" {part}", "faint")] for part in wrap(self.told, width - 2)]
        said = wrap(f"not taken: {self.refusal}", width - 2) if self.refusal else [""]
        written = caret_spans(self.line, width - len(BEFORE))
        refusal: list[Line] = [[(f" {part}", "strong")] for part in said]
        return [[], title, *hint, [], [(BEFORE, "faint"), *written], [], *refusal]

    def before_key(self) -> None:
        """Forget why the last text would not do."""
        self.refusal = ""

    def typed(self, key: str, character: str | None) -> None:
        """Write into the line."""
        self.line.press(key, character)
        self.draw()

    def action_take(self) -> None:
        """Give the text, unless it will not do."""
        text = self.line.text.strip()
        self.refusal = self._check(text) if self._check else ""
        if self.refusal:
            self.draw()
        else:
            self.dismiss(text)

    def action_close(self) -> None:
        """Go back without a text."""
        self.dismiss(None)


def caret_spans(line: LineEdit, width: int) -> list[Span]:
    """Give the stretch of a line around its caret that fits a width, the caret marked."""
    text = line.text + " "
    start = max(line.caret - width + 1, 0)
    seen, caret = text[start : start + width], line.caret - start
    return [(seen[:caret], "value"), (seen[caret], "caret"), (seen[caret + 1 :], "value")]
