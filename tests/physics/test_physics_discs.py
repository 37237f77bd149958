"""Cutters of every shape against a direct sum over discs and angles, and what must always hold of them."""

import math
from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.milling import Cut, Linear, Power, random_cuts
from support.shapes import LAWS, Shape, ShapedCut, random_shaped_cuts
from swarfbook.physics import discs, power, shapes, turn
from swarfbook.physics.turn import Loads

KINDS = ("square", "compression", "ball", "corner-radius", "chamfer", "tapered")
FIGURES = [field.name for field in fields(Loads)]
CUTS = [cut for kind in KINDS for cut in random_shaped_cuts(kind, 12, seed=17)]
IDS = [f"{cut.shape.kind}-{index % 12}" for index, cut in enumerate(CUTS)]


def row(got: Loads) -> np.ndarray:
    """All six figures, as one array whose first axis is the figure."""
    return np.stack([np.asarray(getattr(got, name)) for name in FIGURES])


def loads(cut: ShapedCut, **changed: Any) -> np.ndarray:
    return row(discs.loads(**cut.inputs() | changed))


def course(cut: ShapedCut, angles: np.ndarray) -> np.ndarray:
    """Fx, Fy, lift [N] and torque [N mm] as the program gives them."""
    got = discs.turn(**cut.inputs(), angles=angles)
    return np.stack([got.force_x, got.force_y, got.force_z, got.torque * 1e3])


def square(cut: ShapedCut) -> np.ndarray:
    """The same cut with a square cutter, by the closed forms."""
    inputs = cut.inputs()
    inputs["diameter"] = inputs.pop("cutter").diameter
    inputs.pop("earlier_pass")
    return row(turn.loads(**inputs))


@pytest.mark.parametrize("cut", CUTS, ids=IDS)
def test_loads_agree_with_a_direct_sum_over_discs_and_angles(cut):
    """Within 1 %; a component that is small beside the resultant, within that share of the resultant."""
    expected = np.array(cut.loads())
    got = loads(cut)
    allowed = 0.01 * expected
    allowed[3:] = np.maximum(allowed[3:], 0.003 * expected[2])
    assert (np.abs(got - expected) <= allowed + 1e-9).all(), got / expected


@pytest.mark.parametrize("cut", CUTS[::3], ids=IDS[::3])
def test_the_course_agrees_with_a_direct_sum(cut):
    """On average over the angles: where an edge enters all at once one angle tells little."""
    angles = np.random.default_rng(1).uniform(-7, 14, 60)
    expected, got = cut.course(angles, 2000), course(cut, angles)
    scale = np.abs(cut.course(cut.one_pitch(200))).max(axis=1)
    assert (np.abs(got - expected).mean(axis=1) <= 0.004 * scale + 1e-9).all()


@pytest.mark.parametrize("cut", CUTS[::4], ids=IDS[::4])
def test_the_mean_of_a_turn_is_the_mean_given(cut):
    sampled = course(cut, cut.one_pitch(4000)).mean(axis=1)
    forces = discs.mean_forces(**cut.inputs())
    given_means = np.array([*forces, discs.loads(**cut.inputs()).torque_mean * 1e3])
    scale = np.abs(course(cut, cut.one_pitch(200))).max(axis=1)
    assert (np.abs(sampled - given_means) <= 2e-3 * scale + 1e-9).all()


@pytest.mark.parametrize("cut", CUTS[::2], ids=IDS[::2])
def test_more_discs_and_angles_find_the_same(cut, monkeypatch):
    coarse = loads(cut)
    for profile in (shapes.Ball, shapes.CornerRadius, shapes.Chamfer, shapes.Tapered):
        monkeypatch.setattr(profile, "slices", 150)
    fine = loads(cut, samples=500)
    allowed = 0.01 * fine
    allowed[3:] = np.maximum(allowed[3:], 0.003 * fine[2])
    assert (np.abs(coarse - fine) <= allowed + 1e-12).all(), coarse / fine
    assert coarse[0] == pytest.approx(fine[0], rel=1e-3, abs=1e-12)


@pytest.mark.parametrize("plain", random_cuts(30, seed=41), ids=range(30))
def test_a_square_cutter_comes_out_as_by_the_closed_forms(plain):
    shape = Shape("square", plain.diameter)
    settings = {
        name: getattr(plain, name) for name in ("forces", "flutes", "helix", "depth", "width", "feed")
    }
    cut = ShapedCut(shape=shape, climb=plain.climb, **settings)
    expected = row(turn.loads(**plain.inputs()))
    assert loads(cut) == pytest.approx(expected, rel=1e-3)
    assert loads(cut)[:3] == pytest.approx(expected[:3], rel=3e-4)


@pytest.mark.parametrize("helix", [-30.0, 0.0, 30.0])
def test_the_course_of_a_square_cutter_is_the_closed_one(helix):
    """Angles are the tip's here, the foremost end's there: the top's where the helix is left-hand."""
    plain = Cut(helix=helix, depth=4.0, width=3.5)
    cut = ShapedCut(shape=Shape("square"), helix=helix, depth=4.0, width=3.5)
    angles = np.linspace(0.1, 3.0, 25)
    ahead = -plain.twist * plain.depth if helix < 0 else 0.0
    got = turn.turn(**plain.inputs(), angles=angles - ahead)
    expected = np.stack([got.force_x, got.force_y, got.force_z, got.torque * 1e3])
    assert course(cut, angles) == pytest.approx(expected, abs=2e-4 * np.abs(expected).max())


cutters = st.fixed_dictionaries(
    {
        "flutes": st.integers(1, 4),
        "helix": st.floats(0.0, 45.0),
        "depth": st.floats(0.3, 8.0),
        "width": st.floats(0.12, 6.0),
        "feed": st.floats(0.01, 0.15),
        "climb": st.booleans(),
        "earlier_pass": st.booleans(),
    }
)
forces = st.sampled_from(LAWS)
cutting_shapes = st.sampled_from(
    [
        Shape("ball"),
        Shape("corner-radius", size=1.0),
        Shape("chamfer", size=90.0, tip=0.5),
        Shape("tapered", size=3.0),
        Shape("compression", size=1.5),
    ]
)


@given(settings=cutters, law=forces, kind=st.sampled_from(["corner-radius", "tapered", "compression"]))
def test_a_shape_that_fades_away_leaves_a_square_cutter(settings, law, kind):
    """Corner radius and taper to nothing, a change of hand beyond the depth."""
    faded = {"corner-radius": 1e-6, "tapered": 1e-6, "compression": 50.0}[kind]
    cut = ShapedCut(shape=Shape(kind, size=faded), forces=law, **settings)
    assert loads(cut) == pytest.approx(square(cut), rel=2e-3)
    gone = {"corner-radius": 0.0, "tapered": 0.0, "compression": 50.0}[kind]
    assert loads(replace(cut, shape=Shape(kind, size=gone))) == pytest.approx(square(cut), rel=2e-3)


@given(settings=cutters, law=forces)
def test_a_compression_cutter_all_above_its_change_is_a_down_cut_one(settings, law):
    cut = ShapedCut(shape=Shape("compression", size=0.0), forces=law, **settings)
    assert loads(cut) == pytest.approx(square(cut), rel=2e-3)
    assert discs.mean_forces(**cut.inputs())[2] < 0


@pytest.mark.parametrize("law", LAWS)
def test_halfway_through_a_compression_cutter_the_lifts_cancel(law):
    cut = ShapedCut(shape=Shape("compression", size=2.0), forces=law, depth=4.0, width=3.0)
    plain = replace(cut, shape=Shape("square"))
    lift, up_cut = discs.mean_forces(**cut.inputs())[2], discs.mean_forces(**plain.inputs())[2]
    assert abs(lift) < 1e-6 * up_cut
    assert loads(cut)[0] == pytest.approx(loads(plain)[0], rel=1e-9)


@given(settings=cutters, law=forces, share=st.floats(0.1, 0.9))
def test_the_mean_lift_of_a_compression_cutter_goes_by_its_parts(settings, law, share):
    cut = ShapedCut(shape=Shape("compression", size=share * settings["depth"]), forces=law, **settings)
    plain = replace(cut, shape=Shape("square"))
    lift, up_cut = discs.mean_forces(**cut.inputs())[2], discs.mean_forces(**plain.inputs())[2]
    assert lift == pytest.approx((2 * share - 1) * up_cut, abs=1e-6 * abs(up_cut))


@given(settings=cutters, law=forces)
def test_a_ball_deeper_than_its_radius_is_a_ball_and_a_cylinder(settings, law):
    """Means add up: the part above the bend is a square cutter's."""
    cut = ShapedCut(shape=Shape("ball"), forces=law, **settings | {"depth": 3.0 + settings["depth"]})
    below = replace(cut, depth=3.0)
    above = replace(cut, shape=Shape("square"), depth=settings["depth"])
    means = [discs.mean_forces(**part.inputs()) for part in (cut, below, above)]
    scale = max(abs(force) for force in means[0])
    for whole, ball, cylinder in zip(*means, strict=True):
        assert whole == pytest.approx(ball + cylinder, abs=1e-6 * scale)
    torques = [loads(part)[0] for part in (cut, below, above)]
    assert torques[0] == pytest.approx(torques[1] + torques[2], rel=1e-6)


@given(settings=cutters, law=forces, shape=cutting_shapes)
def test_the_hand_of_the_helix_does_not_change_power(settings, law, shape):
    cut = ShapedCut(shape=shape, forces=law, **settings)
    left = replace(cut, helix=-cut.helix)
    assert loads(left)[0] == pytest.approx(loads(cut)[0], rel=1e-9)


@given(settings=cutters, law=forces, shape=cutting_shapes)
def test_climb_and_conventional_share_torque_and_the_size_of_the_lift(settings, law, shape):
    """Peaks too, without a helix; a helix meets the arcs of a shaped cutter in another order."""
    one = ShapedCut(shape=shape, forces=law, **settings | {"helix": 0.0})
    other = replace(one, climb=not one.climb)
    assert loads(one)[[0, 1, 5]] == pytest.approx(loads(other)[[0, 1, 5]], rel=2e-3, abs=1e-9)


@given(settings=cutters, law=forces, shape=cutting_shapes, share=st.floats(0.1, 0.99))
def test_less_feed_or_depth_never_raises_power(settings, law, shape, share):
    cut = ShapedCut(shape=shape, forces=law, **settings)
    for smaller in (replace(cut, feed=share * cut.feed), replace(cut, depth=share * cut.depth)):
        assert loads(smaller)[0] <= loads(cut)[0] * (1 + 1e-6) + 1e-12


@given(settings=cutters, law=forces, shape=cutting_shapes, share=st.floats(0.1, 0.99))
def test_less_feed_never_raises_the_peak_force(settings, law, shape, share):
    cut = ShapedCut(shape=shape, forces=law, **settings)
    slower = replace(cut, feed=share * cut.feed)
    assert loads(slower)[2] <= loads(cut)[2] * (1 + 5e-3) + 1e-9


@given(settings=cutters, law=forces, shape=cutting_shapes)
def test_peaks_stand_above_means(settings, law, shape):
    cut = ShapedCut(shape=shape, forces=law, **settings)
    torque, peak_torque, peak, along, across, _ = loads(cut)
    assert peak_torque >= torque * (1 - 1e-3)
    assert max(along, across) * (1 - 1e-3) <= peak <= math.hypot(along, across) * (1 + 1e-3) + 1e-12


@given(settings=cutters, law=forces, shape=cutting_shapes, factor=st.floats(0.2, 5.0))
def test_a_material_factor_scales_everything(settings, law, shape, factor):
    cut = ShapedCut(shape=shape, forces=law, **settings)
    scaled = loads(cut, law=law.law().scaled(factor))
    assert scaled == pytest.approx(factor * loads(cut), rel=1e-7, abs=1e-9)


@given(settings=cutters, law=forces, factor=st.floats(0.5, 3.0))
@pytest.mark.parametrize("kind", ["ball", "corner-radius", "chamfer", "tapered"])
def test_a_bigger_job_of_the_same_shape_takes_the_square_in_force(kind, settings, law, factor):
    """All lengths times s at the same chip: forces times s, torque times s squared."""
    size = {"ball": 0.0, "corner-radius": 1.0, "chamfer": 90.0, "tapered": 3.0}[kind]
    grows = kind == "corner-radius"
    cut = ShapedCut(shape=Shape(kind, size=size), forces=law, **settings)
    grown = replace(
        cut,
        shape=Shape(kind, 6.0 * factor, size * (factor if grows else 1.0)),
        depth=factor * cut.depth,
        width=factor * cut.width,
    )
    one, other = loads(cut), loads(grown)
    assert other[:2] == pytest.approx(factor**2 * one[:2], rel=2e-3, abs=1e-12)
    assert other[2:] == pytest.approx(factor * one[2:], rel=2e-3, abs=1e-9)


@given(settings=cutters, shape=cutting_shapes, factor=st.floats(0.2, 5.0))
def test_a_power_law_scales_with_a_power_of_the_feed(settings, shape, factor):
    cut = ShapedCut(shape=shape, forces=Power(), **settings)
    one, other = loads(cut), loads(replace(cut, feed=factor * cut.feed))
    assert other == pytest.approx(factor**0.75 * one, rel=1e-7, abs=1e-9)


@given(settings=cutters, shape=cutting_shapes, speed=st.floats(50.0, 500.0))
def test_linear_power_is_ktc_times_what_is_removed_plus_rubbing(settings, shape, speed):
    """Without edge terms P = Ktc Q, Q the cross-section of the cut times the feed rate."""
    cut = ShapedCut(shape=shape, forces=Linear(kte=0.0, kre=0.0, kae=0.0), **settings)
    watts = power.cutting_power(torque=loads(cut)[0], spindle_speed=speed)
    removed = chips(cut).area * cut.feed / 1e3 * cut.flutes * speed
    assert watts == pytest.approx(631e6 * removed, rel=3e-3, abs=1e-9)


def chips(cut: ShapedCut) -> discs.Chips:
    inputs = cut.inputs()
    names = ("cutter", "axial_depth", "radial_width", "feed_per_tooth", "earlier_pass")
    return discs.chips(**{name: inputs[name] for name in names})


@given(settings=cutters, shape=cutting_shapes)
def test_chips_are_as_a_fine_drawing_has_them(settings, shape):
    """Thickest of all heights and angles, mean over the face, widest arc and area of the section."""
    cut = ShapedCut(shape=shape, **settings | {"climb": False})
    lowest = cut.lowest()
    heights = lowest + (cut.depth - lowest) * np.linspace(1e-9, 1, 6001) ** 3
    radius, kappa = cut.shape.edge(heights)
    low, _ = cut.stock(radius)
    arc = np.arccos(np.clip(low / np.maximum(radius, 1e-12), -1, 1))
    chip = cut.feed * np.sin(kappa) * np.where(arc > math.pi / 2, 1.0, np.sin(arc))
    length = np.hypot(np.diff(heights), np.diff(radius))
    face = (length * (arc[1:] + arc[:-1]) / 2).sum()
    section = np.trapezoid(radius * (1 - np.cos(arc)), heights)
    swept = np.trapezoid(1 - np.cos(arc), heights)
    got = chips(cut)
    assert got.chip_thickness_max * 1e3 == pytest.approx(chip.max(), rel=5e-3, abs=1e-9)
    assert got.engagement_angle == pytest.approx(arc.max(), rel=1e-4, abs=1e-4)
    assert got.area * 1e6 == pytest.approx(section, rel=5e-3, abs=1e-9)
    if section > 1e-6:
        assert got.chip_thickness_mean * 1e3 == pytest.approx(cut.feed * swept / face, rel=1e-2)


@given(depth=st.floats(0.01, 3.0), feed=st.floats(0.01, 0.2))
def test_the_thickest_chip_of_a_ball_in_a_slot(depth, feed):
    """fz Deff / D."""
    cut = ShapedCut(shape=Shape("ball"), depth=depth, width=6.0, feed=feed)
    across = 2 * math.sqrt(depth * (6.0 - depth))
    assert chips(cut).chip_thickness_max * 1e3 == pytest.approx(feed * across / 6.0, rel=1e-9)


@given(depth=st.floats(0.1, 2.5), width=st.floats(0.1, 6.0), feed=st.floats(0.01, 0.2))
def test_the_chip_of_a_cone_thins_by_its_angle(depth, width, feed):
    cut = ShapedCut(shape=Shape("tapered", size=20.0), depth=depth, width=width, feed=feed)
    upright = replace(cut, shape=Shape("square"))
    assert chips(cut).chip_thickness_max <= feed * math.cos(math.radians(20)) / 1e3 * (1 + 1e-12)
    if width < 2.9:
        assert chips(cut).chip_thickness_max >= chips(upright).chip_thickness_max * math.cos(math.radians(20))


@given(depth=st.floats(0.1, 9.0), width=st.floats(0.1, 6.0), earlier_pass=st.booleans())
def test_chips_of_a_square_cutter_are_the_plain_ones(depth, width, earlier_pass):
    cut = ShapedCut(shape=Shape("square"), depth=depth, width=width, earlier_pass=earlier_pass)
    got = chips(cut)
    arc = math.acos(1 - 2 * width / 6.0)
    # Near a slot the arccosine of the test itself is only good to the root of what a float holds.
    assert got.engagement_angle == pytest.approx(arc, rel=1e-7)
    assert got.area * 1e6 == pytest.approx(depth * width, rel=1e-9)
    assert got.chip_thickness_mean * 1e3 == pytest.approx(0.05 * (1 - math.cos(arc)) / arc, rel=1e-7)
    widest = math.sin(arc) if width < 3.0 else 1.0
    assert got.chip_thickness_max * 1e3 == pytest.approx(0.05 * widest, rel=1e-9)


@given(depth=st.floats(0.1, 3.0), width=st.floats(0.01, 5.9))
def test_beside_an_earlier_pass_a_ball_removes_depth_times_stepover(depth, width):
    """As long as every disc is wider than the stepover the section is ap ae; the tip takes less."""
    cut = ShapedCut(shape=Shape("ball"), depth=depth, width=width, earlier_pass=True)
    top = math.sqrt(depth * (6.0 - depth))
    area = chips(cut).area * 1e6
    assert area <= depth * width * (1 + 1e-3)
    if width < 0.02 * top:
        assert area == pytest.approx(depth * width, rel=0.01)


def test_an_upright_free_edge_out_of_reach_leaves_a_shallow_ball_nothing():
    """Half a millimetre deep a 6 mm ball is 1.66 mm from the axis at most: an edge at 2.5 mm is clear."""
    clear = ShapedCut(shape=Shape("ball"), depth=0.5, width=0.5)
    assert (loads(clear) == 0).all()
    assert chips(clear).chip_thickness_max == pytest.approx(0.0, abs=1e-12)
    assert chips(clear).area == 0.0
    assert math.isnan(chips(clear).chip_thickness_mean)
    assert (loads(replace(clear, width=1.5)) > 0).all()
    assert (loads(replace(clear, earlier_pass=True)) > 0).all()


def test_just_within_reach_the_load_comes_up_from_nothing():
    reach = 3.0 - math.sqrt(0.5 * 5.5)
    shares = [
        loads(ShapedCut(shape=Shape("ball"), depth=0.5, width=reach + more))[0] for more in (1e-6, 1e-3)
    ]
    assert 0 < shares[0] < 1e-3 * shares[1] + 1e-7


@pytest.mark.parametrize(
    "shape", [Shape("ball"), Shape("corner-radius", size=1.0), Shape("chamfer", size=90.0)]
)
@pytest.mark.parametrize("earlier_pass", [False, True])
def test_in_a_slot_both_free_edges_and_both_directions_are_one(shape, earlier_pass):
    cut = ShapedCut(shape=shape, width=6.0, helix=20.0)
    other = replace(cut, earlier_pass=earlier_pass, climb=not cut.climb)
    assert loads(other) == pytest.approx(loads(cut), rel=1e-6)


@pytest.mark.parametrize("law", [Linear(), Power()])
def test_a_shallow_ball_presses_on_the_work_and_a_deep_one_lifts_it(law):
    """Near the tip the radial force points down; on the cylinder the helix lifts."""
    lifts = [
        discs.mean_forces(**ShapedCut(shape=Shape("ball"), forces=law, depth=depth, width=6.0).inputs())[2]
        for depth in (0.3, 20.0)
    ]
    assert lifts[0] < 0 < lifts[1]


def test_a_flat_bottom_takes_no_part():
    """Of a corner-radius cutter only the corner and the cylinder cut: the edge length counted is theirs."""
    rubbing = Linear(ktc=0.0, krc=0.0, kac=0.0, kte=10.0, kre=0.0, kae=0.0)
    cut = ShapedCut(shape=Shape("corner-radius", size=1.0), forces=rubbing, depth=1.0, width=6.0, helix=0.0)
    x, y, _ = discs.mean_forces(**cut.inputs())
    length = math.pi / 2
    assert y == pytest.approx(2 / math.pi * 10.0 * length, rel=1e-3)
    assert x == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("width", [0.25, 0.5, 1.0, 2.0, 3.0])
def test_a_ball_without_rubbing_turns_the_work_of_its_segment(width):
    """Work of a tooth is Ktc fz times the section of stock, half a segment of a circle, to 0.03 %."""
    free = 3.0 - width
    section = (9.0 * math.acos(free / 3.0) - free * math.sqrt(9.0 - free * free)) / 2
    shearing = Linear(kte=0.0, kre=0.0, kae=0.0).law()
    got = discs.loads(
        law=shearing,
        cutter=shapes.Ball(6e-3),
        flutes=2,
        helix=0.5,
        axial_depth=3e-3,
        radial_width=width / 1e3,
        feed_per_tooth=5e-5,
        climb=True,
    )
    work = 2 * math.pi * got.torque_mean / 2
    assert work == pytest.approx(631e6 * 5e-5 * section * 1e-6, rel=3e-4)
