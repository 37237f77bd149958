"""Both cutting laws: forces by hand, antiderivatives by quadrature, factors."""

import math
from dataclasses import fields

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from support.milling import Linear, Power
from swarfbook.physics.laws import Kienzle, LinearEdge, rake_factor
from swarfbook.physics.validity import KIENZLE_CHIP

LINEAR = LinearEdge(ktc=631e6, krc=99e6, kac=273e6, kte=13e3, kre=10e3, kae=2.8e3)
KIENZLE = Kienzle(kc11=1780e6, mc=0.17, force_ratio_radial=0.5, force_ratio_axial=0.2)
LAWS = [pytest.param(LINEAR, id="linear-edge"), pytest.param(KIENZLE, id="kienzle")]
FEED = 0.05e-3

angles = st.floats(0.0, math.pi)


def test_linear_forces_by_hand():
    """0.05 mm chip: 631 * 0.05 + 13 = 44.55 N/mm and so on."""
    assert LINEAR.edge_forces(0.05e-3) == pytest.approx((44.55e3, 14.95e3, 16.45e3))


def test_linear_forces_without_a_chip_are_the_edge_terms():
    assert LINEAR.edge_forces(0.0) == (13e3, 10e3, 2.8e3)


def test_kienzle_is_defined_at_one_millimetre():
    """A chip of 1 mm by 1 mm takes kc1.1 as its force: 1780 N on 1 mm of edge."""
    tangential, radial, axial = KIENZLE.edge_forces(1e-3)
    assert tangential == pytest.approx(1780e3, rel=1e-14)
    assert radial == pytest.approx(890e3)
    assert axial == pytest.approx(356e3)


def test_kienzle_forces_by_hand():
    """0.1 mm: kc = 1780 * 10^0.17 = 1780 * 1.479108 = 2632.81 N/mm^2, so 263.281 N/mm."""
    tangential = KIENZLE.edge_forces(0.1e-3)[0]
    assert tangential == pytest.approx(263.281e3, rel=2e-6)


@given(h=st.floats(1e-6, 3e-3), factor=st.floats(0.2, 5.0))
def test_kienzle_is_one_power_law_over_every_chip(h, factor):
    one, other = KIENZLE.edge_forces(h)[0], KIENZLE.edge_forces(factor * h)[0]
    assert other / one == pytest.approx(factor**0.83, rel=1e-12)


def test_kienzle_with_no_exponent_is_a_plain_area_law():
    law = Kienzle(kc11=700e6, mc=0.0, force_ratio_radial=0.4, force_ratio_axial=0.3)
    assert law.edge_forces(0.02e-3)[0] == pytest.approx(700e6 * 0.02e-3)


def test_a_chip_below_the_fitted_range_is_flagged_and_not_changed():
    assert not KIENZLE_CHIP.covers(0.02e-3)
    assert KIENZLE_CHIP.covers(np.array([0.05e-3, 2.5e-3])).all()
    assert KIENZLE.edge_forces(0.02e-3)[0] == pytest.approx(1780e3 * 0.02**0.83)


@pytest.mark.parametrize("mc", [-0.01, 1.0, 1.5, math.nan])
def test_an_exponent_that_is_none_gives_no_force(mc):
    law = Kienzle(kc11=1780e6, mc=mc, force_ratio_radial=0.5, force_ratio_axial=0.2)
    assert all(math.isnan(force) for force in law.edge_forces(1e-4))


@pytest.mark.parametrize("law", LAWS)
def test_a_chip_below_nought_has_no_force(law):
    assert all(math.isnan(force) for force in law.edge_forces(-1e-6))


def resolved(law, component: int, phi: float) -> float:
    tangential, radial, axial = law.edge_forces(max(FEED * math.sin(phi), 0.0))
    return float(
        (
            tangential,
            -tangential * math.cos(phi) - radial * math.sin(phi),
            tangential * math.sin(phi) - radial * math.cos(phi),
            axial,
        )[component]
    )


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("component", [0, 1, 2, 3])
@pytest.mark.parametrize("ends", [(0.0, math.pi), (0.0, 0.7), (0.3, 1.9), (1.7, 2.9), (2.4, math.pi)])
def test_antiderivatives_are_what_quadrature_finds(law, component, ends):
    found = quad(lambda phi: resolved(law, component, phi), *ends, epsabs=1e-10, epsrel=1e-11)[0]
    upper = law.antiderivatives(feed_per_tooth=FEED, phi=ends[1])[component]
    lower = law.antiderivatives(feed_per_tooth=FEED, phi=ends[0])[component]
    assert upper - lower == pytest.approx(found, rel=1e-9, abs=1e-6)


@pytest.mark.parametrize("law", LAWS)
@given(phi=angles, factor=st.floats(0.1, 10.0))
def test_a_factor_scales_every_force(law, phi, factor):
    scaled = law.scaled(factor)
    for plain, grown in zip(law.edge_forces(1e-5), scaled.edge_forces(1e-5), strict=True):
        assert grown == pytest.approx(factor * plain)
    plain = np.array(law.antiderivatives(feed_per_tooth=FEED, phi=phi))
    grown = np.array(scaled.antiderivatives(feed_per_tooth=FEED, phi=phi))
    assert grown == pytest.approx(factor * plain, rel=1e-12)


def test_a_factor_leaves_the_shape_of_the_law_alone():
    scaled = KIENZLE.scaled(1.3)
    assert (scaled.mc, scaled.force_ratio_radial, scaled.force_ratio_axial) == (0.17, 0.5, 0.2)
    assert scaled.kc11 == pytest.approx(2314e6)


@pytest.mark.parametrize("law", LAWS)
def test_each_reaches_every_coefficient(law):
    seen = []
    same = law.each(lambda coefficient: seen.append(coefficient) or coefficient)
    assert same == law
    assert seen == law.coefficients() == [getattr(law, field.name) for field in fields(law)]
    assert len(seen) >= 4
    assert law.each(lambda coefficient: 2 * coefficient).coefficients() == [2 * value for value in seen]


def test_coefficients_may_be_arrays():
    law = Kienzle(
        kc11=np.array([700e6, 1780e6]),
        mc=np.array([0.25, 0.17]),
        force_ratio_radial=0.4,
        force_ratio_axial=0.3,
    )
    together = law.edge_forces(0.1e-3)[0]
    assert together == pytest.approx([700e3 * 0.1**0.75, 1780e3 * 0.1**0.83])
    area = np.array(law.antiderivatives(feed_per_tooth=FEED, phi=1.0))
    alone = [
        Kienzle(kc11=kc11, mc=mc, force_ratio_radial=0.4, force_ratio_axial=0.3)
        for kc11, mc in ((700e6, 0.25), (1780e6, 0.17))
    ]
    apart = np.array([law.antiderivatives(feed_per_tooth=FEED, phi=1.0) for law in alone]).T
    assert area == pytest.approx(apart, rel=1e-13)


def test_a_blank_axial_coefficient_spoils_the_axial_force_only():
    law = LinearEdge(ktc=243.77e6, krc=113.5e6, kac=math.nan, kte=7.53e3, kre=7.83e3, kae=math.nan)
    values = law.antiderivatives(feed_per_tooth=FEED, phi=1.0)
    assert np.isnan(values).tolist() == [False, False, False, True]


@pytest.mark.parametrize("reference", [Linear(), Power()])
def test_the_references_of_these_tests_agree_on_the_forces(reference):
    """Millimetres here, metres there: 1 N/mm is 1000 N/m."""
    for h in (0.002, 0.05, 0.3):
        there = reference.law().edge_forces(h / 1e3)
        assert [force / 1e3 for force in there] == pytest.approx([float(f) for f in reference(np.float64(h))])


def test_rake_by_the_degree():
    factor = rake_factor(rake=math.radians(12.0), rake_base=math.radians(6.0))
    assert factor == pytest.approx(0.91)
    assert rake_factor(rake=math.radians(-5.0), rake_base=0.0) == pytest.approx(1.075)
    assert rake_factor(rake=0.1, rake_base=0.1) == 1.0


def test_a_rake_that_leaves_no_force_is_no_rake():
    assert math.isnan(rake_factor(rake=math.radians(70.0), rake_base=0.0))
