"""How to measure what people do not know, over the page: the list of things, and the page of each."""

from __future__ import annotations

from collections.abc import Sequence

from textual import on
from textual.app import ComposeResult

from swarfbook.reports.measuring import Topic, topic_lines
from swarfbook.tui.commands import footer, help_lines
from swarfbook.tui.keyed import Over
from swarfbook.tui.lines import Line, Lines
from swarfbook.tui.text_screen import TextScreen

HEADING = "How to measure, with what a workshop has"
UNBROKEN = 100_000  # columns: the text screen breaks the lines for itself


def topic_screen(topic: Topic) -> TextScreen:
    """Give the page of one thing to measure."""
    _, _, *lines = topic_lines(topic, width=UNBROKEN)
    return TextScreen(topic.title, [f" {line}" if line else "" for line in lines])


class MeasureScreen(Over[None]):
    """Lists things to measure; the chosen one's page opens over the list."""

    MODE = "measure"
    DEFAULT_CSS = """
    MeasureScreen > #topics { height: 1fr; }
    """

    def __init__(self, topics: Sequence[Topic]) -> None:
        super().__init__()
        self.topics = topics
        self.place = 0

    def compose(self) -> ComposeResult:
        """Lay out the list and its footer."""
        yield Lines(id="heading", classes="top")
        yield Lines(id="topics")
        yield Lines(id="foot")

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.draw()

    def draw(self) -> None:
        """Draw the list and the footer."""
        width = self.size.width
        self.query_one("#heading", Lines).show([[(f" {HEADING}", "strong")], []])
        lines = [self._line(at, topic, width) for at, topic in enumerate(self.topics)]
        self.query_one("#topics", Lines).show(lines)
        self.query_one("#foot", Lines).show([[(footer("measure", width), "faint")]])

    def _line(self, at: int, topic: Topic, width: int) -> Line:
        chosen = at == self.place
        text = f" {'▸' if chosen else ' '} {topic.title}"
        return [(text if len(text) < width else f"{text[: width - 2]}…", "strong" if chosen else "plain")]

    @on(Lines.Pressed, "#topics")
    def press_topic(self, event: Lines.Pressed) -> None:
        """Open the page under the mouse."""
        if event.row < len(self.topics):
            self.place = event.row
            self.draw()
            self.action_open()

    def action_down(self) -> None:
        """Go down the list."""
        self._move(1)

    def action_up(self) -> None:
        """Go up the list."""
        self._move(-1)

    def _move(self, step: int) -> None:
        self.place = min(max(self.place + step, 0), len(self.topics) - 1)
        self.draw()

    def action_open(self) -> None:
        """Read the chosen page."""
        self.app.push_screen(topic_screen(self.topics[self.place]))

    def action_help(self) -> None:
        """Read the help page."""
        self.app.push_screen(TextScreen("Keys", help_lines()))

    def action_close(self) -> None:
        """Go back."""
        self.dismiss()
