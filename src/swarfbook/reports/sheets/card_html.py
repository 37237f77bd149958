"""The job sheet as one HTML file that needs nothing else: to read on a telephone, to print on one page."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from html import escape
from importlib.resources import files

from swarfbook.errors import SwarfbookError
from swarfbook.reports.sheets.card import (
    DID,
    NOTES,
    TICKED,
    Card,
    Pairs,
    Stop,
    Stretch,
    kept,
    rewritten,
    sentence,
    shown,
    stressed,
)
from swarfbook.reports.sheets.look import SCALES, Look
from swarfbook.reports.sheets.page import FEWEST_LINES, PAPERS, sheet

EASE = 0.95
"""A browser's own fonts and lines take more or less room than ours: the type is smaller by this."""
NARROW, WIDE = frozenset("iljtfrI.,:;'|!()[]- "), frozenset("mwMW@%")
WIDTHS = (0.36, 0.62, 0.95)
"""Widths of narrow, common and wide letters over the size of the type, about those of broad fonts."""


def html(card: Card) -> str:
    """Write a job sheet as HTML: no script, nothing from outside, one page for twelve steps of common length.

    Args:
        card: what stands on it; marks in its texts are text.
    """
    card = rewritten(card, lambda text: kept(shown(text)))
    look = _look(card)
    sizes = _printed(look, max((stop.number for stop in card.stops), default=0))
    lines = FEWEST_LINES[look.few]
    return "\n".join(
        (
            '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{escape(card.title)}</title>",
            f"<style>\n{_style().replace('PRINTED', sizes)}</style></head>",
            f'<body class="{"few" if look.few else "many"}{"" if look.loud else " full"}"><main>',
            _heading(card),
            f'<div class="row head"><div class="did">{DID}</div></div>',
            *(_step(stop) for stop in card.stops),
            f'<section class="notes"><h2>{NOTES}</h2>{"<i></i>" * lines}</section>',
            f'<div class="cautions">{"".join(_p("", stressed(text)) for text in card.cautions)}</div>',
            _p("foot", ((card.foot, False),)),
            "</main></body></html>\n",
        )
    )


@cache
def _style() -> str:
    return (files(__package__) / "card.css").read_text(encoding="utf-8")


def _look(card: Card) -> Look:
    """Give the look in which the sheet surely fits a page of either paper, the smallest where none does."""
    paper = min(width for width, _ in PAPERS.values()), min(height for _, height in PAPERS.values())
    try:
        found = sheet(card, paper, _about)
    except SwarfbookError:
        return Look(SCALES[0], few=False)
    return Look(EASE * found.look.scale if len(found.pages) == 1 else SCALES[0], found.look.few)


def _about(text: str, size: float, *, bold: bool) -> float:
    wide = sum(WIDTHS[1 + (letter in WIDE) - (letter in NARROW)] for letter in text)
    return wide * size * (1.1 if bold else 1.0)


def _printed(look: Look, last: int) -> str:
    sizes = {
        "inset": look.numeral * (1.4 if last > 9 else 0.7),
        "small": look.small,
        "text": look.text,
        "head": look.head,
        "number": look.number,
        "numeral": look.numeral,
        "title": look.title,
        "pad": look.pad,
        "gap": look.gap,
        "aside": look.aside + look.gap,
        "line": look.pitch,
    }
    return " ".join(f"--{name}: {size:.2f}pt;" for name, size in sizes.items())


def _heading(card: Card) -> str:
    warnings = "".join(_p("warning", ((text, True),)) for text in card.warnings)
    subtitle = _p("", ((card.subtitle, False),))
    return f"<header><h1>{escape(card.title)}</h1>{subtitle}{_pairs('facts', card.facts)}{warnings}</header>"


def _step(stop: Stop) -> str:
    named = [(name, text) for name, text in (("Hold:", stop.hold), ("Leaves:", stop.leaves)) if text]
    what = (
        _p("say", sentence(stop)),
        _pairs("numbers", stop.numbers),
        *(_p("", stressed(text), name) for name, text in named),
        *(_p("warning", ((text, True),)) for text in stop.warnings),
    )
    return "".join(
        (
            '<section class="row">',
            _p("before", ((stop.before, True),), "First:") if stop.before else "",
            f'<div class="numeral">{stop.number}</div><div class="what">{"".join(what)}</div>',
            f'<div class="did">{_happened(stop.minutes)}</div></section>',
        )
    )


def _happened(minutes: str) -> str:
    boxes = "".join(f'<li><span class="box"></span>{word}</li> ' for word in TICKED)
    after = escape(f"of {minutes}") if minutes else "min"
    took = f'<p class="took"><span>took</span><i></i><span>{after}</span></p>'
    return f'<p class="name">{DID}</p><ul>{boxes}</ul>{took}'


def _pairs(kind: str, pairs: Pairs) -> str:
    if not pairs:
        return ""
    rows = "".join(f"<div><dt>{escape(name)}</dt><dd>{escape(text)}</dd></div>" for name, text in pairs)
    return f'<dl class="pairs {kind}">{rows}</dl>'


def _p(kind: str, stretches: Iterable[Stretch], name: str = "") -> str:
    words = " ".join(f"<b>{escape(text)}</b>" if bold else escape(text) for text, bold in stretches)
    start = f'<span class="name">{name}</span> ' if name else ""
    return f"<p{f' class={kind}' if kind else ''}>{start}{words}</p>"
