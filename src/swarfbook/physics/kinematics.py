"""Speeds, feeds and the volume they remove. Spindle speed is in turns a second."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, not_negative, positive


def cutting_speed(*, diameter: Array, spindle_speed: Array) -> Array:
    """Speed of the cutting edge.

    Args:
        diameter: D [m], any shape.
        spindle_speed: n [rev/s], broadcasts.

    Returns:
        vc = pi D n [m/s].

    References:
        ISO 3002-1 (1982); n = 1000 vc / (pi D) in mm, m/min and 1/min.
    """
    return np.pi * positive(diameter) * not_negative(spindle_speed)


def spindle_speed(*, cutting_speed: Array, diameter: Array) -> Array:
    """Spindle speed that gives a cutting speed.

    Args:
        cutting_speed: vc [m/s], any shape.
        diameter: D [m], broadcasts.

    Returns:
        n = vc / (pi D) [rev/s].
    """
    return not_negative(cutting_speed) / (np.pi * positive(diameter))


def feed_rate(*, feed_per_tooth: Array, flutes: Array, spindle_speed: Array) -> Array:
    """Speed of the cutter along its path.

    Args:
        feed_per_tooth: fz [m], any shape.
        flutes: z [1], broadcasts.
        spindle_speed: n [rev/s], broadcasts.

    Returns:
        vf = fz z n [m/s].
    """
    return not_negative(feed_per_tooth) * positive(flutes) * not_negative(spindle_speed)


def feed_per_tooth(*, feed_rate: Array, flutes: Array, spindle_speed: Array) -> Array:
    """Feed per tooth that a feed rate amounts to.

    Args:
        feed_rate: vf [m/s], any shape.
        flutes: z [1], broadcasts.
        spindle_speed: n [rev/s], broadcasts.

    Returns:
        fz = vf / (z n) [m].
    """
    return not_negative(feed_rate) / (positive(flutes) * positive(spindle_speed))


def material_removal_rate(*, axial_depth: Array, radial_width: Array, feed_rate: Array) -> Array:
    """Volume of stock turned into chips per time.

    Args:
        axial_depth: ap [m], any shape.
        radial_width: ae [m], broadcasts.
        feed_rate: vf [m/s], broadcasts.

    Returns:
        Q = ap ae vf [m^3/s].
    """
    return not_negative(axial_depth) * not_negative(radial_width) * not_negative(feed_rate)


def tooth_passing_frequency(*, flutes: Array, spindle_speed: Array) -> Array:
    """Teeth passing a point per time, z n [Hz], of `flutes` [1] and `spindle_speed` [rev/s]."""
    return positive(flutes) * not_negative(spindle_speed)
