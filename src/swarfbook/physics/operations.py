"""Loads of operations that are no plain side cut: bores, ramps, plunges and chamfers.

A cutter that goes down cuts with its bottom edges as well: with a chip of the axial feed per tooth, all the
way round, every tooth always in the stock. Their part is an estimate. The laws were measured on side edges;
on a flat bottom the radial coefficients give the thrust, for they are across the cut face there, and all
teeth are taken to cut from the middle outwards, though some end short of it. Nothing is added for the middle
of the tip, where the speed falls to nought and the stock is squeezed aside. A cutter that goes down however
little is taken to touch with the whole bottom, so that the rubbing of an edge law comes in with a step.
"""

from __future__ import annotations

from dataclasses import fields

import numpy as np

from swarfbook.frozen import frozen
from swarfbook.physics.arrays import Array, Flags, chosen, not_negative, only_where, positive
from swarfbook.physics.corners import equivalent_radial_width
from swarfbook.physics.entry import (
    axial_feed_per_tooth,
    helix_path_diameter,
    helix_ramp_angle,
    straight_ramp_angle,
)
from swarfbook.physics.helical import coefficient, column
from swarfbook.physics.laws import CuttingLaw
from swarfbook.physics.sampling import Numbers
from swarfbook.physics.shapes import Chamfer, Profile
from swarfbook.physics.stack import Outline, common_shape, outline, stack_loads, stacked
from swarfbook.physics.strips import Strip, side_strip
from swarfbook.physics.turn import Loads

SAMPLES = 24
"""Equal steps over what repeats of a turn."""
SMALLEST_FLAT = 1e-9
"""Share of the radius below which a flat of the bottom is rounding."""
ROUNDING = 1e-9
"""Share of the cone's height that a chamfer may exceed it by."""


@frozen
class OperationLoads(Loads):
    """What an operation asks of the cutter, each of the inputs' common shape.

    Attributes:
        torque_mean: side and bottom together [N m].
        torque_peak: side and bottom together [N m].
        force_peak: largest in-plane resultant [N].
        force_x_peak: along the feed [N].
        force_y_peak: normal to the feed [N].
        force_z_peak: along the axis, side and bottom together [N].
        thrust: with which the bottom edges press on the work, always there [N].
        chip_thickness_max: the thickest chip of any edge [m].
        axial_chip: of the bottom edges [m]; 0 where the cutter does not go down.
        ramp_angle: of the path against the plane across the axis [rad].
        area: cross-section of the cut across the path [m^2]; times the feed rate it is the removal rate.
    """

    thrust: Array
    chip_thickness_max: Array
    axial_chip: Array
    ramp_angle: Array
    area: Array


@frozen
class Bottom:
    """What bottom edges take, each of the inputs' common shape.

    Attributes:
        torque: of all teeth [N m].
        thrust: of all teeth, on the work [N].
        force: in the plane, that turns with the cutter [N]: of one flute; several balance each other.
        steepest: largest cosine of the edge angle [1]: the axial feed times it is the thickest chip.
        area: seen along the axis [m^2].
    """

    torque: Array
    thrust: Array
    force: Array
    steepest: Array
    area: Array


def bottom_loads(
    *,
    law: CuttingLaw,
    cutter: Profile,
    flutes: Array,
    axial_depth: Array,
    radial_width: Array,
    axial_chip: Array,
) -> Bottom:
    """Torque and thrust of the bottom edges of a cutter that goes down along its axis.

    Args:
        law: cutting law, coefficients floats or arrays that broadcast with the rest.
        cutter: the profile, its sizes [m] and [rad] floats or arrays that broadcast with the rest.
        flutes: z [1], any shape.
        axial_depth: up to which the profile is in the stock [m], broadcasts.
        radial_width: b, of the ring that is cut, from D/2 inwards [m]; D/2 or more for the whole disc.
        axial_chip: feed per tooth along the axis [m], broadcasts; at 0 the bottom is taken not to touch.

    Returns:
        `Bottom`: sums over the edges from D/2 - b outwards, h = f cos(kappa),
        thrust = dFr cos(kappa) + dFa sin(kappa): which way the axial part acts there is not known, so it is
        taken to add. On a flat bottom T = z Ft(f) (R^2 - (R - b)^2) / 2 and thrust = z Fr(f) b, forces per
        edge length.
    """
    values = (flutes, axial_depth, radial_width, axial_chip)
    shape = common_shape(law.coefficients(), cutter.sizes(), *values)
    inside: Array = np.maximum(cutter.full_radius() - positive(radial_width), 0)
    teeth, feed, inner = (column(value, shape) for value in (flutes, axial_chip, inside))
    ring = Strip(low=inside, high=np.inf, follows=False)
    slices = outline(cutter=cutter, axial_depth=axial_depth, strip=ring, shape=shape)
    known = slices.known & (teeth >= 1) & (feed >= 0) & np.isfinite(feed)
    edges = _edges(slices, inner)
    touching = np.where(known, np.where(feed > 0, edges.length, 0.0), np.nan)
    rows = law.each(lambda c: coefficient(c, shape))
    tangential, radial, axial = rows.edge_forces(np.where(known, feed, 0.0) * edges.cosine)
    sums = (
        tangential * edges.radius,
        radial * edges.cosine + np.where(edges.sine > 0, axial * edges.sine, 0.0),
        tangential,
        radial * edges.sine + axial * edges.cosine,
        2 * np.pi * edges.radius * edges.cosine,
    )
    turning, pressing, rubbing, pulling, area = ((part * touching).sum(axis=1) for part in sums)
    count = teeth[:, 0]
    found = (
        count * turning,
        count * pressing,
        np.where(count > 1, 0 * turning, np.hypot(rubbing, pulling)),
        np.where(edges.length > 0, edges.cosine, 0.0).max(axis=1) + 0 * turning,
        area,
    )
    return Bottom(*(value.reshape(shape)[()] for value in found))


@frozen
class _Edges:
    """Pieces of the profile that face down, each of shape (cuts, pieces)."""

    length: Numbers
    sine: Numbers
    cosine: Numbers
    radius: Numbers


def _edges(slices: Outline, inner: Numbers) -> _Edges:
    """The flat of the bottom from `inner` [m] outwards, and the slanting discs above it."""
    flat = np.maximum(slices.radius[:, :1] - inner, 0)
    run = np.hstack((np.where(flat > SMALLEST_FLAT * slices.radius[:, :1], flat, 0.0), slices.run()))
    rise = np.hstack((0 * flat, slices.rise()))
    facing_down = run > 0
    length = np.where(facing_down, np.hypot(rise, run), 0.0)
    safe = np.where(facing_down, length, 1.0)
    radius = np.hstack((inner + flat / 2, slices.mean_radius()))
    return _Edges(
        length, np.where(facing_down, rise / safe, 0.0), np.where(facing_down, run / safe, 0.0), radius
    )


def bore(
    *,
    law: CuttingLaw,
    cutter: Profile,
    flutes: Array,
    helix: Array,
    axial_depth: Array,
    radial_width: Array,
    feed_per_tooth: Array,
    climb: Flags,
    hole_diameter: Array,
    samples: int = SAMPLES,
) -> OperationLoads:
    """Loads of a hole that is milled along a helix.

    The side cuts a ring of stock as high as the helix goes down in a turn, and the wall of the hole closes
    in on it as in any inside arc; the bottom goes down at the helix's angle.

    Args:
        law: cutting law, coefficients floats or arrays that broadcast with the rest.
        cutter: the profile, its sizes [m] and [rad] floats or arrays that broadcast with the rest.
        flutes: z [1], any shape.
        helix: beta of the flutes [rad], broadcasts; negative for a down-cut cutter.
        axial_depth: P, down per turn of the path [m], broadcasts.
        radial_width: ae, of the ring that is cut [m], broadcasts; D where the hole starts from solid stock.
        feed_per_tooth: fz along the path of the cutter's centre [m], broadcasts.
        climb: True for climb milling, broadcasts.
        hole_diameter: Dh [m], above D, broadcasts.
        samples: equal steps over what repeats of a turn, besides the leads of its events [1].

    Returns:
        `OperationLoads`; nan where a hole is no wider than its cutter.
    """
    path = helix_path_diameter(hole_diameter=hole_diameter, diameter=cutter.diameter)
    slope = helix_ramp_angle(descent_per_turn=axial_depth, path_diameter=path)
    width = equivalent_radial_width(
        radial_width=radial_width,
        wall_radius=path / 2 + cutter.diameter / 2,
        diameter=cutter.diameter,
        inside=True,
    )
    return _going_down(
        law, cutter, (flutes, helix, axial_depth, width, radial_width, feed_per_tooth, slope), climb, samples
    )


def ramp(
    *,
    law: CuttingLaw,
    cutter: Profile,
    flutes: Array,
    helix: Array,
    axial_depth: Array,
    feed_per_tooth: Array,
    ramp_length: Array,
    samples: int = SAMPLES,
) -> OperationLoads:
    """Loads at the end of a straight ramp into solid stock.

    Args:
        law: cutting law, coefficients floats or arrays that broadcast with the rest.
        cutter: the profile, its sizes [m] and [rad] floats or arrays that broadcast with the rest.
        flutes: z [1], any shape.
        helix: beta of the flutes [rad], broadcasts; negative for a down-cut cutter.
        axial_depth: the full step, reached at the end of the ramp [m], broadcasts.
        feed_per_tooth: fz along the path [m], broadcasts.
        ramp_length: L, along the floor [m], broadcasts; infinite for a slot.
        samples: equal steps over what repeats of a turn, besides the leads of its events [1].

    Returns:
        `OperationLoads`: a slot of the full step, and the whole bottom at the ramp's angle.
    """
    slope = straight_ramp_angle(axial_depth=axial_depth, ramp_length=ramp_length)
    width = cutter.diameter + 0 * slope
    return _going_down(
        law, cutter, (flutes, helix, axial_depth, width, width, feed_per_tooth, slope), False, samples
    )


def _going_down(
    law: CuttingLaw, cutter: Profile, values: tuple[Array, ...], climb: Flags, samples: int
) -> OperationLoads:
    """Side and bottom together on a sloping path.

    Args:
        law: cutting law.
        cutter: the profile.
        values: flutes, helix, depth, equivalent width of the side cut, width of the ring, feed along the
            path, slope of the path.
        climb: True for climb milling.
        samples: steps over a turn.
    """
    flutes, helix, depth, width, ring, feed, slope = values
    down = axial_feed_per_tooth(feed_per_tooth=feed, ramp_angle=slope)
    onwards = feed * np.cos(slope)
    bottom = bottom_loads(
        law=law,
        cutter=cutter,
        flutes=flutes,
        axial_depth=depth,
        radial_width=ring,
        axial_chip=down,
    )
    strip = side_strip(radial_width=width, diameter=cutter.diameter, climb=climb, earlier_pass=False)
    stack, shape = stacked(
        law=law,
        cutter=cutter,
        flutes=flutes,
        helix=helix,
        axial_depth=depth,
        feed_per_tooth=onwards,
        strip=strip,
    )
    side = stack_loads(stack, shape, samples=samples, drag=bottom.torque, push=-bottom.thrust)
    thickest, _, _, area = outline(cutter=cutter, axial_depth=depth, strip=strip, shape=shape).shares()
    deepest: Array = np.maximum(onwards * thickest.reshape(shape), down * bottom.steepest)[()]
    return _operation(
        side,
        thrust=bottom.thrust,
        chip_thickness_max=deepest,
        axial_chip=down,
        ramp_angle=slope,
        area=area.reshape(shape)[()] * np.cos(slope) + bottom.area * np.sin(slope),
    )


def _operation(side: Loads, **rest: Array) -> OperationLoads:
    """Loads with what an operation adds, all of the loads' shape."""
    like = 0 * side.torque_mean
    return OperationLoads(
        **{field.name: getattr(side, field.name) for field in fields(Loads)},
        **{name: value + like for name, value in rest.items()},
    )


def plunge(
    *,
    law: CuttingLaw,
    cutter: Profile,
    flutes: Array,
    axial_depth: Array,
    radial_width: Array,
    feed_per_tooth: Array,
) -> OperationLoads:
    """Loads of a cutter that goes straight down, an estimate: see the module.

    Args:
        law: cutting law, coefficients floats or arrays that broadcast with the rest.
        cutter: the profile, its sizes [m] and [rad] floats or arrays that broadcast with the rest.
        flutes: z [1], any shape.
        axial_depth: down to which the cutter goes [m], broadcasts: it counts for slanting edges.
        radial_width: b, of the ring that is cut, from D/2 inwards [m], broadcasts; D/2 or more into solid
            stock.
        feed_per_tooth: along the axis [m], broadcasts.

    Returns:
        `OperationLoads` with the thrust as the force along the axis. In the plane several flutes balance
        each other; the resultant of a single one turns with it.
    """
    feed = not_negative(feed_per_tooth)
    bottom = bottom_loads(
        law=law,
        cutter=cutter,
        flutes=flutes,
        axial_depth=axial_depth,
        radial_width=radial_width,
        axial_chip=feed,
    )
    push: Array = np.abs(bottom.thrust)
    return _operation(
        Loads(bottom.torque, bottom.torque, bottom.force, bottom.force, bottom.force, push),
        thrust=bottom.thrust,
        chip_thickness_max=feed * bottom.steepest,
        axial_chip=feed,
        ramp_angle=np.pi / 2,
        area=bottom.area,
    )


def chamfer(
    *,
    law: CuttingLaw,
    cone: Chamfer,
    flutes: Array,
    helix: Array,
    axial_depth: Array,
    radial_width: Array,
    feed_per_tooth: Array,
    climb: Flags,
    tip_drop: Array | None = None,
    samples: int = SAMPLES,
) -> OperationLoads:
    """Loads of a chamfer along an edge, cut by the flank of a cone.

    Height and width go with the cone's angle, width = height tan(SIG/2): where they do not, the smaller of
    the two decides.

    Args:
        law: cutting law, coefficients floats or arrays that broadcast with the rest.
        cone: the cutter, its sizes [m] and [rad] floats or arrays that broadcast with the rest.
        flutes: z [1], any shape.
        helix: beta of the flutes [rad], broadcasts; negative for a down-cut cone.
        axial_depth: height of the chamfer [m], broadcasts.
        radial_width: width of the chamfer [m], broadcasts.
        feed_per_tooth: fz [m], broadcasts.
        climb: True for climb milling, broadcasts.
        tip_drop: by how much the tip hangs below the chamfer's lower end [m], broadcasts; left out, such
            that the middle of the cone's flank cuts.
        samples: equal steps over what repeats of a turn, besides the leads of its events [1].

    Returns:
        `OperationLoads`; nan where the cone is lower than the chamfer.
    """
    spread: Array = np.tan(cone.point_angle / 2)
    width: Array = np.minimum(positive(radial_width), positive(axial_depth) * spread)
    height = width / positive(spread)
    below = (cone.bend() - height) / 2 if tip_drop is None else not_negative(tip_drop)
    top = only_where(np.less_equal(below + height, cone.bend() * (1 + ROUNDING)), below + height)
    free = cone.radius(height=top) - width
    known = np.isfinite(free)
    strip = Strip(
        low=chosen(np.logical_and(climb, known), -np.inf, free),
        high=chosen(np.logical_and(np.logical_not(climb), known), np.inf, -free),
        follows=False,
    )
    stack, shape = stacked(
        law=law,
        cutter=cone,
        flutes=flutes,
        helix=helix,
        axial_depth=top,
        feed_per_tooth=feed_per_tooth,
        strip=strip,
    )
    thickest, _, _, area = outline(cutter=cone, axial_depth=top, strip=strip, shape=shape).shares()
    return _operation(
        stack_loads(stack, shape, samples=samples),
        thrust=0.0,
        chip_thickness_max=feed_per_tooth * thickest.reshape(shape)[()],
        axial_chip=0.0,
        ramp_angle=0.0,
        area=area.reshape(shape)[()],
    )
