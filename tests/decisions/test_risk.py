"""Derating to a chance: the smallest margin that keeps it, consistent with derating to that margin."""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.books import RECIPE
from swarfbook import resources
from swarfbook.book import Book
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import check
from swarfbook.decisions.derate import MOVES, derate
from swarfbook.decisions.risk import STEP, derate_to_risk, load_chances
from swarfbook.errors import SwarfbookError

DEMO = Book.open(resources.demo_book_dir())
MAX = "long-bed-6mm-6082-max"
SINGLE = [method for method in MOVES if method not in ("least-time", "speed")]


@cache
def case_of(recipe):
    return load_case(DEMO, recipe)


@cache
def child(recipe, method, margin):
    return derate(case_of(recipe), margin=margin, method=method)


@pytest.mark.parametrize("method", ["least-time", "depth", "feed", "engagement"])
@pytest.mark.parametrize("risk", [0.2, 0.05, 0.01])
def test_the_child_keeps_the_risk_and_the_margin_before_it_does_not(method, risk):
    found = derate_to_risk(case_of(MAX), risk=risk, method=method)
    assert found.reached
    assert max(found.chances.values()) <= risk
    margin = found.derating.margin
    again = child(MAX, method, margin)
    assert again.values == found.derating.values
    assert margin > STEP
    less = derate(case_of(MAX), margin=margin - STEP, method=method)
    assert max(load_chances(less.check).values()) > risk


def test_a_smaller_risk_takes_a_larger_margin():
    margins = [
        derate_to_risk(case_of(MAX), risk=risk, method="depth").derating.margin for risk in (0.3, 0.1, 0.01)
    ]
    assert margins == sorted(margins)
    assert margins[0] < margins[-1]


def test_no_margin_is_needed_where_the_parent_keeps_the_risk():
    found = derate_to_risk(case_of("bench-3mm-brass-outline"), risk=0.05)
    assert (found.reached, found.derating.margin) == (True, 0.0)


def test_what_no_margin_reaches_is_said_and_not_reached():
    found = derate_to_risk(case_of(MAX), risk=0.01, method="speed")
    assert not found.reached
    assert not found.derating.reached
    assert "axis thrust" in found.note


def test_the_chance_of_a_thin_chip_is_told_beside():
    recipe = "bench-3mm-brass-letters"
    thin = next(limit.chance_over for limit in check(case_of(recipe)).limits if limit.name == "chip-thin")
    assert derate_to_risk(case_of(recipe), risk=0.1).chip_thin == pytest.approx(thin)


@pytest.mark.parametrize("risk", [0.0, -0.1, 0.6, float("nan")])
def test_a_risk_is_a_chance(risk):
    with pytest.raises(SwarfbookError, match="above 0 % and up to 50 %"):
        derate_to_risk(case_of(MAX), risk=risk)


def test_only_load_limits_that_are_hard_count(make_book):
    loose = check(load_case(Book.open(make_book(**{"recipe.tolerance": None})), RECIPE))
    assert "deflection" not in load_chances(loose)
    tight = check(load_case(Book.open(make_book("tight", **{"recipe.tolerance": "0.1 mm"})), RECIPE))
    assert "deflection" in load_chances(tight)
    assert "spindle-speed" not in load_chances(tight)


@given(
    st.sampled_from(SINGLE), st.sampled_from([MAX, "mill-8mm-6082-max"]), st.floats(0, 0.6), st.floats(0, 0.6)
)
def test_more_margin_by_a_single_knob_never_raises_a_chance(method, recipe, one, other):
    less, more = (child(recipe, method, round(margin, 2)) for margin in sorted((one, other)))
    if less.reached and more.reached:
        before, after = load_chances(less.check), load_chances(more.check)
        assert all(after[name] <= chance + 1e-12 for name, chance in before.items())
