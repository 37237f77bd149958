"""Tool life by Taylor's law. Not for sharp carbide in aluminium, which ends by build-up or breakage."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, not_negative, positive
from swarfbook.physics.validity import Range

HIGH_SPEED_STEEL = Range("taylor_exponent", 0.08, 0.2, "Groover, Table 23.2, and workshop practice; memory")
CARBIDE = Range("taylor_exponent", 0.2, 0.5, "Groover, Table 23.2, and workshop practice; memory")
CERAMIC = Range("taylor_exponent", 0.5, 0.7, "Groover, Table 23.2, and workshop practice; memory")


def _power(base: Array, exponent: Array) -> Array:
    """A power by logarithms: unlike `**` it does not make 1 of 1 to the nan."""
    value: Array = np.exp(np.log(base) * exponent)
    return value


def tool_life(
    *, known_life: Array, known_speed: Array, cutting_speed: Array, taylor_exponent: Array
) -> Array:
    """Life at a cutting speed from a life known at another.

    Args:
        known_life: T1 [s], any shape.
        known_speed: v1 [m/s], broadcasts.
        cutting_speed: v2 [m/s], broadcasts.
        taylor_exponent: n of v T^n = C [1], broadcasts: `HIGH_SPEED_STEEL`, `CARBIDE`, `CERAMIC`.

    Returns:
        T1 (v1/v2)^(1/n) [s].

    Validity:
        speeds near the known one, the same material, feed, depth and wear at the end.

    References:
        Taylor, On the Art of Cutting Metals (1907); Sharma, Production Engineering, Ex. 14.1 p. 563.
    """
    ratio = positive(known_speed) / positive(cutting_speed)
    return positive(known_life) * _power(ratio, 1 / positive(taylor_exponent))


def life_factor(*, change: Array, exponent_of_change: Array, taylor_exponent: Array) -> Array:
    """Life after a change of speed, feed or depth, over the life before it.

    Args:
        change: new value over old [1], any shape.
        exponent_of_change: of the quantity changed in v T^n f^a ap^b = C [1], broadcasts; 1 for the speed.
        taylor_exponent: n [1], broadcasts.

    Returns:
        change^(-exponent / n) [1]; factors of several changes multiply.

    References:
        Sharma, Production Engineering, Ex. 14.4 p. 566.
    """
    return _power(positive(change), -exponent_of_change / positive(taylor_exponent))


def speed_for_life(*, life: Array, taylor_constant: Array, taylor_exponent: Array) -> Array:
    """Cutting speed at which a tool lasts for a time.

    Args:
        life: T [s], any shape.
        taylor_constant: C, speed for a life of one minute [m/s], broadcasts.
        taylor_exponent: n [1], broadcasts.

    Returns:
        C / (T in minutes)^n [m/s].
    """
    return positive(taylor_constant) / _power(positive(life) / 60, positive(taylor_exponent))


def cheapest_life(*, taylor_exponent: Array, change_time: Array, tool_cost: Array, cost_rate: Array) -> Array:
    """Tool life at which a part costs least.

    Args:
        taylor_exponent: n [1], any shape.
        change_time: of a tool [s], broadcasts.
        tool_cost: of an edge, in money, broadcasts [1].
        cost_rate: of machine and person, in the same money a second [1/s], broadcasts.

    Returns:
        (1/n - 1)(t + cost / rate) [s].

    References:
        Ghosh & Mallik, Manufacturing Science, Problem 26 p. 268.
    """
    return (1 / positive(taylor_exponent) - 1) * (
        not_negative(change_time) + not_negative(tool_cost) / positive(cost_rate)
    )


def fastest_life(*, taylor_exponent: Array, change_time: Array) -> Array:
    """Tool life at which most parts are made in a day, (1/n - 1) t.

    Args:
        taylor_exponent: n [1], any shape.
        change_time: t of a tool [s], broadcasts.

    Returns:
        T [s].

    References:
        Ghosh & Mallik, Manufacturing Science, Problem 28 p. 271.
    """
    return (1 / positive(taylor_exponent) - 1) * not_negative(change_time)
