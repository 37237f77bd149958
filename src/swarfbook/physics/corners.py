"""What a curved wall does to a side cut: how much more of the cutter is in the stock, and its speed."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, Flags, chosen, not_negative, only_where, positive
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
