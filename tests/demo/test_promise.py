"""Backing off any recipe of the demo workshop, by any method, keeps the promise on the numbers as written."""

from __future__ import annotations

import pytest

from swarfbook import resources
from swarfbook.book import Book
from swarfbook.decisions.case import case_of, load_case
from swarfbook.decisions.check import check
from swarfbook.decisions.derate import MOVES, derate

BOOK = Book.open(resources.demo_book_dir())
LOADS = ("cutting_power", "cutting_torque_mean", "cutting_torque_peak", "force_peak", "bending_stress_peak",
         "deflection_total")  # fmt: skip
KNOBS = ("axial_depth", "radial_width", "feed_per_tooth", "spindle_speed")


@pytest.fixture(scope="module")
def checks():
    return {recipe: check(load_case(BOOK, recipe)) for recipe in BOOK.ids("recipe")}


def over(one):
    return {limit.name for limit in one.limits if limit.severity == "hard" and limit.verdict == "over"}


def asked(recipes, method, margin):
    # The search over two knobs takes half a second: at the outer margins each recipe gets one of the two.
    if method != "least-time" or margin == 0.25:
        return recipes
    return recipes[margin > 0.25 :: 2]


@pytest.mark.parametrize("method", list(MOVES))
@pytest.mark.parametrize("margin", [0.05, 0.25, 0.6])
def test_derating_keeps_its_promise_on_every_recipe(checks, method, margin):
    reached = 0
    for recipe in asked(list(checks), method, margin):
        one = checks[recipe]
        made = derate(one.case, margin=margin, method=method)
        if not made.reached:
            assert made.note, recipe
            continue
        reached += 1
        child = check(case_of(BOOK, "child", made.values))
        ratios = {name: getattr(child.numbers, name) / getattr(one.numbers, name) for name in LOADS}
        assert max(ratios.values()) <= 1 - margin, recipe
        assert over(child) <= over(one), recipe
        assert all(getattr(child.numbers, knob) <= getattr(one.numbers, knob) for knob in KNOBS), recipe
        for knob in one.case.recipe.keep:
            assert getattr(child.numbers, knob) == getattr(one.numbers, knob), recipe
    assert reached or method == "speed"
