"""Unbalance of a turning tool: what a grade allows, and the force it makes."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, not_negative, positive

TURN = 2 * np.pi


def permissible_unbalance(*, balance_grade: Array, rotor_mass: Array, spindle_speed: Array) -> Array:
    """Unbalance that a balance grade allows.

    Args:
        balance_grade: G, speed of the centre of mass [m/s], any shape: G 6.3 is 6.3e-3 m/s.
        rotor_mass: m of what turns [kg], broadcasts.
        spindle_speed: n [rev/s], broadcasts.

    Returns:
        U = G m / (2 pi n) [kg m]; 1 g mm is 1e-6 kg m.

    References:
        ISO 21940-11 (2016), formerly ISO 1940-1: U = 9549 G m / n in g mm, mm/s, kg, 1/min.
    """
    return not_negative(balance_grade) * positive(rotor_mass) / (TURN * positive(spindle_speed))


def balance_grade(*, unbalance: Array, rotor_mass: Array, spindle_speed: Array) -> Array:
    """Grade that an unbalance amounts to at a speed.

    Args:
        unbalance: U [kg m], any shape.
        rotor_mass: m of what turns [kg], broadcasts.
        spindle_speed: n [rev/s], broadcasts.

    Returns:
        G = U 2 pi n / m [m/s].
    """
    return not_negative(unbalance) * TURN * not_negative(spindle_speed) / positive(rotor_mass)


def unbalance_force(*, unbalance: Array, spindle_speed: Array) -> Array:
    """Force that an unbalance turns round with.

    Args:
        unbalance: U [kg m], any shape.
        spindle_speed: n [rev/s], broadcasts.

    Returns:
        F = U (2 pi n)^2 [N].
    """
    turning = TURN * not_negative(spindle_speed)
    return not_negative(unbalance) * turning * turning
