"""Three next steps, by what happened: which rules come first, and which numbers are told."""

from __future__ import annotations

import math
from collections.abc import Iterator

from swarfbook.decisions.check import Check
from swarfbook.decisions.step_rules import (
    Bench,
    Rule,
    Unknowns,
    air,
    backed_off,
    chips_of_a_slot,
    clear_chips,
    closest,
    eased,
    edge,
    fewer_flutes,
    first_of,
    halved,
    hold,
    into_the_band,
    measure,
    minutes_cut,
    other_direction,
    other_speed,
    pull_test,
    rating,
    shorter,
    slower,
    stable,
    thicker,
    worn,
)
from swarfbook.decisions.steps import Step

STEPS = 3
LIGHTER = first_of(
    halved("radial_width", "deflection_total"),
    halved("axial_depth", "deflection_total"),
    eased("deflection", "feed_per_tooth"),
)
SURE: tuple[Rule, ...] = (measure(), measure(rank=1), edge, clear_chips, hold, rating)
"""What can always be looked at, where an outcome's own rules do not come to three."""
CHIPS: tuple[Rule, ...] = (
    air,
    first_of(halved("radial_width", "material_removal_rate"), halved("axial_depth", "material_removal_rate")),
    first_of(fewer_flutes, halved("feed_per_tooth", "flute_filling")),
    edge,
)
HEAT: tuple[Rule, ...] = (thicker, first_of(slower("cutting_speed", "lower"), into_the_band), edge)
WALL: tuple[Rule, ...] = (other_direction, LIGHTER, edge)
RULES: dict[str, tuple[Rule, ...]] = {
    "chatter": (
        first_of(
            stable, halved("axial_depth", "deflection_total"), halved("radial_width", "deflection_total")
        ),
        shorter("deflection_total"),
        backed_off("deflection_total"),
        halved("radial_width", "deflection_total"),
    ),
    "rubbing": (thicker, slower("chip_thickness_max", "raise"), edge),
    "chip-welding": CHIPS,
    "recutting": CHIPS,
    "chips-packed": CHIPS,
    "melted": HEAT,
    "scorched": HEAT,
    "tear-out": WALL,
    "burr": WALL,
    "poor-finish": (thicker, LIGHTER, edge),
    "off-size": (LIGHTER, other_direction, shorter("deflection_total"), backed_off("deflection_total")),
    "stalled": (
        eased("spindle-power", "axial_depth", "radial_width", "feed_per_tooth"),
        first_of(other_speed, eased("spindle-torque", "radial_width", "feed_per_tooth")),
        rating,
    ),
    "lost-steps": (
        eased("axis-thrust", "axial_depth", "radial_width", "feed_per_tooth"),
        measure("thrust"),
        backed_off("axis-thrust"),
        eased("axis-thrust", "feed_per_tooth"),
    ),
    "cutter-worn": (first_of(minutes_cut, edge), into_the_band, worn),
    "cutter-broke": (
        backed_off("bending"),
        shorter("bending"),
        first_of(chips_of_a_slot, halved("radial_width", "bending"), halved("axial_depth", "bending")),
        eased("bending", "feed_per_tooth"),
    ),
    "work-moved": (hold, backed_off("thrust_demand", 0.5, 0.25, 0.1), pull_test),
    "stopped": (backed_off("force_peak"), closest, measure(), edge),
}
"""The rules of each outcome, the most telling first."""
TELLS: dict[str, tuple[str, ...]] = {
    **dict.fromkeys(RULES, ("force_peak", "cutting_power")),
    "chatter": ("axial_depth", "force_peak"),
    **dict.fromkeys(
        ("rubbing", "melted", "scorched", "poor-finish"), ("chip-thin", "chip_thickness_max", "feed_rate")
    ),
    **dict.fromkeys(("chip-welding", "recutting", "chips-packed"), ("flute_filling", "feed_rate")),
    **dict.fromkeys(("tear-out", "burr", "off-size"), ("deflection", "deflection_total", "force_peak")),
    "stalled": ("cutting_power", "cutting_torque_mean"),
    "lost-steps": ("thrust_demand",),
    "cutter-worn": ("surface-speed", "cutting_power"),
    "cutter-broke": ("bending_stress_peak", "force_peak"),
    "work-moved": ("force_z_peak", "material_removal_rate"),
}  # fmt: skip
"""Numbers that matter after each outcome, beside the one that a step is for."""


def next_steps(
    check: Check, outcome: str, unknown: Unknowns, *, minutes: float | None = None
) -> tuple[Step, ...]:
    """Give three different steps.

    Args:
        check: the recipe as it was cut.
        outcome: how that went, one of `RULES`.
        unknown: inputs behind the closest limits, the least known first, with the limit each adds most to.
        minutes: time this cutter has cut [min]; None where nobody knows.
    """
    found: dict[object, Step] = {}
    for made in _steps(Bench(check, TELLS[outcome], unknown, minutes), outcome):
        found.setdefault(_what(made, check), made)
        if len(found) == STEPS:
            break
    return tuple(found.values())


def _what(made: Step, check: Check) -> object:
    """Say what a step does, so that two ways to the same cut, or to the same measurement, count once."""
    values = check.case.values
    moved = frozenset((key, text) for key, text in made.changes.items() if text != str(values.get(key)))
    return moved or made.subject or made.kind


def _steps(bench: Bench, outcome: str) -> Iterator[Step]:
    # Where the cut lies outside its formulas nothing can be tried on them.
    worked_out = math.isfinite(float(bench.check.numbers.force_peak))
    for rule in (*(RULES[outcome] if worked_out else ()), *SURE):
        made = rule(bench)
        if made is not None and made.shifts:
            yield made
