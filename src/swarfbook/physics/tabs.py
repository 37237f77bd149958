"""What holds a part in the stock it is cut from: tabs left in the cut, and a thin floor left under it."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, not_negative, positive


def tab_shear_stress(*, force: Array, lift: Array, tab_width: Array, tab_thickness: Array) -> Array:
    """Mean shear stress in one tab.

    Args:
        force: side force this tab bears [N], any shape.
        lift: this tab bears [N], broadcasts.
        tab_width: w, along the outline of the part [m], broadcasts.
        tab_thickness: t, upwards [m], broadcasts.

    Returns:
        hypot(F, Fz) / (w t) [Pa].

    References:
        Statics: both forces lie in the cross-section the tab tears at.
    """
    pulled: Array = np.hypot(not_negative(force), not_negative(lift))
    return pulled / (positive(tab_width) * positive(tab_thickness))


def tab_bending_stress(
    *, force: Array, lift: Array, tab_width: Array, tab_thickness: Array, tab_length: Array
) -> Array:
    """Bending stress at the corner of one tab's root, where it tears first.

    Args:
        force: side force along the outline this tab bears [N], any shape.
        lift: this tab bears [N], broadcasts.
        tab_width: w, along the outline of the part [m], broadcasts.
        tab_thickness: t, upwards [m], broadcasts.
        tab_length: g, across the cut, from part to frame [m], broadcasts.

    Returns:
        3 g / (w t) (F / w + Fz / t) [Pa].

    Validity:
        part and frame that do not turn at the tab, so that each root bears half of the moment.

    References:
        Statics: a beam with both ends held and one moved bears M = F g / 2 at its ends, against a section
        modulus of t w^2 / 6 sideways and w t^2 / 6 upwards.
    """
    wide, thick = positive(tab_width), positive(tab_thickness)
    per_size = not_negative(force) / wide + not_negative(lift) / thick
    return 3 * positive(tab_length) / (wide * thick) * per_size


def edge_pull(*, force: Array, force_height: Array, base: Array) -> Array:
    """Lift at one edge that keeps a part from turning over the opposite one.

    Args:
        force: side force [N], any shape.
        force_height: of that force above the edges [m], broadcasts.
        base: between the two edges [m], broadcasts.

    Returns:
        F h / w [N].

    References:
        Statics.
    """
    return not_negative(force) * not_negative(force_height) / positive(base)


def floor_shear_stress(
    *,
    force: Array,
    lift: Array,
    lift_factor: Array,
    force_height: Array,
    short_side: Array,
    long_side: Array,
    floor_thickness: Array,
) -> Array:
    """Shear stress along the outline of a part that hangs on a thin floor.

    Args:
        force: side force at the outline of the part [N], any shape.
        lift: [N], broadcasts.
        lift_factor: how many times the mean the worst place takes: 1 for a lift in the middle, 4 at an
            edge, 7 at a corner [1], broadcasts.
        force_height: of the force above the floor [m], broadcasts.
        short_side: w of the part [m], broadcasts.
        long_side: l of the part [m], broadcasts.
        floor_thickness: t [m], broadcasts.

    Returns:
        hypot(2 F / (P t), k Fz / (P t) + F h / ((l w + w^2 / 3) t)) with P = 2 (l + w) [Pa].

    Validity:
        a stiff part. The factors 4 and 7 are those of an even layer, above the 2.5 and 4 of a square frame.

    References:
        Statics: the outline as a frame of lines, whose section modulus is l w + w^2 / 3; a force at the
        outline pushes and twists, which counts it twice.
    """
    short, long, thick = positive(short_side), positive(long_side), positive(floor_thickness)
    around = 2 * (long + short) * thick
    modulus = (long * short + short * short / 3) * thick
    turned = not_negative(force) * not_negative(force_height) / modulus
    upwards = not_negative(lift_factor) * not_negative(lift) / around + turned
    stress: Array = np.hypot(2 * force / around, upwards)
    return stress
