"""Power at the cutting edge, and what it amounts to per volume removed."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, not_negative, positive


def cutting_power(*, torque: Array, spindle_speed: Array) -> Array:
    """Mean power at the cutting edge, 2 pi n M [W], of `torque` [N m] at `spindle_speed` [rev/s]."""
    return 2 * np.pi * not_negative(spindle_speed) * torque


def specific_cutting_force(*, cutting_power: Array, removal_rate: Array) -> Array:
    """Power per removal rate, Pc / Q [Pa = J/m^3], of `cutting_power` [W] and `removal_rate` [m^3/s]."""
    return cutting_power / positive(removal_rate)


def unit_power(
    *, unit_power_constant: Array, feed_factor: Array, wear_factor: Array, removal_rate: Array
) -> Array:
    """Cutting power by the unit-power form of the handbooks.

    Args:
        unit_power_constant: Kp [J/m^3], any shape; 1 W s/mm^3 is 1e9 J/m^3.
        feed_factor: C [1], 1 at a feed of 0.30 mm, broadcasts.
        wear_factor: W [1], 1.1 for end milling, broadcasts.
        removal_rate: Q [m^3/s], broadcasts.

    Returns:
        Pc = Kp C Q W [W], at the edge: divide by the drive's efficiency for the motor.

    References:
        Machinery's Handbook, 31st ed. (2020), Machining Power, p. 1147.
    """
    return unit_power_constant * feed_factor * not_negative(removal_rate) * wear_factor
