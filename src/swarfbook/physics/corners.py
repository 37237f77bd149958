"""What a curved wall does to a side cut: how much more of the cutter is in the stock, and its speed."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, Flags, chosen, not_negative, only_where, positive
from swarfbook.physics.chip import radial_thinning_factor
from swarfbook.physics.engagement import engagement_angle


def path_radius(*, wall_radius: Array, diameter: Array, inside: Flags) -> Array:
    """Radius that the cutter's centre goes round.

    Args:
        wall_radius: Rf of the finished wall [m], any shape.
        diameter: D [m], broadcasts.
        inside: True inside a hollow arc, False round the outside of a boss, broadcasts.

    Returns:
        Rf - D/2 inside, Rf + D/2 outside [m]; nan inside where the cutter does not fit.
    """
    radius = positive(diameter) / 2
    return not_negative(positive(wall_radius) + chosen(inside, -radius, radius))


def equivalent_radial_width(
    *, radial_width: Array, wall_radius: Array, diameter: Array, inside: Flags
) -> Array:
    """Radial width of the straight cut that engages the cutter as much as an arc does.

    Args:
        radial_width: ae, stock on the wall [m], any shape.
        wall_radius: Rf of the finished wall [m], broadcasts.
        diameter: D [m], broadcasts.
        inside: True inside a hollow arc, False round the outside of a boss, broadcasts.

    Returns:
        ae (2 Rf - ae) / (2 (Rf - D/2)) inside, ae (2 Rf + ae) / (2 (Rf + D/2)) outside, at most D [m]. As
        the arc tightens to the cutter's own radius, or the stock fills the hollow, the cut becomes a slot.
        nan where the stock is wider than the cutter.

    References:
        Exact geometry: cosine rule between the path's centre, the cutter's and the stock's edge.
    """
    width = only_where(np.less_equal(radial_width, diameter), positive(radial_width))
    hollow: Array = np.minimum(width, wall_radius)
    full = chosen(inside, hollow * (2 * wall_radius - hollow), width * (2 * wall_radius + width)) / 2
    path = path_radius(wall_radius=wall_radius, diameter=diameter, inside=inside)
    # Where the path shrinks to a point the whole side is engaged: compare before dividing.
    fits = np.less(full, path * diameter)
    return chosen(fits, full / chosen(fits, path, 1 + 0 * path), diameter + 0 * full + 0 * path)


def corner_engagement(*, radial_width: Array, diameter: Array, corner_angle: Array = np.pi / 2) -> Array:
    """Arc of contact as a cutter runs into a sharp corner of two straight walls.

    Args:
        radial_width: ae along the first wall [m], any shape.
        diameter: D [m], broadcasts.
        corner_angle: between the walls, seen from the stock's free side [rad], a right angle for a square
            pocket, broadcasts; up to pi, where there is no corner.

    Returns:
        phi_s + pi - corner angle, at most pi [rad]: a square corner adds 90 degrees.

    References:
        Exact geometry.
    """
    open_angle = only_where(np.less_equal(corner_angle, np.pi), positive(corner_angle))
    arc = engagement_angle(radial_width=radial_width, diameter=diameter)
    total: Array = np.minimum(arc + np.pi - open_angle, np.pi)
    return total


def width_of_engagement(*, engagement_angle: Array, diameter: Array) -> Array:
    """Radial width that goes with an arc of contact.

    Args:
        engagement_angle: phi_s [rad], up to pi, any shape.
        diameter: D [m], broadcasts.

    Returns:
        ae = D/2 (1 - cos phi_s) [m].
    """
    arc = only_where(np.less_equal(engagement_angle, np.pi), not_negative(engagement_angle))
    width: Array = positive(diameter) * np.square(np.sin(arc / 2))
    return width


def centre_feed_factor(*, wall_radius: Array, diameter: Array, inside: Flags) -> Array:
    """Feed of the cutter's centre over the feed wanted along the wall.

    Args:
        wall_radius: Rf of the finished wall [m], any shape.
        diameter: D [m], broadcasts.
        inside: True inside a hollow arc, False round the outside of a boss, broadcasts.

    Returns:
        (Rf - D/2) / Rf inside, (Rf + D/2) / Rf outside [1]: a control that feeds the centre is told the
        feed wanted times this.
    """
    return path_radius(wall_radius=wall_radius, diameter=diameter, inside=inside) / positive(wall_radius)


def engagement_factor(*, radial_width: Array, equivalent_width: Array, diameter: Array) -> Array:
    """Arc of contact in a corner over the one along the straight wall.

    Args:
        radial_width: ae along the straight wall [m], any shape.
        equivalent_width: of the corner, from `equivalent_radial_width` or `width_of_engagement` [m],
            broadcasts.
        diameter: D [m], broadcasts.

    Returns:
        how many times as many teeth are in the stock [1]. The loads themselves are those of a straight cut of
        the equivalent width (`turn.loads`).
    """
    bent = engagement_angle(radial_width=equivalent_width, diameter=diameter)
    return bent / engagement_angle(radial_width=radial_width, diameter=diameter)


def removal_factor(*, radial_width: Array, equivalent_width: Array) -> Array:
    """Stock removed per path of the centre in a corner over that along the straight wall.

    Args:
        radial_width: ae along the straight wall [m], any shape.
        equivalent_width: of the corner [m], broadcasts.

    Returns:
        ae_eq / ae [1]: mean torque and power of a purely shearing law grow by it at the same feed.
    """
    return not_negative(equivalent_width) / positive(radial_width)


def thickest_chip_factor(*, radial_width: Array, equivalent_width: Array, diameter: Array) -> Array:
    """Thickest chip in a corner over that along the straight wall, at the same feed per tooth.

    Args:
        radial_width: ae along the straight wall [m], any shape.
        equivalent_width: of the corner [m], broadcasts.
        diameter: D [m], broadcasts.

    Returns:
        ratio of the widest sines of the two arcs [1], from 1 up inside: a thin cut that was sped up for its
        thin chip meets the full feed per tooth in a corner.
    """
    straight = radial_thinning_factor(radial_width=radial_width, diameter=diameter)
    return straight / radial_thinning_factor(radial_width=equivalent_width, diameter=diameter)
