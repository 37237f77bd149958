"""A new recipe being named on the screen that worked it out, and saved under that name. No widget."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import count
from typing import Any

from swarfbook.book import Book
from swarfbook.errors import SwarfbookError
from swarfbook.tui.desk import READ_ONLY, Desk
from swarfbook.tui.line_edit import LineEdit
from swarfbook.tui.lines import Line
from swarfbook.tui.prompt_screen import caret_spans

SAVE_AS = " save as: "


class Naming:
    """A name being typed.

    Attributes:
        line: the name so far; None while none is asked for.
        message: what the last key has to say.
    """

    def __init__(self, desk: Desk) -> None:
        self.line: LineEdit | None = None
        self.message = ""
        self._desk = desk

    def take(self, values: Mapping[str, Any], stem: str) -> str | None:
        """Ask for a name, or save under the one that is typed.

        Args:
            values: the new recipe's record.
            stem: what a name is proposed from.

        Returns:
            The id once it is saved.
        """
        if self._desk.book.built_in:
            self.message = READ_ONLY
        elif self.line is None:
            self.line = LineEdit.holding(free_name(self._desk.book, stem))
        else:
            return self._save(values, self.line.text.strip())
        return None

    def _save(self, values: Mapping[str, Any], name: str) -> str | None:
        try:
            return self._desk.book.save("recipe", name, values, seen=None).id
        except SwarfbookError as error:
            self.message = f"not saved: {error.problems[0].remedy}"
            return None

    def drawn(self, width: int) -> Line:
        """Write what the last key has to say, else the name; empty where there is neither."""
        if self.message:
            return [(f" {self.message}"[:width], "strong")]
        if self.line is None:
            return []
        return [(SAVE_AS, "plain"), *caret_spans(self.line, width - len(SAVE_AS))]


def free_name(book: Book, stem: str) -> str:
    """Give an id that no recipe has, made from a stem."""
    taken = set(book.ids("recipe"))
    return next(name for name in _names(stem) if name not in taken)


def _names(stem: str) -> Iterator[str]:
    yield stem
    yield from (f"{stem}-{number}" for number in count(2))
