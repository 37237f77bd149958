"""Orthogonal cutting: what a measured chip and two forces tell of the shear plane and the rake face."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, only_where, positive


def shear_angle(*, chip_ratio: Array, rake: Array) -> Array:
    """Angle of the shear plane from the thickness of the chip.

    Args:
        chip_ratio: r, thickness before the cut over that of the chip [1], any shape.
        rake: gamma [rad], broadcasts.

    Returns:
        arctan(r cos gamma / (1 - r sin gamma)) [rad].

    References:
        Merchant, J. Appl. Phys. 16 (1945) 267; Ghosh & Mallik, Manufacturing Science, Problem 1 p. 187.
    """
    ratio = positive(chip_ratio)
    angle: Array = np.arctan2(ratio * np.cos(rake), positive(1 - ratio * np.sin(rake)))
    return angle


def shear_strain(*, shear_angle: Array, rake: Array) -> Array:
    """Shear strain of the chip.

    Args:
        shear_angle: phi [rad], above 0, any shape.
        rake: gamma [rad], broadcasts.

    Returns:
        cot phi + tan(phi - gamma) [1].

    References:
        Merchant, J. Appl. Phys. 16 (1945) 267.
    """
    return 1 / np.tan(positive(shear_angle)) + np.tan(shear_angle - rake)


def shear_force(*, cutting_force: Array, thrust_force: Array, shear_angle: Array) -> Array:
    """Force along the shear plane.

    Args:
        cutting_force: Fc, along the cutting speed [N], any shape.
        thrust_force: Ft, normal to it [N], broadcasts.
        shear_angle: phi [rad], broadcasts.

    Returns:
        Fc cos phi - Ft sin phi [N].

    References:
        Merchant, J. Appl. Phys. 16 (1945) 267.
    """
    return cutting_force * np.cos(shear_angle) - thrust_force * np.sin(shear_angle)


def rake_friction(*, cutting_force: Array, thrust_force: Array, rake: Array) -> Array:
    """Coefficient of friction on the rake face.

    Args:
        cutting_force: Fc [N], any shape.
        thrust_force: Ft [N], broadcasts.
        rake: gamma [rad], broadcasts.

    Returns:
        (Ft + Fc tan gamma) / (Fc - Ft tan gamma) [1].

    References:
        Merchant, J. Appl. Phys. 16 (1945) 267; Sharma, Production Engineering, Ex. 14.10 p. 571.
    """
    slope = np.tan(rake)
    return (thrust_force + cutting_force * slope) / positive(cutting_force - thrust_force * slope)


def friction_share(*, cutting_force: Array, thrust_force: Array, rake: Array, chip_ratio: Array) -> Array:
    """Share of the cutting power that goes into friction on the rake face.

    Args:
        cutting_force: Fc [N], any shape.
        thrust_force: Ft [N], broadcasts.
        rake: gamma [rad], broadcasts.
        chip_ratio: r, also speed of the chip over cutting speed [1], broadcasts.

    Returns:
        (Fc sin gamma + Ft cos gamma) r / Fc [1].

    References:
        Kalpakjian & Schmid, Manufacturing Engineering & Technology, Ex. 21.1 p. 571.
    """
    along = cutting_force * np.sin(rake) + thrust_force * np.cos(rake)
    share: Array = along * positive(chip_ratio) / positive(cutting_force)
    return only_where(np.greater_equal(share, 0), share)
