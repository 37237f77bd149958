"""Setting type: pieces of text filled into lines, lines and rules stacked into blocks.

Lengths are points of 1/72 inch; x runs to the right and y down from the top left corner.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Protocol

from swarfbook.reports.sheets.card import Stretch

LEADING = 1.17
"""Height of a line over the size of its type: what the deepest and the highest letters of the fonts need."""
ASCENT, DESCENT = 0.93, 0.24
"""What letters take over and under their line, over the size of the type."""
CAPITALS = 0.73
"""Height of capitals and digits over the size of the type."""
BLANK = {False: 0.318, True: 0.348}
"""Width of a blank over the size of the type, of the regular and of the bold font."""


class Measure(Protocol):
    """Tells how wide a text is [pt]."""

    def __call__(self, text: str, size: float, *, bold: bool) -> float:
        """Measure a text in one size and weight."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A text in one size and weight."""

    text: str
    size: float
    bold: bool = False

    @property
    def blank(self) -> float:
        """Give the width of a blank of its kind [pt]."""
        return BLANK[self.bold] * self.size


@dataclass(frozen=True, slots=True)
class Group:
    """Pieces that stay on one line where it is long enough, and the space before them on a line [pt]."""

    pieces: tuple[Piece, ...]
    space: float


@dataclass(frozen=True, slots=True)
class Word:
    """A text where it stands; `y` is its line's."""

    x: float
    y: float
    width: float
    piece: Piece

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Give left, top, right and bottom of what the text may take; digits alone are lower than letters."""
        up, down = (CAPITALS, 0.0) if self.piece.text.isdigit() else (ASCENT, DESCENT)
        return self.x, self.y - up * self.piece.size, self.x + self.width, self.y + down * self.piece.size


@dataclass(frozen=True, slots=True)
class Rule:
    """A line, across for a `width` or down for a `height`."""

    x: float
    y: float
    width: float
    height: float
    weight: float = 0.5


@dataclass(frozen=True, slots=True)
class Block:
    """What stands together, and how high it is."""

    height: float
    marks: tuple[Word | Rule, ...] = ()

    def at(self, x: float, y: float) -> tuple[Word | Rule, ...]:
        """Give the marks moved to the right and down."""
        return tuple(replace(mark, x=mark.x + x, y=mark.y + y) for mark in self.marks)


def stacked(blocks: Iterable[Block], gap: float = 0.0) -> Block:
    """Put blocks under each other, `gap` apart; those without height are left out."""
    height, marks = 0.0, list[Word | Rule]()
    for block in blocks:
        if block.height > 0:
            height += gap if height > 0 else 0.0
            marks += block.at(0.0, height)
            height += block.height
    return Block(height, tuple(marks))


def words(text: str, size: float, *, bold: bool = False) -> tuple[Group, ...]:
    """Give the words of a text, each its own group, a blank apart."""
    pieces = (Piece(word, size, bold) for word in text.split(" ") if word)
    return tuple(Group((piece,), piece.blank) for piece in pieces)


def running(stretches: Iterable[Stretch], size: float) -> tuple[Group, ...]:
    """Give the words of text that is bold in stretches."""
    return tuple(group for text, bold in stretches for group in words(text, size, bold=bold))


def filled(groups: Sequence[Group], width: float, measure: Measure) -> Block:
    """Fill lines with groups: one wider than a line is parted at blanks, a word wider than that anywhere."""
    return stacked(_placed(line, measure) for line in _lines(groups, width, measure))


def _lines(groups: Sequence[Group], width: float, measure: Measure) -> Iterator[list[Group]]:
    line: list[Group] = []
    used = 0.0
    for group in _parted(groups, width, measure):
        wide = _width(group, measure)
        if line and used + group.space + wide > width:
            yield line
            line, used = [], 0.0
        used += wide + (group.space if line else 0.0)
        line.append(group)
    if line:
        yield line


def _width(group: Group, measure: Measure) -> float:
    text = sum(measure(piece.text, piece.size, bold=piece.bold) for piece in group.pieces)
    return text + sum(piece.blank for piece in group.pieces[1:])


def _parted(groups: Sequence[Group], width: float, measure: Measure) -> Iterator[Group]:
    for group in groups:
        if _width(group, measure) <= width:
            yield group
            continue
        space = group.space
        for piece in group.pieces:
            for word in words(piece.text, piece.size, bold=piece.bold):
                for part in _cut(word.pieces[0], width, measure):
                    yield Group((part,), space)
                    space = word.space


def _cut(piece: Piece, width: float, measure: Measure) -> Iterator[Piece]:
    """Cut a word to what fits a line, one letter at least."""
    start = ""
    for letter in piece.text:
        if start and measure(start + letter, piece.size, bold=piece.bold) > width:
            yield replace(piece, text=start)
            start = ""
        start += letter
    yield replace(piece, text=start)


def _placed(line: Sequence[Group], measure: Measure) -> Block:
    tallest = max(piece.size for group in line for piece in group.pieces)
    y = (ASCENT + (LEADING - ASCENT - DESCENT) / 2) * tallest
    marks: list[Word] = []
    x = 0.0
    for group in line:
        x += group.space if marks else 0.0
        for at, piece in enumerate(group.pieces):
            x += piece.blank if at else 0.0
            width = measure(piece.text, piece.size, bold=piece.bold)
            marks.append(Word(x, y, width, piece))
            x += width
    return Block(LEADING * tallest, tuple(_joined(marks, measure)))


def _joined(marks: Sequence[Word], measure: Measure) -> Iterator[Word]:
    """Make one text of neighbours of one size and weight that are a blank apart."""
    held = marks[0]
    for before, word in pairwise(marks):
        gap = word.x - before.x - before.width
        same = replace(held.piece, text="") == replace(word.piece, text="")
        if same and abs(gap - word.piece.blank) < 0.01:
            text = f"{held.piece.text} {word.piece.text}"
            width = measure(text, held.piece.size, bold=held.piece.bold)
            held = replace(held, width=width, piece=replace(held.piece, text=text))
        else:
            yield held
            held = word
    yield held
