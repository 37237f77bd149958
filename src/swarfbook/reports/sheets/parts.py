"""The parts of a job sheet as blocks of type: heading, steps, notes, foot."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from swarfbook.reports.sheets.card import DID, NOTES, TICKED, Card, Pairs, Stop, sentence, stressed
from swarfbook.reports.sheets.look import ARMS_LENGTH, Look
from swarfbook.reports.sheets.setting import (
    ASCENT,
    CAPITALS,
    Block,
    Group,
    Measure,
    Piece,
    Rule,
    Word,
    filled,
    running,
    stacked,
    words,
)

MOST_LINES = 14
"""Ruled lines for notes."""


@dataclass(frozen=True, slots=True)
class Parts:
    """Sets the parts of a page in one look, to the width between its white edges [pt]."""

    look: Look
    width: float
    measure: Measure

    def fill(self, groups: Sequence[Group], width: float | None = None) -> Block:
        """Fill lines across the page, or a part of it."""
        return filled(groups, self.width if width is None else width, self.measure)

    def heading(self, card: Card, mark: str) -> Block:
        """Set the title with the page's mark at its right, the facts and what holds for the whole job."""
        sheet = self.fill(words(mark, self.look.text))
        left = self.width - right_of(sheet)
        title = self.fill(words(card.title, self.look.title, bold=True), left - self.look.gap)
        title = Block(title.height, (*title.marks, *sheet.at(left, 0.0)))
        named = stacked((title, self.fill(words(card.subtitle, self.look.text))))
        facts = self.pairs(card.facts, self.look.text, self.width)
        warnings = (self.barred(warning, self.width) for warning in card.warnings)
        return stacked((named, facts, *warnings), self.look.at(7.0, 3.0))

    def pairs(self, pairs: Pairs, size: float, width: float, columns: Sequence[float] = ()) -> Block:
        """Set names and bold texts, as many abreast as fit: under each other where steps are few.

        Args:
            pairs: names and texts.
            size: of the texts [pt].
            width: of the lines [pt].
            columns: widths of the columns they stand in, where they are to [pt].
        """
        if not self.look.few:
            small = self.look.small
            groups = [Group((Piece(name, small), Piece(text, size, True)), size) for name, text in pairs]
            return self.fill(groups, width)
        cells = [self.cell(name, text, size, width) for name, text in pairs]
        return stacked(self.rows(cells, width, columns), self.look.at(4.0, 2.0))

    def cell(self, name: str, text: str, size: float, width: float) -> Block:
        """Set a small name over a bold text."""
        return stacked(
            (self.fill(words(name, self.look.small), width), self.fill(words(text, size, bold=True), width))
        )

    def rows(self, cells: Sequence[Block], width: float, columns: Sequence[float]) -> list[Block]:
        """Put cells beside each other, in columns or as many as fit; arguments as of `pairs`."""
        rows: list[Block] = []
        x = 0.0
        for at, cell in enumerate(cells):
            full = at % len(columns) == 0 if columns else x + right_of(cell) > width
            if full or not rows:
                rows.append(cell)
                x = 0.0
            else:
                rows[-1] = Block(max(rows[-1].height, cell.height), (*rows[-1].marks, *cell.at(x, 0.0)))
            x += self.look.gap + (columns[at % len(columns)] if columns else right_of(cell))
        return rows

    def columns(self, stops: Sequence[Stop], width: float) -> tuple[float, tuple[float, ...]]:
        """Put the numbers of all steps under each other: abreast, somewhat smaller for that, or in two rows.

        Returns:
            The size of the numbers and the widths of their columns [pt]; no columns where nothing fits.
        """
        size = self.look.number
        most = max((len(stop.numbers) for stop in stops), default=0)
        for smaller, abreast in (
            (size, most),
            (max(ARMS_LENGTH, 0.86 * size), most),
            (size, (most + 1) // 2),
        ):
            cells = [[self.cell(*pair, smaller, width) for pair in stop.numbers] for stop in stops]
            wide = tuple(
                max((right_of(cell) for row in cells for cell in row[at::abreast]), default=0.0)
                for at in range(abreast)
            )
            if sum(wide) + self.look.gap * (abreast - 1) <= width:
                return smaller, wide
        return size, ()

    def barred(self, warning: str, width: float) -> Block:
        """Set a warning, a heavy bar at its left; bold where there is room for it."""
        text = self.fill(words(warning, self.look.text, bold=self.look.loud), width - 8.0)
        bar = Rule(1.5, 1.0, 0.0, text.height - 2.0, 3.0)
        return Block(text.height, (bar, *text.at(8.0, 0.0))) if text.height else text

    def steps(self, stops: Sequence[Stop]) -> list[Block]:
        """Set the steps, what is in their columns under each other."""
        inset = max((right_of(self.numeral(stop.number)) for stop in stops), default=0.0) + self.look.gap
        middle = self.width - inset - self.look.aside - 1.5 * self.look.gap
        size, columns = self.columns(stops, middle) if self.look.few else (self.look.number, ())
        return [
            self.step(stop, inset, middle, self.pairs(stop.numbers, size, middle, columns)) for stop in stops
        ]

    def step(self, stop: Stop, inset: float, middle: float, numbers: Block) -> Block:
        """Set a step: its number, what is done and set, and at its right what happened."""
        do = stacked(
            (
                self.fill(running(sentence(stop), self.look.head), middle),
                numbers,
                *self.details(stop, middle),
                *(self.barred(warning, middle) for warning in stop.warnings),
            ),
            self.look.at(2.5, 0.0),
        )
        number = self.numeral(stop.number)
        row = Block(max(do.height, number.height), (*number.marks, *do.at(inset, 0.0)))
        left = stacked((self.before(stop.before, middle + inset), row), self.look.at(3.0, 0.0))
        right = self.happened(stop.minutes)
        marks = (*left.marks, *right.at(self.width - self.look.aside, 0.0))
        return Block(max(left.height, right.height), marks)

    def before(self, text: str, width: float) -> Block:
        """Set what is done before a step."""
        if not text:
            return Block(0.0)
        return self.fill((*words("First:", self.look.text), *words(text, self.look.head, bold=True)), width)

    def numeral(self, number: int) -> Block:
        """Set a step's number, its top level with the capitals of the sentence beside it."""
        size = self.look.numeral
        y = self.look.head * (ASCENT - CAPITALS) + CAPITALS * size
        piece = Piece(str(number), size, bold=True)
        return Block(y, (Word(0.0, y, self.measure(piece.text, size, bold=True), piece),))

    def details(self, stop: Stop, width: float) -> Iterator[Block]:
        """Set how the work is held and what is left, on lines of their own where there are few steps."""
        small, text = self.look.small, self.look.text
        lines = [
            (Group((Piece(name, small),), self.look.gap), *running(stressed(what), text))
            for name, what in (("Hold:", stop.hold), ("Leaves:", stop.leaves))
            if what
        ]
        joined = [tuple(group for line in lines for group in line)]
        return (self.fill(groups, width) for groups in (lines if self.look.few else joined))

    def happened(self, minutes: str) -> Block:
        """Set boxes to tick, and a line for the time it took."""
        size = self.look.small
        boxes = [Group((Piece("☐", self.look.box), Piece(word, size)), 0.9 * size) for word in TICKED]
        return stacked((self.fill(boxes, self.look.aside), self.took(minutes)), self.look.at(2.0, 0.0))

    def took(self, minutes: str) -> Block:
        """Set a line to write on between `took` and the minutes reckoned."""
        size = self.look.small
        start = self.fill(words("took", size))
        after = self.fill(words(f"of {minutes}" if minutes else "min", size), self.look.aside / 2)
        left, right = right_of(start) + 4.0, self.look.aside - right_of(after) - 4.0
        lower = 0.25 * size
        line = Rule(left, lower + ASCENT * size, right - left, 0.0)
        return Block(after.height + lower, (*start.at(0.0, lower), line, *after.at(right + 4.0, lower)))

    def label(self) -> Block:
        """Set the heading of the column for what happened."""
        label = self.fill(words(DID, self.look.small, bold=True), self.look.aside)
        return Block(label.height + 2.0, label.at(self.width - self.look.aside, 0.0))

    def below(self, card: Card) -> Block:
        """Set what else there is to know, and the foot."""
        foot = self.fill(words(card.foot, self.look.small))
        cautions = (self.fill(running(stressed(text), self.look.text)) for text in card.cautions)
        ruled = Block(foot.height + 3.0, (Rule(0.0, 1.5, self.width, 0.0), *foot.at(0.0, 3.0)))
        return stacked((*cautions, ruled), self.look.at(2.0, 0.5))

    def notes(self, room: float) -> Block:
        """Set ruled lines into a height."""
        pitch = self.look.pitch
        lines = min(MOST_LINES, int(room / pitch))
        title = self.fill(words(NOTES, self.look.small, bold=True))
        rules = (Rule(0.0, pitch * (line + 1), self.width, 0.0, 0.4) for line in range(lines))
        return Block(lines * pitch, (*title.marks, *rules))


def right_of(block: Block) -> float:
    """Give how far a block reaches to the right [pt]."""
    return max((mark.x + mark.width for mark in block.marks), default=0.0)
