"""Cuts of shaped cutters as stacks of discs, many cuts and many angles at once.

Each disc is a slice of a cone between two heights. On it the edge's lag is proportional to height, so its
force is a difference of two values of an antiderivative, as on a square cutter, with the law turned to the
slant of the cone. Heights are graded towards the lowest point in the stock: there the radius, the slant and
the arc of contact change fastest.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from swarfbook.frozen import frozen
from swarfbook.physics.arrays import Array, Flags, positive
from swarfbook.physics.engagement import lag_angle, tooth_pitch
from swarfbook.physics.facing import widest_sine
from swarfbook.physics.helical import SMALLEST_LAG, coefficient, column
from swarfbook.physics.laws import CuttingLaw
from swarfbook.physics.sampling import Indices, Numbers, lots
from swarfbook.physics.shapes import Profile
from swarfbook.physics.strips import Strip
from swarfbook.physics.turn import Loads

GRADE = 2.5
"""Heights of the discs grow with this power: with the square root of the height the arc of contact does."""
SMALLEST_RADIUS = 1e-9
"""Share of the full radius that stands in for none at a point, where an arc of contact has no size."""


CLOSER = 8
"""Leads looked at between the neighbours of the highest one, most of them close to these: jumps are there."""


@frozen
class Outline:
    """Parts of cutters that are in the stock, sliced, one cut a row; see the shape of each.

    Where an input has no meaning `known` is False and the rest are stand-ins.

    Attributes:
        known: whether the cut has a meaning, shape (cuts, 1).
        height: that bound the discs [m], shape (cuts, discs + 1).
        radius: of the edge there [m].
        edge_angle: there [rad].
        middle: radius half-way between [m], shape (cuts, discs).
        bend: of the profile [m], shape (cuts, 1).
        nodes: entry and exit at the bounds [rad], shape (2, cuts, discs + 1); equal where nothing is cut.
        arcs: entry and exit half-way between [rad], shape (2, cuts, discs).
    """

    known: NDArray[np.bool_]
    height: Numbers
    radius: Numbers
    edge_angle: Numbers
    middle: Numbers
    bend: Numbers
    nodes: Numbers
    arcs: Numbers

    def rise(self) -> Numbers:
        """Height of each disc [m]."""
        return np.diff(self.height, axis=1)

    def run(self) -> Numbers:
        """By how much the radius grows over each disc [m]."""
        return np.diff(self.radius, axis=1)

    def mean_radius(self) -> Numbers:
        """Mean radius over each disc [m], by Simpson's rule."""
        return (self.radius[:, :-1] + 4 * self.middle + self.radius[:, 1:]) / 6

    def shares(self) -> tuple[Numbers, Numbers, Numbers, Numbers]:
        """Thickest and mean chip over the feed [1], longest arc [rad], area of the cut [m^2]; shape (cuts,).

        The thickest chip is looked for at the bounds of the discs, the rest is summed over their middles. The
        mean over the face of contact, arc by edge length, is nan where there is no face.
        """
        entry, leave = self.nodes
        sine = np.sin(self.edge_angle) * widest_sine(entry=entry, exit=leave)
        start, end = self.arcs
        swept = self.rise() * (np.cos(start) - np.cos(end))
        face = (np.hypot(self.rise(), self.run()) * (end - start)).sum(axis=1)
        mean = swept.sum(axis=1) / np.asarray(positive(face))
        return sine.max(axis=1), mean, (leave - entry).max(axis=1), (swept * self.middle).sum(axis=1)


def outline(*, cutter: Profile, axial_depth: Array, strip: Strip, shape: tuple[int, ...]) -> Outline:
    """Slice the part of each cutter that is in the stock.

    Args:
        cutter: the profile.
        axial_depth: ap [m].
        strip: the stock.
        shape: common shape of all inputs of the cuts.

    Returns:
        the slices, one cut a row.
    """
    tool = cutter.each(lambda size: column(size, shape))
    given = (axial_depth, strip.low, strip.high, strip.follows)
    depth, low, high, follows = (column(value, shape) for value in given)
    known = np.isfinite(depth) & (depth >= 0) & ~np.isnan(low) & ~np.isnan(high)
    depth = np.where(known, depth, 0.0)
    known &= np.isfinite(tool.radius(height=depth)) & ~np.isnan(tool.bend())
    nearest = np.where(known & (follows == 0), np.maximum(np.maximum(low, -high), 0.0), 0.0)
    heights = np.where(known, _bounds(tool, np.minimum(tool.height(radius=nearest), depth), depth), 0.0)
    full = np.where(known, tool.full_radius(), 1.0)
    radius = np.where(known, tool.radius(height=heights), 1.0)
    middle = np.where(known, tool.radius(height=_middle(heights)), 1.0)
    stock = (np.where(known, low, -np.inf), np.where(known, high, np.inf), follows != 0, full)
    return Outline(
        known=known,
        height=heights,
        radius=radius,
        edge_angle=np.where(known, tool.edge_angle(height=heights), np.pi / 2),
        middle=middle,
        bend=np.where(known, tool.bend(), np.inf),
        nodes=_arcs(radius, *stock),
        arcs=_arcs(middle, *stock),
    )


def _bounds(tool: Profile, bottom: Numbers, top: Numbers) -> Numbers:
    """Heights from the lowest point in the stock to the top of the cut, shape (cuts, discs + 1)."""
    bend = np.clip(tool.bend(), bottom, top)
    steps = np.linspace(0, 1, tool.slices + 1)
    heights = bottom + (bend - bottom) * np.power(steps, GRADE)
    return np.hstack((heights, top)) if tool.bends else heights


def _middle(nodes: Numbers) -> Numbers:
    """Means of neighbours along the last axis."""
    return (nodes[..., 1:] + nodes[..., :-1]) / 2


def _arcs(
    radius: Numbers, low: Numbers, high: Numbers, follows: NDArray[np.bool_], full_radius: Numbers
) -> Numbers:
    """Entry and exit [rad] of discs of some radius [m] in strips, one a row; shape (2, cuts, k)."""
    shift = np.where(follows, radius - full_radius, 0.0)
    reach = np.maximum(radius, SMALLEST_RADIUS * full_radius)
    entry = np.arccos(np.clip((high - shift) / reach, -1, 1))
    leave = np.arccos(np.clip((low + shift) / reach, -1, 1))
    return np.stack((entry, np.maximum(leave, entry)))


@frozen
class Stack:
    """Cuts as stacks of discs, one a row, with room for angles as the last axis.

    Over a disc the lag, the entry and the exit change evenly from one end to the other. A cut without
    meaning has discs of nan thickness, and so nan forces.

    Attributes:
        law: of each disc's slant, per height.
        feed_per_tooth: [m], shape (cuts, 1, 1).
        thickness: height of each disc [m], shape (cuts, discs, 1).
        radius: of each disc [m].
        arcs: entry and exit at the lower and the upper end of each disc [rad], shape (2, 2, cuts, discs, 1).
        lag: by how much the edge at the lower end of each disc trails the tip [rad], shape (cuts, discs, 1).
        step: by how much more the upper end does [rad]; below nought where the helix is left-hand.
        pitch_angle: between teeth [rad], shape (cuts, 1, 1).
    """

    law: CuttingLaw
    feed_per_tooth: Numbers
    thickness: Numbers
    radius: Numbers
    arcs: Numbers
    lag: Numbers
    step: Numbers
    pitch_angle: Numbers

    def events(self) -> Numbers:
        """Immersion of the tip when an end of a disc enters or leaves [rad], shape (cuts, 4 discs)."""
        lags = np.stack((self.lag, self.lag + self.step))
        ends = np.moveaxis(self.arcs + lags, 2, 0)
        return ends.reshape(len(ends), 4 * ends.shape[3])

    def passes(self) -> Indices:
        """How many neighbouring teeth can be in the stock together, at least 1; shape (cuts,)."""
        pitches: Numbers = np.ptp(self.events(), axis=1) / self.pitch_angle[:, 0, 0]
        return np.maximum(np.ceil(pitches), 1).astype(np.intp)

    def pick(self, rows: Indices) -> Stack:
        """The cuts of some rows."""
        return Stack(
            law=self.law.each(lambda c: c[rows] if isinstance(c, np.ndarray) else c),
            feed_per_tooth=self.feed_per_tooth[rows],
            thickness=self.thickness[rows],
            radius=self.radius[rows],
            arcs=self.arcs[:, :, rows],
            lag=self.lag[rows],
            step=self.step[rows],
            pitch_angle=self.pitch_angle[rows],
        )


def stacked(
    *,
    law: CuttingLaw,
    cutter: Profile,
    flutes: Array,
    helix: Array,
    axial_depth: Array,
    feed_per_tooth: Array,
    strip: Strip,
) -> tuple[Stack, tuple[int, ...]]:
    """Lay out cuts as rows, and give the shape their answers are to take.

    Args:
        law: cutting law, coefficients floats or arrays that broadcast with the rest.
        cutter: the profile, sizes floats or arrays that broadcast with the rest.
        flutes: z [1], broadcasts.
        helix: beta [rad], broadcasts.
        axial_depth: ap [m], broadcasts.
        feed_per_tooth: fz [m], broadcasts.
        strip: the stock, broadcasts.

    Returns:
        the stacks and the common shape of all inputs.
    """
    values = (flutes, helix, axial_depth, feed_per_tooth, *strip.bounds())
    shape = common_shape(law.coefficients(), cutter.sizes(), *values)
    slices = outline(cutter=cutter, axial_depth=axial_depth, strip=strip, shape=shape)
    lead = lag_angle(axial_depth=1.0, helix=helix, diameter=cutter.diameter)
    given = (feed_per_tooth, helix, lead, tooth_pitch(flutes=flutes))
    feed, twist, lead, pitch_angle = (column(value, shape) for value in given)
    known = slices.known & np.isfinite(feed + lead + pitch_angle) & (feed >= 0)
    hand = np.where(twist < 0, -1.0, 1.0) * _senses(cutter, slices.rise().shape[1])
    slope = np.where(known, lead, 0.0)
    lag = _wound(hand, slices) * slope
    sine, cosine = _slant(slices)
    return Stack(
        law=_law_rows(law, shape).inclined(sine=_deep(sine), cosine=_deep(cosine), hand=_deep(hand)),
        feed_per_tooth=_deep(np.where(known, feed, 0.0)),
        thickness=_deep(np.where(known, slices.rise(), np.nan)),
        radius=_deep(slices.mean_radius()),
        arcs=_deep(_even_arcs(slices)),
        lag=_deep(lag),
        step=_deep(
            np.where(slope * slices.rise() > SMALLEST_LAG, hand * slope * slices.rise(), SMALLEST_LAG)
        ),
        pitch_angle=_deep(np.where(known, pitch_angle, 2 * np.pi)),
    ), shape


def common_shape(
    coefficients: Sequence[Array], sizes: Sequence[Array], *values: Array | Flags
) -> tuple[int, ...]:
    """Shape that everything broadcasts to."""
    return np.broadcast_shapes(*(np.shape(value) for value in (*coefficients, *sizes, *values)))


def _deep(value: Numbers) -> Numbers:
    """Room for the angles behind cuts and discs."""
    return value[..., None]


def _law_rows(law: CuttingLaw, shape: tuple[int, ...]) -> CuttingLaw:
    """The law with a coefficient that differs from cut to cut in the shape (cuts, 1, 1)."""
    rows = law.each(lambda value: coefficient(value, shape))
    return rows.each(lambda value: value[..., None] if isinstance(value, np.ndarray) else value)


def _slant(slices: Outline) -> tuple[Numbers, Numbers]:
    """Sine and cosine of the edge angle of each disc as a slice of a cone; upright where it has no height."""
    length = np.hypot(slices.rise(), slices.run())
    some = length > 0
    safe = np.where(some, length, 1.0)
    return np.where(some, slices.rise() / safe, 1.0), slices.run() / safe


def _even_arcs(slices: Outline) -> Numbers:
    """Entry and exit at both ends of each disc, such that half-way between counts as by Simpson's rule."""
    shift = (slices.arcs - _middle(slices.nodes)) * 2 / 3
    return np.stack((slices.nodes[..., :-1] + shift, slices.nodes[..., 1:] + shift), axis=1)


def _senses(cutter: Profile, discs: int) -> Numbers:
    """1 for discs with the cutter's own hand, -1 for the last one of a cutter that turns back."""
    senses = np.ones(discs)
    if cutter.turns_back:
        senses[-1] = -1.0
    return senses


def _wound(hand: Numbers, slices: Outline) -> Numbers:
    """Height by which the edge has wound on from the tip to the lower end of each disc, or back [m]."""
    lowest = hand[:, :1] * slices.height[:, :1]
    return np.hstack((lowest, lowest + np.cumsum(hand * slices.rise(), axis=1)[:, :-1]))


def _share_within(start: Numbers, end: Numbers) -> tuple[Numbers, Numbers]:
    """Part of the way from one value to another on which they are not below nought, as two shares of it.

    The second share is below the first where there is no such part.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        crossing = start / (start - end)
    first = np.where(start >= 0, 0.0, np.where(end > 0, crossing, 1.0))
    last = np.where(end >= 0, 1.0, np.where(start > 0, crossing, 0.0))
    return first, last


def forces(stack: Stack, leads: Numbers) -> tuple[Numbers, Numbers, Numbers, Numbers]:
    """Sum torque and force over all discs and edges.

    Args:
        stack: n cuts.
        leads: how far the tip of an edge has turned from the first touch [rad], from 0 to one pitch, shape
            (n, angles).

    Returns:
        torque [N m], Fx, Fy and the lift Fz [N], each of shape (n, angles).
    """
    start = stack.events().min(axis=1)[:, None, None]
    ahead = np.arange(stack.passes().max(initial=1))[:, None, None, None] * stack.pitch_angle
    low = start + leads[:, None, :] + ahead - stack.lag
    high = low - stack.step
    entry, leave = stack.arcs
    entered, left = _share_within(low - entry[0], high - entry[1])
    staying, gone = _share_within(leave[0] - low, leave[1] - high)
    first = np.maximum(entered, staying)
    last = np.maximum(np.minimum(left, gone), first)
    ends = np.clip(low - np.stack((first, last)) * stack.step, 0.0, np.pi)
    values = stack.law.antiderivatives(feed_per_tooth=stack.feed_per_tooth, phi=ends)
    scale = stack.thickness / stack.step
    sums = [np.subtract(*np.asarray(value)).sum(axis=0) for value in values]
    weights = (scale * stack.radius, scale, scale, scale)
    torque, along, across, lift = ((total * w).sum(axis=1) for total, w in zip(sums, weights, strict=True))
    return torque, along, across, lift


def means(stack: Stack) -> tuple[Numbers, Numbers, Numbers, Numbers]:
    """Mean torque [N m], Fx, Fy and lift Fz [N] over a turn, each of shape (n,)."""
    low, high = stack.arcs[:, 0], stack.arcs[:, 1]
    places = np.clip(np.stack((low, (low + high) / 2, high), axis=1), 0.0, np.pi)
    values = stack.law.antiderivatives(feed_per_tooth=stack.feed_per_tooth, phi=places)
    share = np.array([1.0, 4.0, 1.0]).reshape(3, 1, 1, 1) / 6 * stack.thickness / stack.pitch_angle
    parts = [(np.subtract(*np.asarray(value)[::-1]) * share).sum(axis=0) for value in values]
    parts[0] = parts[0] * stack.radius
    torque, along, across, lift = (part.sum(axis=(1, 2)) for part in parts)
    return torque, along, across, lift


def leads(stack: Stack, *, samples: int) -> Numbers:
    """Leads to look at: where discs enter or leave, and `samples` equal steps over what repeats of a turn.

    Where much of the edge enters at once such leads are close together. Of the two neighbouring ends of
    discs one serves.
    """
    events = stack.events()
    start, pitch_angle = events.min(axis=1, keepdims=True), stack.pitch_angle[:, 0]
    span = np.minimum(np.ptp(events, axis=1)[:, None], pitch_angle)
    even = span * np.linspace(0, 1, samples + 1)
    of_ends = events.reshape(len(events), 4, events.shape[1] // 4)
    ends = np.hstack((of_ends[:, 0], of_ends[:, 1, -2:], of_ends[:, 2], of_ends[:, 3, -2:]))
    return np.sort(np.hstack((np.minimum(np.mod(ends - start, pitch_angle), span), even)), axis=1)


def peaks(stack: Stack, *, samples: int, drag: Numbers, push: Numbers) -> Numbers:
    """Peak torque, in-plane force, Fx, Fy and Fz of each cut, with a steady torque and lift added.

    Args:
        stack: n cuts.
        samples: equal steps over what repeats of a turn.
        drag: steady torque [N m], shape (n, 1).
        push: steady lift [N], shape (n, 1).

    Returns:
        the five peaks, shape (5, n).
    """
    coarse = leads(stack, samples=samples)
    seen = _courses(stack, coarse, drag, push)
    closer = _courses(stack, _around_the_top(coarse, seen), drag, push)
    highest: Numbers = np.maximum(seen.max(axis=2), closer.max(axis=2))
    return highest


def _courses(stack: Stack, at: Numbers, drag: Numbers, push: Numbers) -> Numbers:
    """Magnitudes of torque, in-plane force, Fx, Fy and Fz at leads, shape (5, cuts, leads)."""
    torque, along, across, lift = forces(stack, at)
    courses = np.stack((torque + drag, np.hypot(along, across), along, across, lift + push))
    sizes: Numbers = np.abs(courses)
    return sizes


def _around_the_top(at: Numbers, courses: Numbers) -> Numbers:
    """More leads between the neighbours of each course's highest, shape (cuts, 5 CLOSER).

    Args:
        at: leads in order, shape (cuts, leads).
        courses: there, shape (5, cuts, leads).
    """
    top = courses.argmax(axis=2).T
    last = at.shape[1] - 1
    before = np.take_along_axis(at, np.maximum(top - 1, 0), axis=1)[..., None]
    after = np.take_along_axis(at, np.minimum(top + 1, last), axis=1)[..., None]
    steps = (1 - np.cos(np.pi * (np.arange(CLOSER) + 1) / (CLOSER + 1))) / 2
    return (before + (after - before) * steps).reshape(len(at), top.shape[1] * CLOSER)


def stack_loads(
    stack: Stack, shape: tuple[int, ...], *, samples: int, drag: Array = 0.0, push: Array = 0.0
) -> Loads:
    """Loads of stacks, each of the shape their inputs had.

    Args:
        stack: the cuts, one a row.
        shape: shape of the answers.
        samples: equal steps over what repeats of a turn.
        drag: torque that is always there besides [N m], broadcasts to the shape.
        push: lift that is always there besides [N], broadcasts to the shape.

    Returns:
        the means and peaks.
    """
    steady, lifting = column(drag, shape), column(push, shape)
    found = np.empty((6, len(steady)))
    found[0] = means(stack)[0] + steady[:, 0]
    discs = stack.thickness.shape[1]
    for rows in lots(stack.passes(), ends=2 * discs * (samples + 2 * discs + 5 * CLOSER)):
        found[1:, rows] = peaks(stack.pick(rows), samples=samples, drag=steady[rows], push=lifting[rows])
    return Loads(*(row.reshape(shape)[()] for row in found))
