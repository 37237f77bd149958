"""Length of the cutter's way round simple shapes, exact geometry."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, not_negative, only_where, positive


def helix_length(*, path_diameter: Array, helix_pitch: Array, hole_depth: Array) -> Array:
    """Way of a cutter's centre down a hole by a helix, with one level turn at the bottom.

    Args:
        path_diameter: D_m, hole less cutter [m], any shape.
        helix_pitch: way down in one turn [m], broadcasts.
        hole_depth: of the hole [m], broadcasts.

    Returns:
        depth/pitch sqrt((pi Dm)^2 + pitch^2) + pi Dm [m].
    """
    around = np.pi * positive(path_diameter)
    turns = not_negative(hole_depth) / positive(helix_pitch)
    length: Array = turns * np.hypot(around, helix_pitch) + around
    return length


def outline_length(*, part_length: Array, part_width: Array, cutter_radius: Array) -> Array:
    """Way of a cutter's centre once round the outside of a rectangle, with an arc about each corner.

    Args:
        part_length: of the rectangle [m], any shape.
        part_width: of the rectangle [m], broadcasts.
        cutter_radius: by which the way lies outside [m], broadcasts.

    Returns:
        2 (l + w) + 2 pi r [m].
    """
    way: Array = 2 * (positive(part_length) + positive(part_width)) + 2 * np.pi * not_negative(cutter_radius)
    return way


def passes(*, whole: Array, each: Array) -> Array:
    """Number of passes that cover a depth or a width, each at most so much; the last may be thinner.

    Args:
        whole: depth or width [m], any shape.
        each: of one pass [m], broadcasts.

    Returns:
        the whole number at or above whole/each [1]; nan for passes of nothing.
    """
    # A hair of rounding must not buy a pass.
    count: Array = np.ceil(not_negative(whole) / positive(each) * (1 - 1e-12))
    return only_where(np.isfinite(count), np.maximum(count, 1.0))
