"""Relief: the smallest change of one knob that eases a limit without breaking another."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from swarfbook.decisions.case import Case
from swarfbook.decisions.check import Check, Limit, tight_threshold
from swarfbook.decisions.limits import Rule, hard_uses, rules, use_of
from swarfbook.decisions.numbers import Numbers, evaluate, nominal_knobs
from swarfbook.decisions.rounding import Written, rounded_down, rounded_up

DOWN = np.linspace(0.98, 0.2, 60)
UP = np.geomspace(1.02, 6.0, 60)
PHRASES = {
    "axial_depth": "{} deep",
    "radial_width": "{} wide",
    "feed_per_tooth": "{} a tooth",
    "feed_rate": "{} feed",
    "spindle_speed": "{}",
}


@dataclass(frozen=True, slots=True)
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
        return f"{PHRASES[self.key].format(self.text)} brings it to {self.use:.2f}"


def relief(check: Check, limit: Limit) -> Relief | None:
    """Find the smallest change that brings a tight or broken limit to the book's threshold; None if none does."""
    if limit.verdict not in ("tight", "over"):
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
    start = getattr(nominal_knobs(case), knob)
    values = start * (UP if upwards else DOWN)
    key = "feed_rate" if knob == "feed_per_tooth" and case.recipe.feed_rate is not None else knob
    to_key = case["flutes"] * case["spindle_speed"] if key == "feed_rate" else 1.0
    written = [_rounded(case, key, value * to_key, upwards=upwards) for value in values]
    numbers = _numbers(case, knob, np.array([one.si / to_key for one in written]))
    use = use_of(rule, case, numbers)
    good = np.flatnonzero((np.asarray(use) <= tight_threshold(case)) & _holds_as_before(check, numbers))
    if use is None or not good.size:
        return None
    first = int(good[0])
    return Relief(rule.name, key, written[first].text, float(np.asarray(use)[first]))


def _rounded(case: Case, key: str, si: float, *, upwards: bool) -> Written:
    return rounded_up(si, case.values, key) if upwards else rounded_down(si, case.values, key)


def _numbers(case: Case, knob: str, values: NDArray[np.float64]) -> Numbers:
    knobs = nominal_knobs(case)
    filled = {name: np.full(values.shape, getattr(knobs, name)) for name in knobs.__slots__}
    return evaluate(case, replace(knobs, **(filled | {knob: values})))


def _holds_as_before(check: Check, numbers: Numbers) -> NDArray[np.bool_]:
    before = hard_uses(check.case, check.numbers)
    after = hard_uses(check.case, numbers)
    return np.all(np.broadcast_arrays(*(after[name] <= max(1.0, float(before[name])) for name in after)), axis=0)
