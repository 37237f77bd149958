"""Rules that each make one next step from the model, or none where it is not possible or does nothing."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from swarfbook import tables
from swarfbook.decisions.case import Case, with_values
from swarfbook.decisions.check import Check, check, tight_threshold
from swarfbook.decisions.derate import derate, percent_text
from swarfbook.decisions.dynamics import FLIP_SHARE, stability
from swarfbook.decisions.limits import SLOT
from swarfbook.decisions.risk import LOAD_LIMITS
from swarfbook.decisions.rounding import rounded_down, rounded_up
from swarfbook.decisions.sensitivity import Effect
from swarfbook.decisions.steps import Aim, Shift, Step, fact, facts, feed_key, is_free, step, turned

LIKELY = 1.6448536269514722  # standard normal quantile of 0.95: the half width of the 90 % band
MOST_TOLD = 3  # numbers of one step
HALVES = (0.5, 0.6, 0.7, 0.8)  # half where that can be, else as near to it as can
LOWER = tuple(float(share) for share in np.geomspace(0.97, 0.3, 30))
HIGHER = tuple(float(share) for share in np.geomspace(1.05, 6.0, 36))
SPEEDS = tuple(float(share) for share in np.geomspace(0.5, 1.5, 21))
SLOWER = (0.8, 0.85, 0.9)
EASED = 0.75  # share of a use that is aimed at where the limit was not near
THICK = 0.5  # use of the rubbing floor that a thicker chip aims at: twice the floor
LESS = {
    "axial_depth": "shallower",
    "radial_width": "narrower",
    "feed_per_tooth": "less-feed",
    "spindle_speed": "slower-same-chip",
}
"""Kind of step that turns a knob down."""
MEASURABLE = ("law", "tool_tip_stiffness", "runout", "thrust", "edge_radius", "efficiency")
"""Inputs that a workshop can find out for itself."""
COLLET_GAP = 1e-3  # m between collet and flutes or neck: the collet grips the plain shank only
BLUNT = "face-milling-heavy"  # row of wear_factors.csv that serves for a cutter near its end
BLOWN = ("wrought-aluminium", "cast-aluminium", "plastic-soft", "plastic-hard", "plastic-brittle", "acetal")
"""Families whose chips may be blown away: no dust that harms, no needles, nothing that lights."""


Unknowns = tuple[tuple[Effect, str], ...]


@dataclass(frozen=True, slots=True)
class Bench:
    """What the rules work on.

    Attributes:
        check: the recipe as it was cut.
        tells: numbers that matter after what happened, beside the one that a step is for.
        unknown: inputs behind the closest limits, the least known first, with the limit each adds most to.
        minutes: time this cutter has cut [min]; None where nobody knows.
    """

    check: Check
    tells: tuple[str, ...]
    unknown: Unknowns
    minutes: float | None

    @property
    def case(self) -> Case:
        """The recipe."""
        return self.check.case

    def make(
        self, changes: dict[str, str] | None, kind: str, about: str, *, aim: Aim = "lower"
    ) -> Step | None:
        """Make a step that is for one number and tells those that matter after this outcome."""
        if changes is None:
            return None
        made = step(self.check, changes, kind, (about, *self.tells), aim=aim)
        return None if made is None else replace(made, shifts=made.shifts[:MOST_TOLD])


Rule = Callable[[Bench], Step | None]


def first_of(*several: Rule) -> Rule:
    """Make a rule of several: the first of their steps that is possible."""

    def rule(bench: Bench) -> Step | None:
        return next((made for one in several if (made := one(bench)) is not None), None)

    return rule


def halved(knob: str, about: str) -> Rule:
    """Make a rule that halves a knob for the sake of one number."""

    def rule(bench: Bench) -> Step | None:
        made = (bench.make(turned(bench.case, knob, share), LESS[knob], about) for share in HALVES)
        return next(filter(None, made), None)

    return rule


def eased(about: str, *knobs: str) -> Rule:
    """Make a rule that turns the first knob that will down until a limit is back at the threshold.

    A limit that was not near it is brought to `EASED` of its use.
    """

    def rule(bench: Bench) -> Step | None:
        now = fact(bench.check, about)
        if now is None:
            return None
        threshold = tight_threshold(bench.case)
        most = threshold if now.before > threshold else EASED * now.before
        found = (_until(bench, knob, about, most) for knob in knobs)
        return next(filter(None, found), None)

    return rule


def _until(bench: Bench, knob: str, about: str, most: float) -> Step | None:
    for share in LOWER:
        made = bench.make(turned(bench.case, knob, share), LESS[knob], about)
        if made is not None and (made.shifts[0].after or 0.0) <= most:
            return made
    return None


def backed_off(about: str, *margins: float) -> Rule:
    """Make a rule for a derated child, at the first margin that is reached."""

    def rule(bench: Bench) -> Step | None:
        for margin in margins or (0.25, 0.1):
            child = derate(bench.case, margin=margin)
            keys = ("axial_depth", "radial_width", "spindle_speed", feed_key(bench.case))
            knobs = {key: str(child.values[key]) for key in keys}
            made = bench.make(knobs, "derate", about) if child.reached else None
            if made is not None:
                return replace(made, subject=percent_text(margin))
        return None

    return rule


def shorter(about: str) -> Rule:
    """Make a rule that lets the cutter stick out no further than its flutes, neck and depth need."""

    def rule(bench: Bench) -> Step | None:
        case = bench.case
        least = max(case["neck_end"], case["axial_depth"]) + COLLET_GAP
        if least >= case["stickout"]:
            return None
        written = rounded_up(least, case.values, "stickout")
        return bench.make({"stickout": written.text}, "shorter", about)

    return rule


def stable(bench: Bench) -> Step | None:
    """Give a depth that the measured modes bear, at the speed nearby that bears most or at this one."""
    found = stability(bench.case)
    if found is None or not is_free(bench.case, "axial_depth"):
        return None
    share = tight_threshold(bench.case) * (FLIP_SHARE if found.narrow else 1.0)
    other = turned(bench.case, "spindle_speed", found.speed / bench.case["spindle_speed"])
    for speed, depth in ((other, found.speed_depth), ({}, found.depth)):
        changes = None if speed is None else {**_no_deeper(bench.case, depth * share), **speed}
        made = bench.make(changes, "stable", "chatter") if changes else None
        if made is not None:
            return made
    return None


def _no_deeper(case: Case, depth: float) -> dict[str, str]:
    if not math.isfinite(depth) or depth >= case["axial_depth"]:
        return {}
    return {"axial_depth": rounded_down(depth, case.values, "axial_depth").text}


def other_speed(bench: Bench) -> Step | None:
    """Give the speed at which the spindle has most to spare, with the chip as it is; else with the feed."""
    for same_feed_rate in (False, True):
        made = [
            bench.make(
                turned(bench.case, "spindle_speed", share, same_feed_rate=same_feed_rate),
                "other-speed",
                "spindle-power",
            )
            for share in SPEEDS
        ]
        found = [one for one in made if one is not None]
        if found:
            least = min(_after(one) for one in found)
            return next(one for one in reversed(found) if _after(one) <= least * 1.001)
    return None


def _after(made: Step) -> float:
    return made.shifts[0].after or 0.0


def thicker(bench: Bench) -> Step | None:
    """Give more feed, until the thickest chip is twice the rubbing floor; a quarter more where it is.

    Where other limits do not let it come so far, as far as they do.
    """
    floor = fact(bench.check, "chip-thin")
    if floor is None:
        return None
    most = THICK if floor.before > THICK else floor.before / 1.25
    best = None
    for share in HIGHER:
        made = bench.make(
            turned(bench.case, "feed_per_tooth", share), "thicker", "chip_thickness_max", aim="raise"
        )
        best = made or best
        use = next((one.after for one in made.shifts if one.name == "chip-thin"), None) if made else None
        if use is not None and use <= most:
            return made
    return best


def slower(about: str, aim: Aim) -> Rule:
    """Make a rule that lowers the speed and keeps the feed rate, so that the chip grows."""

    def rule(bench: Bench) -> Step | None:
        changes = (turned(bench.case, "spindle_speed", share, same_feed_rate=True) for share in SLOWER)
        made = (bench.make(one, "slower", about, aim=aim) for one in changes)
        return next(filter(None, made), None)

    return rule


def into_the_band(bench: Bench) -> Step | None:
    """Give a lower speed inside the table's band for material and substrate, the chip as it is."""
    case = bench.case
    low, high = case.optional("speed_low"), case.optional("speed_high")
    now = float(bench.check.numbers.cutting_speed)
    if low is None or high is None:
        return None
    for share in (min(high / now, SLOWER[0]), *SLOWER[1:]):
        made = bench.make(turned(case, "spindle_speed", share), "slower-same-chip", "cutting_speed")
        if made is not None and _after(made) >= low:
            return made
    return None


def other_direction(bench: Bench) -> Step | None:
    """Give the other direction, with what it does to the side force and to the wall."""
    if bench.case["radial_width"] >= SLOT * bench.case["diameter"]:
        return None
    other = "conventional" if bench.case.recipe.direction == "climb" else "climb"
    return first_of(
        lambda at: at.make({"direction": other}, "other-direction", "wall_error_most", aim="none"),
        lambda at: at.make({"direction": other}, "other-direction", "force_y_peak", aim="none"),
    )(bench)


def air(bench: Bench) -> Step | None:
    """Give an air blast to a dry cut whose chips may be blown; else what there is to clear away."""
    family = tables.load("materials").get(bench.case.material.table).text("family")
    dry = bench.case.recipe.cooling == "dry" and family in BLOWN
    told = facts(bench.check, "material_removal_rate", "flute_filling")
    return Step("air", told, {"cooling": "air-blast"}) if dry else Step("clear-chips", told)


def clear_chips(bench: Bench) -> Step | None:
    """Give what there is to clear away."""
    return Step("clear-chips", facts(bench.check, "flute_filling", "material_removal_rate"))


def chips_of_a_slot(bench: Bench) -> Step | None:
    """Give the room in the flutes where the cut is a slot, which has to carry its chips out."""
    return clear_chips(bench) if bench.case["radial_width"] >= SLOT * bench.case["diameter"] else None


def fewer_flutes(bench: Bench) -> Step | None:
    """Give what a cutter with a flute fewer would leave room for, at the same chip."""
    flutes, filling = bench.case["flutes"], fact(bench.check, "flute_filling")
    if flutes < 2 or filling is None:
        return None
    fewer = flutes - 1
    # A flute's room is its share of one and the same ring, and the chip of one pass stays as it is.
    room = replace(filling, after=filling.before * fewer / flutes)
    rate = fact(bench.check, "feed_rate")
    rates = () if rate is None else (replace(rate, after=rate.before * fewer / flutes),)
    return Step("fewer-flutes", (Shift("flutes", "ratio", "", flutes, fewer), room, *rates))


def hold(bench: Bench) -> Step | None:
    """Give what the hold has to bear."""
    return Step("hold", facts(bench.check, "thrust_demand", "force_z_peak"))


def pull_test(bench: Bench) -> Step | None:
    """Give the pull that a hold with something to spare bears at rest."""
    side = fact(bench.check, "thrust_demand")
    return (
        None
        if side is None
        else Step("pull-test", (side, replace(side, name="twice", before=2 * side.before)))
    )


def rating(bench: Bench) -> Step | None:
    """Give what the spindle is taken to have at this speed beside what the cut asks."""
    given = _given(bench, "spindle-power", "power_available")
    return Step("rating", (*given, *facts(bench.check, "cutting_power", "rated_power")))


def _given(bench: Bench, limit: str, name: str) -> tuple[Shift, ...]:
    """Give what a limit holds its demand against, under a name of its own."""
    found = (one for one in bench.check.limits if one.name == limit and one.limit is not None)
    return tuple(Shift(name, one.dimension, one.unit, one.limit or 0.0) for one in found)


def edge(bench: Bench) -> Step | None:
    """Give the edge radius that the rubbing floor rests on, and the floor."""
    floor = _given(bench, "chip-thin", "rubbing_floor")
    told = (*facts(bench.check, "edge_radius"), *floor, *facts(bench.check, "chip_thickness_max"))
    return Step("edge", told, subject="edge_radius")


def worn(bench: Bench) -> Step | None:
    """Give what the cut asks of a cutter near its end."""
    case = bench.case
    most = tables.load("wear_factors").get(BLUNT).needed("wear_factor_low")
    blunt = check(with_values(case, {**case.values, "wear": max(most, case["wear"])}))
    shifts = [
        replace(one, after=now.before)
        for one in facts(bench.check, "wear", "force_peak", "bending")
        if (now := fact(blunt, one.name)) is not None and now.before > one.before
    ]
    return Step("wear", tuple(shifts)) if shifts else None


def minutes_cut(bench: Bench) -> Step | None:
    """Give how long this cutter has cut, where that is known."""
    if bench.minutes is None:
        return None
    return Step("minutes", (Shift("minutes", "time", "min", bench.minutes * 60), *facts(bench.check, "wear")))


def measure(*names: str, rank: int = 0) -> Rule:
    """Make a rule to find out one of some inputs: the least known one, or the next ones by `rank`."""

    def rule(bench: Bench) -> Step | None:
        known = [one for one in bench.unknown if one[0].name in (names or MEASURABLE)]
        if rank >= len(known):
            return None
        effect, limit = known[rank]
        factor = Shift(limit, "factor", "", math.exp(LIKELY * effect.doubt(limit)))
        return Step("measure", (*facts(bench.check, effect.name), factor), subject=effect.name)

    return rule


def closest(bench: Bench) -> Step | None:
    """Ease the tightest hard limit on a load."""
    for limit in bench.check.limits:
        made = eased(limit.name, *limit.eases)(bench) if limit.name in LOAD_LIMITS else None
        if made is not None:
            return made
    return None
