"""How long moves take and what speed they reach, with one acceleration for all axes."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, not_negative, only_where, positive
from swarfbook.physics.engagement import engagement_ratio

ROUNDING = 1e-9
"""Share by which the speeds at the joints of a long path may be off by rounding."""


def speed_reached(
    *,
    distance: Array,
    feed_rate: Array,
    acceleration: Array,
    start_speed: Array = 0.0,
    end_speed: Array = 0.0,
) -> Array:
    """Fastest speed of a straight move between two speeds.

    Args:
        distance: d [m], any shape.
        feed_rate: v programmed [m/s], broadcasts.
        acceleration: a, the same up and down [m/s^2], broadcasts.
        start_speed: v0 [m/s], broadcasts.
        end_speed: v1 [m/s], broadcasts.

    Returns:
        min(v, sqrt(a d + (v0^2 + v1^2) / 2)) [m/s]: from rest to rest sqrt(a d). nan where the move is too
        short to get from one speed to the other.

    Validity:
        steps in acceleration. A control that limits jerk is slower on short moves.
    """
    first, last, climb = _squares(distance, acceleration, start_speed, end_speed)
    reachable = np.less_equal(np.abs(first - last), 2 * climb + ROUNDING * (first + last))
    top: Array = np.sqrt(only_where(reachable, climb + (first + last) / 2))
    fastest: Array = np.minimum(top, positive(feed_rate))
    within = np.less_equal(np.maximum(first, last), np.square(feed_rate) * (1 + ROUNDING))
    return only_where(within, fastest)


def _squares(distance: Array, acceleration: Array, start: Array, end: Array) -> tuple[Array, Array, Array]:
    """Squares of the two end speeds, and of the speed gained over the whole distance, halved."""
    return (
        np.square(not_negative(start)),
        np.square(not_negative(end)),
        positive(acceleration) * not_negative(distance),
    )


def move_time(
    *,
    distance: Array,
    feed_rate: Array,
    acceleration: Array,
    start_speed: Array = 0.0,
    end_speed: Array = 0.0,
) -> Array:
    """Time of a straight move between two speeds.

    Args:
        distance: d [m], any shape.
        feed_rate: v programmed [m/s], broadcasts.
        acceleration: a, the same up and down [m/s^2], broadcasts.
        start_speed: v0 [m/s], broadcasts.
        end_speed: v1 [m/s], broadcasts.

    Returns:
        time up, along at the top and down [s]: from rest to rest d/v + v/a where d >= v^2/a, else
        2 sqrt(d/a). nan as in `speed_reached`.

    Validity:
        as `speed_reached`.
    """
    top = speed_reached(
        distance=distance,
        feed_rate=feed_rate,
        acceleration=acceleration,
        start_speed=start_speed,
        end_speed=end_speed,
    )
    first, last, climb = _squares(distance, acceleration, start_speed, end_speed)
    changing = (2 * top - start_speed - end_speed) / positive(acceleration)
    steady = climb - np.square(top) + (first + last) / 2
    # A move of no length has no top speed to divide by, and takes no time.
    along: Array = np.maximum(steady, 0) / (acceleration * np.maximum(top, np.finfo(float).tiny))
    return changing + along


def junction_speed(*, path_radius: Array, acceleration: Array) -> Array:
    """Speed at which a bend asks for all of the acceleration, sqrt(a r).

    Args:
        path_radius: r of the centre's path, or of the arc a control rounds a corner with [m], any shape.
        acceleration: a [m/s^2], broadcasts.

    Returns:
        v [m/s].
    """
    speed: Array = np.sqrt(positive(acceleration) * not_negative(path_radius))
    return speed


def feed_per_tooth_reached(*, feed_per_tooth: Array, feed_rate: Array, speed_reached: Array) -> Array:
    """Chip load that is left where a move does not come up to its feed.

    Args:
        feed_per_tooth: fz at the feed programmed [m], any shape.
        feed_rate: v programmed [m/s], broadcasts.
        speed_reached: v of the path [m/s], broadcasts.

    Returns:
        fz v / v_programmed [m]: the spindle does not slow down with the feed.
    """
    return not_negative(feed_per_tooth) * not_negative(speed_reached) / positive(feed_rate)


def approach_distance(*, radial_width: Array, diameter: Array) -> Array:
    """Way from a cutter's first touch of the stock to its full radial width.

    Args:
        radial_width: ae [m], any shape.
        diameter: D [m], broadcasts.

    Returns:
        sqrt(ae (D - ae)) up to ae = D/2, D/2 beyond [m]. Books on slab milling round it to sqrt(ae D).

    References:
        Groover, Fundamentals of Modern Manufacturing, milling.
    """
    ratio = engagement_ratio(radial_width=radial_width, diameter=diameter)
    reached: Array = np.minimum(ratio, 0.5)
    way: Array = diameter * np.sqrt(reached * (1 - reached))
    return way
