"""Relief: the smallest change of one knob that eases a limit without breaking another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace

import numpy as np
from numpy.typing import NDArray

from swarfbook import quantities, records
from swarfbook.decisions.case import Case
from swarfbook.decisions.check import Check, Limit, tight_threshold
from swarfbook.decisions.limits import Rule, hard_uses, rules, use_of
from swarfbook.decisions.numbers import Numbers, evaluate, nominal_knobs
from swarfbook.decisions.rounding import Written, rounded_down, rounded_up
from swarfbook.frozen import frozen

POINTS = 8  # looked at in each of two rounds: over the whole range, then just short of the first that eases
LOWEST, HIGHEST = 0.2, 6.0  # a knob is moved to no less and no more than this share of what it is
STRAINED = ("tight", "over")
"""Verdicts of a limit that a change should ease."""
PHRASES = {
    "axial_depth": "{} deep",
    "radial_width": "{} wide",
    "feed_per_tooth": "{} a tooth",
    "feed_rate": "{} feed",
    "spindle_speed": "{}",
}


@frozen
class Relief:
    """One change that eases a limit.

    Attributes:
        limit: name of the limit.
        key: the recipe's key to change.
        text: its new value as it would be written.
        use: use of the limit after the change.
    """

    limit: str
    key: str
    text: str
    use: float

    def __str__(self) -> str:
        dimension = records.dimension("recipe", self.key) or ""
        typed = quantities.read(self.text, dimension)
        shown = quantities.show(typed.si, dimension, unit=typed.unit)
        return f"{PHRASES[self.key].format(shown)} brings it to {self.use:.2f}"


def relief(check: Check, limit: Limit) -> Relief | None:
    """Find the smallest change that brings a strained limit to the book's threshold; None if none does.

    A limit that is known to promise too much is brought further down: `limits.Rule.relief_share`.
    """
    if limit.verdict not in STRAINED:
        return None
    rule = next(rule for rule in rules(check.case) if rule.name == limit.name)
    for knob in rule.eases:
        found = _along(check, rule, knob)
        if found is not None:
            return found
    return None


def _along(check: Check, rule: Rule, knob: str) -> Relief | None:
    case = check.case
    upwards = rule.sense == "minimum"
    key = "feed_rate" if knob == "feed_per_tooth" and case.recipe.feed_rate is not None else knob
    per_key = case["flutes"] * case["spindle_speed"] if key == "feed_rate" else 1.0
    start = getattr(nominal_knobs(case), knob)
    shares = np.geomspace(1.0, HIGHEST if upwards else LOWEST, POINTS + 1)
    found = None
    for _ in range(2):
        written = [_rounded(case, key, start * share * per_key, upwards=upwards) for share in shares[1:]]
        first, use = _first_good(check, rule, knob, np.array([one.si / per_key for one in written]))
        if first is None:
            return found
        found = Relief(rule.name, key, written[first].text, use)
        shares = np.geomspace(shares[first], shares[first + 1], POINTS + 1)
    return found


def _first_good(check: Check, rule: Rule, knob: str, values: NDArray[np.float64]) -> tuple[int | None, float]:
    numbers = _numbers(check.case, knob, values)
    use = np.broadcast_to(np.asarray(use_of(rule, check.case, numbers), dtype=float), values.shape)
    most = rule.relief_share * tight_threshold(check.case)
    good = np.flatnonzero((use <= most) & _holds_as_before(check, numbers))
    return (int(good[0]), float(use[good[0]])) if good.size else (None, np.nan)


def _rounded(case: Case, key: str, si: float, *, upwards: bool) -> Written:
    dial = case.machine.spindle.speeds
    if key == "spindle_speed" and dial:
        si = on_dial(dial, si, upwards=upwards)
    return rounded_up(si, case.values, key) if upwards else rounded_down(si, case.values, key)


def _numbers(case: Case, knob: str, values: NDArray[np.float64]) -> Numbers:
    knobs = nominal_knobs(case)
    filled = {field.name: np.full(values.shape, getattr(knobs, field.name)) for field in fields(knobs)}
    return evaluate(case, replace(knobs, **(filled | {knob: values})))


def _holds_as_before(check: Check, numbers: Numbers) -> NDArray[np.bool_]:
    before = hard_uses(check.case, check.numbers)
    after = hard_uses(check.case, numbers)
    held = [after[name] <= max(1.0, float(before[name])) for name in after]
    all_held: NDArray[np.bool_] = np.all(np.broadcast_arrays(*held), axis=0)
    return all_held


def on_dial(dial: Sequence[float], speed: float, *, upwards: bool) -> float:
    """Give the dial position next to a speed [rev/s]; the nearest end where there is none beyond it."""
    beyond = [one for one in dial if (one >= speed if upwards else one <= speed)]
    return (min(beyond) if upwards else max(beyond)) if beyond else (max(dial) if upwards else min(dial))
