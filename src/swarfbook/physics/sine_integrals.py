"""Integrals of a power of the sine, which the Kienzle law needs over the arc of contact.

sin^q(x) = x^q (sin(x)/x)^q, and the bracket has a power series in x^2 with radius of convergence pi^2.
Folded to x <= pi/2 it loses a factor of four a term, so one polynomial serves the whole range. Its
coefficients are polynomials in q, fixed once below by the logarithmic derivative

    x d/dx log (sin(x)/x)^q = -2 q sum_k w_k x^(2k),  w_k = zeta(2k) / pi^(2k).
"""

from __future__ import annotations

from math import factorial

import numpy as np
from numpy.typing import NDArray

from swarfbook.physics.arrays import Array, chosen, only_where
from swarfbook.physics.validity import EXPONENT

TERMS = 18


def _weights(terms: int) -> list[float]:
    """w_1 ... w_terms, from the series of sin(x)/x itself."""
    series = [(-1) ** k / factorial(2 * k + 1) for k in range(terms + 1)]
    weights: list[float] = []
    for n in range(1, terms + 1):
        known = sum(weight * series[n - 1 - k] for k, weight in enumerate(weights))
        weights.append(-n * series[n] - known)
    return weights


def _coefficients_in_exponent(terms: int) -> NDArray[np.float64]:
    """Row n holds the coefficients, by power of q, of the x^(2n) term of (sin(x)/x)^q."""
    weights = _weights(terms)
    table = np.zeros((terms, terms))
    table[0, 0] = 1.0
    for n in range(1, terms):
        table[n, 1:] = -sum(weights[k - 1] * table[n - k, :-1] for k in range(1, n + 1)) / n
    return table


_TABLE = _coefficients_in_exponent(TERMS)


def _series(exponent: Array) -> NDArray[np.float64]:
    """Coefficients of the integral divided by x^(q+1), lowest first along the first axis."""
    order = np.arange(TERMS)
    q = np.asarray(exponent, dtype=np.float64)[..., None]
    coefficients = np.power(q, order) @ _TABLE.T / (2 * order + 1 + q)
    return np.moveaxis(coefficients, -1, 0)


def _polynomial(coefficients: NDArray[np.float64], variable: Array) -> Array:
    """Value of a polynomial by Horner's rule."""
    value = coefficients[-1] + 0 * np.asarray(variable)
    for coefficient in coefficients[-2::-1]:
        value *= variable
        value += coefficient
    result: Array = value[()]
    return result


def sine_power_integral(*, exponent: Array, phi: Array) -> Array:
    """Integral of sin^q from 0 to phi.

    Args:
        exponent: q [1], 0 < q <= 2, any shape.
        phi: upper end [rad], 0 to pi, broadcasts.

    Returns:
        S_q(phi) = B((q+1)/2, 1/2) I(sin^2 phi) / 2 up to pi/2 and 2 S_q(pi/2) - S_q(pi - phi) above, to
        1e-13; nan outside the two ranges.

    References:
        NIST Digital Library of Mathematical Functions, 8.17 (the incomplete beta function it equals).
    """
    q = only_where(EXPONENT.covers(exponent), exponent)
    inside = only_where(np.logical_and(np.greater_equal(phi, 0), np.less_equal(phi, np.pi)), phi)
    folded: Array = np.minimum(inside, np.pi - inside)
    series = _series(q)
    below: Array = np.power(folded, q + 1) * _polynomial(series, np.square(folded))
    half = np.power(np.pi / 2, q + 1) * _polynomial(series, np.pi**2 / 4)
    return chosen(np.greater(inside, np.pi / 2), 2 * half - below, below)
