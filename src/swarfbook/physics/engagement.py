"""How much of a turn a tooth spends in the stock."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, Flags, chosen, only_where, positive
from swarfbook.physics.validity import HELIX


def engagement_ratio(*, radial_width: Array, diameter: Array) -> Array:
    """Radial width as a share of the diameter.

    Args:
        radial_width: ae [m], any shape.
        diameter: D [m], broadcasts.

    Returns:
        ae / D [1]; nan outside 0 < ae <= D.
    """
    ratio = radial_width / positive(diameter)
    return only_where(np.logical_and(np.greater(ratio, 0), np.less_equal(ratio, 1)), ratio)


def engagement_angle(*, radial_width: Array, diameter: Array) -> Array:
    """Arc of contact of one tooth in a side cut.

    Args:
        radial_width: ae [m], any shape.
        diameter: D [m], broadcasts.

    Returns:
        phi_s = arccos(1 - 2 ae/D) [rad], here as 2 arcsin(sqrt(ae/D)), which keeps its digits for the
        thinnest cuts; nan outside 0 < ae <= D.

    References:
        Altintas, Manufacturing Automation, 2nd ed. (2012), ch. 2.
    """
    angle: Array = 2 * np.arcsin(np.sqrt(engagement_ratio(radial_width=radial_width, diameter=diameter)))
    return angle


def immersion(*, radial_width: Array, diameter: Array, climb: Flags) -> tuple[Array, Array]:
    """Immersion angles at which a tooth enters and leaves a side cut.

    Args:
        radial_width: ae [m], any shape.
        diameter: D [m], broadcasts.
        climb: True for climb (down) milling, False for conventional (up), broadcasts.

    Returns:
        (entry, exit) [rad]: (pi - phi_s, pi) climbing, (0, phi_s) conventional; nan outside 0 < ae <= D.

    References:
        Altintas, Manufacturing Automation, 2nd ed. (2012), ch. 2.
    """
    arc = engagement_angle(radial_width=radial_width, diameter=diameter)
    return chosen(climb, np.pi - arc, 0 * arc), chosen(climb, np.pi + 0 * arc, arc)


def tooth_pitch(*, flutes: Array) -> Array:
    """Angle between neighbouring teeth, 2 pi / z [rad], of evenly spaced `flutes` [1]; nan below one."""
    return 2 * np.pi / only_where(np.greater_equal(flutes, 1), flutes)


def lag_angle(*, axial_depth: Array, helix: Array, diameter: Array) -> Array:
    """Angle by which one end of a helical edge trails the other over the depth of cut.

    Args:
        axial_depth: ap [m], any shape.
        helix: beta [rad], its sign does not matter here; broadcasts.
        diameter: D [m], broadcasts.

    Returns:
        psi = 2 ap tan|beta| / D [rad]; nan for a helix outside `validity.HELIX`.

    References:
        Altintas, Manufacturing Automation (2000), ch. 2.
    """
    slope: Array = np.tan(np.abs(only_where(HELIX.covers(helix), helix)))
    return 2 * axial_depth * slope / positive(diameter)


def teeth_in_cut(*, flutes: Array, engagement_angle: Array) -> Array:
    """Mean number of teeth in the stock, z phi_s / (2 pi), of `flutes` [1] and `engagement_angle` [rad]."""
    return engagement_angle / tooth_pitch(flutes=flutes)


def axial_contact_number(*, axial_depth: Array, flutes: Array, helix: Array, diameter: Array) -> Array:
    """Lag of an edge in tooth pitches: a whole number gives a nearly steady force.

    Args:
        axial_depth: ap [m], any shape.
        flutes: z [1], broadcasts.
        helix: beta [rad], broadcasts.
        diameter: D [m], broadcasts.

    Returns:
        ap z tan|beta| / (pi D) [1].
    """
    lag = lag_angle(axial_depth=axial_depth, helix=helix, diameter=diameter)
    return lag / tooth_pitch(flutes=flutes)
