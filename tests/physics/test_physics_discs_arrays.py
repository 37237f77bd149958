"""Shaped cutters many at a time: every size and input may be an array, and a bad one spoils no neighbour."""

import math
from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest

from support.milling import Linear, Power
from support.shapes import LAWS, Shape, ShapedCut, random_shaped_cuts
from swarfbook.physics import discs, turn
from swarfbook.physics.sampling import knots, lots, peak, sampled
from swarfbook.physics.turn import Loads

KINDS = ("square", "compression", "ball", "corner-radius", "chamfer", "tapered")
PLAIN = {
    "square": Shape("square"),
    "compression": Shape("compression", size=1.0),
    "ball": Shape("ball"),
    "corner-radius": Shape("corner-radius", size=1.0),
    "chamfer": Shape("chamfer", size=90.0, tip=0.4),
    "tapered": Shape("tapered", size=4.0),
}
each_kind = pytest.mark.parametrize("kind", KINDS)


def row(got: Loads) -> np.ndarray:
    return np.stack([np.asarray(getattr(got, field.name)) for field in fields(got)])


def together(cuts: list[ShapedCut]) -> dict[str, Any]:
    """Cuts of one law and one kind as one call, sizes of the cutter as arrays."""
    inputs = [cut.inputs() for cut in cuts]
    profiles = [each["cutter"] for each in inputs]
    sizes = {
        field.name: np.array([getattr(profile, field.name) for profile in profiles])
        for field in fields(profiles[0])
    }
    rest = {
        name: np.array([each[name] for each in inputs]) for name in inputs[0] if name not in ("law", "cutter")
    }
    return {"law": inputs[0]["law"], "cutter": replace(profiles[0], **sizes)} | rest


@each_kind
@pytest.mark.parametrize("law", [Linear(), Power()])
def test_many_cuts_at_once_are_the_same_cuts_one_by_one(kind, law):
    """Cutters, flutes, free edges and directions mixed; lots of memory and of passes."""
    cuts = [replace(cut, forces=law) for cut in random_shaped_cuts(kind, 150, seed=23)]
    at_once = row(discs.loads(**together(cuts)))
    means = np.stack(discs.mean_forces(**together(cuts)))
    for index in range(0, 150, 11):
        alone = cuts[index].inputs()
        assert at_once[:, index] == pytest.approx(row(discs.loads(**alone)), rel=1e-9, abs=1e-12)
        assert means[:, index] == pytest.approx(np.array(discs.mean_forces(**alone)), rel=1e-9, abs=1e-12)


@each_kind
def test_a_grid_takes_the_shape_of_its_axes(kind):
    inputs = ShapedCut(shape=PLAIN[kind]).inputs() | {
        "radial_width": np.linspace(1e-3, 6e-3, 4)[:, None],
        "axial_depth": np.linspace(1e-3, 5e-3, 3),
        "climb": np.array([True, False])[:, None, None],
    }
    got = discs.loads(**inputs)
    assert got.force_peak.shape == (2, 4, 3)
    alone = discs.loads(**ShapedCut(shape=PLAIN[kind], width=6.0, depth=3.0, climb=False).inputs())
    assert got.force_peak[1, 3, 1] == pytest.approx(alone.force_peak, rel=1e-12)
    course = discs.turn(**inputs, angles=np.linspace(0, 3, 5))
    assert course.torque.shape == course.force_z.shape == (2, 4, 3, 5)
    assert course.torque.max(axis=-1)[1, 3, 1] <= alone.torque_peak * (1 + 5e-3)


@each_kind
def test_coefficients_may_differ_from_cut_to_cut(kind):
    cut = ShapedCut(shape=PLAIN[kind], forces=Power())
    law = replace(Power().law(), kc11=np.array([700e6, 1780e6]), mc=np.array([0.25, 0.17]))
    at_once = row(discs.loads(**cut.inputs() | {"law": law}))
    alone = [
        row(discs.loads(**replace(cut, forces=Power(*pair)).inputs())) for pair in ((700, 0.25), (1780, 0.17))
    ]
    assert at_once == pytest.approx(np.stack(alone, axis=1), rel=1e-9)
    linear = replace(Linear().law(), kte=np.array([13e3, 20e3]))
    at_once = row(discs.loads(**cut.inputs() | {"law": linear}))
    assert at_once[:, 0] == pytest.approx(
        row(discs.loads(**replace(cut, forces=Linear()).inputs())), rel=1e-9
    )
    assert (at_once[:3, 1] > at_once[:3, 0]).all()


@each_kind
@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("flutes", 0),
        ("helix", math.radians(85)),
        ("helix", math.nan),
        ("axial_depth", -1e-3),
        ("axial_depth", math.inf),
        ("axial_depth", math.nan),
        ("radial_width", 0.0),
        ("radial_width", 6.1e-3),
        ("radial_width", math.nan),
        ("feed_per_tooth", -1e-6),
        ("feed_per_tooth", math.inf),
    ],
)
def test_a_cut_that_cannot_be_is_nan_and_its_neighbour_is_not(kind, name, value):
    inputs = ShapedCut(shape=PLAIN[kind], width=4.0).inputs()
    got = row(discs.loads(**inputs | {name: np.array([value, inputs[name]])}))
    assert np.isnan(got[:, 0]).all()
    assert got[:, 1] == pytest.approx(row(discs.loads(**inputs)), rel=1e-12)


@each_kind
@pytest.mark.parametrize("bad", [math.nan, -1e-3])
def test_a_size_that_cannot_be_spoils_its_own_cut_only(kind, bad):
    inputs = ShapedCut(shape=PLAIN[kind], width=4.0).inputs()
    profile = inputs["cutter"]
    for field in fields(profile):
        sizes = np.array([bad, getattr(profile, field.name)])
        holed = replace(profile, **{field.name: sizes})
        got = row(discs.loads(**inputs | {"cutter": holed}))
        assert np.isnan(got[:, 0]).all(), field.name
        assert got[:, 1] == pytest.approx(row(discs.loads(**inputs)), rel=1e-12)
        chips = discs.chips(
            cutter=holed, axial_depth=2e-3, radial_width=2e-3, feed_per_tooth=5e-5, earlier_pass=False
        )
        assert np.isnan([chips.chip_thickness_max[0], chips.engagement_angle[0], chips.area[0]]).all()
        assert np.isfinite([chips.chip_thickness_max[1], chips.engagement_angle[1], chips.area[1]]).all()


@each_kind
def test_none_at_all(kind):
    inputs = ShapedCut(shape=PLAIN[kind]).inputs() | {"axial_depth": np.empty((0,))}
    assert row(discs.loads(**inputs)).shape == (6, 0)
    assert discs.turn(**inputs, angles=np.linspace(0, 1, 4)).torque.shape == (0, 4)
    assert np.stack(discs.mean_forces(**inputs)).shape == (3, 0)


@each_kind
@pytest.mark.parametrize("law", LAWS[:4:2])
def test_no_depth_no_load(kind, law):
    cut = ShapedCut(shape=PLAIN[kind], forces=law, depth=0.0, width=6.0)
    assert (row(discs.loads(**cut.inputs())) == 0).all()
    assert np.stack(discs.mean_forces(**cut.inputs())) == pytest.approx(np.zeros(3))


@each_kind
def test_no_feed_leaves_the_rubbing(kind):
    cut = ShapedCut(shape=PLAIN[kind], feed=0.0, width=6.0, helix=0.0, flutes=1)
    assert (row(discs.loads(**replace(cut, forces=Power()).inputs())) == 0).all()
    heights = 2.0 * np.linspace(0, 1, 20_001) ** 2
    radius, _ = cut.shape.edge(heights)
    length = np.hypot(np.diff(heights), np.diff(radius))
    rubbing = 13.0 * (length * (radius[1:] + radius[:-1]) / 2).sum()
    assert discs.loads(**cut.inputs()).torque_peak * 1e3 == pytest.approx(rubbing, rel=2e-3)


@each_kind
def test_a_blank_axial_coefficient_blanks_what_it_takes_part_in(kind):
    law = replace(Linear().law(), kac=math.nan, kae=math.nan)
    inputs = ShapedCut(shape=PLAIN[kind], width=4.0).inputs()
    got, whole = discs.loads(**inputs | {"law": law}), discs.loads(**inputs)
    assert got.torque_peak == pytest.approx(whole.torque_peak, rel=1e-3)
    assert math.isnan(got.force_z_peak)
    if kind in ("square", "compression"):
        assert got.force_peak == whole.force_peak
    else:
        assert math.isnan(got.force_peak)


@pytest.mark.parametrize("helix", [-30.0, 0.0, 30.0])
@each_kind
def test_a_turn_repeats_with_the_teeth(kind, helix):
    cut = ShapedCut(shape=PLAIN[kind], flutes=3, depth=5.0, width=4.0, helix=helix)
    angles = np.linspace(0.013, 1, 11)
    one, other = (discs.turn(**cut.inputs(), angles=angles + shift) for shift in (0.0, 2 * math.pi / 3 * 4))
    assert one.torque == pytest.approx(other.torque, rel=1e-6, abs=1e-9)
    assert (one.angle == angles).all()


def test_two_straight_teeth_changing_over_do_not_count_twice():
    """Quarter arcs, four straight flutes: one leaves just as the next enters, one rubs at a time."""
    rubbing = Linear(ktc=1.0, krc=0.0, kac=0.0, kte=50.0, kre=0.0, kae=0.0)
    for climb in (True, False):
        cut = ShapedCut(
            shape=Shape("corner-radius", size=1e-3),
            forces=rubbing,
            flutes=4,
            helix=0.0,
            width=3.0,
            climb=climb,
        )
        assert discs.loads(**cut.inputs()).force_peak == pytest.approx((0.05 + 50.0) * 2.0, rel=1e-3)


# The samples a peak is looked for in


def test_knots_stand_in_order_within_the_span():
    found = knots(events=np.array([[0.9, 0.2, 3.0]]), span=np.array([[1.5]]))
    assert found.tolist() == [[0.0, 0.2, 0.9, 1.5, 1.5]]


def test_samples_are_even_on_every_stretch():
    found = sampled(np.array([[0.0, 1.0, 4.0]]), samples=2)
    assert found.tolist() == [[0.0, 0.5, 1.0, 1.0, 2.5, 4.0]]


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_top_between_samples_counts(sign):
    """A parabola of height 2 at 0.3, seen at -1, 0, 1; and none is made of a jump's two sides."""
    at = sampled(np.array([[-1.0, 1.0]]), samples=2)
    assert peak(sign * (2 - (at - 0.3) ** 2), samples=2) == pytest.approx([2.0])
    assert peak(np.array([[0.0, 1.0, 1.0, 5.0, 4.0, 3.0]]), samples=2) == pytest.approx([5.0])
    assert peak(np.stack([at, 2 * at]), samples=2).shape == (2, 1)


def test_lots_hold_every_row_once_and_like_passes_together():
    passes = np.array([1, 3, 1, 2, 3, 1])
    found = lots(passes, ends=1 << 15)
    assert sorted(np.concatenate(found)) == [0, 1, 2, 3, 4, 5]
    assert all(len(set(passes[rows])) == 1 for rows in found)
    assert max(len(rows) for rows in found if passes[rows[0]] == 1) == 2
    assert max(len(rows) for rows in lots(passes, ends=1)) == 3


def test_arc_loads_broadcast_their_arcs():
    inputs = {"law": Linear().law(), "diameter": 6e-3, "flutes": 2, "helix": 0.5, "axial_depth": 2e-3}
    entries, leaves = np.array([[0.1], [0.5]]), np.array([1.0, 2.0, 3.0])
    got = turn.arc_loads(**inputs, feed_per_tooth=5e-5, entry=entries, exit=leaves)
    assert got.torque_mean.shape == (2, 3)
    alone = turn.arc_loads(**inputs, feed_per_tooth=5e-5, entry=0.5, exit=2.0)
    assert row(got)[:, 1, 1] == pytest.approx(row(alone), rel=1e-12)
