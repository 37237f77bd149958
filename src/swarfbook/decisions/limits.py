"""The limits a recipe is held against: one rule each, and what each rule says of a case."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from swarfbook.decisions import dynamics
from swarfbook.decisions.numbers import Array, Numbers
from swarfbook.decisions.past import Sense
from swarfbook.frozen import frozen
from swarfbook.physics import chip

if TYPE_CHECKING:
    from swarfbook.decisions.case import Case

FLUTE_NEEDS = ("chip_volume_ratio", "core_diameter_ratio", "flute_space_share")
NARROW_CHATTER = (
    "stable depth at this speed from the measured modes (zero order); it leaves out flip lobes, which can "
    "halve it in a cut as narrow as this, under a fifth of the diameter: stay below half of it or try it out"
)
SLOT = 0.98  # share of the diameter from which a cut counts as a slot

Severity = Literal["hard", "advice"]
LimitOf = Callable[["Case", Numbers], "Array | None"]


@frozen
class Rule:
    """One limit: what is demanded, what can be given, and which knob eases it.

    Attributes:
        name: the limit's name, as in JSON and on the ladder.
        demand: name of the demand in `Numbers`.
        limit: gives the limit in SI, or None where nothing is known to judge with.
        dimension: dimension of both (`quantities`).
        unit: the unit of JSON and of the ladder's metric column.
        eases: knobs that bring the use down, the most useful first.
        needs: inputs the limit rests on; an assumed one is marked.
        origin: where the limit comes from, in words.
        missing: what to give so that the limit can be judged.
        severity: a `hard` limit is not to be passed; `advice` is.
        sense: whether the demand must stay at or under the limit, or at or above it.
        causes: uncertain causes of the limit with their powers.
        relief_share: share of the threshold that a change which eases it aims at.
    """

    name: str
    demand: str
    limit: LimitOf
    dimension: str
    unit: str
    eases: tuple[str, ...]
    origin: str
    needs: tuple[str, ...] = ()
    missing: str = ""
    severity: Severity = "hard"
    sense: Sense = "maximum"
    causes: tuple[tuple[str, float], ...] = ()
    relief_share: float = 1.0


def _power_available(_case: Case, numbers: Numbers) -> Array:
    return 2 * np.pi * numbers.spindle_speed * numbers.torque_available


def _torque_available(_case: Case, numbers: Numbers) -> Array:
    return numbers.torque_available


def _overload_torque(case: Case, numbers: Numbers) -> Array | None:
    ratio = case.optional("overload_ratio")
    return None if ratio is None else ratio * numbers.torque_available


def _input(name: str) -> LimitOf:
    def limit(case: Case, _numbers: Numbers) -> Array | None:
        return case.optional(name)

    return limit


def _rubbing_floor(case: Case, _numbers: Numbers) -> Array:
    return chip.minimum_chip_thickness(min_chip_ratio=case["min_chip_ratio"], edge_radius=case["edge_radius"])


def _working_stress(case: Case, _numbers: Numbers) -> Array:
    return case["strength"] / case["bending_safety"]


def _flute_room(case: Case, numbers: Numbers) -> Array | None:
    # Beside a wall chips fall away by themselves; only a slot has to carry them up the flutes.
    slot = np.all(np.greater_equal(numbers.radial_width, case["diameter"] * SLOT))
    return 1.0 if slot else None


def _fastest_feed(case: Case, _numbers: Numbers) -> Array:
    return case["max_plunge"] if case.recipe.operation == "plunge" else case["max_feed"]


def _fastest_descent(case: Case, _numbers: Numbers) -> Array | None:
    known = {"bore": "hole_diameter", "ramp": "ramp_angle"}.get(case.recipe.operation)
    return None if known is None or case.optional(known) is None else case["max_plunge"]


def _deepest_cut(case: Case, _numbers: Numbers) -> Array:
    return min(case["flute_length"], case["stickout"])


def _usable_thrust(case: Case, _numbers: Numbers) -> Array:
    return case["thrust"] / case["thrust_safety"]


RUNG_ORDER: tuple[Rule, ...] = (
    Rule(
        "spindle-power",
        "cutting_power",
        _power_available,
        "power",
        "W",
        ("axial_depth", "radial_width", "feed_per_tooth"),
        "continuous (S1) power of the spindle at this speed",
        needs=("rated_power", "rated_speed", "rating"),
        causes=(("rated_power", 1.0),),
    ),
    Rule(
        "spindle-torque",
        "cutting_torque_mean",
        _torque_available,
        "torque",
        "N*m",
        ("axial_depth", "radial_width", "feed_per_tooth"),
        "continuous (S1) torque of the spindle at this speed",
        needs=("rated_power", "rated_speed", "rating"),
        causes=(("rated_power", 1.0),),
    ),
    Rule(
        "spindle-torque-peak",
        "cutting_torque_peak",
        _overload_torque,
        "torque",
        "N*m",
        ("axial_depth", "radial_width", "feed_per_tooth"),
        "the overload the spindle is rated for",
        needs=("rated_speed",),
        causes=(("rated_power", 1.0),),
    ),
    Rule(
        "spindle-speed",
        "spindle_speed",
        _input("max_speed"),
        "spindle_speed",
        "rpm",
        ("spindle_speed",),
        "the machine's max_speed",
        needs=("max_speed",),
    ),
    Rule(
        "spindle-speed-low",
        "spindle_speed",
        _input("min_speed"),
        "spindle_speed",
        "rpm",
        ("spindle_speed",),
        "the machine's min_speed",
        sense="minimum",
        needs=("min_speed",),
    ),
    Rule(
        "tool-speed",
        "spindle_speed",
        _input("tool_max_speed"),
        "spindle_speed",
        "rpm",
        ("spindle_speed",),
        "the cutter's max_speed",
        missing="give the cutter's max_speed, as its maker marks it",
        needs=("tool_max_speed",),
    ),
    Rule(
        "feed-rate",
        "feed_rate",
        _fastest_feed,
        "feed_rate",
        "mm/min",
        ("feed_per_tooth", "spindle_speed"),
        "the machine's max_feed; max_plunge straight down",
        needs=("max_feed",),
    ),
    Rule(
        "entry",
        "descent_rate",
        _fastest_descent,
        "feed_rate",
        "mm/min",
        ("feed_per_tooth", "spindle_speed"),
        "the machine's max_plunge, for the feed's share that goes down",
        needs=("max_plunge",),
    ),
    Rule(
        "axis-thrust",
        "thrust_demand",
        _usable_thrust,
        "force",
        "N",
        ("axial_depth", "radial_width", "feed_per_tooth"),
        "the axes' thrust over its safety factor; the demand has run-out and the dynamic factor in it",
        needs=("thrust", "runout", "thrust_safety"),
        causes=(("thrust", 1.0),),
    ),
    Rule(
        "chip-thin",
        "chip_thickness_max",
        _rubbing_floor,
        "length",
        "mm",
        ("feed_per_tooth",),
        "minimum-chip ratio times edge radius: thinner chips rub",
        needs=("min_chip_ratio", "edge_radius"),
        sense="minimum",
        causes=(("min_chip_ratio", 1.0), ("edge_radius", 1.0)),
    ),
    Rule(
        "cut-depth",
        "axial_depth",
        _deepest_cut,
        "length",
        "mm",
        ("axial_depth",),
        "the cutter's flute length, as far as it stands out of the collet",
        needs=("flute_length", "stickout"),
    ),
    Rule(
        "bending",
        "bending_demand",
        _working_stress,
        "stress",
        "N/mm^2",
        ("radial_width", "axial_depth", "feed_per_tooth"),
        "substrate strength over its safety factor; the demand has run-out and the dynamic factor in it",
        needs=("strength", "runout", "bending_safety"),
        causes=(("strength", 1.0),),
    ),
    Rule(
        "deflection",
        "deflection_total",
        _input("deflection_allowed"),
        "length",
        "mm",
        ("radial_width", "axial_depth", "feed_per_tooth"),
        "half the allowance left on the wall",
        severity="advice",
        needs=("tool_tip_stiffness", "youngs_modulus", "deflection_allowed"),
        missing="give the recipe a tolerance or an allowance",
    ),
    Rule(
        "chip-clearing",
        "flute_filling",
        _flute_room,
        "ratio",
        "",
        ("feed_per_tooth",),
        "room in a flute for the chip of one pass; a rough estimate",
        severity="advice",
        needs=FLUTE_NEEDS,
    ),
    Rule(
        "chatter",
        "axial_depth",
        dynamics.stable_depth,
        "length",
        "mm",
        ("axial_depth", "radial_width"),
        "stable depth at this speed from the measured modes (zero order)",
        severity="advice",
        needs=("law",),
    ),
    Rule(
        "surface-speed",
        "cutting_speed",
        _input("speed_high"),
        "surface_speed",
        "m/min",
        ("spindle_speed",),
        "the table's band for material and substrate",
        severity="advice",
        needs=("speed_high",),
        missing="no cutting-speed row for this material and substrate",
    ),
    Rule(
        "chip-thick",
        "chip_thickness_runout",
        _input("chip_ceiling"),
        "length",
        "mm",
        ("feed_per_tooth",),
        "the table's thickest chip for material and diameter",
        severity="advice",
        needs=("runout",),
        missing="no chip-ceiling row for this material",
    ),
)


def rules(case: Case) -> tuple[Rule, ...]:
    """Give the rules as they stand for this case.

    Deflection is hard where the recipe names a tolerance; chatter of a narrow cut says what it leaves out.
    """
    if case.recipe.tolerance is None and not dynamics.judged_narrow(case):
        return RUNG_ORDER
    return tuple(_for_case(rule, case) for rule in RUNG_ORDER)


def _for_case(rule: Rule, case: Case) -> Rule:
    if rule.name == "deflection" and case.recipe.tolerance is not None:
        return replace(rule, severity="hard", origin="the recipe's tolerance")
    if rule.name == "chatter" and dynamics.judged_narrow(case):
        return replace(rule, origin=NARROW_CHATTER, relief_share=dynamics.FLIP_SHARE)
    return rule


def use_of(rule: Rule, case: Case, numbers: Numbers) -> Array | None:
    """Share of the limit that is used: limit over demand for a minimum; None where it is not judged."""
    limit = rule.limit(case, numbers)
    if limit is None:
        return None
    demand: Array = getattr(numbers, rule.demand)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.divide(limit, demand) if rule.sense == "minimum" else np.divide(demand, limit)


def hard_uses(case: Case, numbers: Numbers) -> dict[str, Array]:
    """Uses of the hard limits that can be judged, by limit name; of the numbers' shape."""
    uses = {rule.name: use_of(rule, case, numbers) for rule in rules(case) if rule.severity == "hard"}
    return {name: use for name, use in uses.items() if use is not None}
