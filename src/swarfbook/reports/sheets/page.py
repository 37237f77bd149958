"""The job sheet on paper: where everything stands on a page, with the largest type that fits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import count, pairwise

from swarfbook.errors import Problem, SwarfbookError
from swarfbook.reports.sheets.card import DID, NOTES, TICKED, Card, Pairs, Stop, sentence, stressed
from swarfbook.reports.sheets.setting import (
    ASCENT,
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

PAPERS = {"a4": (595.276, 841.89), "letter": (612.0, 792.0)}
"""Width and height [pt] by name."""
MOST_STEPS = 12
"""Steps on a page at most."""
FEW_STEPS = 6
"""Up to here the numbers to set are of a size that is read at arm's length."""
ARMS_LENGTH = 12.0
SMALLEST = 7.0
SCALES = [step / 40 for step in range(50, 15, -1)]
"""Sizes that are tried, the largest first, over those of a page of four steps."""
CAPITALS = 0.73
"""Height of capitals and digits over the size of the type."""
FEWEST_LINES, MOST_LINES = 2, 14
"""Ruled lines for notes."""


@dataclass(frozen=True, slots=True)
class Look:
    """Sizes of type and of what is between [pt]."""

    scale: float
    few: bool

    def at(self, size: float, least: float) -> float:
        """Scale a size, down to the least."""
        return max(least, size * self.scale)

    @property
    def small(self) -> float:
        """Names, boxes, the foot."""
        return self.at(8.5, SMALLEST)

    @property
    def text(self) -> float:
        """What is read before the machine runs."""
        return self.at(10.0, SMALLEST)

    @property
    def head(self) -> float:
        """The sentence of a step, with how far the cutter stands out."""
        return self.at(12.5, ARMS_LENGTH if self.few else SMALLEST + 0.5)

    @property
    def number(self) -> float:
        """The numbers to set."""
        return self.at(14.5, ARMS_LENGTH if self.few else SMALLEST + 1.0)

    @property
    def edge(self) -> float:
        """Width of the page's white edge."""
        return min(40.0, self.at(38.0, 24.0))

    @property
    def aside(self) -> float:
        """Width of the column for what happened."""
        return self.at(136.0, 124.0)

    @property
    def pad(self) -> float:
        """Space over and under a step."""
        return self.at(7.0, 2.0)

    @property
    def gap(self) -> float:
        """Space between two columns."""
        return self.at(12.0, 8.0)


@dataclass(frozen=True, slots=True)
class Page:
    """A page: its size [pt], and what stands where on it."""

    width: float
    height: float
    marks: tuple[Word | Rule, ...]


@dataclass(frozen=True, slots=True)
class _Setter:
    """Sets the parts of a page in one look."""

    look: Look
    width: float
    measure: Measure

    def fill(self, groups: Sequence[Group], width: float | None = None) -> Block:
        """Fill lines across the page, or a part of it."""
        return filled(groups, self.width if width is None else width, self.measure)

    def heading(self, card: Card, mark: str) -> Block:
        """Set the title with the page's mark at its right, the facts and what holds for the whole job."""
        sheet = self.fill(words(mark, self.look.text))
        wide = max((word.width for word in sheet.marks if isinstance(word, Word)), default=0.0)
        title = self.fill(words(card.title, self.look.at(26.0, 13.0), bold=True), self.width - wide - 10)
        return stacked(
            (
                stacked(
                    (
                        Block(title.height, (*title.marks, *sheet.at(self.width - wide, 0.0))),
                        self.fill(words(card.subtitle, self.look.text)),
                    )
                ),
                self.grid(card.facts)
                if self.look.few
                else self.line_of(card.facts, self.look.text, self.width),
                *(self.barred(warning, self.width) for warning in card.warnings),
            ),
            self.look.at(7.0, 3.0),
        )

    def grid(self, facts: Pairs) -> Block:
        """Set names over their texts, four abreast."""
        across = (self.width + self.look.gap) / 4
        cells = [
            stacked(
                (
                    self.fill(words(name, self.look.small), across - self.look.gap),
                    self.fill(words(text, self.look.text, bold=True), across - self.look.gap),
                )
            )
            for name, text in facts
        ]
        rows = (
            Block(
                max(cell.height for cell in row),
                tuple(mark for at, cell in enumerate(row) for mark in cell.at(at * across, 0.0)),
            )
            for row in (cells[start : start + 4] for start in range(0, len(cells), 4))
        )
        return stacked(rows, self.look.at(5.0, 2.0))

    def line_of(self, pairs: Pairs, size: float, width: float) -> Block:
        """Set names with bold texts after them, each pair on one line where it fits."""
        groups = [
            Group((Piece(name, self.look.small), Piece(text, size, bold=True)), size) for name, text in pairs
        ]
        return self.fill(groups, width)

    def barred(self, warning: str, width: float) -> Block:
        """Set a warning in bold, a heavy bar at its left."""
        text = self.fill(words(warning, self.look.text, bold=True), width - 8.0)
        bar = Rule(1.5, 1.0, 0.0, text.height - 2.0, 3.0)
        return Block(text.height, (bar, *text.at(8.0, 0.0))) if text.height else text

    def step(self, stop: Stop, inset: float) -> Block:
        """Set a step: its number, what is done and set, and at its right what happened."""
        middle = self.width - inset - self.look.aside - self.look.gap
        did = self.happened(stop.minutes)
        do = stacked(
            (
                self.fill(running(sentence(stop), self.look.head), middle),
                self.line_of(stop.numbers, self.look.number, middle),
                *self.details(stop, middle),
                *(self.barred(warning, middle) for warning in stop.warnings),
            ),
            self.look.at(2.5, 0.0),
        )
        number = self.numeral(stop.number)
        height = max(do.height, did.height, number.height)
        row = (*number.marks, *do.at(inset, 0.0), *did.at(self.width - self.look.aside, 0.0))
        return stacked((self.before(stop.before, middle + inset), Block(height, row)), self.look.at(3.0, 0.0))

    def before(self, text: str, width: float) -> Block:
        """Set what is done before a step."""
        if not text:
            return Block(0.0)
        return self.fill((*words("First", self.look.text), *words(text, self.look.head, bold=True)), width)

    def numeral(self, number: int) -> Block:
        """Set a step's number, its top level with the capitals of the sentence beside it."""
        size = self.look.at(42.0, 14.0)
        y = self.look.head * (ASCENT - CAPITALS) + CAPITALS * size
        piece = Piece(str(number), size, bold=True)
        return Block(y, (Word(0.0, y, self.measure(piece.text, size, bold=True), piece),))

    def details(self, stop: Stop, width: float) -> Iterator[Block]:
        """Set how the work is held and what is left, on lines of their own where there are few steps."""
        named = [(name, text) for name, text in (("Hold", stop.hold), ("Leaves", stop.leaves)) if text]
        lines = [
            (*words(name, self.look.small), *running(stressed(text), self.look.text)) for name, text in named
        ]
        for groups in lines if self.look.few else [tuple(group for line in lines for group in line)]:
            yield self.fill(groups, width)

    def happened(self, minutes: str) -> Block:
        """Set boxes to tick, and a line for the time it took."""
        size = self.look.small
        boxes = [Group((Piece("☐", 1.25 * size), Piece(word, size)), 0.9 * size) for word in TICKED]
        return stacked((self.fill(boxes, self.look.aside), self.took(minutes)), self.look.at(2.0, 0.0))

    def took(self, minutes: str) -> Block:
        """Set a line to write on between `took` and the minutes reckoned."""
        size = self.look.small
        start = self.fill(words("took", size))
        after = self.fill(words(f"of {minutes}" if minutes else "min", size), self.look.aside / 2)
        left = _right(start) + 4.0
        right = self.look.aside - _right(after) - 4.0
        line = Rule(left, 1.2 * size, right - left, 0.0)
        lower = 0.25 * size
        return Block(after.height + lower, (*start.at(0.0, lower), line, *after.at(right + 4.0, lower)))

    def below(self, card: Card) -> Block:
        """Set what else there is to know, and the foot."""
        foot = self.fill(words(card.foot, self.look.small))
        return stacked(
            (
                *(self.fill(running(stressed(text), self.look.text)) for text in card.cautions),
                Block(foot.height + 3.0, (Rule(0.0, 1.5, self.width, 0.0), *foot.at(0.0, 3.0))),
            ),
            self.look.at(2.0, 0.5),
        )

    def notes(self, room: float) -> Block:
        """Set ruled lines into a height."""
        pitch = self.pitch
        lines = min(MOST_LINES, int(room / pitch))
        title = self.fill(words(NOTES, self.look.small, bold=True))
        rules = (Rule(0.0, pitch * (line + 1), self.width, 0.0, 0.4) for line in range(lines))
        return Block(lines * pitch, (*title.marks, *rules))

    @property
    def pitch(self) -> float:
        """Height of a line to write on [pt]."""
        return self.look.at(21.0, 15.0)


def pages(card: Card, paper: str, measure: Measure) -> tuple[Page, ...]:
    """Set a job sheet on as few pages as hold it, the type as large as fits them all.

    Args:
        card: what stands on it, all of it fit to be shown.
        paper: a name of `PAPERS`.
        measure: tells the width of text.

    Raises:
        SwarfbookError: a step does not fit a page at all.
    """
    return fitted(card, PAPERS[paper], measure)[1]


def fitted(card: Card, paper: tuple[float, float], measure: Measure) -> tuple[float, tuple[Page, ...]]:
    """Give the scale of the type with the pages; arguments as of `pages`, the paper by its size."""
    least = -(-len(card.stops) // MOST_STEPS) or 1
    for many in range(least, max(len(card.stops), least) + 1):
        parts = [replace(card, stops=stops) for stops in _shared(card.stops, many)]
        for scale in SCALES:
            found = [
                _page(part, f"{at} of {many}" if many > 1 else "", paper, scale, measure)
                for part, at in zip(parts, count(1))
            ]
            if all(found):
                return scale, tuple(page for page in found if page)
    raise SwarfbookError(Problem("job sheet", "", card.title, "too long for a page: shorten its texts"))


def _shared(stops: Sequence[Stop], parts: int) -> list[tuple[Stop, ...]]:
    """Share steps out over pages, as evenly as goes."""
    ends = [round(len(stops) * part / parts) for part in range(parts + 1)]
    return [tuple(stops[start:end]) for start, end in pairwise(ends)]


def _page(card: Card, mark: str, paper: tuple[float, float], scale: float, measure: Measure) -> Page | None:
    """Set a page; None where it does not fit."""
    look = Look(scale, len(card.stops) <= FEW_STEPS)
    setter = _Setter(look, paper[0] - 2 * look.edge, measure)
    above, below = setter.heading(card, mark), setter.below(card)
    inset = max((setter.numeral(stop.number).marks[0].width for stop in card.stops), default=0.0) + look.gap
    steps = [setter.step(stop, inset) for stop in card.stops]
    label = setter.fill(words(DID, look.small, bold=True), look.aside)
    between = look.at(8.0, 3.0)
    room = paper[1] - 2 * look.edge - above.height - below.height - label.height - 3 * between
    room -= sum(step.height + 2 * look.pad for step in steps)
    spare = room - FEWEST_LINES * setter.pitch
    if spare < 0:
        return None
    pad = look.pad + min(look.at(9.0, 0.0), spare / 4 / max(len(steps), 1))
    body = Block(label.height, label.at(setter.width - look.aside, 0.0))
    body = stacked((body, *(_ruled(step, setter.width, pad) for step in steps)))
    edge = Rule(setter.width - look.aside - look.gap / 2, 0.0, 0.0, body.height, 0.5)
    body = replace(body, marks=(*body.marks, edge, replace(edge, x=edge.x + 2.0)))
    notes = setter.notes(room - sum(2 * (pad - look.pad) for _ in steps))
    down = look.edge + above.height + between
    marks = (
        *above.at(look.edge, look.edge),
        *body.at(look.edge, down),
        *notes.at(look.edge, down + body.height + between),
        *below.at(look.edge, paper[1] - look.edge - below.height),
    )
    return Page(*paper, marks)


def _ruled(step: Block, width: float, pad: float) -> Block:
    return Block(step.height + 2 * pad, (Rule(0.0, 0.0, width, 0.0, 0.8), *step.at(0.0, pad)))


def _right(block: Block) -> float:
    return max(mark.x + mark.width for mark in block.marks)
