"""The cutting laws on a slanting edge, against the force on a length of edge resolved piece by piece."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.milling import Linear, Power

LAWS = [Linear(), Linear(1319.41, 788.83, 48.75, 19.65, 26.77, 2.05), Power(), Power(1780.0, 0.17, 0.5, 0.2)]
each_law = pytest.mark.parametrize("forces", LAWS, ids=["linear", "other linear", "kienzle", "other kienzle"])
hands = st.sampled_from([1.0, -1.0])


def turned(forces, kappa: float, hand: float):
    """The program's law per height of an edge at kappa."""
    return forces.law().inclined(sine=math.sin(kappa), cosine=math.cos(kappa), hand=hand)


def resolved(forces, chip: float, kappa: float, hand: float) -> list[float]:
    """Tangential, towards the axis and lifting, per millimetre of height, at a chip in the plane of the cut.

    The edge lies at kappa; dFr is square to it, dFa along it, both in the plane through the axis.
    """
    tangential, radial, axial = forces(np.float64(chip * math.sin(kappa)))
    along_edge = np.array([math.cos(kappa), math.sin(kappa)])
    across_edge = np.array([math.sin(kappa), -math.cos(kappa)])
    # On the work: pushed away by the edge's face, dragged up along it by a right-hand helix. The first
    # part points away from the axis, the second up; the cutter feels the first towards the axis.
    work = radial * across_edge + hand * axial * along_edge
    return [tangential / math.sin(kappa), work[0] / math.sin(kappa), work[1] / math.sin(kappa)]


@each_law
@given(kappa=st.floats(0.02, math.pi / 2), chip=st.floats(1e-4, 0.2), hand=hands)
def test_a_slanting_edge_is_resolved(forces, kappa, chip, hand):
    got = [float(force) / 1e3 for force in turned(forces, kappa, hand).edge_forces(chip / 1e3)]
    assert got == pytest.approx(resolved(forces, chip, kappa, hand), rel=1e-9, abs=1e-9)


@each_law
@given(chip=st.floats(0.0, 2e-4))
def test_an_upright_edge_of_a_right_hand_helix_is_the_law_itself(forces, chip):
    plain, upright = forces.law(), forces.law().inclined(sine=1.0, cosine=0.0, hand=1.0)
    assert upright.edge_forces(chip) == pytest.approx(plain.edge_forces(chip), rel=1e-12)
    assert list(upright.coefficients()) == pytest.approx(list(plain.coefficients()), rel=1e-12)


@each_law
@given(chip=st.floats(0.0, 2e-4))
def test_an_upright_edge_of_a_left_hand_helix_lifts_the_other_way_and_no_more(forces, chip):
    plain = forces.law().edge_forces(chip)
    left = forces.law().inclined(sine=1.0, cosine=0.0, hand=-1.0).edge_forces(chip)
    assert left[:2] == pytest.approx(plain[:2], rel=1e-12)
    assert left[2] == pytest.approx(-plain[2], rel=1e-12)


@each_law
@given(kappa=st.floats(0.05, math.pi / 2), chip=st.floats(1e-5, 2e-4), hand=hands)
def test_a_slant_turns_a_force_and_does_not_change_its_size(forces, kappa, chip, hand):
    """Per length of edge the three parts have the size they have on an upright edge at that chip."""
    turned_forces = np.array(turned(forces, kappa, hand).edge_forces(chip)) * math.sin(kappa)
    upright = np.array(forces.law().edge_forces(chip * math.sin(kappa)))
    assert np.linalg.norm(turned_forces) == pytest.approx(np.linalg.norm(upright), rel=1e-9)


@each_law
@pytest.mark.parametrize("hand", [1.0, -1.0])
def test_antiderivatives_of_a_slanting_law_are_integrals_of_its_forces(forces, hand):
    law = turned(forces, 0.6, hand)
    start, end = 0.4, 2.3
    angles = np.linspace(start, end, 40_001)
    tangential, radial, lift = law.edge_forces(5e-5 * np.sin(angles))
    expected = [
        np.trapezoid(tangential, angles),
        np.trapezoid(-tangential * np.cos(angles) - radial * np.sin(angles), angles),
        np.trapezoid(tangential * np.sin(angles) - radial * np.cos(angles), angles),
        np.trapezoid(lift, angles),
    ]
    above, below = (law.antiderivatives(feed_per_tooth=5e-5, phi=phi) for phi in (end, start))
    got = [high - low for high, low in zip(above, below, strict=True)]
    assert got == pytest.approx(expected, rel=1e-7)


def test_on_a_flat_edge_the_radial_force_presses_on_the_work():
    """Nearly flat, a long edge per height with hardly a chip: it rubs, and pushes down by Kre."""
    forces, kappa = Linear(), 0.01
    tangential, inwards, lift = turned(forces, kappa, 1.0).edge_forces(0.0)
    assert tangential * math.sin(kappa) == pytest.approx(13e3, rel=1e-9)
    assert lift * math.sin(kappa) == pytest.approx(-10e3, rel=0.01)
    assert inwards * math.sin(kappa) == pytest.approx(2.8e3, rel=0.05)


@each_law
def test_slants_may_be_arrays(forces):
    kappas, hands_of = np.array([[0.3], [1.0], [math.pi / 2]]), np.array([1.0, -1.0])
    law = forces.law().inclined(sine=np.sin(kappas), cosine=np.cos(kappas), hand=hands_of)
    got = np.stack(np.broadcast_arrays(*law.edge_forces(4e-5)))
    assert got.shape == (3, 3, 2)
    for row, kappa in enumerate(kappas[:, 0]):
        for column, hand in enumerate(hands_of):
            alone = turned(forces, float(kappa), float(hand)).edge_forces(4e-5)
            assert got[:, row, column] == pytest.approx([float(part) for part in alone], rel=1e-9)


def test_a_blank_axial_coefficient_spoils_only_what_it_takes_part_in():
    blank = replace(Linear().law(), kac=math.nan, kae=math.nan)
    upright = blank.inclined(sine=1.0, cosine=0.0, hand=1.0).edge_forces(5e-5)
    assert np.isfinite(upright[:2]).all()
    assert math.isnan(upright[2])
    slanting = blank.inclined(sine=0.6, cosine=0.8, hand=1.0).edge_forces(5e-5)
    assert math.isfinite(slanting[0])
    assert np.isnan(slanting[1:]).all()


@each_law
@given(factor=st.floats(0.1, 10.0), kappa=st.floats(0.1, 1.5))
def test_scaling_and_slanting_may_change_places(forces, factor, kappa):
    one = turned(forces, kappa, 1.0).scaled(factor).edge_forces(4e-5)
    other = forces.law().scaled(factor).inclined(sine=math.sin(kappa), cosine=math.cos(kappa), hand=1.0)
    assert one == pytest.approx(other.edge_forces(4e-5), rel=1e-12)
