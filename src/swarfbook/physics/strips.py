"""Where the stock stands beside a cutter that goes past it."""

from __future__ import annotations

import numpy as np

from swarfbook.frozen import frozen
from swarfbook.physics.arrays import Array, Flags, chosen, only_where
from swarfbook.physics.engagement import engagement_ratio


@frozen
class Strip:
    """Stock between two upright planes along the feed, the cutter's axis at nought.

    Attributes:
        low: y of the plane on the side of -y [m]; minus infinity where the stock goes on.
        high: y of the plane on the side of +y [m]; infinity where the stock goes on.
        follows: the finite plane is no plane but has the outline of the cutter, as an earlier pass left it.
    """

    low: Array
    high: Array
    follows: Flags

    def bounds(self) -> tuple[Array, Array, Flags]:
        """All that decides the shape of the answers."""
        return self.low, self.high, self.follows


def side_strip(*, radial_width: Array, diameter: Array, climb: Flags, earlier_pass: Flags) -> Strip:
    """Stock of a side cut: the free edge stands `R - ae` from the axis.

    Args:
        radial_width: ae [m], any shape.
        diameter: D [m], broadcasts.
        climb: True for climb milling, broadcasts.
        earlier_pass: True where an earlier pass, ae beside this one, left the free edge, broadcasts.

    Returns:
        the strip; nan outside 0 < ae <= D.
    """
    share = engagement_ratio(radial_width=radial_width, diameter=diameter)
    free = diameter / 2 - radial_width + 0 * share
    known = np.isfinite(free)
    low = chosen(np.logical_and(climb, known), -np.inf, free)
    high = chosen(np.logical_and(np.logical_not(climb), known), np.inf, -free)
    return Strip(low=low, high=high, follows=earlier_pass)


def facing_strip(*, stock_width: Array, stock_offset: Array) -> Strip:
    """Stock that a cutter faces: a strip with two free edges.

    Args:
        stock_width: across the feed [m], any shape.
        stock_offset: y of the middle of the stock from the cutter's axis [m], either sign, broadcasts.

    Returns:
        the strip; nan unless the width is above nought.
    """
    half = only_where(np.greater(stock_width, 0), stock_width) / 2
    return Strip(low=stock_offset - half, high=stock_offset + half, follows=False)
