"""Stability lobes against the equation they solve, a semi-discretisation and closed forms."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from support.semidiscretisation import Milling
from swarfbook.physics import chatter, engagement, oriented
from swarfbook.physics.laws import Kienzle, LinearEdge
from swarfbook.physics.modes import RIGID, Modes, resonant_speed

# The two-flute benchmark of Insperger & Stepan (2004) and Ding et al. (2010).
BENCHMARK = (922.0, 0.011, 1340049.648, 0.0)
TIP = Modes([922.0], [0.011], [1340049.648])
TWO_MODES = Modes([600.0, 1500.0], [0.04, 0.02], [6e6, 9e6])
OTHER_TWO = Modes([750.0, 1300.0], [0.03, 0.03], [8e6, 7e6])
SLOT = {"entry": 0.0, "exit": math.pi}
SOFT = {"ktc": 6e8, "radial_ratio": 1 / 3, "flutes": 2}
BOTH = {"modes_x": TIP, "modes_y": TIP}
MIXED = {"modes_x": TWO_MODES, "modes_y": OTHER_TWO, "ktc": 7e8, "radial_ratio": 0.35, "flutes": 3}


def climbing(share: float) -> dict[str, float]:
    entry, leave = engagement.immersion(radial_width=share, diameter=1.0, climb=True)
    return {"entry": float(entry), "exit": float(leave)}


@pytest.mark.parametrize(
    ("entry", "leave", "ratio"), [(0.0, math.pi, 0.3), (0.4, 1.9, 0.6), (2.2, math.pi, 0.0)]
)
def test_directional_factors_are_integrals_over_the_arc(entry, leave, ratio):
    """A shift (x, y) changes the chip by x sin + y cos; the edge answers with Kt (1, Kr) times it."""
    tangential = [
        (lambda p: -math.cos(p) - ratio * math.sin(p)),
        (lambda p: math.sin(p) - ratio * math.cos(p)),
    ]
    shift = [math.sin, math.cos]
    wanted = [
        quad(lambda p, a=a, b=b: 2 * tangential[a](p) * shift[b](p), entry, leave)[0]
        for a in (0, 1)
        for b in (0, 1)
    ]
    got = chatter.directional_factors(entry=entry, exit=leave, radial_ratio=ratio)
    assert got == pytest.approx(wanted, abs=1e-12)


def characteristic(frequency, speed, depth, *, modes_x, modes_y, flutes, entry, exit, ktc, radial_ratio):  # noqa: A002
    """Determinant of the closed loop at a frequency, speed and depth: 0 on the border, with its own scale."""
    alpha = np.reshape(chatter.directional_factors(entry=entry, exit=exit, radial_ratio=radial_ratio), (2, 2))
    answers = np.array([modes_x.receptance(frequency), modes_y.receptance(frequency)])
    regeneration = 1 - np.exp(-2j * math.pi * frequency / (flutes * speed))
    loop = flutes / (4 * math.pi) * depth * ktc * regeneration * alpha * answers
    return np.linalg.det(np.eye(2) - loop), np.abs(loop).max()


@pytest.mark.parametrize(
    "cut",
    [SOFT | BOTH | SLOT, MIXED | climbing(0.5), MIXED | {"entry": 0.0, "exit": 1.2}],
    ids=["slot", "down", "up"],
)
def test_every_point_of_a_lobe_solves_the_characteristic_equation(cut):
    curves = chatter.lobes(count=4, **cut)
    assert curves.depth.shape == curves.spindle_speed.shape == curves.frequency.shape
    points = np.argwhere(np.isfinite(curves.depth))
    assert len(points) > 400
    for lobe, place in points[:: len(points) // 60]:
        at = (curves.frequency[lobe, place], curves.spindle_speed[lobe, place], curves.depth[lobe, place])
        rest, scale = characteristic(*at, **cut)
        assert abs(rest) < 1e-9 * (1 + scale**2)


def test_lobes_follow_each_other_down():
    curves = chatter.lobes(count=5, **SOFT, **BOTH, **SLOT)
    assert curves.depth.shape[0] == 5
    speeds = np.nanmean(curves.spindle_speed, axis=1)
    assert (np.diff(speeds) < 0).all()
    assert (np.isfinite(curves.depth).sum(axis=1) == np.isfinite(curves.depth).sum(axis=1)[0]).all()


def test_between_the_two_branches_of_a_lobe_the_curve_breaks():
    curves = chatter.lobes(count=1, frequencies=np.array([925.0, 930.0, 935.0]), **SOFT, **BOTH, **SLOT)
    assert curves.depth.shape == (1, 8)
    assert np.isnan(curves.depth[0, [3, 7]]).all()


@pytest.mark.parametrize("rpm", [4000, 9000, 13000, 21000])
@pytest.mark.parametrize("cut", [SOFT | BOTH | SLOT, MIXED | climbing(0.4)], ids=["slot", "down"])
def test_the_stable_depth_is_the_lowest_lobe_at_the_speed(cut, rpm):
    """Against the curves themselves, read by straight lines on a fine grid of frequencies."""
    fine = np.arange(100.0, 6500.0, 0.05)
    curves = chatter.lobes(count=30, frequencies=fine, **cut)
    lowest = math.inf
    for speed, depth in zip(curves.spindle_speed * 60, curves.depth, strict=True):
        known = np.isfinite(depth[:-1]) & np.isfinite(depth[1:])
        crossing = known & ((speed[:-1] - rpm) * (speed[1:] - rpm) <= 0)
        share = (rpm - speed[:-1][crossing]) / np.diff(speed)[crossing]
        lowest = min([lowest, *(depth[:-1][crossing] + share * np.diff(depth)[crossing])])
    got = chatter.stable_depth(spindle_speed=rpm / 60, **cut)
    assert got == pytest.approx(lowest, rel=2e-3)


def test_the_lowest_depth_is_the_lowest_over_all_speeds():
    speeds = np.linspace(40, 400, 3000)
    depths = chatter.stable_depth(spindle_speed=speeds, **MIXED, **climbing(0.6))
    lowest, frequency = chatter.lowest_stable_depth(**MIXED, **climbing(0.6))
    assert depths.min() == pytest.approx(lowest, rel=1e-3)
    assert depths.min() >= lowest
    assert 500 < frequency < 1600


@pytest.mark.parametrize("ratio", [0.1, 0.3, 0.8])
def test_a_slot_with_one_mode_has_a_closed_form(ratio):
    """alpha_xx = -pi Kr over a slot, and Re G = -1 / (4 k zeta (1 + zeta)) at least."""
    depth, frequency = chatter.lowest_stable_depth(
        modes_x=TIP, modes_y=RIGID, flutes=2, ktc=6e8, radial_ratio=ratio, **SLOT
    )
    closed = oriented.single_mode_depth(
        stiffness=1340049.648, damping=0.011, specific_force=6e8, orientation=ratio / 2, teeth_in_cut=1.0
    )
    assert depth == pytest.approx(closed, rel=2e-4)
    assert frequency == pytest.approx(922.0 * math.sqrt(1.022), rel=2e-4)


def test_with_x_and_y_alike_a_slot_has_a_closed_form_too():
    """Eigenvalues pi G (Kr +- i): the least of Re[G (Kr + i)] on a fine grid of frequencies."""
    fine = TIP.receptance(np.arange(900.0, 960.0, 0.001))
    pushing = min(((1 / 3 + 1j) * fine).real.min(), ((1 / 3 - 1j) * fine).real.min())
    lowest, _ = chatter.lowest_stable_depth(**SOFT, **BOTH, **SLOT)
    assert lowest == pytest.approx(-2 / (2 * 6e8 * pushing), rel=2e-4)


@given(factor=st.floats(0.2, 5.0))
def test_depth_goes_with_stiffness_and_against_the_cutting_force(factor):
    speeds = np.array([90.0, 150.0, 230.0])
    plain = chatter.stable_depth(spindle_speed=speeds, **SOFT, **BOTH, **SLOT)
    harder = chatter.stable_depth(spindle_speed=speeds, **SOFT | {"ktc": factor * 6e8}, **BOTH, **SLOT)
    assert harder == pytest.approx(plain / factor)
    stiff = Modes([922.0], [0.011], [factor * 1340049.648])
    stiffer = chatter.stable_depth(spindle_speed=speeds, modes_x=stiff, modes_y=stiff, **SOFT, **SLOT)
    assert stiffer == pytest.approx(plain * factor)


@given(flutes=st.integers(1, 6))
def test_only_the_teeth_per_second_count(flutes):
    two = chatter.stable_depth(spindle_speed=150.0, **SOFT, **BOTH, **SLOT)
    more = chatter.stable_depth(spindle_speed=300.0 / flutes, **SOFT | {"flutes": flutes}, **BOTH, **SLOT)
    assert more * flutes == pytest.approx(2 * two)


@given(share=st.floats(0.25, 0.95), more=st.floats(1.05, 3.0))
def test_more_damping_always_helps(share, more):
    damped = Modes([922.0], [0.011 * more], [1340049.648])
    plain, _ = chatter.lowest_stable_depth(**SOFT, **BOTH, **climbing(share))
    better, _ = chatter.lowest_stable_depth(modes_x=damped, modes_y=damped, **SOFT, **climbing(share))
    assert better > plain


@given(swept=st.floats(0.1, math.pi), ratio=st.floats(0.0, 1.5))
def test_climb_is_conventional_seen_in_a_mirror(swept, ratio):
    """Turned over y the tangential force changes sign against the radial one, and xy against xx."""
    down = chatter.directional_factors(entry=math.pi - swept, exit=math.pi, radial_ratio=ratio)
    up = chatter.directional_factors(entry=0.0, exit=swept, radial_ratio=-ratio)
    assert down == pytest.approx([-up[0], up[1], up[2], -up[3]], abs=1e-12)


def test_what_does_not_give_does_not_chatter():
    stiff = {"modes_x": RIGID, "modes_y": RIGID}
    depth, frequency = chatter.lowest_stable_depth(**stiff, **SOFT, **SLOT)
    assert depth == math.inf
    assert math.isnan(frequency)
    assert chatter.stable_depth(spindle_speed=100.0, **stiff, **SOFT, **SLOT) == math.inf


def test_far_above_every_lobe_nothing_chatters():
    assert chatter.stable_depth(spindle_speed=5e4, **SOFT, **BOTH, **SLOT) == math.inf


@pytest.mark.parametrize(
    "broken",
    [Modes([math.nan], [0.01], [1e6]), Modes([900.0], [-0.01], [1e6]), Modes([900.0], [0.01], [0.0])],
)
def test_a_mode_that_is_none_gives_no_depth(broken):
    for modes in ({"modes_x": broken, "modes_y": TIP}, {"modes_x": TIP, "modes_y": broken}):
        assert math.isnan(chatter.stable_depth(spindle_speed=100.0, **modes, **SOFT, **SLOT))
        assert math.isnan(chatter.lowest_stable_depth(**modes, **SOFT, **SLOT)[0])


@pytest.mark.parametrize(
    "wrong", [{"flutes": 0}, {"ktc": -1.0}, {"flutes": math.nan}, {"radial_ratio": math.nan}]
)
def test_what_has_no_meaning_is_nan(wrong):
    cut = SOFT | BOTH | SLOT | wrong
    assert math.isnan(chatter.stable_depth(spindle_speed=100.0, **cut))
    assert math.isnan(chatter.lowest_stable_depth(**cut)[0])
    assert np.isnan(chatter.lobes(count=2, **cut).depth).all()
    assert np.isnan(chatter.best_speeds(spindle_speed=100.0, search_share=0.3, count=2, **cut).depth).all()


def test_many_speeds_at_once_are_each_alone(monkeypatch):
    speeds = np.linspace(60, 400, 37)
    together = chatter.stable_depth(spindle_speed=speeds, **MIXED, **climbing(0.5))
    assert together == pytest.approx(
        [chatter.stable_depth(spindle_speed=float(n), **MIXED, **climbing(0.5)) for n in speeds], rel=1e-12
    )
    monkeypatch.setattr(chatter, "CHUNK", 1000)
    assert chatter.stable_depth(spindle_speed=speeds, **MIXED, **climbing(0.5)) == pytest.approx(together)


def test_lobes_of_many_cuts_at_once_are_each_alone():
    ktc = np.array([[5e8], [7e8]])
    many = chatter.lobes(
        count=2, **SOFT | {"ktc": ktc}, **BOTH, entry=0.0, exit=np.array([2.0, 2.5, math.pi])
    )
    one = chatter.lobes(count=2, **SOFT | {"ktc": 7e8}, **BOTH, entry=0.0, exit=2.5)
    assert many.depth.shape == (2, 3, *one.depth.shape)
    np.testing.assert_allclose(many.depth[1, 1], one.depth, rtol=1e-12)
    np.testing.assert_allclose(many.spindle_speed[1, 1], one.spindle_speed, rtol=1e-12)


def test_pockets_stand_where_teeth_and_mode_keep_step():
    found = chatter.best_speeds(spindle_speed=170.0, search_share=0.5, count=3, **SOFT, **BOTH, **SLOT)
    steps = [float(resonant_speed(frequency=922.0, flutes=2, waves=waves)) for waves in (2, 3, 4)]
    assert found.spindle_speed == pytest.approx(steps, rel=0.01)
    assert found.depth == pytest.approx(
        chatter.stable_depth(spindle_speed=found.spindle_speed, **SOFT, **BOTH, **SLOT), rel=1e-12
    )
    assert (np.diff(found.depth) < 0).all()


def test_the_tops_of_pockets_are_found_closely():
    """Within 1 % of the depth and 0.05 % of the speed of a scan thirty times as fine."""
    found = chatter.best_speeds(spindle_speed=170.0, search_share=0.5, count=3, **SOFT, **BOTH, **SLOT)
    for speed, depth in zip(found.spindle_speed, found.depth, strict=True):
        fine = np.linspace(0.985 * speed, 1.015 * speed, 2001)
        around = chatter.stable_depth(spindle_speed=fine, **SOFT, **BOTH, **SLOT)
        assert depth == pytest.approx(around.max(), rel=0.01)
        assert speed == pytest.approx(fine[around.argmax()], rel=5e-4)


def test_a_pocket_is_deeper_than_what_is_beside_it():
    found = chatter.best_speeds(spindle_speed=200.0, search_share=0.4, count=2, **MIXED, **climbing(0.5))
    for speed, depth in zip(found.spindle_speed, found.depth, strict=True):
        beside = np.clip(speed * np.array([0.99, 1.01]), 120.0, 280.0)
        around = chatter.stable_depth(spindle_speed=beside, **MIXED, **climbing(0.5))
        assert (around <= depth).all()


def test_where_there_are_fewer_pockets_the_rest_is_nan():
    found = chatter.best_speeds(spindle_speed=230.0, search_share=0.02, count=5, **SOFT, **BOTH, **SLOT)
    known = np.isfinite(found.depth)
    assert 1 <= known.sum() < 5
    assert (known == np.isfinite(found.spindle_speed)).all()
    assert np.abs(found.spindle_speed[known] / 230.0 - 1).max() <= 0.02 + 1e-12


def test_a_linear_law_chatters_by_its_cutting_coefficients_alone():
    law = LinearEdge(ktc=631e6, krc=99e6, kac=273e6, kte=13e3, kre=10e3, kae=2.8e3)
    ktc, ratio = chatter.regenerative_coefficients(law=law, chip_thickness=np.array([1e-6, 5e-5]))
    assert ktc == pytest.approx([631e6, 631e6], rel=1e-8)
    assert ratio == pytest.approx([99 / 631] * 2, rel=1e-8)


def test_a_power_law_is_softer_than_its_specific_force():
    law = Kienzle(kc11=700e6, mc=0.25, force_ratio_radial=0.4, force_ratio_axial=0.3)
    ktc, ratio = chatter.regenerative_coefficients(law=law, chip_thickness=2e-5)
    assert ktc == pytest.approx(0.75 * 700e6 * 0.02**-0.25, rel=1e-8)
    assert ratio == pytest.approx(0.4, rel=1e-8)
    assert math.isnan(chatter.regenerative_coefficients(law=law, chip_thickness=0.0)[0])


def milling(two_ways: bool, entry: float, leave: float) -> Milling:
    across = [BENCHMARK] if two_ways else []
    return Milling([BENCHMARK], across, flutes=2, entry=entry, leave=leave, ktc=6e8, krc=2e8)


def zero_order(two_ways: bool, cut: dict[str, float], rpm: float) -> float:
    """Stable depth [m]."""
    across = TIP if two_ways else RIGID
    return float(chatter.stable_depth(spindle_speed=rpm / 60, modes_x=TIP, modes_y=across, **SOFT, **cut))


def holds_within(two_ways: bool, cut: dict[str, float], rpm: float, band: float) -> bool:
    """Whether the other method's border lies within a band around the zero-order one."""
    depth = zero_order(two_ways, cut, rpm)
    other = milling(two_ways, cut["entry"], cut["exit"])
    return other.growth(rpm / 60, depth / (1 + band), 50) < 1 < other.growth(rpm / 60, depth * (1 + band), 50)


@pytest.mark.parametrize("rpm", [5000, 8500, 10000, 12000, 16000, 20000])
def test_slot_lobes_agree_with_a_semi_discretisation(rpm):
    assert holds_within(True, SLOT, rpm, 0.08)


@pytest.mark.parametrize("rpm", [5000, 10000, 12000, 16000, 24000])
def test_half_immersion_lobes_agree_with_a_semi_discretisation(rpm):
    assert holds_within(True, climbing(0.5), rpm, 0.07)


@pytest.mark.parametrize("rpm", [8500, 9100, 12000, 13700, 20000, 24000])
def test_thin_climb_milling_agrees_on_its_ordinary_lobes(rpm):
    """The benchmark's cut of 5 % of the diameter, a tip that gives along the feed only."""
    assert holds_within(False, climbing(0.05), rpm, 0.09)


@pytest.mark.parametrize("rpm", [7000, 10000, 16000])
def test_what_thin_climb_milling_lacks_is_flip_lobes(rpm):
    """There a mark stands on every other tooth, and the zero-order solution allows nearly twice the depth."""
    zero = zero_order(False, climbing(0.05), rpm)
    other = milling(False, climbing(0.05)["entry"], math.pi)
    multipliers = [other.multiplier(rpm / 60, zero * share, 50) for share in (0.45, 0.55)]
    assert abs(multipliers[0]) < 1 < abs(multipliers[1])
    assert multipliers[1].imag == 0
    assert multipliers[1].real < -1


END_MILL_X = Modes.from_residues(
    frequency=[452.77, 1448.53],
    damping=[0.123718, 0.01651],
    residue=[9.202966e-05 - 1.862195e-04j, -4.181562e-05 - 3.043618e-04j],
)
END_MILL_Y = Modes.from_residues(
    frequency=[516.17, 1407.64],
    damping=[0.0243, 0.0324],
    residue=[-2.3929e-06 - 1.721539e-04j, 4.055052e-05 - 3.618808e-04j],
)


def listed(modes: Modes) -> list[tuple[float, ...]]:
    columns = (modes.frequency, modes.damping, modes.stiffness, modes.lead)
    return [tuple(map(float, mode)) for mode in zip(*columns, strict=True)]


@pytest.mark.parametrize(("rpm", "zero", "full"), [(9500, 1.02e-3, 0.97e-3), (14000, 5.05e-3, 5.73e-3)])
def test_a_books_end_mill_by_both_methods(rpm, zero, full):
    """Altintas (2012), p. 162: four complex modes, half immersion, climb; 5 and 12 % apart."""
    cut = {
        "entry": math.pi / 2,
        "exit": math.pi,
        "ktc": 1319.4e6,
        "radial_ratio": 788.8 / 1319.4,
        "flutes": 2,
    }
    got = chatter.stable_depth(spindle_speed=rpm / 60, modes_x=END_MILL_X, modes_y=END_MILL_Y, **cut)
    assert got == pytest.approx(zero, rel=0.005)
    other = Milling(listed(END_MILL_X), listed(END_MILL_Y), 2, math.pi / 2, math.pi, 1319.4e6, 788.8e6)
    assert other.growth(rpm / 60, 0.97 * full, 50) < 1 < other.growth(rpm / 60, 1.03 * full, 50)


def test_the_model_says_where_it_holds():
    assert chatter.IMMERSION.covers(0.5)
    assert not chatter.IMMERSION.covers(0.05)
    assert chatter.DAMPED_SPEED.covers(0.5)
    assert not chatter.DAMPED_SPEED.covers(0.05)
