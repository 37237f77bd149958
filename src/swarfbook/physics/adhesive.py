"""Tape and glue between stock and bed: shear, peel at the worst edge, and strength when warm."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, not_negative, only_where, positive

STANDARD_GRAVITY = 9.80665
"""m/s^2."""


def shear_stress(*, force: Array, area: Array) -> Array:
    """Mean shear stress of an adhesive, F / A [Pa], of a side `force` [N] on an `area` [m^2]."""
    return not_negative(force) / positive(area)


def edge_peel_stress(
    *,
    lift: Array,
    lift_offset_short: Array,
    lift_offset_long: Array,
    force: Array,
    force_height: Array,
    short_side: Array,
    long_side: Array,
) -> Array:
    """Tension at the edge that is pulled hardest.

    Args:
        lift: Fz of the cut, away from the bed [N], any shape.
        lift_offset_short: ex, of the lift from the middle along the short side [m], broadcasts.
        lift_offset_long: ey, the same along the long side [m], broadcasts.
        force: F, side force of the cut, taken along the short side [N], broadcasts.
        force_height: h of that force above the adhesive [m], broadcasts.
        short_side: L of the footprint of the adhesive, not of the stock [m], broadcasts.
        long_side: b of the footprint [m], broadcasts.

    Returns:
        Fz/A (1 + 6 ex/L + 6 ey/b) + 6 F h / (b L^2) [Pa]; 7 Fz/A for a lift at a corner.

    Validity:
        stock that stays flat: thin stock peels at less.

    References:
        Statics: a stiff block on an even, linear layer.
    """
    short, long = positive(short_side), positive(long_side)
    off = 1 + 6 * not_negative(lift_offset_short) / short + 6 * not_negative(lift_offset_long) / long
    tipping = 6 * not_negative(force) * not_negative(force_height) / (long * short * short)
    return not_negative(lift) / (long * short) * off + tipping


def warm_strength(
    *,
    temperature: Array,
    cool_temperature: Array,
    cool_strength: Array,
    warm_temperature: Array,
    warm_strength: Array,
) -> Array:
    """Strength left at a temperature, on a straight line between two that are known.

    Args:
        temperature: at the adhesive [K], or any scale with the same steps, any shape.
        cool_temperature: up to which the cool strength is held [K], broadcasts.
        cool_strength: [Pa], broadcasts.
        warm_temperature: from which the warm strength is all there is [K], above the cool one, broadcasts.
        warm_strength: [Pa], broadcasts.

    Returns:
        strength [Pa], the end values beyond the ends.

    Validity:
        an assumption between two points of a data sheet.
    """
    span = positive(warm_temperature - cool_temperature)
    share: Array = np.clip((temperature - cool_temperature) / span, 0, 1)
    return not_negative(cool_strength) + share * (not_negative(warm_strength) - cool_strength)


def hanging_stress(*, hung_mass: Array, area: Array) -> Array:
    """Shear stress under a weight, m g / A, as the static tests of data sheets state it.

    Args:
        hung_mass: m [kg], any shape.
        area: A of the tape [m^2], broadcasts.

    Returns:
        stress [Pa], with g = 9.80665 m/s^2.
    """
    return not_negative(hung_mass) * STANDARD_GRAVITY / positive(area)


def safety(*, strength: Array, stress: Array) -> Array:
    """How many times the strength covers a stress, of `strength` [Pa] and `stress` [Pa], above 0 [1]."""
    return only_where(np.greater(stress, 0), not_negative(strength)) / positive(stress)
