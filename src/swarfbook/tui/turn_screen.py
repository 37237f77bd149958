"""The force over one turn and the chip through the cut, drawn over the page to its size."""

from __future__ import annotations

from swarfbook.decisions.check import Check
from swarfbook.decisions.course import Course, course
from swarfbook.reports.course_page import course_lines
from swarfbook.tui.lines import Line
from swarfbook.tui.text_screen import TextScreen


class TurnScreen(TextScreen):
    """A text whose lines are drawn for the size there is."""

    def __init__(self, title: str, found: Course, *, system: str) -> None:
        super().__init__(title, [])
        self._found = found
        self._system = system

    def _wrapped(self, width: int) -> list[Line]:
        lines = course_lines(self._found, width=width - 2, height=self._height(), system=self._system)
        return [[(f" {line}", "plain")] for line in lines]


def turn_screen(check: Check, *, system: str) -> TurnScreen:
    """Give the drawing of a recipe; raises SwarfbookError for one that is no side cut."""
    return TurnScreen(check.case.recipe.name, course(check.case), system=system)
