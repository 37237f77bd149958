"""What a tenth more of an input does: the same as a check with a tenth more of it."""

from __future__ import annotations

import json

import pytest

from support.books import RECIPE
from swarfbook import resources
from swarfbook.book import Book
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import check
from swarfbook.decisions.sensitivity import SETTINGS, sensitivity, sensitivity_json
from swarfbook.reports.sensitivity_page import sensitivity_lines

DEMO = Book.open(resources.demo_book_dir())
AS_TYPED = {
    "axial_depth": ("recipe.axial_depth", "3 mm", "3.3 mm"),
    "radial_width": ("recipe.radial_width", "1.5 mm", "1.65 mm"),
    "feed_per_tooth": ("recipe.feed_per_tooth", "0.05 mm", "0.055 mm"),
    "spindle_speed": ("recipe.spindle_speed", "18000 rpm", "19800 rpm"),
    "stickout": ("recipe.stickout", "24 mm", "26.4 mm"),
    "tool_tip_stiffness": ("machine.tool_tip.stiffness", "3 N/um", "3.3 N/um"),
    "thrust": ("machine.axes.thrust", "250 N", "275 N"),
    "edge_radius": ("tool.edge_radius", "5 um", "5.5 um"),
    "rated_power": ("machine.spindle.rated_power", "1.5 kW", "1.65 kW"),
    "runout": ("machine.spindle.runout", "0.01 mm", "0.011 mm"),
    "law": ("material.overrides.kc11", "700 N/mm^2", "770 N/mm^2"),
}


def effects(found):
    return {one.name: one for one in found.effects}


@pytest.mark.parametrize("name", AS_TYPED)
def test_an_effect_is_that_of_typing_a_tenth_more(make_book, name):
    key, before, after = AS_TYPED[name]
    wide = {"recipe.tolerance": "0.1 mm"}
    one, other = (
        check(load_case(Book.open(make_book(f"{name}-{index}", **{**wide, key: text})), RECIPE))
        for index, text in enumerate((before, after))
    )
    found = effects(sensitivity(one.case))
    told = found[name].changes if name in found else {}  # run-out does nothing to a one-flute cutter
    for limit, again in zip(
        sorted(one.limits, key=lambda each: each.name), sorted(other.limits, key=lambda each: each.name),
        strict=True,
    ):  # fmt: skip
        if limit.use:
            assert told.get(limit.name, 0.0) == pytest.approx(again.use / limit.use - 1, abs=1e-9), limit.name


@pytest.mark.parametrize("recipe", DEMO.ids("recipe"))
def test_every_recipe_has_one_and_the_force_moves_its_loads_in_proportion(recipe):
    found = sensitivity(load_case(DEMO, recipe))
    force = effects(found)["law"]
    loads = {"spindle-power", "axis-thrust", "bending", "deflection"} & found.uses.keys()
    assert all(force.changes[limit] == pytest.approx(0.1) for limit in loads)
    assert "\n".join(sensitivity_lines(found, width=80))
    assert max(map(len, sensitivity_lines(found, width=60))) <= 60
    json.dumps(sensitivity_json(found), allow_nan=False)


def test_what_is_worth_measuring_is_the_unknown_that_adds_most_doubt(make_book):
    book = Book.open(make_book(**{"machine.axes.thrust": None}))
    worth = sensitivity(load_case(book, RECIPE)).worth_measuring("axis-thrust")
    assert worth[0].name == "thrust"
    assert worth[0].assumed
    assert worth[0].doubt("axis-thrust") > worth[1].doubt("axis-thrust")
    assert not {one.name for one in worth} & set(SETTINGS)


def test_doubts_add_up_to_the_spread_of_a_product(make_book):
    one = check(load_case(Book.open(make_book()), RECIPE))
    found = sensitivity(one.case)
    doubts = [each.doubt("spindle-power") ** 2 for each in found.worth_measuring("spindle-power")]
    power = one.demands["spindle-power"].number.sd ** 2 + one.case.inputs["rated_power"].sd ** 2
    assert sum(doubts) == pytest.approx(power, rel=1e-6)
