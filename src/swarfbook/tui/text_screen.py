"""Text to read over the page: help, notes and cautions."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from textwrap import shorten, wrap
from typing import TypeVar

from textual.app import ComposeResult

from swarfbook.tui import outside
from swarfbook.tui.commands import footer
from swarfbook.tui.keyed import Over
from swarfbook.tui.lines import Line, Lines

AnswerT = TypeVar("AnswerT")


class Reading(Over[AnswerT]):
    """Lines to read, scrolled where they do not fit.

    Those that do not begin with a blank are headings, with one blank paragraphs, with more items; under
    an item's number or label the rest of it hangs.
    """

    DEFAULT_CSS = """
    Reading > #text { height: 1fr; }
    """

    def __init__(self, title: str, lines: Sequence[str]) -> None:
        """Show lines under a title."""
        super().__init__()
        self.heading = title
        self.text = lines
        self.top = 0
        self.message = ""

    def compose(self) -> ComposeResult:
        """Lay out the text and its footer."""
        yield Lines(id="text", classes="top")
        yield Lines(id="foot")

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.draw()

    def draw(self) -> None:
        """Draw what fits from the line on top."""
        width, height = self.size.width, self._height()
        lines = self._wrapped(width)
        self.top = max(min(self.top, len(lines) - height), 0)
        head: list[Line] = [[(f" {shorten(self.heading, width - 2, placeholder=' …')}", "strong")], []]
        self.query_one("#text", Lines).show([*head, *lines[self.top : self.top + height]])
        if self.message:
            self.query_one("#foot", Lines).show([[(f" {self.message}"[:width], "strong")]])
            return
        more = "" if self.top + height >= len(lines) else "  … more below"
        keys = footer(self.MODE, width - len(more), self.usable)
        self.query_one("#foot", Lines).show([[(keys + more, "faint")]])

    def _height(self) -> int:
        return self.size.height - 6

    def _wrapped(self, width: int) -> list[Line]:
        lines: list[Line] = []
        for line in self.text:
            style = "plain" if line.startswith(" ") else "strong"
            parts = wrap(line, width - 2, subsequent_indent=" " * _hang(line), break_on_hyphens=False) or [""]
            lines += [[(f" {part}", style)] for part in parts]
        return lines

    def before_key(self) -> None:
        """Forget what the last command had to say."""
        self.message = ""

    def say(self, message: str) -> None:
        """Say something until the next key, in the footer's place."""
        self.message = message
        self.draw()

    def action_down(self) -> None:
        """Read on."""
        self._move(1)

    def action_up(self) -> None:
        """Read back."""
        self._move(-1)

    def action_page_down(self) -> None:
        """Read on by a screenful."""
        self._move(self._height() - 1)

    def action_page_up(self) -> None:
        """Read back by a screenful."""
        self._move(1 - self._height())

    def _move(self, step: int) -> None:
        self.top += step
        self.draw()

    def action_close(self) -> None:
        """Go back."""
        self.dismiss(None)


class TextScreen(Reading[None]):
    """Lines of which some may say that something is assumed, with a way to how it is measured."""

    MODE = "text"

    def __init__(
        self, title: str, lines: Sequence[str], *, measure: Callable[[], None] | None = None
    ) -> None:
        """Show lines under a title.

        Args:
            title: the heading of all.
            lines: the text.
            measure: opens how to measure what the text says is assumed; None where nothing is.
        """
        super().__init__(title, lines)
        self._measure = measure

    def usable(self, action: str) -> bool:
        """Say whether a command can do anything now."""
        return action != "copy" and (action != "measure" or self._measure is not None)

    def action_measure(self) -> None:
        """Open how to measure what is assumed."""
        if self._measure is not None:
            self._measure()

    def action_copy(self) -> None:
        """Copy the text; only what is written to be sent on is."""


class WrittenScreen(TextScreen):
    """Text that is written for the width there is, and not broken again."""

    def __init__(
        self, title: str, write: Callable[[int], Sequence[str]], *, copied: Callable[[], str] | None = None
    ) -> None:
        """Show a text under a title.

        Args:
            title: the heading of all.
            write: gives the lines for a number of columns.
            copied: gives the text as it is copied; None where it is not there to be sent on.
        """
        super().__init__(title, [])
        self._write = write
        self._copied = copied

    def usable(self, action: str) -> bool:
        """Say whether a command can do anything now."""
        return self._copied is not None if action == "copy" else super().usable(action)

    def action_copy(self) -> None:
        """Copy the text for the terminal to take, and into a file."""
        if self._copied is not None:
            self.say(outside.copy(self.app, self._copied()))

    def _wrapped(self, width: int) -> list[Line]:
        return [[(f" {line}", "plain")] for line in self._write(width - 1)]


def _hang(line: str) -> int:
    label = re.match(r" +\d+ +| {2}\S.{0,20}?  +(?=\S)", line)
    blanks = len(line) - len(line.lstrip())
    return label.end() if label else blanks + 2 * (blanks > 1)
