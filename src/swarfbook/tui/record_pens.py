"""Pens for the keys of machines, cutters, materials and jobs."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from swarfbook import records
from swarfbook.quantities import QuantityError
from swarfbook.records import as_toml
from swarfbook.tui.amend import amended
from swarfbook.tui.line_edit import LONGEST, LineEdit
from swarfbook.tui.pens import NumberPen, Option, Pen, TextPen, WordPen, may_go

LEFT_OUT = Option("", "not given")
LIST_FORM = "write a list in brackets, the values in quotes with commas between, or use e for the file"


class RatioPen(NumberPen):
    """A bare number, which stands in the file without quotes."""

    def changes(self) -> Mapping[str, Any]:
        """Give the number; see `Pen`."""
        return {key: _bare(text) for key, text in super().changes().items()}


def _bare(text: str | None) -> str | float | None:
    try:
        return None if text is None else float(text)
    except ValueError:
        return text


@dataclass(slots=True)
class FilePen(TextPen):
    """A value written as the file has it: a text, a whole number, or a list as TOML."""

    def changes(self) -> Mapping[str, Any]:
        """Give the value; one that may be left out goes when it is emptied; see `Pen`."""
        text = self.line.text.strip()
        if not text and may_go(self.kind, self.key):
            return {self.key: None}
        if records.is_list(self.kind, self.key):
            return {self.key: self._list(text)}
        for number in _numbers(text):
            if records.takes(self.kind, self.key, number):
                return {self.key: number}
        return super(FilePen, self).changes()

    def _list(self, text: str) -> list[Any]:
        dimension = records.dimension(self.kind, self.key)
        if dimension is None or text.startswith("["):
            return _as_list(text)
        return [amended(part, before="", dimension=dimension) for part in text.split(",")]


def _numbers(text: str) -> Iterator[int | float]:
    """Yield the numbers a text may be written for in the file, whole ones first."""
    if text.isascii() and text.isdigit():
        yield int(text)
    if re.fullmatch(r"[0-9]*\.[0-9]+", text):
        yield float(text)


FLAGS = (LEFT_OUT, Option("no", "no"), Option("yes", "yes"))


class FlagPen(WordPen):
    """Yes or no, being chosen; the file has true or false."""

    def changes(self) -> Mapping[str, Any]:
        """Give what it is, None to leave it out; see `Pen`."""
        return {self.key: (None, False, True)[self.place]}


def _as_list(text: str) -> list[Any]:
    try:
        value = tomllib.loads(f"value = {text}")["value"]
    except (tomllib.TOMLDecodeError, RecursionError):
        raise QuantityError(LIST_FORM) from None
    if not isinstance(value, list):
        raise QuantityError(LIST_FORM)
    return value


def pen_for(kind: str, key: str, value: object, typed: str | None, ids: Sequence[str] = ()) -> Pen | None:
    """Take a pen to a value of a record.

    Args:
        kind: kind of record.
        key: its dotted key, of whichever entry of a list.
        value: the value as it stands in the file; None where it is left out.
        typed: what was typed to begin with; None starts from the value as it stands.
        ids: of the records the value names one of; empty where it names none.

    Returns:
        The pen; None where the value is too long to be written on a line, or has several.
    """
    if not records.is_list(kind, key) and records.takes(kind, key, True):
        return FlagPen(key, FLAGS, 0 if value is None else 1 + bool(value))
    words = records.choices(kind, key) or tuple(ids)
    if words and not records.is_list(kind, key):
        return _word_pen(kind, key, words, value)
    before = _as_line(value)
    if len(before) > LONGEST or "\n" in before:
        return None
    line = LineEdit.holding(before if typed is None else typed)
    if records.dimension(kind, key) is None or records.is_list(kind, key):
        return FilePen(key, before, line, kind)
    bare = records.dimension(kind, key) == "ratio"
    return (RatioPen if bare else NumberPen)(key, before, line, kind)


def _word_pen(kind: str, key: str, words: tuple[str, ...], value: object) -> WordPen:
    options = [*([LEFT_OUT] if may_go(kind, key) else []), *(Option(word, word) for word in words)]
    now = value if isinstance(value, str) else ""
    return WordPen(key, options, next((at for at, one in enumerate(options) if one.value == now), 0))


def _as_line(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, list):
        plain = all(isinstance(item, str) for item in value)
        return ", ".join(value) if plain else as_toml(value)
    return str(value)
