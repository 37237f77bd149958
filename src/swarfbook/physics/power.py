"""Power at the cutting edge, and what it amounts to per volume removed."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from swarfbook.physics.arrays import Array, not_negative, positive


def cutting_power(*, torque: Array, spindle_speed: Array) -> Array:
    """Mean power at the cutting edge, 2 pi n M [W], of `torque` [N m] at `spindle_speed` [rev/s]."""
    return 2 * np.pi * not_negative(spindle_speed) * torque


def specific_cutting_force(*, cutting_power: Array, material_removal_rate: Array) -> Array:
    """Power per removal rate Pc / Q [Pa = J/m^3], of `cutting_power` [W], `material_removal_rate` [m^3/s]."""
    return cutting_power / positive(material_removal_rate)


def unit_power(
    *, unit_power_constant: Array, feed_factor: Array, wear_factor: Array, material_removal_rate: Array
) -> Array:
    """Cutting power by the unit-power form of the handbooks.

    Args:
        unit_power_constant: Kp [J/m^3], any shape; 1 W s/mm^3 is 1e9 J/m^3.
        feed_factor: C [1], 1 at a feed of 0.30 mm, broadcasts.
        wear_factor: W [1], 1.1 for end milling, broadcasts.
        material_removal_rate: Q [m^3/s], broadcasts.

    Returns:
        Pc = Kp C Q W [W], at the edge: divide by the drive's efficiency for the motor.

    References:
        Machinery's Handbook, 31st ed. (2020), Machining Power, p. 1147.
    """
    return unit_power_constant * feed_factor * not_negative(material_removal_rate) * wear_factor


def unit_power_feed_factor(
    *, feed_per_tooth: Array, table_feeds: NDArray[np.float64], table_factors: NDArray[np.float64]
) -> Array:
    """Feed factor of the unit-power form, read off a handbook's table.

    Args:
        feed_per_tooth: fz [m], any shape; for a thin radial cut the mean chip serves better, as with the
            feed the form is optimistic there.
        table_feeds: feeds of the table [m], rising, shape (k,).
        table_factors: factors C there [1], shape (k,).

    Returns:
        C [1], on straight lines between logarithms: what the table stands for is a power law. Beyond its ends
        the last line goes on.

    Validity:
        0.02 to 1.5 mm in the handbook's table; finer feeds are a guess.

    References:
        Machinery's Handbook, 31st ed. (2020), Machining Power, table of feed factors.
    """
    known, wanted = np.log(table_feeds), np.log(positive(feed_per_tooth))
    factors = np.log(table_factors)
    right = np.clip(np.searchsorted(known, wanted), 1, len(known) - 1)
    slope = (factors[right] - factors[right - 1]) / (known[right] - known[right - 1])
    factor: Array = np.exp(factors[right] + (wanted - known[right]) * slope)
    return factor


def motor_power(*, cutting_power: Array, efficiency: Array) -> Array:
    """Power of the motor by the handbooks' form, Pc / E [W], of `cutting_power` [W] and `efficiency` [1]."""
    return cutting_power / positive(efficiency)
