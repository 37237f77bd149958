"""Ways into solid stock: ramps, helices and plunges, and what limits how steep they may be."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, chosen, not_negative, only_where, positive


def helix_path_diameter(*, hole_diameter: Array, diameter: Array) -> Array:
    """Diameter of the circle that the cutter's centre goes round in a bored hole.

    Args:
        hole_diameter: Dh [m], any shape.
        diameter: D of the cutter [m], broadcasts.

    Returns:
        Dm = Dh - D [m]; nan where the hole is no wider than the cutter.
    """
    return positive(positive(hole_diameter) - positive(diameter))


def helix_ramp_angle(*, descent_per_turn: Array, path_diameter: Array) -> Array:
    """Angle at which a helix goes down, arctan(P / (pi Dm)).

    Args:
        descent_per_turn: P, down per turn of the helix [m], any shape.
        path_diameter: Dm of the cutter's centre [m], broadcasts.

    Returns:
        theta [rad].
    """
    angle: Array = np.arctan(not_negative(descent_per_turn) / (np.pi * positive(path_diameter)))
    return angle


def helix_descent(*, ramp_angle: Array, path_diameter: Array) -> Array:
    """Way down per turn of a helix at an angle, pi Dm tan theta.

    Args:
        ramp_angle: theta [rad], below a right angle, any shape.
        path_diameter: Dm of the cutter's centre [m], broadcasts.

    Returns:
        P [m].
    """
    return np.pi * positive(path_diameter) * np.tan(_below_upright(ramp_angle))


def _below_upright(angle: Array) -> Array:
    """An angle from 0 to below pi/2, nan elsewhere."""
    return only_where(np.less(angle, np.pi / 2), not_negative(angle))


def straight_ramp_angle(*, axial_depth: Array, ramp_length: Array) -> Array:
    """Angle of a straight ramp, arctan(ap / L).

    Args:
        axial_depth: ap reached at its end [m], any shape.
        ramp_length: L, along the floor [m], broadcasts.

    Returns:
        theta [rad].
    """
    angle: Array = np.arctan(not_negative(axial_depth) / positive(ramp_length))
    return angle


def depth_along_ramp(*, distance: Array, ramp_angle: Array) -> Array:
    """Depth that a straight ramp has reached: it grows in proportion, the engagement is a slot throughout.

    Args:
        distance: from its start along the floor [m], any shape.
        ramp_angle: theta [rad], broadcasts.

    Returns:
        x tan theta [m].
    """
    return not_negative(distance) * np.tan(_below_upright(ramp_angle))


def vertical_feed_rate(*, feed_rate: Array, ramp_angle: Array) -> Array:
    """Speed at which a ramp goes down, vf sin theta.

    Args:
        feed_rate: vf along the path [m/s], any shape.
        ramp_angle: theta [rad], broadcasts.

    Returns:
        vz [m/s].
    """
    return not_negative(feed_rate) * np.sin(_not_over(ramp_angle))


def axial_feed_per_tooth(*, feed_per_tooth: Array, ramp_angle: Array) -> Array:
    """Chip that the bottom edges of a ramping cutter take, fz sin theta.

    Args:
        feed_per_tooth: fz along the path [m], any shape.
        ramp_angle: theta [rad], broadcasts.

    Returns:
        axial chip per tooth [m].
    """
    return not_negative(feed_per_tooth) * np.sin(_not_over(ramp_angle))


def _not_over(angle: Array) -> Array:
    """An angle from 0 to a right one, which is a plunge; nan elsewhere."""
    return only_where(np.less_equal(angle, np.pi / 2), not_negative(angle))


def ramp_angle_for_relief(*, centre_relief: Array, dead_diameter: Array) -> Array:
    """Steepest ramp at which the middle of a cutter that does not cut to its centre stays clear.

    Args:
        centre_relief: how far the middle is set back from the end edges [m], any shape.
        dead_diameter: of the middle without an edge [m], broadcasts; 0 for a centre-cutting end mill.

    Returns:
        arctan(relief / dead diameter) [rad]: while the middle passes over a point the cutter may go down by
        the relief. A right angle without a dead middle.

    References:
        Exact geometry.
    """
    relief, dead = not_negative(centre_relief), not_negative(dead_diameter)
    angle: Array = chosen(np.greater(dead, 0), np.arctan2(relief, dead), np.pi / 2 + 0 * (relief + dead))
    return angle
