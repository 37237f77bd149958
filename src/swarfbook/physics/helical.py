"""Forces of helical edges, many cuts and many angles at once.

An edge's lag is proportional to height, so the force on the part of it that is in the stock is the depth of
cut times the difference of an antiderivative over the immersion, divided by the lag. Straight flutes are
given the smallest lag that keeps the digits, so that they join the helical ones without a step.
"""

from __future__ import annotations

from dataclasses import fields

import numpy as np
from numpy.typing import NDArray

from swarfbook.frozen import frozen
from swarfbook.physics.arrays import Array, Flags
from swarfbook.physics.engagement import lag_angle, tooth_pitch
from swarfbook.physics.laws import CuttingLaw
from swarfbook.physics.sampling import Indices, Numbers, knots

SMALLEST_LAG = 1e-6
"""Lag given to a straight flute [rad]: it blurs the forces by this much, and rounding adds 1e-9."""


@frozen
class Cuts:
    """Cuts of square cutters, one a row; every array has the shape (cuts, 1).

    Where an input has no meaning the depth is nan, and so is every force; the angles are stand-ins there.
    """

    law: CuttingLaw
    feed_per_tooth: Numbers
    axial_depth: Numbers
    radius: Numbers
    hand: Numbers
    entry: Numbers
    exit: Numbers
    lag: Numbers
    pitch_angle: Numbers

    def window(self) -> Numbers:
        """Turn from the first touch of an edge to its last [rad]."""
        return self.exit - self.entry + self.lag

    def passes(self) -> Indices:
        """How many neighbouring teeth can be in the stock together, at least 1; shape (cuts,)."""
        return np.maximum(np.ceil(self.window() / self.pitch_angle), 1)[:, 0].astype(np.intp)

    def pick(self, rows: Indices) -> Cuts:
        """The cuts of some rows."""
        columns = {field.name: getattr(self, field.name)[rows] for field in fields(self)[1:]}
        return Cuts(law=self.law.each(lambda c: _rows_of(c, rows)), **columns)


def _rows_of(coefficient: Array, rows: Indices) -> Array:
    """The rows of a coefficient that differs from cut to cut, or the one that serves them all."""
    return coefficient[rows] if isinstance(coefficient, np.ndarray) else coefficient


def column(value: Array | Flags, shape: tuple[int, ...]) -> NDArray[np.float64]:
    """A value for every cut, as a column."""
    return np.broadcast_to(np.asarray(value, dtype=np.float64), shape).reshape(-1, 1)


def coefficient(value: Array, shape: tuple[int, ...]) -> Array:
    """A law's coefficient as a column if it differs from cut to cut, else as a float."""
    return column(value, shape) if np.ndim(value) else float(value)


def arc_cuts(
    *,
    law: CuttingLaw,
    diameter: Array,
    flutes: Array,
    helix: Array,
    axial_depth: Array,
    feed_per_tooth: Array,
    entry: Array,
    exit: Array,  # noqa: A002
) -> tuple[Cuts, tuple[int, ...]]:
    """Lay out cuts over given arcs of contact as rows, and give the shape their answers are to take.

    Args:
        law: cutting law, coefficients floats or arrays that broadcast with the rest.
        diameter: D [m], any shape.
        flutes: z [1], broadcasts.
        helix: beta [rad], broadcasts.
        axial_depth: ap [m], broadcasts.
        feed_per_tooth: fz [m], broadcasts.
        entry: phi_st [rad], from 0, broadcasts.
        exit: phi_ex [rad], above the entry and up to pi, broadcasts.

    Returns:
        the cuts and the common shape of all inputs.
    """
    inputs = (diameter, flutes, helix, axial_depth, feed_per_tooth, entry, exit)
    shape = np.broadcast_shapes(*(np.shape(value) for value in (*inputs, *law.coefficients())))
    lag = lag_angle(axial_depth=axial_depth, helix=helix, diameter=diameter)
    numbers = (feed_per_tooth, axial_depth, diameter, helix, entry, exit, lag, tooth_pitch(flutes=flutes))
    feed, depth, across, twist, start, end, trail, pitch_angle = (column(value, shape) for value in numbers)
    known = np.isfinite(feed + depth + across + trail + pitch_angle) & (feed >= 0) & (depth >= 0)
    known &= (start >= 0) & (end > start) & (end <= np.pi)
    cuts = Cuts(
        law=law.each(lambda c: coefficient(c, shape)),
        feed_per_tooth=np.where(known, feed, 0.0),
        axial_depth=np.where(known, depth, np.nan),
        radius=across / 2,
        hand=np.where(twist < 0, -1.0, 1.0),
        entry=np.where(known, start, 0.0),
        exit=np.where(known, end, 1.0),
        lag=np.where(known, np.maximum(trail, SMALLEST_LAG), 1.0),
        pitch_angle=np.where(known, pitch_angle, 2 * np.pi),
    )
    return cuts, shape


def forces(cuts: Cuts, leads: Numbers) -> tuple[Numbers, Numbers, Numbers, Numbers]:
    """Sum the forces on all edges, at angles of the foremost end of one of them.

    Args:
        cuts: n cuts.
        leads: how far that end stands past the entry [rad], from 0 to one pitch, shape (n, angles).

    Returns:
        tangential force, Fx, Fy and the lift Fz [N], each of shape (n, angles).
    """
    ahead = np.arange(cuts.passes().max(initial=1))[:, None, None] * cuts.pitch_angle
    front = cuts.entry + leads + ahead
    ends = np.clip(np.stack((front, front - cuts.lag)), cuts.entry, cuts.exit)
    values = cuts.law.antiderivatives(feed_per_tooth=cuts.feed_per_tooth, phi=ends)
    scale = cuts.axial_depth / cuts.lag
    sums = (np.subtract(*np.asarray(value)).sum(axis=0) for value in values)
    tangential, along, across, lift = (total * scale for total in sums)
    return tangential, along, across, lift * cuts.hand


def stretches(cuts: Cuts) -> Numbers:
    """Where an edge's end meets entry or exit, in order, within what repeats of a turn; shape (cuts, 5).

    Between two of these leads every course is smooth.
    """
    arc = cuts.exit - cuts.entry
    events = np.mod(np.hstack((arc, cuts.lag, arc + cuts.lag)), cuts.pitch_angle)
    return knots(events=events, span=np.minimum(cuts.window(), cuts.pitch_angle))
