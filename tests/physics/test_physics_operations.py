"""Bores, ramps, plunges and chamfers: what goes down, what cuts sideways, and how the two add up."""

import math
from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.milling import Linear, Power
from support.shapes import LAWS, Shape, ShapedCut
from swarfbook.physics import discs, entry, operations, power
from swarfbook.physics.operations import OperationLoads
from swarfbook.physics.shapes import Ball, Chamfer, CornerRadius, Square, Tapered
from swarfbook.physics.turn import Loads

SIX = [field.name for field in fields(Loads)]
SQUARE = Square(6e-3)
CONE = Chamfer(6e-3, math.radians(90), 0.4e-3)
SHAPES = [SQUARE, Ball(6e-3), CornerRadius(6e-3, 1e-3), CONE, Tapered(6e-3, 0.1)]
each_shape = pytest.mark.parametrize("cutter", SHAPES, ids=lambda cutter: type(cutter).__name__)
laws = st.sampled_from(LAWS)


def six(got: Loads) -> np.ndarray:
    return np.stack([np.asarray(getattr(got, name)) for name in SIX])


def everything(got: OperationLoads) -> np.ndarray:
    return np.stack([np.asarray(getattr(got, field.name)) for field in fields(got)])


def plunging(**changed: Any) -> OperationLoads:
    inputs: dict[str, Any] = {
        "law": Linear().law(),
        "cutter": SQUARE,
        "flutes": 2,
        "axial_depth": 2e-3,
        "radial_width": 6e-3,
        "feed_per_tooth": 2e-5,
    }
    return operations.plunge(**inputs | changed)


def ramping(**changed: Any) -> OperationLoads:
    inputs: dict[str, Any] = {
        "law": Linear().law(),
        "cutter": SQUARE,
        "flutes": 2,
        "helix": math.radians(30),
        "axial_depth": 2e-3,
        "feed_per_tooth": 4e-5,
        "ramp_length": 40e-3,
    }
    return operations.ramp(**inputs | changed)


def boring(**changed: Any) -> OperationLoads:
    inputs: dict[str, Any] = {
        "law": Linear().law(),
        "cutter": SQUARE,
        "flutes": 2,
        "helix": math.radians(30),
        "axial_depth": 1e-3,
        "radial_width": 2e-3,
        "feed_per_tooth": 4e-5,
        "climb": True,
        "hole_diameter": 20e-3,
    }
    return operations.bore(**inputs | changed)


def chamfering(**changed: Any) -> OperationLoads:
    inputs: dict[str, Any] = {
        "law": Linear().law(),
        "cone": CONE,
        "flutes": 2,
        "helix": 0.0,
        "axial_depth": 0.5e-3,
        "radial_width": 0.5e-3,
        "feed_per_tooth": 4e-5,
        "climb": True,
    }
    return operations.chamfer(**inputs | changed)


# Plunging


@given(law=laws, flutes=st.integers(1, 5), feed=st.floats(1e-6, 2e-4), ring=st.floats(1e-4, 6e-3))
def test_a_square_cutter_that_plunges_is_simple(law, flutes, feed, ring):
    """Every tooth cuts all the way round with its outer b: T = z Ft (R^2 - (R-b)^2)/2, thrust = z Fr b."""
    got = plunging(law=law.law(), flutes=flutes, feed_per_tooth=feed, radial_width=ring)
    tangential, radial, axial = (float(part) for part in law(np.float64(feed * 1e3)))
    width = min(ring * 1e3, 3.0)
    inner = 3.0 - width
    torque = flutes * tangential * (9.0 - inner**2) / 2
    assert got.torque_mean * 1e3 == pytest.approx(torque, rel=1e-9)
    assert got.torque_peak == got.torque_mean
    assert got.thrust == pytest.approx(flutes * radial * width, rel=1e-9)
    assert got.force_z_peak == got.thrust
    assert got.chip_thickness_max == got.axial_chip == feed
    assert got.area * 1e6 == pytest.approx(math.pi * (9.0 - inner**2), rel=1e-9)
    assert got.ramp_angle == math.pi / 2
    swinging = width * math.hypot(tangential, axial) if flutes == 1 else 0.0
    assert got.force_peak == pytest.approx(swinging, rel=1e-9)
    assert got.force_x_peak == got.force_y_peak == got.force_peak


@given(flutes=st.integers(1, 5), feed=st.floats(1e-6, 2e-4), speed=st.floats(10.0, 500.0))
@each_shape
def test_linear_power_of_a_plunge_is_ktc_times_what_is_removed(cutter, flutes, feed, speed):
    got = plunging(
        law=Linear(kte=0.0).law(), cutter=cutter, flutes=flutes, feed_per_tooth=feed, axial_depth=3e-3
    )
    watts = power.cutting_power(torque=got.torque_mean, spindle_speed=speed)
    assert watts == pytest.approx(631e6 * got.area * feed * flutes * speed, rel=1e-6)


@each_shape
def test_a_plunge_takes_the_circle_that_the_cutter_is_wide_at_its_depth(cutter):
    for depth in (0.3e-3, 1.0e-3, 2.8e-3, 9e-3):
        got = plunging(cutter=cutter, axial_depth=depth)
        assert got.area == pytest.approx(math.pi * float(cutter.radius(height=depth)) ** 2, rel=2e-3)


def summed(cutter, law, feed: float, depth: float, inner: float, pieces: int = 40_000) -> list[float]:
    """Torque [N m], thrust and in-plane force [N] of one tooth, by a sum over pieces of its outline."""
    heights = depth * np.linspace(0, 1, pieces + 1) ** 2
    radius = np.asarray(cutter.radius(height=heights), dtype=float)
    flat = np.linspace(0, radius[0], 2001)
    radius, heights = np.concatenate((flat[:-1], radius)), np.concatenate((np.zeros(2000), heights))
    run, rise = np.diff(radius), np.diff(heights)
    middle = (radius[1:] + radius[:-1]) / 2
    used = (run > 0) & (middle > inner)
    run, rise, middle = run[used], rise[used], middle[used]
    length = np.hypot(run, rise)
    tangential, radial, axial = law.edge_forces(feed * run / length)
    swinging = math.hypot((tangential * length).sum(), (radial * rise + axial * run).sum())
    thrust = float((radial * run + axial * rise).sum())
    return [float((tangential * length * middle).sum()), thrust, swinging]


@pytest.mark.parametrize("law", LAWS[:4:2], ids=["linear", "kienzle"])
@pytest.mark.parametrize("ring", [6e-3, 1.5e-3, 0.4e-3])
@each_shape
def test_a_shaped_cutter_that_plunges_agrees_with_a_sum_over_pieces(cutter, law, ring):
    depth = 2.4e-3
    got = plunging(law=law.law(), cutter=cutter, radial_width=ring, axial_depth=depth)
    torque, thrust, swinging = summed(cutter, law.law(), 2e-5, depth, max(3e-3 - ring, 0.0))
    assert got.torque_mean == pytest.approx(2 * torque, rel=5e-3)
    assert got.thrust == pytest.approx(2 * thrust, rel=5e-3)
    assert got.force_peak == 0
    alone = plunging(law=law.law(), cutter=cutter, radial_width=ring, axial_depth=depth, flutes=1)
    assert alone.force_peak == pytest.approx(swinging, rel=5e-3)


def test_the_chip_of_a_point_that_plunges_thins_by_its_angle():
    got = plunging(cutter=Chamfer(6e-3, math.radians(60), 0.0))
    assert got.chip_thickness_max == pytest.approx(2e-5 * math.sin(math.radians(30)), rel=1e-6)
    assert plunging(cutter=CONE).chip_thickness_max == 2e-5


def test_a_ring_out_of_reach_of_the_depth_is_not_cut():
    """A ball half a millimetre deep is 1.66 mm from the axis at most: nothing of the outermost mm."""
    got = plunging(cutter=Ball(6e-3), axial_depth=0.5e-3, radial_width=1e-3)
    assert got.torque_mean == got.thrust == got.area == got.force_peak == 0


def test_no_feed_no_plunge():
    got = plunging(feed_per_tooth=0.0)
    assert got.torque_mean == got.thrust == got.chip_thickness_max == 0


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("flutes", 0),
        ("feed_per_tooth", -1e-6),
        ("feed_per_tooth", math.inf),
        ("radial_width", 0.0),
        ("radial_width", -1e-3),
        ("axial_depth", -1e-3),
        ("axial_depth", math.nan),
    ],
)
def test_a_plunge_that_cannot_be_is_nan_and_its_neighbour_is_not(name, value):
    good = {"flutes": 2, "feed_per_tooth": 2e-5, "radial_width": 6e-3, "axial_depth": 2e-3}[name]
    got = plunging(**{name: np.array([value, good])})
    assert np.isnan(got.torque_mean[0])
    assert np.isnan(got.thrust[0])
    plain = everything(plunging())
    assert everything(got)[:, 1] == pytest.approx(plain, rel=1e-12)


def test_a_blank_axial_coefficient_leaves_the_thrust_of_a_flat_bottom():
    law = replace(Linear().law(), kac=math.nan, kae=math.nan)
    assert plunging(law=law).thrust == plunging().thrust
    assert math.isnan(plunging(law=law, cutter=CONE).thrust)
    assert math.isnan(plunging(law=law, flutes=1).force_peak)


# Ramping


def slot(cutter, **changed: Any) -> np.ndarray:
    inputs: dict[str, Any] = {
        "law": Linear().law(),
        "cutter": cutter,
        "flutes": 2,
        "helix": math.radians(30),
        "axial_depth": 2e-3,
        "radial_width": 6e-3,
        "feed_per_tooth": 4e-5,
        "climb": False,
    }
    return six(discs.loads(**inputs | changed))


@each_shape
@pytest.mark.parametrize("law", LAWS)
def test_a_ramp_without_end_is_a_slot(cutter, law):
    got = ramping(law=law.law(), cutter=cutter, ramp_length=math.inf)
    assert six(got) == pytest.approx(slot(cutter, law=law.law()), rel=1e-12)
    assert got.thrust == got.axial_chip == got.ramp_angle == 0


@given(length=st.floats(2e-3, 1.0), depth=st.floats(0.2e-3, 6e-3), law=laws)
def test_a_ramp_is_a_slot_and_a_plunge_together(length, depth, law):
    """Side at the feed along the floor, bottom at the feed downwards; torque adds, the thrust pushes down."""
    got = ramping(law=law.law(), axial_depth=depth, ramp_length=length)
    slope = math.atan(depth / length)
    side = slot(SQUARE, law=law.law(), axial_depth=depth, feed_per_tooth=4e-5 * math.cos(slope))
    down = 4e-5 * math.sin(slope)
    bottom = plunging(law=law.law(), feed_per_tooth=down)
    assert got.ramp_angle == pytest.approx(slope, rel=1e-12)
    assert got.axial_chip == pytest.approx(down, rel=1e-12)
    assert got.axial_chip == entry.axial_feed_per_tooth(feed_per_tooth=4e-5, ramp_angle=got.ramp_angle)
    assert got.torque_mean == pytest.approx(side[0] + bottom.torque_mean, rel=1e-9)
    assert got.torque_peak == pytest.approx(side[1] + bottom.torque_mean, rel=1e-9)
    assert [got.force_peak, got.force_x_peak, got.force_y_peak] == pytest.approx(list(side[2:5]), rel=1e-9)
    assert got.thrust == pytest.approx(bottom.thrust, rel=1e-9)
    assert got.force_z_peak <= max(got.thrust, side[5]) * (1 + 1e-9)
    assert got.force_z_peak >= max(got.thrust - side[5], side[5] - got.thrust) - 1e-9


def test_up_cut_flutes_relieve_the_thrust_and_down_cut_ones_add_to_it():
    up, down = ramping(), ramping(helix=-math.radians(30))
    assert up.thrust == down.thrust
    assert up.force_z_peak <= up.thrust
    assert down.force_z_peak == pytest.approx(down.thrust + slot(SQUARE, feed_per_tooth=4e-5)[5], rel=2e-3)


@given(length=st.floats(2e-3, 1.0))
def test_what_a_ramp_removes_is_slot_and_floor(length):
    """The section across the path: D ap cos(theta) in front, the disc pi R^2 sin(theta) below."""
    got = ramping(ramp_length=length)
    slope = math.atan(2e-3 / length)
    expected = 6.0 * 2.0 * math.cos(slope) + math.pi * 9.0 * math.sin(slope)
    assert got.area * 1e6 == pytest.approx(expected, rel=1e-9)
    assert got.chip_thickness_max == pytest.approx(4e-5 * max(math.cos(slope), math.sin(slope)), rel=1e-9)


@pytest.mark.parametrize("length", [0.2e-3, 40e-3])
def test_the_thickest_chip_of_a_point_on_a_ramp_is_its_sides_or_its_bottoms(length):
    """Steep, the chip of the flank going down counts, f sin(theta) cos(kappa); gentle, that going along."""
    got = ramping(cutter=Chamfer(6e-3, math.radians(60), 0.0), ramp_length=length)
    slope, half = math.atan(2e-3 / length), math.radians(30)
    expected = 4e-5 * max(math.cos(slope) * math.cos(half), math.sin(slope) * math.sin(half))
    assert got.chip_thickness_max == pytest.approx(expected, rel=1e-6)


@given(lengths=st.tuples(st.floats(2e-3, 1.0), st.floats(2e-3, 1.0)), law=laws)
def test_a_steeper_ramp_thrusts_harder(lengths, law):
    steep, gentle = (ramping(law=law.law(), ramp_length=length) for length in sorted(lengths))
    assert steep.thrust >= gentle.thrust
    assert steep.axial_chip >= gentle.axial_chip


# Boring


@given(hole=st.floats(8.5e-3, 1.0), ring=st.floats(0.2e-3, 4e-3), law=laws, climb=st.booleans())
def test_a_bore_is_a_side_cut_in_a_hollow_arc_that_goes_down(hole, ring, law, climb):
    got = boring(law=law.law(), hole_diameter=hole, radial_width=ring, climb=climb)
    path = hole - 6e-3
    slope = math.atan(1e-3 / (math.pi * path))
    used = min(ring, hole / 2)
    width = min(used * (hole - used) / path, 6e-3)
    side = slot(
        SQUARE,
        law=law.law(),
        axial_depth=1e-3,
        radial_width=width,
        feed_per_tooth=4e-5 * math.cos(slope),
        climb=climb,
    )
    bottom = plunging(law=law.law(), radial_width=ring, feed_per_tooth=4e-5 * math.sin(slope))
    assert got.ramp_angle == pytest.approx(slope, rel=1e-9)
    assert got.torque_mean == pytest.approx(side[0] + bottom.torque_mean, rel=1e-6)
    assert got.force_peak == pytest.approx(side[2], rel=1e-6)
    assert got.thrust == pytest.approx(bottom.thrust, rel=1e-6)


@given(ring=st.floats(0.2e-3, 6e-3), law=laws)
def test_a_very_wide_bore_is_a_straight_side_cut(ring, law):
    """But for the bottom's rubbing, which comes in with a step: without edge terms nothing is left of it."""
    plain = law if isinstance(law, Power) else replace(law, kte=0.0, kre=0.0, kae=0.0)
    got = boring(law=plain.law(), hole_diameter=1e4, radial_width=ring)
    straight = slot(SQUARE, law=plain.law(), axial_depth=1e-3, radial_width=ring, climb=True)
    assert six(got)[:5] == pytest.approx(straight[:5], rel=2e-3)


@given(hole=st.floats(6.5e-3, 40e-3))
def test_a_bore_from_solid_cuts_a_slot_wide_ring(hole):
    got = boring(radial_width=6e-3, hole_diameter=hole)
    slope = float(got.ramp_angle)
    side = slot(SQUARE, axial_depth=1e-3, feed_per_tooth=4e-5 * math.cos(slope))
    assert got.force_peak == pytest.approx(side[2], rel=1e-6)


@pytest.mark.parametrize("hole", [6e-3, 5e-3, 0.0, math.nan])
def test_a_hole_no_wider_than_its_cutter_is_nan(hole):
    assert np.isnan(six(boring(hole_diameter=hole))).all()


@given(hole=st.floats(12.5e-3, 60e-3), ring=st.floats(0.5e-3, 6e-3))
def test_what_a_bore_removes_in_a_turn_is_a_ring_as_high_as_its_pitch(hole, ring):
    """Side: ring times pitch over the length of the path; bottom: what lies under the cutter."""
    got = boring(hole_diameter=hole, radial_width=ring)
    slope = float(got.ramp_angle)
    radius = hole / 2
    volume = math.pi * (radius**2 - (radius - ring) ** 2) * 1e-3
    path = math.pi * (hole - 6e-3) / math.cos(slope)
    below = math.pi * (9e-6 - max(3e-3 - ring, 0.0) ** 2) * math.sin(slope)
    assert got.area == pytest.approx(volume / path + below, rel=1e-3)


# Chamfering


@given(height=st.floats(0.05e-3, 2.7e-3), feed=st.floats(1e-5, 1e-4), law=laws, climb=st.booleans())
def test_a_chamfer_is_the_middle_of_a_cone_in_a_corner(height, feed, law, climb):
    """A direct sum over discs: the same cone, so deep that the middle of the flank is at the corner."""
    got = chamfering(law=law.law(), axial_depth=height, radial_width=height, feed_per_tooth=feed, climb=climb)
    top = (2.8 + height * 1e3) / 2
    radius = 0.2 + top
    cut = ShapedCut(
        shape=Shape("chamfer", 6.0, 90.0, 0.4),
        forces=law,
        helix=0.0,
        depth=top,
        width=3.0 - radius + height * 1e3,
        feed=feed * 1e3,
        climb=climb,
    )
    expected = six(discs.loads(**cut.inputs()))
    assert six(got) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("climb", [True, False])
def test_a_chamfer_agrees_with_a_direct_sum(law, climb):
    got = chamfering(law=law.law(), axial_depth=0.8e-3, radial_width=0.8e-3, climb=climb)
    top = (2.8 + 0.8) / 2
    shape = Shape("chamfer", 6.0, 90.0, 0.4)
    cut = ShapedCut(
        shape=shape, forces=law, helix=0.0, depth=top, width=3.0 - (0.2 + top) + 0.8, feed=0.04, climb=climb
    )
    assert six(got) == pytest.approx(np.array(cut.loads(angles=2000)), rel=1e-2)


@given(height=st.floats(0.05e-3, 2.5e-3), angle=st.floats(0.6, 2.4))
def test_the_section_of_a_chamfer_is_its_triangle(height, angle):
    cone = Chamfer(20e-3, angle, 0.0)
    width = height * math.tan(angle / 2)
    got = chamfering(cone=cone, axial_depth=height, radial_width=width)
    assert got.area == pytest.approx(height * width / 2, rel=1e-6)
    assert got.thrust == got.axial_chip == got.ramp_angle == 0


@given(height=st.floats(0.05e-3, 1e-3), width=st.floats(0.05e-3, 1e-3))
def test_the_smaller_of_height_and_width_decides(height, width):
    got = chamfering(axial_depth=height, radial_width=width)
    side = min(height, width)
    assert six(got) == pytest.approx(six(chamfering(axial_depth=side, radial_width=side)), rel=1e-9)


def test_nearer_to_the_point_the_chip_is_thicker():
    """The smaller the circle, the steeper a tooth goes in."""
    drops = np.array([0.0, 0.5e-3, 1.0e-3, 2.0e-3, 2.3e-3])
    got = chamfering(tip_drop=drops)
    assert (np.diff(got.chip_thickness_max) < 0).all()
    middle = chamfering(tip_drop=(2.8e-3 - 0.5e-3) / 2)
    assert six(middle) == pytest.approx(six(chamfering()), rel=1e-9)


def test_the_thickest_chip_of_a_chamfer():
    """At its top: fz sin(kappa) times the sine of the arc there."""
    got = chamfering(tip_drop=1e-3)
    radius = 0.2 + 1.0 + 0.5
    arc = math.acos(1 - 0.5 / radius)
    assert got.chip_thickness_max * 1e3 == pytest.approx(
        0.04 * math.sin(math.pi / 4) * math.sin(arc), rel=1e-9
    )


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("tip_drop", 2.31e-3),
        ("tip_drop", -1e-6),
        ("axial_depth", 0.0),
        ("radial_width", 0.0),
        ("helix", math.nan),
    ],
)
def test_a_chamfer_that_cannot_be_is_nan(name, value):
    assert np.isnan(six(chamfering(**{name: value}))).all()


def test_a_chamfer_as_high_as_the_cone_just_fits():
    assert np.isfinite(six(chamfering(axial_depth=2.8e-3, radial_width=2.8e-3))).all()
    assert np.isnan(six(chamfering(axial_depth=2.9e-3, radial_width=2.9e-3))).all()


# All of them


@pytest.mark.parametrize("work", [plunging, ramping, boring, chamfering])
@given(factor=st.floats(0.1, 10.0), law=laws)
def test_a_material_factor_scales_every_force(work, factor, law):
    one, other = work(law=law.law()), work(law=law.law().scaled(factor))
    assert six(other) == pytest.approx(factor * six(one), rel=1e-6, abs=1e-9)
    assert other.thrust == pytest.approx(factor * one.thrust, rel=1e-9)
    assert other.area == one.area
    assert other.chip_thickness_max == one.chip_thickness_max


@pytest.mark.parametrize("work", [plunging, ramping, boring, chamfering])
@given(share=st.floats(0.1, 1.0), law=laws)
def test_less_feed_never_asks_for_more(work, share, law):
    full = work(law=law.law(), feed_per_tooth=4e-5)
    less = work(law=law.law(), feed_per_tooth=4e-5 * share)
    for name in ("torque_mean", "torque_peak", "force_peak", "thrust", "chip_thickness_max"):
        assert getattr(less, name) <= getattr(full, name) * (1 + 2e-3) + 1e-12, name


@pytest.mark.parametrize("work", [plunging, ramping, boring, chamfering])
def test_answers_take_the_shape_of_what_is_given(work):
    feeds, flutes = np.array([[1e-5], [3e-5]]), np.array([1, 2, 3])
    got = work(feed_per_tooth=feeds, flutes=flutes)
    assert {np.shape(value) for value in everything(got)} == {(2, 3)}
    alone = work(feed_per_tooth=3e-5, flutes=2)
    assert everything(got)[:, 1, 1] == pytest.approx(everything(alone), rel=1e-9)
    assert all(isinstance(getattr(alone, field.name), float) for field in fields(alone))
