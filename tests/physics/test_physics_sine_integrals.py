"""Integrals of a power of the sine against scipy's incomplete beta function and quadrature."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import beta, betainc

from swarfbook.physics.sine_integrals import sine_power_integral

exponents = st.floats(0.01, 2.0)
angles = st.floats(0.0, math.pi)


def by_beta(q: float, phi: float) -> float:
    a = (q + 1) / 2
    quarter = beta(a, 0.5) / 2
    part = quarter * betainc(a, 0.5, math.sin(phi) ** 2)
    return float(part if phi <= math.pi / 2 else 2 * quarter - part)


@given(q=exponents, phi=angles)
def test_it_is_the_incomplete_beta_function(q, phi):
    assert sine_power_integral(exponent=q, phi=phi) == pytest.approx(by_beta(q, phi), abs=2e-12)


@pytest.mark.parametrize("q", [1e-6, 0.1, 0.5, 0.7, 0.75, 0.83, 1.0, 1.25, 1.75, 1.9, 2.0])
@pytest.mark.parametrize("phi", [0.01, 0.5, math.pi / 4, 1.2, math.pi / 2])
def test_it_is_what_quadrature_finds(q, phi):
    found = quad(lambda angle: math.sin(angle) ** q, 0, phi, epsabs=1e-14, epsrel=1e-13)[0]
    assert sine_power_integral(exponent=q, phi=phi) == pytest.approx(found, abs=1e-12)


@given(phi=angles)
def test_whole_exponents_have_closed_forms(phi):
    assert sine_power_integral(exponent=1.0, phi=phi) == pytest.approx(1 - math.cos(phi), abs=1e-13)
    square = (phi - math.sin(phi) * math.cos(phi)) / 2
    assert sine_power_integral(exponent=2.0, phi=phi) == pytest.approx(square, abs=1e-13)


@given(q=exponents, phi=angles)
def test_the_arch_is_symmetrical(q, phi):
    whole = sine_power_integral(exponent=q, phi=math.pi)
    parts = [sine_power_integral(exponent=q, phi=end) for end in (phi, math.pi - phi)]
    assert sum(parts) == pytest.approx(whole, rel=1e-13)


@given(q=exponents, phi=angles, step=st.floats(1e-3, 1.0))
def test_it_never_falls(q, phi, step):
    further = min(phi + step, math.pi)
    grown = sine_power_integral(exponent=q, phi=further) - sine_power_integral(exponent=q, phi=phi)
    assert grown >= 0


def test_a_known_value():
    """B(1.375, 1/2) / 2 at a quarter turn, the exponent of the in-plane force of mc = 0.25."""
    value = sine_power_integral(exponent=1.75, phi=math.pi / 2)
    assert value == pytest.approx(beta(1.375, 0.5) / 2, rel=1e-13)


def test_small_angles_keep_their_digits():
    for q in (0.75, 1.75):
        assert sine_power_integral(exponent=q, phi=1e-6) == pytest.approx(
            1e-6 ** (q + 1) / (q + 1), rel=1e-11
        )


def test_exponents_and_angles_broadcast():
    q, phi = np.array([[0.75], [1.75]]), np.linspace(0, math.pi, 7)
    value = sine_power_integral(exponent=q, phi=phi)
    expected = [[by_beta(float(row[0]), float(angle)) for angle in phi] for row in q]
    assert value.shape == (2, 7)
    assert value == pytest.approx(np.array(expected), abs=2e-12)


@pytest.mark.parametrize(
    ("q", "phi"),
    [(0.0, 1.0), (-0.5, 1.0), (2.1, 1.0), (math.nan, 1.0), (1.0, -0.1), (1.0, 3.2), (1.0, math.nan)],
)
def test_outside_its_range_it_says_nothing(q, phi):
    assert math.isnan(sine_power_integral(exponent=q, phi=phi))
