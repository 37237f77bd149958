"""Chatter and chip room on the ladder: only where they can be judged, and the right way round."""

from __future__ import annotations

import math

import pytest

from support.books import RECIPE
from swarfbook.book import Book
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import check
from swarfbook.decisions.dynamics import stability
from swarfbook.decisions.relief import relief
from swarfbook.decisions.why import why
from swarfbook.physics.modes import resonant_speed
from swarfbook.reports.chatter_page import chatter_lines

MODE = {"axis": "x", "frequency": "310 Hz", "damping": 0.03, "stiffness": "6 N/um"}


@pytest.fixture
def case(make_book):
    def of(**changes):
        return load_case(Book.open(make_book(**changes)), RECIPE)

    return of


def rungs(case):
    return {limit.name: limit for limit in check(case).limits}


def test_without_measured_modes_there_is_no_chatter_rung_and_no_guess(case):
    assert "chatter" not in rungs(case())
    assert stability(case()) is None


def test_measured_modes_give_an_advice_rung_on_depth(case):
    lively = case(**{"machine.tool_tip.modes": [MODE]})
    rung = rungs(lively)["chatter"]
    assert rung.severity == "advice"
    assert rung.demand == lively["axial_depth"]
    assert rung.limit == pytest.approx(stability(lively).depth)


@pytest.mark.parametrize("change", [{"stiffness": "12 N/um"}, {"damping": 0.0605}])
def test_twice_the_stiffness_or_damping_bears_about_twice_the_depth(case, change):
    soft = stability(case(**{"machine.tool_tip.modes": [MODE]}))
    hard = stability(case(**{"machine.tool_tip.modes": [{**MODE, **change}]}))
    assert hard.lowest == pytest.approx(2 * soft.lowest, rel=0.1)


def test_the_speed_offered_bears_more_and_no_speed_less_than_the_lowest(case):
    found = stability(case(**{"machine.tool_tip.modes": [MODE], "recipe.spindle_speed": "15000 rpm"}))
    assert found.speed_depth >= found.depth >= found.lowest > 0
    pocket = resonant_speed(frequency=310.0, flutes=1, waves=1)
    assert math.isclose(found.speed, pocket, rel_tol=0.08)


def test_the_cutters_own_mode_is_used_only_when_asked_for_and_says_so(case):
    guessed = stability(case(), estimate=True)
    assert guessed.estimate
    assert guessed.lowest > 0
    assert not stability(case(**{"machine.tool_tip.modes": [MODE]}), estimate=True).estimate


def test_a_mode_in_one_direction_stands_for_both(case):
    one = stability(case(**{"machine.tool_tip.modes": [MODE]}))
    two = stability(case(**{"machine.tool_tip.modes": [MODE, {**MODE, "axis": "y"}]}))
    assert one == two


NARROW = {"machine.tool_tip.modes": [MODE], "recipe.radial_width": "1.1 mm"}
WIDER = {**NARROW, "recipe.radial_width": "1.3 mm"}  # a fifth of the diameter is 1.2 mm


def test_a_narrow_cut_says_that_half_the_depth_may_chatter(case):
    """On the rung, in its why, among the cautions and on the page about chatter."""
    narrow, wider = (check(case(**changes)) for changes in (NARROW, WIDER))
    assert "halve it" in rungs(narrow.case)["chatter"].origin
    assert "flip lobes" in why(narrow, "chatter").limit
    assert any("narrow cut" in line for line in narrow.cautions)
    assert stability(narrow.case).narrow
    assert "can halve them" in " ".join(chatter_lines(narrow.case, stability(narrow.case), system="metric"))
    assert "halve" not in rungs(wider.case)["chatter"].origin
    assert not any("narrow cut" in line for line in wider.cautions)
    assert "halve" not in " ".join(chatter_lines(wider.case, stability(wider.case), system="metric"))


def test_relief_of_a_narrow_cut_leaves_room_for_half_the_depth(case):
    deep = {**NARROW, "recipe.axial_depth": "8 mm", "recipe.spindle_speed": "13000 rpm"}
    for width, most in (("1.1 mm", 0.4), ("1.3 mm", 0.8)):
        one = check(case(**{**deep, "recipe.radial_width": width}))
        limit = rungs(one.case)["chatter"]
        assert limit.verdict == "over"
        assert 0.5 * most < relief(one, limit).use <= most


def test_without_modes_a_narrow_cut_has_no_word_of_chatter(case):
    assert not any("chatter" in line for line in check(case(**{"recipe.radial_width": "0.3 mm"})).cautions)


def test_chip_room_is_judged_in_slots_only(case):
    assert "chip-clearing" not in rungs(case())
    slot = rungs(case(**{"recipe.radial_width": "6 mm"}))["chip-clearing"]
    assert slot.severity == "advice"
    area = 0.7 * math.pi / 4 * (6**2 - 3.6**2)
    assert slot.demand == pytest.approx(8 * 0.05 * 6 / area)
    assert slot.limit == 1


def test_more_flutes_have_less_room_each(case):
    def filling(flutes):
        return rungs(case(**{"recipe.radial_width": "6 mm", "tool.flutes": flutes}))["chip-clearing"].demand

    assert filling(3) == pytest.approx(3 * filling(1))
