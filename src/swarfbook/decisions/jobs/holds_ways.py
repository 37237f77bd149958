"""What a step asks of a hold, what is held, and the ways a hold can give."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from swarfbook.decisions.chance import Z95, Uncertain, chance_above, power_product
from swarfbook.decisions.inputs import spread
from swarfbook.quantities import show
from swarfbook.records import BookSettings

USUAL_SAFETY = 2.0  # common practice for friction is 2 to 3; the lower one, since the peak force is asked
STEP = 1e-6  # relative, of the slopes a spread goes through
WET = ("mist", "flood")
WOODS = ("softwood", "hardwood", "plywood", "mdf", "particle-board")
# How many times the mean an even layer bears where a lift at that place pulls hardest.
LIFT_FACTORS = {"middle": 1.0, "edge": 4.0, "corner": 7.0}


@dataclass(frozen=True, slots=True)
class Push:
    """What a step asks of the hold [SI].

    Attributes:
        force: peak in-plane force with run-out and dynamic factor [N].
        lift: peak lift away from the bed [N]; 0 for a down-cut.
        press: the same force along the axis pushing towards the bed [N]; 0 for an up-cut. No hold is
            credited with it, for it comes and goes with every tooth.
        height: of the force above the hold [m].
        place: where the cut gets nearest to: middle, edge or corner.
        cooling: as in the recipe; coolant voids tape and glue and wets vacuum.
    """

    force: Uncertain
    lift: Uncertain
    press: float
    height: float
    place: str
    cooling: str = "dry"


@dataclass(frozen=True, slots=True)
class Piece:
    """What is held, at this moment.

    Attributes:
        length, width, thickness: of the stock, or of the part once it is free [m].
        free: the part is cut out of its stock.
        family, iso_group, material: of a row of materials.csv, and its id.
        temperature: at the hold [K].
    """

    length: float
    width: float
    thickness: float
    free: bool
    family: str
    iso_group: str
    material: str
    temperature: Uncertain

    @property
    def short_side(self) -> float:
        """The shorter side in plan [m], which it tips over."""
        return min(self.length, self.width)


@dataclass(frozen=True, slots=True)
class Way:
    """One way a hold can give.

    Attributes:
        name: shear, peel, slip, lift, tip, pull-out or tear.
        demand: what the step asks [SI].
        limit: what the hold bears, safety in it [SI]; None where nobody knows, or walls bear it.
        dimension, unit: of both; the unit is JSON's.
        use: share of the limit used; 0 where walls bear it, None where not judged.
        chance_over: chance that the demand passes the limit; None where not judged.
        origin: what the limit rests on, in words; for one that is not judged, why.
        assumed: what in it has no source.
    """

    name: str
    demand: Uncertain
    limit: Uncertain | None
    dimension: str
    unit: str
    use: float | None
    chance_over: float | None
    origin: str
    assumed: tuple[str, ...]


STRESS = ("stress", "kPa")
STRENGTH = ("stress", "N/mm^2")
FORCE = ("force", "N")
MOMENT = ("torque", "N*m")


def judged(
    name: str,
    demand: Uncertain,
    limit: Uncertain,
    measure: tuple[str, str],
    origin: str,
    *,
    assumed: tuple[str, ...] = (),
) -> Way:
    """Hold a demand against a limit above 0, both in SI."""
    use, over = demand.value / limit.value, chance_above(demand, limit)
    return Way(name, demand, limit, *measure, use, over, origin, assumed)


def unjudged(name: str, demand: Uncertain, measure: tuple[str, str], why: str) -> Way:
    """A way nobody can judge, and why."""
    return Way(name, demand, None, *measure, None, None, why, ())


def walled(name: str, demand: Uncertain, measure: tuple[str, str], why: str) -> Way:
    """A way that walls close: nothing to judge, and no use."""
    return Way(name, demand, None, *measure, 0.0, 0.0, why, ())


def worst(ways: tuple[Way, ...]) -> float | None:
    """Use of the tightest way; None where one is not judged and no other is over."""
    uses = [way.use for way in ways if way.use is not None]
    most = max(uses, default=None)
    return most if len(uses) == len(ways) or (most is not None and most > 1.0) else None


def scaled(number: Uncertain, factor: float) -> Uncertain:
    """A number times a known factor."""
    return power_product((number, 1.0), (Uncertain(factor), 1.0))


def through(formula: Callable[..., object], *numbers: Uncertain) -> Uncertain:
    """Send numbers through a formula; each cause goes in by the formula's slope in that number."""
    medians = [number.median for number in numbers]
    middle = _answer(formula, medians)
    causes: dict[str, float] = {}
    for place, number in enumerate(numbers):
        if not number.causes or number.median <= 0 or middle <= 0:
            continue
        moved = [*medians[:place], number.median * (1 + STEP), *medians[place + 1 :]]
        slope = (_answer(formula, moved) / middle - 1) / STEP
        for cause, part in number.causes.items():
            causes[cause] = causes.get(cause, 0.0) + slope * part
    return Uncertain(_answer(formula, [number.value for number in numbers]), causes, middle)


def _answer(formula: Callable[..., object], values: list[float]) -> float:
    return float(formula(*values))  # type: ignore[arg-type]


def between(low: float, high: float, cause: str, *, least: str) -> Uncertain:
    """The middle of a printed range, whose ends count as 5 % and 95 %; no spread below that of `least`."""
    sd = max(spread(least), math.log(high / low) / (2 * Z95))
    return Uncertain(math.sqrt(low * high), {cause: sd})


def safety_of(settings: BookSettings, otherwise: float | None = None) -> float:
    """The book's safety factor of a hold, else the table's, else the usual one."""
    chosen = settings.safety_factors.hold
    return chosen if chosen is not None else otherwise or USUAL_SAFETY


def lift_arm(push: Push, base: float) -> float:
    """From the edge the work tips over to the lift [m]: all of `base` unless the cut is in the middle."""
    return base / 2 if push.place == "middle" else base


def newtons(force: float, settings: BookSettings) -> str:
    """Write a force for people, from 1 kN up in kN."""
    unit = "kN" if force >= 1000.0 and settings.units != "imperial" else None
    return show(force, "force", unit=unit, system=settings.units or "metric")


def length(metres: float, settings: BookSettings) -> str:
    """Write a length for people."""
    return show(metres, "length", system=settings.units or "metric")
