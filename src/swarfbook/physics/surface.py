"""What a cut leaves behind: feed marks, scallops, and the error of a wall that the cutter was bent away from.

Every height here is a lower bound: a surface that was really cut is usually two to five times as rough, by
run-out, rubbing and built-up edge.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from swarfbook.physics.arrays import Array, Flags, chosen, not_negative, only_where, positive
from swarfbook.physics.engagement import immersion
from swarfbook.physics.helical import SMALLEST_LAG, Cuts, arc_cuts, column, forces
from swarfbook.physics.laws import CuttingLaw
from swarfbook.physics.validity import Range

Numbers = NDArray[np.float64]

ROUGHNESS_FACTOR = Range(
    "measured over theoretical roughness", 2.0, 5.0, "workshop practice: run-out, ploughing, built-up edge"
)
"""By how much real surfaces are rougher than the heights below."""
MEAN_OF_ARCS = 4 / (9 * math.sqrt(3))
"""Arithmetic mean deviation over height of a row of parabolic marks: 0.2566."""


def wall_mark_height(
    *, feed_per_tooth: Array, flutes: Array, diameter: Array, climb: Flags, marks_per_turn: Array
) -> Array:
    """Height of the feed marks that the side of a cutter leaves on a wall.

    Args:
        feed_per_tooth: fz [m], any shape.
        flutes: z [1], broadcasts.
        diameter: D [m], broadcasts.
        climb: True for climb milling, broadcasts.
        marks_per_turn: marks that a turn leaves [1], broadcasts: z of an exact cutter, 1 of one that runs
            out, where the tooth that stands out furthest makes all of them.

    Returns:
        s^2 / (8 (R +- fz z / pi)) [m], s = fz z / marks the spacing of the marks, + conventional, - climb:
        a conventional tooth runs the flatter arc. About fz^2 / (4 D).

    Validity:
        a rigid cutter: `ROUGHNESS_FACTOR`.

    References:
        Martellotti, Trans. ASME 63 (1941) 677.
    """
    per_turn = not_negative(feed_per_tooth) * positive(flutes)
    shift = chosen(climb, -per_turn, per_turn) / np.pi
    spacing = per_turn / positive(marks_per_turn)
    return spacing * spacing / (8 * positive(positive(diameter) / 2 + shift))


def floor_mark_height(*, mark_spacing: Array, corner_radius: Array) -> Array:
    """Height of the marks that rounded corners leave on a floor.

    Args:
        mark_spacing: feed between two marks [m], any shape: per tooth, or per turn of a cutter that runs out.
        corner_radius: RE [m], broadcasts.

    Returns:
        RE - sqrt(RE^2 - s^2/4) [m], about s^2 / (8 RE); nan where the marks are further apart than 2 RE.

    Validity:
        a rigid cutter whose spindle is square to the floor: `ROUGHNESS_FACTOR`.

    References:
        Ghosh & Mallik, Manufacturing Science, Problem 24 p. 260.
    """
    return _circle_height(not_negative(mark_spacing) / 2, positive(corner_radius))


def _circle_height(half: Array, radius: Array) -> Array:
    """Height of a circle's arc over half its chord; nan for a chord above the diameter."""
    reached = only_where(np.less_equal(half, radius), half)
    height: Array = reached * reached / (radius + np.sqrt(radius * radius - reached * reached))
    return height


def sharp_mark_height(*, mark_spacing: Array, side_edge_angle: Array, end_edge_angle: Array) -> Array:
    """Height of the ridges that sharp corners leave.

    Args:
        mark_spacing: feed between two ridges [m], any shape.
        side_edge_angle: SCEA, of the side edge from the axis [rad], broadcasts.
        end_edge_angle: ECEA, of the end edge from the floor [rad], above 0, broadcasts.

    Returns:
        s / (tan SCEA + cot ECEA) [m].

    References:
        Ghosh & Mallik, Manufacturing Science, Problem 24 p. 260.
    """
    rise = np.tan(not_negative(side_edge_angle)) + 1 / np.tan(positive(end_edge_angle))
    height: Array = not_negative(mark_spacing) / positive(rise)
    return height


def scallop_height(*, pass_spacing: Array, diameter: Array, slope: Array = 0.0) -> Array:
    """Height of the ridges between the passes of a ball cutter.

    Args:
        pass_spacing: ae between passes, seen along the cutter's axis [m], any shape.
        diameter: D of the ball [m], broadcasts.
        slope: of the surface against the plane of the steps [rad], below a right angle, broadcasts.

    Returns:
        R - sqrt(R^2 - (ae / (2 cos slope))^2) [m], about ae^2 / (8 R cos^2 slope); nan where the passes do
        not meet.

    References:
        Exact geometry.
    """
    half: Array = not_negative(pass_spacing) / (2 * positive(np.cos(slope)))
    return _circle_height(half, positive(diameter) / 2)


def pass_spacing_for_scallop(*, scallop: Array, diameter: Array, slope: Array = 0.0) -> Array:
    """Step between the passes of a ball cutter that leaves ridges of a height.

    Args:
        scallop: height of the ridges wanted [m], any shape, up to the ball's radius.
        diameter: D of the ball [m], broadcasts.
        slope: of the surface against the plane of the steps [rad], broadcasts.

    Returns:
        2 sqrt(h (D - h)) cos slope [m]: `scallop_height` turned round.
    """
    across = positive(diameter)
    height = only_where(np.less_equal(scallop, across / 2), not_negative(scallop))
    step: Array = 2 * np.sqrt(height * (across - height)) * positive(np.cos(slope))
    return step


def mean_roughness_of_arcs(*, mark_height: Array) -> Array:
    """Least Ra of round marks, 4 Rt / (9 sqrt 3) [m], of their `mark_height` Rt [m]: a lower bound."""
    return MEAN_OF_ARCS * not_negative(mark_height)


def wall_error_bound(*, force_y_peak: Array, stiffness: Array) -> Array:
    """Error of a wall that no point of it exceeds, for a first look.

    Args:
        force_y_peak: largest |Fy| over a turn [N], any shape.
        stiffness: of cutter and machine at the load [N/m], broadcasts.

    Returns:
        |Fy| / k [m], whichever way.
    """
    return not_negative(force_y_peak) / positive(stiffness)


def wall_error(
    *,
    law: CuttingLaw,
    diameter: Array,
    flutes: Array,
    helix: Array,
    axial_depth: Array,
    radial_width: Array,
    feed_per_tooth: Array,
    climb: Flags,
    stiffness: Array,
    heights: Numbers,
) -> Array:
    """Stock that the bending of the cutter leaves on a wall, along its height.

    A point of the wall gets its final shape when an edge at its height passes it: at immersion 0 in
    conventional and at pi in climb milling. What counts is the force on the whole cutter at that moment.

    Args:
        law: cutting law, coefficients floats or arrays that broadcast with the rest.
        diameter: D [m], any shape.
        flutes: z [1], broadcasts.
        helix: beta [rad], broadcasts; negative for a left-hand (down-cut) helix.
        axial_depth: ap [m], broadcasts.
        radial_width: ae [m], broadcasts.
        feed_per_tooth: fz [m], broadcasts.
        climb: True for climb milling, broadcasts.
        stiffness: k of cutter and machine at the load [N/m], broadcasts.
        heights: above the tip as shares of the depth, from 0 to 1 [1], shape (k,).

    Returns:
        stock left on the wall [m], of the common shape and (k,): above 0 the wall stands proud, below 0 it is
        cut too deep. Fy / k climbing, -Fy / k conventional. A straight flute makes the whole height at once.

    Validity:
        small against the radial width (the chip is not followed back), a stiff machine in x, one stiffness
        for all heights, no run-out.

    References:
        Kline, DeVor & Shareef, J. Eng. Ind. 104 (1982) 272; Budak & Altintas, IJMTM 34 (1994) 459.
    """
    entry, leave = immersion(radial_width=radial_width, diameter=diameter, climb=climb)
    cuts, shape = arc_cuts(
        law=law,
        diameter=diameter + 0 * stiffness,
        flutes=flutes,
        helix=helix,
        axial_depth=axial_depth,
        feed_per_tooth=feed_per_tooth,
        entry=entry,
        exit=leave,
    )
    away = forces(cuts, _finishing_leads(cuts, column(climb, shape), heights))[2]
    away = away.reshape(*shape, np.size(heights))
    spring = np.asarray(positive(stiffness))[..., None]
    left: Array = np.where(np.asarray(climb)[..., None], away, -away) / spring
    return left


def _finishing_leads(cuts: Cuts, climb: Numbers, heights: Numbers) -> Numbers:
    """How far the foremost end of an edge stands past the entry when the edge passes the wall at heights.

    All of a straight flute is in the stock at that moment: just before it leaves, just after it entered.
    """
    behind = np.where(cuts.hand > 0, heights, 1 - np.asarray(heights))
    behind = np.where(cuts.lag > SMALLEST_LAG, behind, 1 - climb)
    leads: Numbers = np.mod(climb * (cuts.exit - cuts.entry) + cuts.lag * behind, cuts.pitch_angle)
    return leads
