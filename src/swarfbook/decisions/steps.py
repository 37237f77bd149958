"""A next step after a cut: numbers to change, tried on the model first, or something to look at."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from swarfbook.decisions import case as cases
from swarfbook.decisions.case import Case
from swarfbook.decisions.check import Check, check
from swarfbook.decisions.figures import RUNG_SPECS, Figure, figures
from swarfbook.decisions.leaves import leavings
from swarfbook.decisions.limits import SLOT
from swarfbook.decisions.relief import on_dial
from swarfbook.decisions.rounding import Written, as_typed, rounded_down, rounded_up
from swarfbook.decisions.why import DIMENSIONS, UNITS
from swarfbook.errors import SwarfbookError

Aim = Literal["lower", "raise", "none"]
WORTH = 0.05  # a step moves what it aims at by at least this share of it
TELLING = 0.01  # a number that moves by less than this share of it is not told
HAIR = 1e-9
FULL_WIDTH = frozenset({"slot", "through-cut", "bore", "ramp", "plunge", "chamfer"})
"""Operations whose width is the cutter's or the part's, not a choice."""


@dataclass(frozen=True, slots=True)
class Shift:
    """One number of a step.

    Attributes:
        name: a quantity, an input, or a limit, whose use it then is.
        dimension, unit: of both numbers; the unit is JSON's.
        before: as it was cut [SI].
        after: after the step [SI]; None where the step changes nothing.
    """

    name: str
    dimension: str
    unit: str
    before: float
    after: float | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do next.

    Attributes:
        kind: what kind of step it is; `reports.step_words` has the words.
        shifts: its numbers, what it aims at first.
        changes: the recipe's keys it changes with their values as typed; empty where it changes none.
        aim: which way it moves the first of its numbers.
        subject: for `measure` the input, for `derate` the margin; else empty.
        still_over: hard limits that were over and are so after it.
    """

    kind: str
    shifts: tuple[Shift, ...]
    changes: Mapping[str, str] = field(default_factory=dict)
    aim: Aim = "none"
    subject: str = ""
    still_over: tuple[str, ...] = ()


def tried(before: Check, changes: Mapping[str, str]) -> Check | None:
    """Check a recipe with some of its values changed.

    Args:
        before: the recipe as it was cut.
        changes: values as typed, by key.

    Returns:
        None where they do not read, do not fit the cutter, or put a limit over that held, by advice or hard,
        or a hard one further over.
    """
    try:
        after = check(cases.again(before.case, {**before.case.values, **changes}))
    except SwarfbookError:
        return None
    return after if _holds_as_before(before, after) else None


def _holds_as_before(before: Check, after: Check) -> bool:
    uses = {limit.name: limit.use for limit in before.limits}
    return all(
        limit.use is None or limit.use <= max(1.0, (uses.get(limit.name) or 0.0) * (1 + HAIR))
        for limit in after.limits
    )


def step(
    before: Check,
    changes: Mapping[str, str],
    kind: str,
    tells: Sequence[str],
    *,
    aim: Aim = "lower",
    subject: str = "",
) -> Step | None:
    """Make a step of changed values, if it is possible and does what it is for.

    Args:
        before: the recipe as it was cut.
        changes: values as typed, by key.
        kind: kind of the step.
        tells: numbers to tell, by name; the first one is what the step is for.
        aim: which way that one has to move, by `WORTH` or more.
        subject: as of `Step`.
    """
    after = tried(before, changes)
    if after is None:
        return None
    shifts = tuple(_moved(before, after, tells))
    if not shifts or shifts[0].name != tells[0] or not moves(shifts[0], aim):
        return None
    over = (one.name for one in after.limits if one.severity == "hard" and one.verdict == "over")
    return Step(kind, shifts, dict(changes), aim, subject, tuple(over))


def moves(shift: Shift, aim: Aim) -> bool:
    """Say whether a number moves the way it should, far enough to be worth it; any way where none is set."""
    if shift.after is None or shift.before == 0:
        return False
    ratio = shift.after / shift.before
    if aim == "none":
        return abs(ratio - 1) > WORTH
    return ratio <= 1 - WORTH if aim == "lower" else ratio >= 1 + WORTH


def _moved(before: Check, after: Check, tells: Iterable[str]) -> Iterator[Shift]:
    for name in dict.fromkeys(tells):
        was, now = fact(before, name), fact(after, name)
        if was is not None and now is not None and abs(now.before - was.before) > TELLING * abs(was.before):
            yield Shift(name, was.dimension, was.unit, was.before, now.before)


def fact(of: Check, name: str) -> Shift | None:
    """Give a number of a checked recipe: a limit's use, a quantity or an input; None where there is none.

    A quantity outside its formula's range is none either.
    """
    found = _fact(of, name)
    return found if found is not None and math.isfinite(found.before) else None


def _fact(of: Check, name: str) -> Shift | None:
    for limit in of.limits:
        if limit.name == name:
            return None if limit.use is None else Shift(name, "ratio", "", limit.use)
    figure = _figure(of, name)
    if figure is not None:
        return Shift(name, figure.dimension, figure.unit, figure.value)
    item = of.case.inputs.get(name)
    if item is None or item.value is None:
        return None
    dimension = DIMENSIONS.get(name, "ratio")
    return Shift(name, dimension, UNITS.get(name, ""), item.value)


def _figure(of: Check, name: str) -> Figure | None:
    spec = tuple(one for one in RUNG_SPECS if one.name == name)
    if name in of.figures:
        return of.figures[name]
    if spec:
        return figures(of.case, of.numbers, spec)[name]
    # These take a while and no input is called as one of them.
    return None if name in of.case.inputs else leavings(of).get(name)


def facts(of: Check, *names: str) -> tuple[Shift, ...]:
    """Give those of some numbers that a checked recipe has."""
    return tuple(one for name in names if (one := fact(of, name)) is not None)


def is_free(case: Case, knob: str) -> bool:
    """Say whether a knob may be turned: the recipe does not keep it, and the shape of the work does not."""
    if knob in (case.recipe.keep or ()):
        return False
    if knob == "axial_depth":
        return case.recipe.operation != "chamfer"
    if knob == "radial_width":
        full = case["radial_width"] >= SLOT * case["diameter"]
        return case.recipe.operation not in FULL_WIDTH and not full
    return True


def turned(case: Case, knob: str, share: float, *, same_feed_rate: bool = False) -> dict[str, str] | None:
    """Turn one knob to a share of what it is, and write what changes as a person would type it.

    Args:
        case: the recipe.
        knob: name of a knob, or `stickout`.
        share: share of what it was; lower ones are rounded down, higher ones up.
        same_feed_rate: for the speed, keep the feed rate and not the chip.

    Returns:
        None where the knob is kept or has no other position.
    """
    if not is_free(case, knob) or (same_feed_rate and not is_free(case, "feed_per_tooth")):
        return None
    if knob == "spindle_speed":
        return _speed(case, share, same_feed_rate=same_feed_rate)
    key = feed_key(case) if knob == "feed_per_tooth" else knob
    return {key: _scaled(case, key, share).text}


def feed_key(case: Case) -> str:
    """Name the key that a recipe's feed is written in."""
    return "feed_rate" if case.recipe.feed_rate is not None else "feed_per_tooth"


def _scaled(case: Case, key: str, share: float) -> Written:
    si = as_typed(case.values, key).si * share
    return (rounded_up if share > 1 else rounded_down)(si, case.values, key)


def _speed(case: Case, share: float, *, same_feed_rate: bool) -> dict[str, str] | None:
    dial, now = case.machine.spindle.speeds, case["spindle_speed"]
    speed = on_dial(dial, now * share, upwards=share > 1) if dial else now * share
    written = (rounded_up if share > 1 else rounded_down)(speed, case.values, "spindle_speed")
    real = written.si / now
    if (real - 1) * (share - 1) <= 0:  # the dial ends here
        return None
    changes = {"spindle_speed": written.text}
    key = feed_key(case)
    if (key == "feed_per_tooth") == same_feed_rate:
        changes[key] = _scaled(case, key, 1 / real if same_feed_rate else real).text
    return changes
