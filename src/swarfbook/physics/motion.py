"""How long moves take and what speed they reach, with one acceleration for all axes."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from swarfbook.physics.arrays import Array, not_negative, only_where, positive
from swarfbook.physics.engagement import engagement_ratio

Numbers = NDArray[np.float64]

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


def blend_radius(*, path_tolerance: Array, turn_angle: Array) -> Array:
    """Radius of the arc that rounds a corner of a path within a tolerance.

    Args:
        path_tolerance: how far the path may cut the corner [m], any shape.
        turn_angle: by which the path turns [rad], 0 straight on, pi straight back, broadcasts.

    Returns:
        e / (1 / cos(turn/2) - 1) [m]: infinite straight on, 0 straight back.

    References:
        Exact geometry: an arc that touches both lines.
    """
    half = only_where(np.less_equal(turn_angle, np.pi), not_negative(turn_angle)) / 2
    cosine = np.cos(half)
    with np.errstate(divide="ignore", invalid="ignore"):
        radius: Array = not_negative(path_tolerance) * cosine / (1 - cosine)
    return radius


def junction_speeds(*, limits: Numbers, distances: Numbers, acceleration: Array) -> Numbers:
    """Speeds at the joints of a path that its acceleration allows.

    Args:
        limits: fastest at each joint, start and end included [m/s], shape (..., k + 1).
        distances: of the moves between them [m], shape (..., k).
        acceleration: a [m/s^2], one for each path, broadcasts against the axes before the last.

    Returns:
        the highest speeds within the limits with |v1^2 - v0^2| <= 2 a d on every move [m/s], shape
        (..., k + 1).
    """
    gain = 2 * np.asarray(positive(acceleration))[..., None] * np.asarray(not_negative(distances))
    way = np.concatenate((np.zeros((*gain.shape[:-1], 1)), np.cumsum(gain, axis=-1)), axis=-1)
    squares = np.square(np.asarray(not_negative(limits)))
    forwards = np.minimum.accumulate(squares - way, axis=-1) + way
    back = np.minimum.accumulate((forwards + way)[..., ::-1], axis=-1)[..., ::-1] - way
    speeds: Numbers = np.sqrt(np.maximum(back, 0))
    return speeds


def path_times(
    *, distances: Numbers, feed_rates: Numbers, joint_limits: Numbers, acceleration: Array
) -> Numbers:
    """Times of the moves of a path that starts and ends at rest.

    Args:
        distances: of the moves [m], shape (..., k).
        feed_rates: programmed for each [m/s], broadcasts.
        joint_limits: fastest at the joints between them, for example `junction_speed` [m/s], shape
            (..., k - 1).
        acceleration: a [m/s^2], one for each path, broadcasts against the axes before the last.

    Returns:
        time of each move [s], shape (..., k); its sum is the time of the path.

    Validity:
        as `speed_reached`; the control looks ahead over the whole path.
    """
    feeds = np.asarray(feed_rates + 0 * distances)
    slower = np.minimum(feeds[..., :-1], feeds[..., 1:])
    still = np.zeros((*feeds.shape[:-1], 1))
    limits = np.concatenate((still, np.minimum(slower, joint_limits), still), axis=-1)
    speeds = junction_speeds(limits=limits, distances=distances, acceleration=acceleration)
    times: Numbers = np.asarray(
        move_time(
            distance=distances,
            feed_rate=feeds,
            acceleration=np.asarray(acceleration)[..., None],
            start_speed=speeds[..., :-1],
            end_speed=speeds[..., 1:],
        )
    )
    return times


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
