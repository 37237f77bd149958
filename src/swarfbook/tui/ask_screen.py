"""A question over the page, answered by one letter."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from textual.app import ComposeResult

from swarfbook.reports.breaking import wrap
from swarfbook.tui.keyed import Over
from swarfbook.tui.lines import Line, Lines


class AskScreen(Over[str | None]):
    """Asks, and gives the letter of the answer, or None for going back."""

    MODE = "ask"

    def __init__(self, question: Sequence[str], answers: Mapping[str, str]) -> None:
        super().__init__()
        self.question = question
        self.answers = answers

    def compose(self) -> ComposeResult:
        """Lay out the question."""
        yield Lines(id="ask")

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.query_one("#ask", Lines).show(self._lines(self.size.width))

    def _lines(self, width: int) -> list[Line]:
        asked = [part for line in self.question for part in wrap(line, width - 3, subsequent_indent="  ")]
        lines: list[Line] = [[], *([(f" {line}", "plain")] for line in asked), []]
        answers = {**self.answers, "Esc": "go back to the page"}
        return [*lines, *([(f" {key:>4}  ", "value"), (text, "plain")] for key, text in answers.items()), []]

    def typed(self, key: str, character: str | None) -> None:
        """Take the letter of an answer."""
        del key
        if character is not None and character in self.answers:
            self.dismiss(character)

    def action_close(self) -> None:
        """Go back without an answer."""
        self.dismiss(None)
