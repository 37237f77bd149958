"""After a run that did not go clean, as lines for people: what the model thought, and three next steps."""

from __future__ import annotations

import math
from collections.abc import Iterator

from swarfbook.decisions.aftermath import Aftermath, Unknown
from swarfbook.decisions.check import Check, Limit
from swarfbook.decisions.step_rules import LIKELY
from swarfbook.decisions.titles import title
from swarfbook.reports.ladder import Rung, percent, rungs
from swarfbook.reports.listing import telling
from swarfbook.reports.measuring import topics_for
from swarfbook.reports.run_page import said_outcome
from swarfbook.reports.sentence import NO_BREAK
from swarfbook.reports.step_words import STOP, step_text
from swarfbook.reports.words import wrapped

NEAR = 0.6  # use from which a limit counts as near what happened
NOTHING_NEAR = (
    "No limit that bears on what happened stood near: the reason may lie in what is assumed, or outside of "
    "what the model knows."
)
MOST_USE = 99
FOOT = f"All of this is estimated, and none of it says why it happened. {STOP}"


def aftermath_lines(found: Aftermath, *, width: int, system: str | None = None) -> list[str]:
    """Write the page.

    Args:
        found: what there is to say.
        width: columns there are, 60 or more.
        system: `metric` or `imperial`; None leaves what is typed as it is typed, the rest metric.
    """
    steps = [
        f" {number}  {step_text(step, found.check, system=system)}"
        for number, step in enumerate(found.steps, 1)
    ]
    return [
        *wrapped([f"After this run: {said_outcome(found.outcome)}", "", thought(found)], width=width),
        "",
        f"{' closest limits':<16}{'asks':>7} {'of':>8} {'':6}{'use':>5} {'':7}{'chance':>8}",
        *_closest(found, system or "metric", width),
        *(["* an assumed value inside"] if any(limit.assumed_inputs for limit in found.closest) else []),
        "",
        "Least known behind these:",
        *wrapped((f"  {_unknown(one)}" for one in found.least_known), width=width),
        "",
        "Three next steps:",
        *wrapped(steps, width=width),
        "",
        *wrapped([FOOT], width=width),
    ]


def thought(found: Aftermath) -> str:
    """Say in two sentences what the model thought of the cut."""
    tightest = telling(found.check)
    said = f"By the model the tightest hard limit of this cut was {_stood(tightest)}."
    bears = [limit for limit in found.closest if limit.name in found.bears]
    if not found.bears:
        return said
    if not bears or (bears[0].use or 0.0) < NEAR:
        return f"{said} {NOTHING_NEAR}"
    if bears[0].name == tightest.name:
        return f"{said} It is among those that bear on what happened."
    return f"{said} Of those that bear on what happened the closest was {_stood(bears[0])}."


def _stood(limit: Limit) -> str:
    chance = limit.chance_over or 0.0
    told = percent(chance).replace(" ", NO_BREAK)
    known = f", with a chance of {told} of passing it" if 0.0 < chance < 1.0 else ""
    return f"{title(limit.name)}, use {_use(limit.use or 0.0)}, {limit.verdict}{known}"


def _use(use: float) -> str:
    return f"{use:.2f}" if use < MOST_USE else f"> {MOST_USE}"


def _closest(found: Aftermath, system: str, width: int) -> Iterator[str]:
    drawn = _rungs(found.check, system)
    for limit in found.closest:
        rung = drawn.get(limit.name)
        if rung is not None:
            name = rung.title + ("*" if rung.assumed else "")
            numbers = f"{rung.asks:>7} {rung.of:>8} {rung.unit:<6}{_use(rung.use):>5}"
            line = f" {name:<15}{numbers} {rung.word:<7}{_chance(limit):>8}"
            yield line if len(line) <= width else f" {' '.join(line.split())}"


def _rungs(check: Check, system: str) -> dict[str, Rung]:
    return {rung.limit: rung for rung in rungs(check, system=system)}


def _chance(limit: Limit) -> str:
    chance = limit.chance_over or 0.0
    if 0.0 < chance < 0.001:
        return "< 0.1 %"
    return "> 99.9 %" if 0.999 < chance < 1.0 else f"{100 * chance:.0f} %"


def _unknown(one: Unknown) -> str:
    assumed = ", assumed" if one.assumed else ""
    factor = f"{math.exp(LIKELY * one.doubt):.2f}"
    share = f"{100 * one.share:.0f}{NO_BREAK}%"
    pages = "".join(f"; swarfbook measure {topic.name}" for topic in topics_for([one.name]))
    where = f"{title(one.limit)} by a factor of {factor} either way, {share} of its doubt"
    return f"{title(one.name)}{assumed}: moves the use of {where}{pages}"
