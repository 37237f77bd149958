"""Facing: a cutter that passes over stock wider or narrower than itself, centred or not."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, chosen, not_negative, only_where, positive
from swarfbook.physics.strips import facing_strip


def immersion(*, stock_width: Array, stock_offset: Array, diameter: Array) -> tuple[Array, Array]:
    """Immersion angles at which a tooth enters and leaves stock of some width.

    Args:
        stock_width: of the stock across the feed [m], any shape; wider than the cutter is a slot.
        stock_offset: y of the middle of the stock from the cutter's axis [m], broadcasts. 0 is centred;
            above 0 the teeth enter nearer to conventional milling, below 0 they leave nearer to climb
            milling.
        diameter: D [m], broadcasts.

    Returns:
        (entry, exit) [rad]: arccos of the stock's two edges over D/2, measured from the axis and held to the
        cutter; pi/2 -+ arcsin(width / D) when centred. nan where the cutter does not meet the stock.

    References:
        Koenig & Klocke, Fertigungsverfahren 1 (face milling); exact geometry.
    """
    stock = facing_strip(stock_width=stock_width, stock_offset=stock_offset)
    reach = positive(diameter) / 2
    meets = np.logical_and(np.less(stock.low, reach), np.greater(stock.high, -reach))
    entry = np.arccos(np.clip(stock.high / reach, -1, 1))
    leave = np.arccos(np.clip(stock.low / reach, -1, 1))
    return only_where(meets, entry), only_where(meets, leave)


def width_in_cut(*, entry: Array, exit: Array, diameter: Array) -> Array:  # noqa: A002
    """Width of the stock that an arc of contact takes.

    Args:
        entry: phi_st [rad], any shape.
        exit: phi_ex [rad], broadcasts; nan before the entry.
        diameter: D [m], broadcasts.

    Returns:
        D/2 (cos phi_st - cos phi_ex) [m]: the radial width that the removal rate goes by.
    """
    start, end = _arc(entry, exit)
    return positive(diameter) / 2 * (np.cos(start) - np.cos(end))


def thickest_chip(*, feed_per_tooth: Array, entry: Array, exit: Array) -> Array:  # noqa: A002
    """Thickest chip of any arc of contact.

    Args:
        feed_per_tooth: fz [m], any shape.
        entry: phi_st [rad], broadcasts.
        exit: phi_ex [rad], broadcasts; nan before the entry.

    Returns:
        fz times the largest sine between entry and exit [m]: fz itself where the arc passes pi/2.

    References:
        Martellotti, Trans. ASME 63 (1941).
    """
    start, end = _arc(entry, exit)
    return not_negative(feed_per_tooth) * widest_sine(entry=start, exit=end)


def mean_chip(*, feed_per_tooth: Array, entry: Array, exit: Array) -> Array:  # noqa: A002
    """Mean chip thickness over any arc of contact.

    Args:
        feed_per_tooth: fz [m], any shape.
        entry: phi_st [rad], broadcasts.
        exit: phi_ex [rad], broadcasts; nan at the entry or before it.

    Returns:
        hm = fz (cos phi_st - cos phi_ex) / (phi_ex - phi_st) [m]; centred, fz (w/D) / arcsin(w/D).

    References:
        Martellotti, Trans. ASME 63 (1941); Koenig & Klocke, Fertigungsverfahren 1.
    """
    start, end = _arc(entry, exit)
    return not_negative(feed_per_tooth) * (np.cos(start) - np.cos(end)) / positive(end - start)


def widest_sine(*, entry: Array, exit: Array) -> Array:  # noqa: A002
    """Largest sine of the immersion between `entry` and `exit` [rad], both from 0 to pi [1]."""
    right_angle = np.pi / 2
    passed = np.logical_and(np.less_equal(entry, right_angle), np.greater_equal(exit, right_angle))
    ends: Array = np.maximum(np.sin(entry), np.sin(exit))
    return chosen(passed, 1.0 + 0 * ends, ends)


def _arc(entry: Array, leave: Array) -> tuple[Array, Array]:
    """Entry and exit, nan unless 0 <= entry <= exit <= pi."""
    fits = np.logical_and(np.greater_equal(entry, 0), np.less_equal(leave, np.pi))
    fits = np.logical_and(fits, np.less_equal(entry, leave))
    return only_where(fits, entry), only_where(fits, leave)
