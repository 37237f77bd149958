"""Modes against poles and residues, a cantilever against finite elements and its exact first frequency."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import eigh

from swarfbook.physics import beam, modes, oriented
from swarfbook.physics.modes import RIGID, Modes

ONE = Modes([922.0], [0.011], [1340049.648])
# First root of cos x cosh x = -1, squared over 2 pi.
FIRST = 1.875104068711961**2 / (2 * math.pi)


def test_far_below_its_frequency_a_mode_is_a_spring():
    assert ONE.receptance(0.001) == pytest.approx(1 / 1340049.648)
    assert ONE.static_stiffness() == pytest.approx(1340049.648)


def test_at_its_frequency_it_swings_a_quarter_behind_the_force():
    answer = ONE.receptance(922.0)
    assert answer == pytest.approx(-1j / (2 * 0.011 * 1340049.648))


def test_far_above_it_is_a_mass():
    mass = 1340049.648 / (2 * math.pi * 922.0) ** 2
    assert ONE.receptance(9e4) == pytest.approx(-1 / (mass * (2 * math.pi * 9e4) ** 2), rel=2e-4)


def test_modes_add_up():
    both = Modes([922.0, 1500.0], [0.011, 0.03], [1340049.648, 5e6])
    other = Modes([1500.0], [0.03], [5e6])
    at = np.array([[300.0, 900.0], [1400.0, 2500.0]])
    assert both.receptance(at).shape == (2, 2)
    np.testing.assert_allclose(both.receptance(at), ONE.receptance(at) + other.receptance(at), rtol=1e-13)
    np.testing.assert_allclose(both.receptance(at, [1.0, 0.0]), ONE.receptance(at), rtol=1e-13)
    assert both.static_stiffness() == pytest.approx(1 / (1 / 1340049.648 + 1 / 5e6))


def test_without_a_mode_the_tip_is_rigid():
    assert (RIGID.receptance(np.array([10.0, 1e4])) == 0).all()
    assert RIGID.static_stiffness() == math.inf
    assert RIGID.doubt() == 0.0


@given(
    natural=st.floats(50.0, 5000.0),
    damping=st.floats(0.001, 0.3),
    real=st.floats(-1e-4, 1e-4),
    imaginary=st.floats(1e-4, 1e-3),
    at=st.floats(10.0, 1e4),
)
def test_residues_are_halves_of_a_pair_of_poles(natural, damping, real, imaginary, at):
    residue = real - 1j * imaginary
    pole = 2 * math.pi * natural * (-damping + 1j * math.sqrt(1 - damping**2))
    s = 2j * math.pi * at
    wanted = residue / (s - pole) + residue.conjugate() / (s - pole.conjugate())
    got = Modes.from_residues(frequency=[natural], damping=[damping], residue=[residue]).receptance(at)
    assert got == pytest.approx(wanted, rel=1e-9)


def test_a_real_residue_part_is_a_lead():
    plain = Modes.from_residues(frequency=[500.0], damping=[0.02], residue=[-2e-4j])
    assert plain.lead == [0.0]
    leading = Modes.from_residues(frequency=[500.0], damping=[0.02], residue=[1e-4 - 2e-4j])
    assert leading.lead[0] > 0


@pytest.mark.parametrize(
    "broken",
    [
        Modes([0.0], [0.01], [1e6]),
        Modes([900.0], [-0.01], [1e6]),
        Modes([900.0], [0.01], [-1e6]),
        Modes([900.0, math.nan], [0.01, 0.01], [1e6, 1e6]),
        Modes([900.0], [math.nan], [1e6]),
        Modes([900.0], [0.01], [1e6], [math.inf]),
    ],
)
def test_a_mode_that_is_none_answers_nan(broken):
    assert math.isnan(broken.doubt())
    assert np.isnan(broken.receptance(np.array([100.0, 900.0]))).all()


def test_an_undamped_mode_at_resonance_is_no_number_to_rely_on():
    answer = Modes([900.0], [0.0], [1e6]).receptance(900.0)
    assert not (math.isfinite(answer.real) and math.isfinite(answer.imag))


def test_frequencies_are_close_around_every_mode_and_wide_elsewhere():
    looked_at = modes.chatter_frequencies(
        modes_x=Modes([600.0, 1500.0], [0.04, 0.02], [6e6, 9e6]), modes_y=ONE
    )
    assert (np.diff(looked_at) > 0).all()
    assert looked_at[0] == pytest.approx(120.0)
    assert looked_at[-1] == pytest.approx(6000.0)
    for natural, damping in ((600.0, 0.04), (1500.0, 0.02), (922.0, 0.011)):
        near = looked_at[np.abs(looked_at - natural * (1 + damping)) < natural * damping]
        assert len(near) > 60
        assert np.diff(near).max() < 0.05 * natural * damping
    assert (np.diff(looked_at) / looked_at[:-1]).max() < 0.011


def test_where_there_is_no_mode_there_is_one_frequency():
    assert modes.chatter_frequencies(modes_x=RIGID, modes_y=RIGID) == [1.0]
    assert modes.chatter_frequencies(modes_x=Modes([math.nan], [0.1], [1e6]), modes_y=ONE) == [1.0]


@pytest.mark.parametrize(("waves", "rpm"), [(1, 27660), (2, 13830), (3, 9220)])
def test_resonant_speeds(waves, rpm):
    assert modes.resonant_speed(frequency=922.0, flutes=2, waves=waves) * 60 == pytest.approx(rpm)


def test_no_wave_no_speed():
    assert math.isnan(modes.resonant_speed(frequency=922.0, flutes=2, waves=0))


ROD = {"diameter": 10e-3, "shank_diameter": 8e-3, "youngs_modulus": 580e9, "density": 14500.0}


@given(length=st.floats(0.01, 0.2), diameter=st.floats(2e-3, 20e-3))
def test_a_plain_rod_is_the_textbooks(length, diameter):
    """A quarter of the mass at the tip, and the first root of cos x cosh x = -1."""
    rod = ROD | {"diameter": diameter / 0.8, "shank_diameter": diameter}
    frequency, stiffness, mass = modes.cantilever_mode(flute_length=length / 3, stickout=length, **rod)
    inertia, area = math.pi * diameter**4 / 64, math.pi * diameter**2 / 4
    exact = FIRST / length**2 * math.sqrt(580e9 * inertia / (14500.0 * area))
    assert frequency == pytest.approx(exact, rel=2e-3)
    assert mass == pytest.approx(14500.0 * area * length / 4, rel=4e-3)
    assert stiffness == pytest.approx(mass * (2 * math.pi * frequency) ** 2)


def finite_elements(flute: float, across: float, shank: float, stickout: float) -> float:
    """First frequency [Hz] of a stepped cantilever by Euler-Bernoulli elements with consistent mass."""
    edges = np.unique(np.concatenate([np.linspace(0, flute, 21), np.linspace(flute, stickout, 21)]))
    size = 2 * len(edges)
    stiff, mass = np.zeros((size, size)), np.zeros((size, size))
    for index, (low, high) in enumerate(itertools.pairwise(edges)):
        length, diameter = high - low, across if high <= flute * (1 + 1e-12) else shank
        bending = 580e9 * math.pi * diameter**4 / 64 / length**3
        weight = 14500.0 * math.pi * diameter**2 / 4 * length / 420
        at = slice(2 * index, 2 * index + 4)
        a, b = 6 * length, length**2
        stiff[at, at] += bending * np.array(
            [[12, a, -12, a], [a, 4 * b, -a, 2 * b], [-12, -a, 12, -a], [a, 2 * b, -a, 4 * b]]
        )
        c, d = 22 * length, 13 * length
        mass[at, at] += weight * np.array(
            [[156, c, 54, -d], [c, 4 * b, d, -3 * b], [54, d, 156, -c], [-d, -3 * b, -c, 4 * b]]
        )
    values = eigh(stiff[:-2, :-2], mass[:-2, :-2], eigvals_only=True)
    return math.sqrt(values[0]) / (2 * math.pi)


@pytest.mark.parametrize(
    ("flute", "diameter", "shank", "stickout"),
    [(20e-3, 6e-3, 6e-3, 30e-3), (10e-3, 3e-3, 6e-3, 35e-3), (30e-3, 12e-3, 10e-3, 60e-3)],
)
def test_a_stepped_cutter_against_finite_elements(flute, diameter, shank, stickout):
    found, stiffness, mass = modes.cantilever_mode(
        flute_length=flute,
        diameter=diameter,
        shank_diameter=shank,
        stickout=stickout,
        youngs_modulus=580e9,
        density=14500.0,
    )
    exact = finite_elements(flute, 0.8 * diameter, shank, stickout)
    assert found == pytest.approx(exact, rel=3e-3)
    bent = beam.deflection(
        force=1.0,
        load_height=0.0,
        flute_length=flute,
        fluted_diameter=0.8 * diameter,
        neck_end=0.0,
        neck_diameter=1.0,
        shank_diameter=shank,
        stickout=stickout,
        youngs_modulus=580e9,
    )
    assert stiffness == pytest.approx(mass * (2 * math.pi * found) ** 2)
    assert 1.0 < stiffness * bent < 1.6


def test_flutes_that_reach_into_the_holder_end_at_it():
    short = modes.cantilever_mode(flute_length=30e-3, stickout=30e-3, **ROD)
    long = modes.cantilever_mode(flute_length=50e-3, stickout=30e-3, **ROD)
    assert long == pytest.approx(short)
    assert short[0] > modes.cantilever_mode(flute_length=30e-3, stickout=40e-3, **ROD)[0]


def test_a_cutter_needs_a_length():
    assert all(math.isnan(value) for value in modes.cantilever_mode(flute_length=0.01, stickout=0.0, **ROD))


@given(stiffness=st.floats(1e5, 1e9), damping=st.floats(0.001, 0.1), share=st.floats(0.05, 1.0))
def test_one_mode_is_tlustys(stiffness, damping, share):
    mode = Modes([300.0], [damping], [stiffness])
    at = 300.0 * math.sqrt(1 + 2 * damping)
    depth = oriented.oriented_depth(
        chatter_frequency=at, modes=mode, orientations=np.array([share]), specific_force=2e9, teeth_in_cut=1.5
    )
    closed = oriented.single_mode_depth(
        stiffness=stiffness, damping=damping, specific_force=2e9, orientation=share, teeth_in_cut=1.5
    )
    assert depth == pytest.approx(closed, rel=1e-9)
    for beside in (0.99, 1.01):
        other = oriented.oriented_depth(
            chatter_frequency=at * beside,
            modes=mode,
            orientations=np.array([share]),
            specific_force=2e9,
            teeth_in_cut=1.5,
        )
        assert not other < closed


def test_below_its_frequency_a_mode_does_not_chatter():
    two = Modes([250.0, 150.0], [0.012, 0.01], [226e6, 213e6])
    shared = {"modes": two, "specific_force": 1e9, "teeth_in_cut": 1.0}
    low = oriented.oriented_depth(chatter_frequency=100.0, orientations=np.array([0.75, 0.5]), **shared)
    assert math.isnan(low)
    turned = oriented.oriented_depth(chatter_frequency=100.0, orientations=np.array([-0.75, -0.5]), **shared)
    assert turned > 0


@pytest.mark.parametrize("wrong", [0.0, -900.0])
def test_one_mode_without_a_frequency_spoils_the_search(wrong):
    """However many sound ones stand beside it."""
    mixed = Modes([wrong, 900.0], [0.01, 0.01], [1e6, 1e6])
    assert modes.chatter_frequencies(modes_x=mixed, modes_y=ONE).tolist() == [1.0]
    assert math.isnan(mixed.doubt())


def test_sound_modes_change_nothing_by_being_looked_at():
    assert ONE.doubt() == 0.0
    assert Modes([900.0, 1200.0], [0.0, 0.5], [1e6, 2.0]).doubt() == 0.0


def test_what_does_not_give_does_not_chatter():
    """The real part of nothing is not below nought."""
    depth = oriented.oriented_depth(
        chatter_frequency=900.0,
        modes=RIGID,
        orientations=np.array([]),
        specific_force=9e8,
        teeth_in_cut=1.0,
    )
    assert math.isnan(depth)
