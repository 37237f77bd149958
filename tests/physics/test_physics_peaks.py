"""Peaks over a turn against dense direct sums, and what must always hold of them."""

import math
from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.milling import Cut, Linear, Power, random_cuts
from swarfbook.physics import beam, power, turn
from swarfbook.physics.turn import Loads, loads

PEAKS = ("torque_peak", "force_peak", "force_x_peak", "force_y_peak", "force_z_peak")
CUTS = random_cuts(36, seed=3)


def row(got: Loads) -> np.ndarray:
    """All six figures, as one array whose first axis is the figure."""
    return np.stack([np.asarray(getattr(got, field.name)) for field in fields(got)])


def together(cuts: list[Cut]) -> dict[str, Any]:
    """Cuts of one law as one call."""
    inputs = [cut.inputs() for cut in cuts]
    return {"law": inputs[0]["law"]} | {
        name: np.array([each[name] for each in inputs]) for name in inputs[0] if name != "law"
    }


@pytest.mark.parametrize("cut", CUTS, ids=[str(index) for index in range(len(CUTS))])
def test_peaks_agree_with_a_dense_sum_over_discs(cut):
    """The reference walks 600 angles and 1200 discs, and is itself a few parts in a thousand coarse."""
    x, y, lift, torque = cut.discs(cut.while_cutting(600), 1200)
    expected = [np.abs(torque).max() / 1e3, np.hypot(x, y).max()] + [np.abs(f).max() for f in (x, y, lift)]
    got = loads(**cut.inputs())
    assert [getattr(got, name) for name in PEAKS] == pytest.approx(expected, rel=4e-3)


@pytest.mark.parametrize("forces", [Linear(), Linear(1319.41, 788.83, 48.75, 19.65, 26.77, 2.05), Power()])
@pytest.mark.parametrize("helix", [(0.0, 0.0), (0.01, 2.0), (2.0, 45.0)])
def test_no_peak_hides_between_the_samples(forces, helix):
    """Forty times as many samples find at most a thousandth more."""
    cuts = [replace(cut, forces=forces) for cut in random_cuts(400, seed=8, helix=helix)]
    inputs = together(cuts)
    coarse, dense = row(loads(**inputs)), row(loads(**inputs, samples=640))
    assert coarse[0] == pytest.approx(dense[0], rel=1e-12)
    assert coarse[1:3] == pytest.approx(dense[1:3], rel=2e-4)
    assert coarse[3:] == pytest.approx(dense[3:], rel=1e-3)


@pytest.mark.parametrize("cut", CUTS[::3], ids=[str(index) for index in range(0, len(CUTS), 3)])
def test_the_mean_is_the_mean_of_the_course(cut):
    """An independent sum again: all discs at all angles of a pitch, N mm."""
    torque = cut.discs(cut.one_pitch(400), 400)[3].mean()
    assert loads(**cut.inputs()).torque_mean * 1e3 == pytest.approx(torque, rel=6e-3)
    course = turn.turn(**cut.inputs(), angles=cut.one_pitch(20_000)).torque
    assert loads(**cut.inputs()).torque_mean == pytest.approx(course.mean(), rel=5e-5)


def test_the_peak_is_on_the_course():
    for cut in CUTS[:10]:
        got = turn.turn(**cut.inputs(), angles=cut.one_pitch(20_000))
        peak = loads(**cut.inputs())
        assert peak.force_peak == pytest.approx(np.hypot(got.force_x, got.force_y).max(), rel=2e-4)
        assert peak.torque_peak == pytest.approx(got.torque.max(), rel=2e-4)
        assert peak.force_z_peak == pytest.approx(np.abs(got.force_z).max(), rel=2e-4)


@pytest.mark.parametrize("forces", [Linear(), Power()])
@pytest.mark.parametrize("helix", [0.0, 1.0, 20.0, 45.0])
def test_a_peak_where_an_edge_end_meets_the_exit_is_met_exactly(forces, helix):
    """Conventional milling up to half the diameter: the load grows until the foremost end leaves."""
    cut = Cut(forces=forces, flutes=1, helix=helix, width=2.5, depth=0.8, climb=False)
    at_exit = turn.turn(**cut.inputs(), angles=np.array([cut.arc[1]]))
    assert loads(**cut.inputs(), samples=3).torque_peak == pytest.approx(at_exit.torque[0], rel=1e-9)


def test_two_straight_teeth_changing_over_do_not_count_twice():
    """In a slot with two straight flutes one leaves just as the other enters: only one rubs at a time."""
    cut = Cut(forces=Linear(ktc=1.0, krc=0.0, kac=0.0, kte=50.0, kre=0.0, kae=0.0), helix=0.0, width=6.0)
    got = loads(**cut.inputs())
    tangential = (1.0 * cut.feed + 50.0) * cut.depth
    assert got.force_peak == pytest.approx(tangential, rel=1e-5)
    assert got.torque_peak * 1e3 == pytest.approx(tangential * 3, rel=1e-5)


def test_a_straight_single_flute_peaks_at_the_thickest_chip():
    cut = Cut(forces=Power(), flutes=1, helix=0.0, width=0.6)
    thickest = 0.05 * 0.6
    tangential = 700 * thickest**0.75 * cut.depth
    got = loads(**cut.inputs())
    assert got.force_peak == pytest.approx(tangential * math.hypot(1, 0.4), rel=1e-5)
    assert got.force_z_peak == pytest.approx(0.3 * tangential, rel=1e-5)
    assert got.torque_peak == pytest.approx(tangential * 3e-3, rel=1e-5)


cutters = st.fixed_dictionaries(
    {
        "flutes": st.integers(1, 5),
        "helix": st.floats(0.5, 45.0),
        "depth": st.floats(0.3, 13.0),
        "width": st.floats(0.12, 6.0),
        "feed": st.floats(0.004, 0.15),
        "climb": st.booleans(),
    }
)
forces = st.sampled_from(
    [
        Linear(),
        Linear(767.01, 168.8, 222.0, 27.7, 26.6, 0.7),
        Linear(1319.41, 788.83, 48.75, 19.65, 26.77, 2.05),
        Power(),
        Power(1780.0, 0.17, 0.5, 0.2),
        Power(30.0, 0.4, 0.6, 0.1),
    ]
)


@given(cutter=cutters, law=forces)
def test_peaks_stand_above_means(cutter, law):
    cut = Cut(forces=law, **cutter)
    got = loads(**cut.inputs())
    assert got.torque_peak >= got.torque_mean * (1 - 1e-9)
    assert got.force_peak >= max(got.force_x_peak, got.force_y_peak) * (1 - 1e-4)
    assert got.force_peak <= math.hypot(got.force_x_peak, got.force_y_peak) * (1 + 1e-4)
    assert min(row(got)) > 0


@given(cutter=cutters, law=forces, share=st.floats(0.1, 0.99))
def test_less_feed_never_raises_torque_or_force(cutter, law, share):
    """Of the resultant. Its parts x and y may rise: where they cancel, less feed can spoil the balance."""
    cut = Cut(forces=law, **cutter)
    before, after = (loads(**replace(cut, feed=feed).inputs()) for feed in (cut.feed, cut.feed * share))
    for name in ("torque_mean", "torque_peak", "force_peak", "force_z_peak"):
        assert getattr(after, name) <= getattr(before, name) * (1 + 1e-9), name


@given(cutter=cutters, law=forces, share=st.floats(0.1, 0.99))
def test_less_depth_never_raises_torque_or_lift(cutter, law, share):
    """Every disc adds to both; in the plane two discs may cancel, so the resultant is not in this list."""
    cut = Cut(forces=law, **cutter)
    before, after = (loads(**replace(cut, depth=depth).inputs()) for depth in (cut.depth, cut.depth * share))
    for name in ("torque_mean", "torque_peak", "force_z_peak"):
        assert getattr(after, name) <= getattr(before, name) * (1 + 1e-3), name


@given(cutter=cutters, law=forces, factor=st.floats(0.1, 10.0))
def test_without_helix_everything_scales_with_depth(cutter, law, factor):
    cut = Cut(forces=law, **(cutter | {"helix": 0.0}))
    one, other = (
        row(loads(**replace(cut, depth=depth).inputs())) for depth in (cut.depth, factor * cut.depth)
    )
    assert other == pytest.approx(factor * one, rel=1e-9)


@given(cutter=cutters, factor=st.floats(0.2, 5.0))
def test_a_power_law_scales_with_a_power_of_the_feed(cutter, factor):
    cut = Cut(forces=Power(), **cutter)
    one, other = (row(loads(**replace(cut, feed=feed).inputs())) for feed in (cut.feed, factor * cut.feed))
    assert other == pytest.approx(factor**0.75 * one, rel=1e-9)


@given(cutter=cutters, law=forces, factor=st.floats(0.2, 5.0))
def test_a_material_factor_scales_everything(cutter, law, factor):
    inputs = Cut(forces=law, **cutter).inputs()
    scaled = loads(**inputs | {"law": inputs["law"].scaled(factor)})
    assert row(scaled) == pytest.approx(factor * row(loads(**inputs)), rel=1e-9)


@given(cutter=cutters, law=forces, factor=st.floats(0.5, 3.0))
def test_a_bigger_job_of_the_same_shape_takes_the_square_in_force(cutter, law, factor):
    """All lengths times s at the same chip: forces times s, torque times s squared."""
    cut = Cut(forces=law, **cutter)
    grown = replace(cut, diameter=factor * 6.0, depth=factor * cut.depth, width=factor * cut.width)
    one, other = loads(**cut.inputs()), loads(**grown.inputs())
    assert other.force_peak == pytest.approx(factor * one.force_peak, rel=1e-6)
    assert other.torque_peak == pytest.approx(factor**2 * one.torque_peak, rel=1e-6)
    assert other.torque_mean == pytest.approx(factor**2 * one.torque_mean, rel=1e-6)


@given(cutter=cutters, law=forces)
def test_the_hand_of_the_helix_does_not_change_a_peak(cutter, law):
    cut = Cut(forces=law, **cutter)
    left = loads(**replace(cut, helix=-cut.helix).inputs())
    assert row(left) == pytest.approx(row(loads(**cut.inputs())), rel=1e-12)


@given(cutter=cutters, law=forces)
def test_climb_and_conventional_share_torque_and_lift(cutter, law):
    """The chips are the same, met in the other order."""
    cut = Cut(forces=law, **cutter)
    climbing, conventional = (loads(**replace(cut, climb=climb).inputs()) for climb in (True, False))
    for name in ("torque_mean", "torque_peak", "force_z_peak"):
        assert getattr(climbing, name) == pytest.approx(getattr(conventional, name), rel=2e-4)


@pytest.mark.parametrize("law", [Linear(), Power()])
@pytest.mark.parametrize("climb", [True, False])
def test_everything_fades_with_the_engagement(law, climb):
    cut = Cut(forces=law, climb=climb)
    fading = np.stack(
        [row(loads(**replace(cut, width=6.0 * share).inputs())) for share in (1e-2, 1e-4, 1e-6)]
    )
    assert (np.diff(fading, axis=0) < 0).all()
    whole = row(loads(**replace(cut, width=6.0).inputs()))
    assert (fading[-1] < 2e-3 * whole).all()


@pytest.mark.parametrize("law", [Linear(), Power()])
@pytest.mark.parametrize("helix", [0.0, 30.0])
def test_climb_and_conventional_meet_in_a_slot(law, helix):
    cut = Cut(forces=law, helix=helix, width=6.0)
    climbing, conventional = (row(loads(**replace(cut, climb=climb).inputs())) for climb in (True, False))
    assert climbing == pytest.approx(conventional, rel=1e-9)
    nearly = row(loads(**replace(cut, width=5.999999).inputs()))
    assert nearly == pytest.approx(climbing, rel=2e-3)


@pytest.mark.parametrize("law", [Linear(), Power()])
def test_a_vanishing_helix_has_the_peaks_of_a_straight_flute(law):
    cut = Cut(forces=law, width=4.0, flutes=3)
    straight = row(loads(**replace(cut, helix=0.0).inputs()))
    for helix in (1e-3, 1e-5, 1e-7):
        assert row(loads(**replace(cut, helix=helix).inputs())) == pytest.approx(
            straight, rel=30 * helix + 1e-4
        )


def test_no_depth_no_load():
    assert (row(loads(**replace(Cut(), depth=0.0).inputs())) == 0).all()


def test_no_feed_leaves_the_rubbing():
    rubbing = loads(**Cut(feed=0.0, flutes=1, helix=0.0).inputs())
    assert rubbing.torque_peak * 1e3 == pytest.approx(13.0 * 3 * 3, rel=1e-6)
    assert (row(loads(**Cut(forces=Power(), feed=0.0).inputs())) == 0).all()


def test_thousands_of_cuts_at_once_are_the_same_cuts_one_by_one():
    """Many lots of memory, cuts of one to seven passes in mixed order."""
    cuts = [replace(cut, forces=Power()) for cut in random_cuts(700, seed=21)]
    at_once = row(loads(**together(cuts)))
    for index in range(0, 700, 23):
        assert at_once[:, index] == pytest.approx(row(loads(**cuts[index].inputs())), rel=1e-12)


def test_coefficients_may_differ_from_cut_to_cut():
    cuts = [Cut(forces=Power(kc11, mc), depth=depth) for kc11, mc, depth in ((700, 0.25, 3), (1780, 0.17, 9))]
    law = replace(cuts[0].forces.law(), kc11=np.array([700e6, 1780e6]), mc=np.array([0.25, 0.17]))
    at_once = row(loads(**together(cuts) | {"law": law}))
    apart = np.stack([row(loads(**cut.inputs())) for cut in cuts], axis=1)
    assert at_once == pytest.approx(apart, rel=1e-12)


def test_a_grid_takes_the_shape_of_its_axes():
    inputs = Cut().inputs() | {
        "radial_width": np.linspace(1e-3, 6e-3, 4)[:, None],
        "axial_depth": np.linspace(1e-3, 5e-3, 3),
        "climb": np.array([True, False])[:, None, None],
    }
    got = loads(**inputs)
    assert got.force_peak.shape == (2, 4, 3)
    alone = loads(**replace(Cut(), width=6.0, depth=3.0, climb=False).inputs())
    assert got.force_peak[1, 3, 1] == pytest.approx(alone.force_peak, rel=1e-12)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("diameter", 0.0),
        ("diameter", -6e-3),
        ("flutes", 0),
        ("helix", math.radians(85)),
        ("axial_depth", -1e-3),
        ("axial_depth", math.inf),
        ("radial_width", 0.0),
        ("radial_width", 6.1e-3),
        ("feed_per_tooth", -1e-6),
        ("feed_per_tooth", math.inf),
        ("feed_per_tooth", math.nan),
    ],
)
def test_a_cut_that_cannot_be_is_nan_and_its_neighbour_is_not(name, value):
    inputs = Cut().inputs()
    good = inputs[name]
    got = row(loads(**inputs | {name: np.array([value, good])}))
    assert np.isnan(got[:, 0]).all()
    assert got[:, 1] == pytest.approx(row(loads(**inputs)), rel=1e-12)


def test_a_blank_axial_coefficient_blanks_the_lift_only():
    law = replace(Linear().law(), kac=math.nan, kae=math.nan)
    got = loads(**Cut().inputs() | {"law": law})
    whole = loads(**Cut().inputs())
    assert math.isnan(got.force_z_peak)
    assert got.force_peak == whole.force_peak


@given(cutter=cutters, law=forces, share=st.floats(0.1, 0.99), speed=st.floats(50.0, 500.0))
def test_less_feed_never_raises_power_bending_or_deflection(cutter, law, share, speed):
    cut = Cut(forces=law, **cutter)
    demands = []
    for feed in (cut.feed, cut.feed * share):
        got = loads(**replace(cut, feed=feed).inputs())
        rod = {
            "force": got.force_peak,
            "load_height": cut.depth / 2e3,
            "flute_length": 16e-3,
            "fluted_diameter": beam.equivalent_diameter(diameter=6e-3),
            "neck_end": 16e-3,
            "neck_diameter": 6e-3,
            "shank_diameter": 6e-3,
            "stickout": 24e-3,
        }
        watts = power.cutting_power(torque=got.torque_mean, spindle_speed=speed)
        bent = beam.deflection(**rod, youngs_modulus=600e9)
        demands.append([watts, bent, beam.bending_stress(**rod)])
    assert (np.array(demands[1]) <= np.array(demands[0]) * (1 + 1e-9)).all()
