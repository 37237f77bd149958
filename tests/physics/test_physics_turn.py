"""The course of force and torque over a turn, and its means, against two independent integrations."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.milling import Cut, Linear, Power, random_cuts
from swarfbook.physics import kinematics, power, turn
from swarfbook.physics.engagement import immersion
from swarfbook.physics.helical import SMALLEST_LAG

CUTS = random_cuts(60, seed=11)
IDS = [f"{index}" for index in range(len(CUTS))]


def course(cut: Cut, angles: np.ndarray) -> np.ndarray:
    """Fx, Fy, Fz [N] and torque [N mm] as the program gives them."""
    got = turn.turn(**cut.inputs(), angles=angles)
    return np.stack([got.force_x, got.force_y, got.force_z, got.torque * 1e3])


def means(cut: Cut) -> np.ndarray:
    """Closed means of Fx, Fy, Fz [N] and torque [N mm]."""
    entry, leave = cut.arc
    inputs = cut.inputs()
    shared = {
        "law": inputs["law"],
        "flutes": cut.flutes,
        "axial_depth": inputs["axial_depth"],
        "feed_per_tooth": inputs["feed_per_tooth"],
        "entry": entry,
        "exit": leave,
    }
    torque = turn.torque_mean(diameter=inputs["diameter"], **shared)
    return np.array([*turn.mean_forces(**shared), torque * 1e3])


@pytest.mark.parametrize("cut", CUTS, ids=IDS)
def test_every_angle_agrees_with_quadrature_along_the_edges(cut):
    """Gauss-Legendre meets the power law's steep start with fewer digits than a straight line."""
    angles = np.random.default_rng(5).uniform(-7, 14, 9)
    found = np.stack([cut.edges(angle) for angle in angles], axis=1)
    digits = 1e-9 if isinstance(cut.forces, Linear) else 3e-5
    assert course(cut, angles) == pytest.approx(found, abs=digits * np.abs(found).max() + 1e-9)


@pytest.mark.parametrize("cut", CUTS[::4], ids=IDS[::4])
def test_every_angle_agrees_with_a_sum_over_discs(cut):
    angles = cut.one_pitch(24)
    found = cut.discs(angles, 4000)
    scale = np.abs(found).max(axis=1, keepdims=True)
    assert course(cut, angles) / scale == pytest.approx(found / scale, abs=3e-3)


@pytest.mark.parametrize("cut", CUTS[::3], ids=IDS[::3])
def test_the_mean_of_a_turn_is_the_closed_mean(cut):
    sampled = course(cut, cut.one_pitch(40_000)).mean(axis=1)
    scale = np.abs(course(cut, cut.one_pitch(500))).max(axis=1)
    assert sampled / scale == pytest.approx(means(cut) / scale, abs=2e-5)


def printed_means(cut: Cut) -> np.ndarray:
    """The closed mean forces of the linear law as the book prints them, N and N mm."""
    c, f, a, z = cut.forces, cut.feed, cut.depth, cut.flutes

    def bracket(part):
        entry, leave = cut.arc
        return part(leave) - part(entry)

    cos2, sin2 = lambda p: math.cos(2 * p), lambda p: math.sin(2 * p)
    x = z * a * f / (8 * math.pi) * bracket(lambda p: c.ktc * cos2(p) - c.krc * (2 * p - sin2(p)))
    x += z * a / (2 * math.pi) * bracket(lambda p: -c.kte * math.sin(p) + c.kre * math.cos(p))
    y = z * a * f / (8 * math.pi) * bracket(lambda p: c.ktc * (2 * p - sin2(p)) + c.krc * cos2(p))
    y -= z * a / (2 * math.pi) * bracket(lambda p: c.kte * math.cos(p) + c.kre * math.sin(p))
    lift = z * a / (2 * math.pi) * bracket(lambda p: -c.kac * f * math.cos(p) + c.kae * p)
    torque = z * a * cut.diameter / (4 * math.pi) * bracket(lambda p: -c.ktc * f * math.cos(p) + c.kte * p)
    return np.array([x, y, lift, torque])


@pytest.mark.parametrize("cut", [cut for cut in CUTS if isinstance(cut.forces, Linear)][:16])
def test_the_linear_means_are_the_printed_ones(cut):
    assert means(cut) == pytest.approx(printed_means(cut), rel=1e-10, abs=1e-9)


@given(flutes=st.integers(1, 5), depth=st.floats(0.1, 10), feed=st.floats(0.001, 0.2))
def test_the_means_of_a_slot_are_simple(flutes, depth, feed):
    cut = Cut(forces=Linear(), flutes=flutes, depth=depth, width=6.0, feed=feed, climb=False)
    c, share = cut.forces, flutes * depth
    x = -share / 4 * c.krc * feed - share / math.pi * c.kre
    y = share / 4 * c.ktc * feed + share / math.pi * c.kte
    lift = share / math.pi * c.kac * feed + share / 2 * c.kae
    assert means(cut)[:3] == pytest.approx([x, y, lift], rel=1e-10)


@pytest.mark.parametrize("forces", [Linear(), Power()])
@given(width=st.floats(0.05, 6.0), feed=st.floats(0.001, 0.2))
def test_climb_and_conventional_take_the_same_mean_power(forces, width, feed):
    climbing = Cut(forces=forces, width=width, feed=feed, climb=True)
    torques = [means(replace(climbing, climb=climb))[3] for climb in (True, False)]
    watts = [power.cutting_power(torque=torque / 1e3, spindle_speed=300.0) for torque in torques]
    assert watts[0] == pytest.approx(watts[1], rel=1e-9)


@given(width=st.floats(0.05, 6.0), feed=st.floats(0.001, 0.2), depth=st.floats(0.1, 12.0))
def test_linear_power_is_ktc_times_removal_rate_plus_rubbing(width, feed, depth):
    """P = Ktc Q + Kte z ap D n phi_s / 2, whatever the engagement."""
    cut = Cut(forces=Linear(), width=width, feed=feed, depth=depth)
    speed = 250.0
    watts = power.cutting_power(torque=means(cut)[3] / 1e3, spindle_speed=speed)
    inputs = cut.inputs()
    rate = kinematics.feed_rate(feed_per_tooth=inputs["feed_per_tooth"], flutes=2, spindle_speed=speed)
    removed = kinematics.material_removal_rate(
        axial_depth=inputs["axial_depth"], radial_width=inputs["radial_width"], feed_rate=rate
    )
    entry, leave = cut.arc
    rubbing = 13e3 * 2 * inputs["axial_depth"] * inputs["diameter"] * speed * (leave - entry) / 2
    assert watts == pytest.approx(631e6 * removed + rubbing, rel=1e-9)


@pytest.mark.parametrize("mc", [0.17, 0.21, 0.25, 0.3])
@pytest.mark.parametrize("share", [0.02, 0.1, 0.3, 0.5, 0.8, 1.0])
def test_the_mean_chip_form_reads_two_to_four_and_a_half_per_cent_high(mc, share):
    """The handbook's torque takes the law at the mean chip; the exact integral is a little lower."""
    cut = Cut(forces=Power(mc=mc), width=6.0 * share)
    entry, leave = cut.arc
    mean_chip = cut.feed * 2 * share / (leave - entry)
    tangential = cut.forces(np.float64(mean_chip))[0]
    handbook = cut.flutes * cut.depth * cut.diameter / (4 * math.pi) * tangential * (leave - entry)
    assert 1.015 < handbook / means(cut)[3] < 1.05


def test_conventional_milling_starts_by_pushing_the_cutter_against_the_feed():
    """At entry the chip is nought, the edge rubs along -x: Fx below nought, Fy pushed off the wall."""
    cut = Cut(forces=Linear(), flutes=1, helix=0.0, width=1.0, climb=False)
    x, y, lift, torque = course(cut, np.array([1e-3]))[:, 0]
    assert x == pytest.approx(-13.0 * 3, rel=0.01)
    assert y == pytest.approx(-10.0 * 3, rel=0.01)
    assert lift == pytest.approx(2.8 * 3, rel=0.02)
    assert torque == pytest.approx(13.0 * 3 * 3, rel=0.01)


def test_climb_milling_pulls_the_cutter_along_the_feed():
    cut = Cut(forces=Linear(), flutes=1, helix=0.0, width=0.5, climb=True)
    assert course(cut, np.array([3.0]))[0, 0] > 0


@pytest.mark.parametrize("cut", CUTS[:12], ids=IDS[:12])
def test_a_left_hand_helix_turns_the_lift_round_and_nothing_else(cut):
    angles = cut.one_pitch(50)
    right, left = course(cut, angles), course(replace(cut, helix=-cut.helix), angles)
    assert left[[0, 1, 3]] == pytest.approx(right[[0, 1, 3]])
    assert left[2] == pytest.approx(-right[2])
    assert right[2].min() >= 0


@pytest.mark.parametrize("forces", [Linear(), Power()])
@pytest.mark.parametrize("climb", [True, False])
@pytest.mark.parametrize("flutes", [1, 3])
def test_a_straight_flute_feels_the_law_at_its_angle(forces, climb, flutes):
    cut = Cut(forces=forces, helix=0.0, width=5.0, flutes=flutes, climb=climb)
    entry, leave = cut.arc
    angles = np.linspace(entry + 0.01, leave - 0.01, 25)
    expected = np.zeros((4, 25))
    for tooth in range(flutes):
        phi = np.mod(angles + tooth * cut.pitch_angle, 2 * math.pi)
        inside = (phi >= entry) & (phi <= leave)
        tangential, radial, axial = (
            force * cut.depth * inside for force in forces(cut.feed * np.sin(phi * inside))
        )
        expected[0] += -tangential * np.cos(phi) - radial * np.sin(phi)
        expected[1] += tangential * np.sin(phi) - radial * np.cos(phi)
        expected[2] += axial
        expected[3] += tangential * cut.diameter / 2
    assert course(cut, angles) == pytest.approx(expected, abs=1e-5 * np.abs(expected).max())


@pytest.mark.parametrize("forces", [Linear(), Power()])
def test_a_vanishing_helix_joins_the_straight_flute(forces):
    cut = Cut(forces=forces, width=5.0, flutes=3)
    angles = np.linspace(cut.arc[0] + 0.02, cut.arc[1] - 0.02, 40)
    straight = course(replace(cut, helix=0.0), angles)
    scale = np.abs(straight).max()
    gaps = [
        np.abs(course(replace(cut, helix=helix), angles) - straight).max() / scale
        for helix in (1e-2, 1e-3, 1e-4, 1e-5)
    ]
    assert gaps[0] < 1e-2
    assert all(after < before / 5 for before, after in pairwise(gaps) if before > 1e-6)
    assert gaps[-1] < 2e-5


def test_the_smallest_lag_is_a_step_too_small_to_see():
    """Just under and just over the lag that stands for a straight flute."""
    cut = Cut(forces=Power(), width=5.0)
    helix = math.degrees(math.atan(SMALLEST_LAG * cut.diameter / 2 / cut.depth))
    angles = np.linspace(cut.arc[0] + 0.02, cut.arc[1] - 0.02, 40)
    under, over = (course(replace(cut, helix=helix * factor), angles) for factor in (0.9, 1.1))
    assert under == pytest.approx(over, abs=1e-6 * np.abs(over).max())


@pytest.mark.parametrize("flutes", [1, 2, 5])
def test_a_turn_repeats_with_the_teeth(flutes):
    cut = Cut(flutes=flutes, depth=9.0, helix=40.0)
    angles = np.linspace(0, 1, 11)
    assert course(cut, angles) == pytest.approx(course(cut, angles + cut.pitch_angle), rel=1e-9)
    assert course(cut, angles) == pytest.approx(course(cut, angles - 3 * cut.pitch_angle), rel=1e-9)


def test_a_whole_number_of_pitches_of_lag_gives_a_steady_cut():
    """Slot, lag of exactly one pitch: some edge is always at every immersion, so nothing moves."""
    flutes, depth, diameter = 4, 6.0, 6.0
    helix = math.degrees(math.atan(math.pi * diameter / (depth * flutes)))
    cut = Cut(forces=Power(), flutes=flutes, depth=depth, diameter=diameter, width=4.0, helix=helix)
    moving = course(cut, cut.one_pitch(60))
    assert moving == pytest.approx(np.repeat(means(cut)[:, None], 60, axis=1), rel=1e-9)


def test_between_two_teeth_of_a_thin_cut_nothing_happens():
    cut = Cut(flutes=1, width=0.3, depth=1.0)
    idle = course(cut, np.array([cut.arc[0] - 0.1, cut.arc[1] + cut.twist * cut.depth + 0.1]))
    assert (idle == 0).all()


def test_angles_come_back_and_sets_broadcast():
    cut = Cut()
    inputs = cut.inputs() | {
        "radial_width": np.array([[1e-3], [6e-3]]),
        "axial_depth": np.array([1e-3, 2e-3, 5e-3]),
    }
    angles = np.linspace(0, 3, 5)
    got = turn.turn(**inputs, angles=angles)
    assert (got.angle == angles).all()
    assert got.torque.shape == (2, 3, 5)
    alone = course(replace(cut, width=6.0, depth=5.0), angles)
    assert got.torque[1, 2] * 1e3 == pytest.approx(alone[3])
    assert got.force_y[1, 2] == pytest.approx(alone[1])


def test_a_cut_wider_than_its_cutter_has_no_turn():
    got = turn.turn(**Cut().inputs() | {"radial_width": 7e-3}, angles=np.linspace(0, 3, 5))
    assert np.isnan(got.force_x).all()
    assert np.isnan(got.torque).all()


def test_mean_tangential_times_radius_is_the_torque():
    entry, leave = immersion(radial_width=2e-3, diameter=6e-3, climb=True)
    shared = {
        "law": Linear().law(),
        "flutes": 3,
        "axial_depth": 2e-3,
        "feed_per_tooth": 4e-5,
        "entry": entry,
        "exit": leave,
    }
    force = turn.mean_tangential(**shared)
    assert turn.torque_mean(diameter=6e-3, **shared) == pytest.approx(force * 3e-3)
