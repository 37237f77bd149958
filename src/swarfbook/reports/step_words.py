"""Next steps in words: what to change, what that does by the model, and what to mind."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

from swarfbook import quantities
from swarfbook.decisions.check import Check
from swarfbook.decisions.steps import Shift, Step
from swarfbook.decisions.titles import LIMITS, said, title
from swarfbook.reports.derating import numbers
from swarfbook.reports.ladder import FINE, SMALL_LENGTH
from swarfbook.reports.measuring import topics_for
from swarfbook.reports.sentence import NO_BREAK, shown

STOP = "Stop the spindle and cut its power before you measure or reach in."
ASIDE = "Stop the spindle and cut its power first, and stand aside: a strap that lets go flies."
COLLET = "Stop the spindle and cut its power before you open the collet; see that work and clamps clear it."
PLAY = "A climbing cut pulls the work in: only where the axes have no play and the hold is sure."
CHIPS = "Stop the spindle before you reach for chips; a brush or a hook, and no hands."
MARKED = "Stay under the speed marked on the cutter."
BLOW = "Blown chips fly: guards shut and eyes covered."
LEADS = {
    "shallower": "A shallower cut: {changes}",
    "narrower": "A narrower cut: {changes}",
    "less-feed": "Less feed: {changes}",
    "derate": "A child backed off by {subject}: {changes}",
    "shorter": "A cutter that stands out less: {changes}",
    "stable": "What the measured modes bear: {changes}",
    "other-speed": "A speed at which the spindle has more to spare: {changes}",
    "thicker": "More feed, for a thicker chip: {changes}",
    "slower": "A lower speed at the same feed rate, for a thicker and cooler chip: {changes}",
    "slower-same-chip": "A lower speed at the same chip: {changes}",
    "other-direction": "The other direction: {changes}",
    "air": "Air at the cutter, so that no chip is cut twice",
    "clear-chips": "Look at how the chips get out, and let extraction or a pause carry them away",
    "fewer-flutes": "A cutter with a flute fewer, at the same chip",
    "wear": "Look at the edge: a cutter near its end asks for more",
    "edge": "Look at the edge under a glass; a sharper one needs less of a chip",
    "minutes": "Note the time at which this cutter is changed; so far",
    "rating": "See what the plate's figure means, shaft or input, and for how long",
    "hold": "See what holds the work: it has to bear this much at the peak",
}
CAUTIONS = {
    "shorter": COLLET,
    "thicker": "Go there in small steps with a hand at the stop.",
    "other-speed": MARKED,
    "stable": MARKED,
    "air": BLOW,
    "clear-chips": CHIPS,
    "fewer-flutes": COLLET,
    "wear": STOP,
    "edge": STOP,
    "rating": "Read the plate only; wiring is a licensed electrician's work.",
    "hold": "Hands off the work while it is cut.",
}
MANNERS = ("direction", "cooling")


def step_text(step: Step, check: Check, *, system: str | None) -> str:
    """Say one step in a few sentences.

    Args:
        step: the step.
        check: the cut it follows.
        system: `metric` or `imperial`; None leaves what is typed as it is typed, the rest metric.
    """
    special = SPECIAL.get(step.kind)
    if special is not None:
        return special(step, check, system)
    lead = LEADS[step.kind].format(changes=_changes(step, system), subject=step.subject)
    told = ", ".join(_shift(one, system) for one in step.shifts)
    caution = PLAY if step.changes.get("direction") == "climb" else CAUTIONS.get(step.kind, "")
    over = ", ".join(map(title, step.still_over))
    stays = f"Still over after it: {over}." if over else ""
    return " ".join(filter(None, (f"{lead}. By the model: {told}.", stays, caution)))


def _changes(step: Step, system: str | None) -> str:
    knobs = {key: shown(text, key, system) for key, text in step.changes.items()}
    parts = [
        numbers(knobs),
        f"stickout {knobs['stickout']}" if "stickout" in knobs else "",
        *(said(step.changes[key]) for key in MANNERS if key in step.changes),
    ]
    return ", ".join(filter(None, parts))


def _shift(shift: Shift, system: str | None) -> str:
    """Say a number, with what it comes to where the step moves it."""
    before = number_text(shift.before, shift, system)
    if shift.after is None:
        return f"{_name(shift)} {before}"
    return f"{_name(shift)} {before} to {number_text(shift.after, shift, system)}"


def _name(shift: Shift) -> str:
    if shift.name in LIMITS:
        return f"use of {title(shift.name)}"
    return title(shift.name)


def number_text(si: float, shift: Shift, system: str | None) -> str:
    """Write a number of a step with its unit; words that belong together do not break."""
    if shift.dimension == "ratio":
        whole = float(si).is_integer() and shift.name == "flutes"
        return f"{si:.0f}" if whole else f"{si:.2g}" if abs(si) < 0.01 else f"{si:.2f}"
    system = system or "metric"
    unit: str | None = shift.unit or None
    if shift.dimension == "length" and abs(si) < SMALL_LENGTH:
        unit = FINE[system]
    elif system == "imperial":
        unit = None
    return quantities.show(si, shift.dimension, unit=unit, system=system).replace(" ", NO_BREAK)


def _measure(step: Step, check: Check, system: str | None) -> str:
    *value, factor = step.shifts
    by = f"a factor of {factor.before:.2f} either way"
    doubt = f"not knowing it better moves the use of {title(factor.name)} by {by}"
    if step.subject == "law":
        return (
            f"Read the power of the next cut with a meter and log it: the cutting force is an estimate, and "
            f"{doubt}. Anything wired in is a licensed electrician's work."
        )
    assumed = "assumed" if check.case.inputs[step.subject].assumed else "taken"
    now = f"{assumed} as {number_text(value[0].before, value[0], system)} now"
    return f"Find out the {title(step.subject)}, {now}: {doubt}. {_how([step.subject])}{STOP}"


def _how(inputs: Iterable[str]) -> str:
    return "".join(f"How: swarfbook measure {topic.name}. " for topic in topics_for(inputs))


def _pull(step: Step, _check: Check, system: str | None) -> str:
    asked, twice = (number_text(one.before, one, system) for one in step.shifts)
    return (
        f"Pull the work sideways with a scale before the next start: the cut asks for {asked} at its peak, "
        f"so a hold that stays put at {twice} has as much again to spare. {ASIDE}"
    )


def _minutes(step: Step, _check: Check, _system: str | None) -> str:
    spent, *_ = step.shifts
    return (
        f"Note the time at which a cutter is changed: this one had cut {math.ceil(spent.before / 60)} min by "
        "the log. Change the next one earlier, and see whether that helps."
    )


SPECIAL: dict[str, Callable[[Step, Check, str | None], str]] = {
    "measure": _measure,
    "pull-test": _pull,
    "minutes": _minutes,
}
