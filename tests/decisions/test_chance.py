"""Bands and chances against plain sampling."""

from __future__ import annotations

import math

import numpy as np
import pytest

from swarfbook.decisions.chance import Uncertain, chance_above, power_product, total

DRAWS = 400_000


def sampled(numbers: list[Uncertain], seed: int = 5) -> list[np.ndarray]:
    """Draw every number, causes they share drawn once."""
    rng = np.random.default_rng(seed)
    causes = {cause: rng.standard_normal(DRAWS) for number in numbers for cause in number.causes}
    return [
        number.value
        * np.exp(sum((part * causes[cause] for cause, part in number.causes.items()), np.zeros(DRAWS)))
        for number in numbers
    ]


def test_nothing_uncertain_is_a_point():
    number = Uncertain(3.0)
    assert number.band() == (3.0, 3.0)
    assert chance_above(Uncertain(3.0), Uncertain(2.9)) == 1.0
    assert chance_above(Uncertain(2.9), Uncertain(3.0)) == 0.0


def test_band_is_the_five_and_ninety_five_per_cent_points():
    force = Uncertain(120.0, {"force": 0.3, "wear": 0.2})
    (draws,) = sampled([force])
    assert force.band() == pytest.approx(tuple(np.quantile(draws, [0.05, 0.95])), rel=0.01)


def test_a_product_adds_what_it_shares_and_not_what_it_does_not():
    force, stiffness = Uncertain(100.0, {"force": 0.3}), Uncertain(2.0, {"stiffness": 0.4})
    bent = power_product((force, 1.0), (stiffness, -1.0))
    assert bent.value == pytest.approx(50.0)
    assert bent.sd == pytest.approx(0.5)
    squared = power_product((force, 2.0))
    assert squared.sd == pytest.approx(0.6)
    assert power_product((force, 1.0), (force, -1.0)).sd == 0


@pytest.mark.parametrize("shared", [True, False])
@pytest.mark.parametrize("spread", [0.1, 0.3, 0.6])
def test_a_sum_matches_sampling_within_three_per_cent(shared, spread):
    tool = Uncertain(15.0, {"force": 0.25, "modulus": 0.06})
    machine = Uncertain(37.0, {"force" if shared else "other": 0.25, "stiffness": spread})
    both = total(tool, machine)
    draws = sum(sampled([tool, machine]))
    assert both.value == 52.0
    assert both.band() == pytest.approx(tuple(np.quantile(draws, [0.05, 0.95])), rel=0.03)


def test_a_sum_of_nothing_is_nothing():
    assert total(Uncertain(0.0), Uncertain(0.0)).value == 0.0
    assert total(Uncertain(0.0), Uncertain(4.0, {"force": 0.2})).sd == pytest.approx(0.2)


@pytest.mark.parametrize("limit", [80.0, 120.0, 200.0])
def test_chance_matches_sampling_where_causes_are_shared(limit):
    demand = Uncertain(110.0, {"force": 0.25, "dynamic": 0.2})
    given = Uncertain(limit, {"strength": 0.15, "dynamic": 0.1})
    asked, held = sampled([demand, given])
    assert chance_above(demand, given) == pytest.approx(float((asked > held).mean()), abs=0.003)


def test_a_demand_of_nothing_never_passes():
    assert chance_above(Uncertain(0.0, {"force": 0.3}), Uncertain(1.0)) == 0.0


def test_even_odds_at_the_limit():
    assert chance_above(Uncertain(5.0, {"force": 0.3}), Uncertain(5.0)) == pytest.approx(0.5)
    assert math.isclose(chance_above(Uncertain(5.0, {"a": 0.3}), Uncertain(4.0)), 0.7715, abs_tol=2e-4)
