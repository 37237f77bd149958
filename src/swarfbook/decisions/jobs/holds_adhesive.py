"""Tape and glue: shear over the footprint and peel at its worst edge, at the temperature reached.

The working strengths are design values that have a safety factor of 5 and more against the strength
in a quick pull in them, so no other factor goes on top, the book's neither.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from swarfbook import tables
from swarfbook.decisions.chance import Uncertain, power_product
from swarfbook.decisions.jobs.holds_ways import (
    LIFT_FACTORS,
    STRESS,
    WET,
    Piece,
    Push,
    Way,
    between,
    judged,
    scaled,
    through,
    unjudged,
)
from swarfbook.physics import adhesive
from swarfbook.records.job import Hold
from swarfbook.tables import Row

WORKING = {
    "tape": ("foam-tape:working-30", "foam-tape:working-65"),
    "glue-tape": ("glue-tape:working-30", "glue-tape:working-60"),
}
ADHESIVES = tuple(WORKING)
LOOSENED = "coolant and oil loosen tape and glue"


def rows(method: str) -> tuple[Row, Row]:
    """The two rows of adhesives.csv the strength of a tape lies between, the cooler first."""
    cool, warm = (tables.load("adhesives").get(key) for key in WORKING[method])
    return cool, warm


def strength(method: str, temperature: Uncertain) -> Uncertain:
    """Working strength [Pa] at a temperature [K], on a straight line between the two working rows.

    The value is the middle of the printed ends; what makes the temperature uncertain makes the strength so.
    """
    ends = [_range(row) for row in rows(method)]
    (cool, cool_strength), (warm, warm_strength) = ends

    def at(kelvin: float) -> object:
        return adhesive.warm_strength(
            temperature=kelvin,
            cool_temperature=cool,
            cool_strength=cool_strength.value,
            warm_temperature=warm,
            warm_strength=warm_strength.value,
        )

    widest = max((cool_strength, warm_strength), key=lambda end: end.sd)
    return power_product((through(at, temperature), 1.0), (Uncertain(1.0, widest.causes), 1.0))


def _range(row: Row) -> tuple[float, Uncertain]:
    low, high = row.needed("strength_low_kpa"), row.needed("strength_high_kpa")
    return row.needed("temperature_degc"), between(low, high, "adhesive-strength", least="adhesive-strength")


def footprint(hold: Hold, piece: Piece) -> tuple[float, float]:
    """Sides of the tape that bear [m]: strips side by side, and of a free part only what lies under it."""
    long, wide = hold.length or 0.0, (hold.width or 0.0) * (hold.count or 1)
    return (min(long, piece.length), min(wide, piece.width)) if piece.free else (long, wide)


def joined(holds: Sequence[Hold], piece: Piece) -> tuple[float, float]:
    """Short and long side [m] of the one footprint that bears what several bear, none helped by distance.

    Areas add up, and so do section moduli b L^2 / 6: of two patches a hand apart this leaves out the hand.
    """
    sides = [sorted(footprint(hold, piece)) for hold in holds]
    area = sum(short * long for short, long in sides)
    short_side = sum(long * short * short for short, long in sides) / area
    return short_side, area / short_side


def ways(holds: Sequence[Hold], push: Push, piece: Piece) -> tuple[Way, ...]:
    """Shear and peel of tapes under one piece, with the strength of the weakest of them."""
    short, long = joined(holds, piece)
    sheared = scaled(push.force, 1 / (short * long))
    peeled = through(_peel(push, short, long), push.lift, push.force)
    if push.cooling in WET:
        why = f"not judged: {LOOSENED}"
        return unjudged("shear", sheared, STRESS, why), unjudged("peel", peeled, STRESS, why)
    methods = {hold.method for hold in holds}
    weakest, method = min(
        ((strength(method, piece.temperature), method) for method in methods), key=lambda one: one[0].value
    )
    origin = f"{' to '.join(row.id for row in rows(method))}, adhesives.csv, at the temperature of the tape"
    assumed = (f"strength of {method}",)
    return (
        judged("shear", sheared, weakest, STRESS, origin, assumed=assumed),
        judged("peel", peeled, weakest, STRESS, origin, assumed=assumed),
    )


def _peel(push: Push, short: float, long: float) -> Callable[[float, float], object]:
    # Half a side off the middle adds 3 to the mean: 4 at the middle of an edge, 7 at a corner.
    along_short = 0.0 if push.place == "middle" else short / 2
    along_long = long / 2 if LIFT_FACTORS[push.place] == LIFT_FACTORS["corner"] else 0.0

    def stress(lift: float, force: float) -> object:
        return adhesive.edge_peel_stress(
            lift=lift,
            lift_offset_short=along_short,
            lift_offset_long=along_long,
            force=force,
            force_height=push.height,
            short_side=short,
            long_side=long,
        )

    return stress


def span(methods: Sequence[str]) -> tuple[float, float]:
    """Temperatures [K] between which tapes lose strength."""
    ends = [row.needed("temperature_degc") for method in methods for row in rows(method)]
    return (min(ends), max(ends)) if ends else (math.nan, math.nan)
