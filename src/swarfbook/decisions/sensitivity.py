"""Sensitivity: what a tenth more of each input does to every limit's use, and what is worth measuring."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from typing import Any

from swarfbook.decisions.case import Case
from swarfbook.decisions.limits import rules, use_of
from swarfbook.decisions.numbers import Knobs, evaluate, nominal_knobs

TENTH = 0.1
KNOBS = tuple(field.name for field in fields(Knobs))
SETTINGS = (*KNOBS, "stickout")
FORCE = "law"
"""The cutting law's coefficients, all of them together."""
SHAFT = ("rated_shaft_power", "rated_torque")
"""What follows from the rated power, and for an input rating from the efficiency."""


@dataclass(frozen=True, slots=True)
class Effect:
    """What a tenth more of one input does.

    Attributes:
        name: the input.
        setting: whether it is a number of the recipe's, which nobody has to measure.
        assumed: whether a default stands in for it.
        sd: its log standard deviation.
        changes: relative change of each judged limit's use, by the limit's name.
    """

    name: str
    setting: bool
    assumed: bool
    sd: float
    changes: dict[str, float]

    @property
    def largest(self) -> float:
        """Largest change of a use, either way."""
        return max(map(abs, self.changes.values()), default=0.0)

    def doubt(self, limit: str) -> float:
        """Log standard deviation that not knowing this input adds to the use of a limit."""
        return abs(math.log1p(self.changes.get(limit, 0.0)) / math.log1p(TENTH)) * self.sd


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """Every input's effect.

    Attributes:
        case: the recipe.
        uses: use of every judged limit as things stand, the tightest first.
        effects: inputs that change any use, the strongest first.
    """

    case: Case
    uses: dict[str, float]
    effects: tuple[Effect, ...]

    def worth_measuring(self, limit: str) -> tuple[Effect, ...]:
        """Give the unknowns behind a limit, the one that adds most doubt first; settings aside."""
        unknown = [one for one in self.effects if not one.setting and one.doubt(limit) > 0]
        return tuple(sorted(unknown, key=lambda one: one.doubt(limit), reverse=True))


def sensitivity(case: Case) -> Sensitivity:
    """Give what a tenth more of each input does to the use of every limit.

    Inputs are the recipe's settings, the cutting law as a whole, and every number that is uncertain or
    assumed; what is known for certain of the cutter's shape is left out.
    """
    before = _uses(case, nominal_knobs(case))
    found = [_effect(case, name, before) for name in _varied(case)]
    effects = [one for one in found if one.changes]
    effects.sort(key=lambda one: one.largest, reverse=True)
    uses = dict(sorted(before.items(), key=lambda item: item[1], reverse=True))
    return Sensitivity(case, uses, tuple(effects))


def _varied(case: Case) -> Iterator[str]:
    yield from SETTINGS
    yield FORCE
    for name, item in case.inputs.items():
        known = item.value is None or name in (*SETTINGS, *SHAFT)
        if not known and (item.sd > 0 or item.assumed):
            yield name


def _effect(case: Case, name: str, before: dict[str, float]) -> Effect:
    item = case.inputs[name]
    after = _uses(*_more(case, name))
    changes = {limit: after[limit] / use - 1 for limit, use in before.items() if limit in after and use > 0}
    return Effect(
        name=name,
        setting=name in SETTINGS,
        assumed=item.assumed,
        sd=case.choice.sd if name == FORCE else item.sd,
        changes={limit: change for limit, change in changes.items() if abs(change) > 1e-9},
    )


def _more(case: Case, name: str) -> tuple[Case, Knobs]:
    """Give the case and the knobs with a tenth more of one input."""
    knobs = nominal_knobs(case)
    if name in KNOBS:
        return case, replace(knobs, **{name: getattr(knobs, name) * (1 + TENTH)})
    if name == FORCE:
        return replace(case, choice=replace(case.choice, law=case.law.scaled(1 + TENTH))), knobs
    return replace(case, inputs={**case.inputs, **_scaled(case, name)}), knobs


def _scaled(case: Case, name: str) -> dict[str, Any]:
    names = [name]
    if name == "rated_power" or (name == "efficiency" and case.machine.spindle.rating == "input"):
        names += SHAFT
    return {
        one: replace(case.inputs[one], value=(case.inputs[one].value or 0.0) * (1 + TENTH)) for one in names
    }


def _uses(case: Case, knobs: Knobs) -> dict[str, float]:
    numbers = evaluate(case, knobs)
    uses = {rule.name: use_of(rule, case, numbers) for rule in rules(case)}
    return {name: float(use) for name, use in uses.items() if use is not None and math.isfinite(float(use))}


def sensitivity_json(found: Sensitivity) -> dict[str, Any]:
    """Give a sensitivity as one object."""
    return {
        "recipe": found.case.recipe_id,
        "step": TENTH,
        "uses": found.uses,
        "effects": [
            {
                "name": one.name,
                "setting": one.setting,
                "assumed": one.assumed,
                "log_sd": one.sd,
                "changes": one.changes,
            }
            for one in found.effects
        ],
        "worth_measuring": {
            limit: [{"name": one.name, "log_sd": one.doubt(limit)} for one in found.worth_measuring(limit)]
            for limit in found.uses
        },
    }
