"""The why of one number, over the page, and the way from there to what measures the assumed."""

from __future__ import annotations

from swarfbook.decisions.check import Check
from swarfbook.decisions.why import why
from swarfbook.reports.why import to_measure, why_lines
from swarfbook.tui.measure_screen import UNBROKEN, measure_screen, topic_screen
from swarfbook.tui.text_screen import TextScreen


def why_screen(check: Check, name: str, *, system: str) -> TextScreen:
    """Give the text of why a limit stands where it does; see `why`."""
    found = why(check, name, system=system)
    first, *lines = why_lines(found, width=UNBROKEN, page="m, {topic.title}")
    pages = to_measure(found)

    def measure() -> None:
        screen.app.push_screen(measure_screen(pages) if len(pages) > 1 else topic_screen(pages[0]))

    screen = TextScreen(first, lines, measure=measure if pages else None)
    return screen
