"""How to measure what people do not know, over the page: the list of things, and the page of each."""

from __future__ import annotations

from collections.abc import Sequence

from swarfbook.reports.measuring import Topic, topic_lines
from swarfbook.tui.choose_screen import Choice, ChooseScreen
from swarfbook.tui.text_screen import TextScreen

HEADING = "How to measure, with what a workshop has"
UNBROKEN = 100_000  # columns: the text screen breaks the lines for itself


def topic_screen(topic: Topic) -> TextScreen:
    """Give the page of one thing to measure."""
    _, _, *lines = topic_lines(topic, width=UNBROKEN)
    return TextScreen(topic.title, [f" {line}" if line else "" for line in lines])


def measure_screen(topics: Sequence[Topic]) -> ChooseScreen:
    """Give the list of things to measure; the chosen one's page opens over the list."""
    pages = {topic.name: topic for topic in topics}
    screen = ChooseScreen(
        HEADING,
        [Choice(topic.name, topic.title) for topic in topics],
        opens=lambda topic: screen.app.push_screen(topic_screen(pages[topic])),
    )
    return screen
