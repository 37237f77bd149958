"""The job sheet on paper: where everything stands on a page, with the largest type that fits."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise

from swarfbook.errors import Problem, SwarfbookError
from swarfbook.reports.sheets.card import Card, Stop
from swarfbook.reports.sheets.look import FEW_STEPS, SCALES, Look
from swarfbook.reports.sheets.parts import Parts
from swarfbook.reports.sheets.setting import Block, Measure, Rule, Word, stacked

Size = tuple[float, float]
"""Width and height [pt]."""
PAPERS: dict[str, Size] = {"a4": (595.276, 841.89), "letter": (612.0, 792.0)}
MOST_STEPS = 12
"""Steps on a page at most."""
FEW = (True, False)
"""Looks that are tried: that for few steps, that for many, which also serves few with much to say."""
FEWEST_LINES = {True: 4, False: 2}
"""Ruled lines for notes at least, by whether there are few steps."""


@dataclass(frozen=True, slots=True)
class Page:
    """A page: its size [pt], and what stands where on it."""

    width: float
    height: float
    marks: tuple[Word | Rule, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """The pages of a job sheet, and the look of them all."""

    look: Look
    pages: tuple[Page, ...]


def sheet(card: Card, paper: Size, measure: Measure) -> Sheet:
    """Set a job sheet on as few pages as hold it, the type as large as fits them all.

    Args:
        card: what stands on it, all of it fit to be shown.
        paper: width and height [pt].
        measure: tells the width of text.

    Raises:
        SwarfbookError: a step does not fit a page of its own.
    """
    least = max(1, -(-len(card.stops) // MOST_STEPS))
    for many in range(least, max(len(card.stops), least) + 1):
        cards = [replace(card, stops=stops) for stops in _shared(card.stops, many)]
        for few in FEW if len(card.stops) <= FEW_STEPS else FEW[1:]:
            found = _largest([Look(scale, few) for scale in SCALES], partial(_pages, cards, paper, measure))
            if found:
                return found
    raise SwarfbookError(Problem("job sheet", "", card.title, "too long for a page; shorten its texts"))


def _largest(looks: Sequence[Look], attempt: Callable[[Look], tuple[Page, ...]]) -> Sheet | None:
    """Find the largest look that gives pages, each taking more room but for a line end here or there."""
    fits = None
    low, high, at = 0, len(looks), 0
    while low < high:
        pages = attempt(looks[at])
        if pages:
            fits, low = Sheet(looks[at], pages), at + 1
        else:
            # Where even the smallest does not fit, no other is tried.
            high = at
        at = (low + high) // 2
    return fits


def _shared(stops: Sequence[Stop], parts: int) -> list[tuple[Stop, ...]]:
    """Share steps out over pages, as evenly as goes."""
    ends = [round(len(stops) * part / parts) for part in range(parts + 1)]
    return [tuple(stops[start:end]) for start, end in pairwise(ends)]


def _pages(cards: Sequence[Card], paper: Size, measure: Measure, look: Look) -> tuple[Page, ...]:
    """Set pages; none where one of them does not fit."""
    pages: list[Page] = []
    for at, card in enumerate(cards, 1):
        mark = f"{at} of {len(cards)}" if len(cards) > 1 else ""
        page = _page(card, mark, Parts(look, paper[0] - 2 * look.edge, measure), paper)
        if page is None:
            return ()
        pages.append(page)
    return tuple(pages)


def _page(card: Card, mark: str, parts: Parts, paper: Size) -> Page | None:
    """Set a page; None where it does not fit."""
    look = parts.look
    above, below, steps = parts.heading(card, mark), parts.below(card), parts.steps(card.stops)
    room = paper[1] - 2 * look.edge - 3 * look.between - above.height - below.height
    room -= _body(parts, steps, look.pad).height
    spare = room - FEWEST_LINES[look.few] * look.pitch
    if spare < 0:
        return None
    # A quarter of what is left goes between the steps, up to a limit; the rest to the notes.
    pad = look.pad + min(look.at(9.0, 0.0), spare / 8 / max(len(steps), 1))
    body = _body(parts, steps, pad)
    down = look.edge + above.height + look.between
    marks = (
        *above.at(look.edge, look.edge),
        *body.at(look.edge, down),
        *parts.notes(room - 2 * (pad - look.pad) * len(steps)).at(
            look.edge, down + body.height + look.between
        ),
        *below.at(look.edge, paper[1] - look.edge - below.height),
    )
    return Page(*paper, marks)


def _body(parts: Parts, steps: Sequence[Block], pad: float) -> Block:
    """Put the steps under each other, a line over each, and a double line before what happened."""
    padded = (
        Block(step.height + 2 * pad, (Rule(0.0, 0.0, parts.width, 0.0, 0.8), *step.at(0.0, pad)))
        for step in steps
    )
    body = stacked((parts.label(), *padded))
    edge = Rule(parts.width - parts.look.aside - 0.8 * parts.look.gap, 0.0, 0.0, body.height)
    return Block(body.height, (*body.marks, edge, replace(edge, x=edge.x + 2.0)))
