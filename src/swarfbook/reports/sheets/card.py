"""What stands on a job sheet: words only, worked out elsewhere, and how they are put for a reader."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from itertools import groupby

from swarfbook.reports.breaking import held

Stretch = tuple[str, bool]
"""A stretch of text, and whether it is bold."""

Pairs = tuple[tuple[str, str], ...]
"""Names with what belongs to each."""
Write = Callable[[str], str]

OUTCOMES = ("clean", "chatter", "work moved", "stopped", "cutter broke")
"""The runs' own words that are ticked at the machine; any other is written."""
TICKED = (*OUTCOMES, "see notes")
DID = "What happened"
NOTES = "Notes"
NO_BREAK = "\u00a0"


@dataclass(frozen=True, slots=True)
class Stop:
    """One step as the person at the machine meets it; an empty text is left out.

    Attributes:
        number: of the step, from 1.
        title: what is done, "Rough the outline".
        tool: the cutter, "6 mm one-flute end mill".
        stickout: how far it stands out, "24 mm out of the collet".
        numbers: what is set, name and number with its unit, in the order of reading.
        hold: how the work is held.
        leaves: what is left for later steps.
        minutes: how long it is reckoned to take, "4 min".
        warnings: what could go wrong in this step.
        before: what is done before it, "turn the piece over; find it by the pins".
    """

    number: int
    title: str
    tool: str
    stickout: str
    numbers: Pairs
    hold: str
    leaves: str
    minutes: str
    warnings: tuple[str, ...]
    before: str


@dataclass(frozen=True, slots=True)
class Card:
    """A job sheet.

    Attributes:
        title, subtitle: its heading.
        facts: name and text each: machine, material, stock, total time.
        stops: the steps in their order.
        warnings: what holds for the whole job, at the head of the page.
        cautions: what else there is to know, at its foot.
        foot: the last line: what the numbers are, the day of printing.
    """

    title: str
    subtitle: str
    facts: Pairs
    stops: tuple[Stop, ...]
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]
    foot: str


def sentence(stop: Stop) -> tuple[Stretch, ...]:
    """Say a step in one sentence: what, with which cutter, how far out."""
    tool = (("with the", False), *stressed(stop.tool)) if stop.tool else ()
    out = stressed(stop.stickout) if stop.stickout else ()
    done = _ended(((stop.title, True), *tool), "," if out else "")
    return _ended((*done, *out), ".")


def _ended(stretches: tuple[Stretch, ...], sign: str) -> tuple[Stretch, ...]:
    text, bold = stretches[-1]
    return (*stretches[:-1], (text + sign, bold))


def stressed(text: str) -> tuple[Stretch, ...]:
    """Split a text so that its words with digits are bold; a blank belongs between the stretches."""
    runs = groupby(text.split(" "), key=lambda word: any(char.isdigit() for char in word))
    return tuple((" ".join(words), bold) for bold, words in runs)


def kept(text: str) -> str:
    """Join each number to its unit, and thousands to hundreds, by a blank at which no line ends."""
    return held(text, NO_BREAK)


def shown(text: str, can: Callable[[str], bool] = str.isprintable) -> str:
    """Replace what would act on a page instead of standing on it by its escape; blanks of any width stay.

    Args:
        text: any text; controls, marks that turn the direction of reading, and line breaks are replaced.
        can: whether a character can be shown, where not all can.
    """
    return "".join(char if _stands(char, can) else char.encode("unicode_escape").decode() for char in text)


def _stands(char: str, can: Callable[[str], bool]) -> bool:
    blank = unicodedata.category(char) == "Zs"
    return (blank or char.isprintable()) and (can(char) or (blank and can is str.isprintable))


def rewritten(card: Card, write: Write) -> Card:
    """Give the card with each of its texts written anew."""
    return Card(
        title=write(card.title),
        subtitle=write(card.subtitle),
        facts=_pairs(card.facts, write),
        stops=tuple(_stop(stop, write) for stop in card.stops),
        warnings=tuple(map(write, card.warnings)),
        cautions=tuple(map(write, card.cautions)),
        foot=write(card.foot),
    )


def _stop(stop: Stop, write: Write) -> Stop:
    return Stop(
        number=stop.number,
        title=write(stop.title),
        tool=write(stop.tool),
        stickout=write(stop.stickout),
        numbers=_pairs(stop.numbers, write),
        hold=write(stop.hold),
        leaves=write(stop.leaves),
        minutes=write(stop.minutes),
        warnings=tuple(map(write, stop.warnings)),
        before=write(stop.before),
    )


def _pairs(pairs: Pairs, write: Write) -> Pairs:
    return tuple((write(name), write(value)) for name, value in pairs)
