"""Picking: closed cases in which the right recipe is known by construction, and why the others are wrong."""

from __future__ import annotations

import json
from datetime import UTC, datetime

import pytest

from support.books import MACHINE, MATERIAL, RECIPE, TOOL, to_toml, values
from swarfbook import resources
from swarfbook.book import Book
from swarfbook.decisions.check import check
from swarfbook.decisions.evidence import load_case
from swarfbook.decisions.numbers import evaluate, nominal_knobs
from swarfbook.decisions.past import LOADS
from swarfbook.decisions.pick import Asked, pick, pick_json
from swarfbook.decisions.running import Report, log_run
from swarfbook.errors import SwarfbookError
from swarfbook.reports.pick_page import pick_lines

NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)
GENTLE = {"axial_depth": "1 mm", "standing": "trial"}
STRONG = {"machine.axes.thrust": "900 N"}


@pytest.fixture
def book(make_book):
    """Give a book with one gentle roughing recipe."""
    return Book.open(make_book(**STRONG, **{f"recipe.{key}": value for key, value in GENTLE.items()}))


def add(book, kind, name, changes):
    (book.root / f"{kind}s/{name}.toml").write_text(to_toml(values(kind, changes)), encoding="utf-8")
    return name


def add_recipe(book, name, **changes):
    return add(book, "recipe", name, GENTLE | changes)


def asked(**wishes):
    return Asked(**{"material": MATERIAL, "operation": "rough"} | wishes)


def picked(book, **wishes):
    return {one.recipe: one for one in pick(book, asked(**wishes))}


def order(book, **wishes):
    return [one.recipe for one in pick(book, asked(**wishes))]


def ran(book, recipe=RECIPE, outcome="clean", minutes=10.0):
    log_run(book, recipe, Report(minutes=minutes, outcome=outcome), at=NOON)


def test_what_has_run_clean_comes_before_what_is_faster(book):
    faster = add_recipe(book, "faster", axial_depth="1.5 mm")
    assert order(book) == [faster, RECIPE]
    ran(book)
    assert order(book) == [RECIPE, faster]
    found = picked(book)
    assert (found[RECIPE].fit, found[faster].fit) == ("covered", "holds")
    assert "beyond what has run clean by 50 %" in " ".join(found[faster].reasons)


def test_of_two_that_hold_the_quicker_comes_first(book):
    quicker = add_recipe(book, "quicker", axial_depth="1.2 mm")
    assert order(book) == [quicker, RECIPE]


def test_over_comes_behind_all_that_hold_and_says_in_what(book):
    over = add_recipe(book, "over", axial_depth="12 mm", feed_per_tooth="0.1 mm")
    found = picked(book)
    assert found[over].fit == "over"
    assert "over: " in found[over].reasons[0]
    assert order(book) == [RECIPE, over]


@pytest.mark.parametrize(
    ("wishes", "reason"),
    [
        ({"wall": 0.022}, "reach 16.0 mm, wall 22.0 mm"),
        ({"inside_corner": 0.0025}, "cutter radius 3.00 mm, inside corner 2.50 mm"),
        ({"slot": 0.005}, "cutter 6.00 mm, slot 5.00 mm"),
    ],
)
def test_a_cutter_that_cannot_is_ruled_out_with_both_numbers(book, wishes, reason):
    add(book, "tool", "longer", {"diameter": "3 mm", "flute_length": "24 mm", "reach": "24 mm", "flutes": 1})
    slim = add_recipe(
        book, "slim", tool="longer", radial_width="0.5 mm", axial_depth="0.3 mm", stickout="28 mm"
    )
    found = picked(book, **wishes)
    assert (found[RECIPE].fit, found[RECIPE].reasons) == ("cannot", (reason,))
    assert found[slim].usable


def test_the_stickout_limits_the_reach(book):
    short = add_recipe(book, "short", stickout="12 mm")
    assert picked(book, wall=0.014)[short].reasons == ("reach 12.0 mm, wall 14.0 mm",)


def test_a_tolerance_makes_the_deflection_count(book):
    found = picked(book, tolerance=1e-6)[RECIPE]
    assert found.fit == "over"
    assert found.reasons[0].startswith("deflection over")


def test_a_margin_asked_is_held_against_every_load(book):
    use = max(
        limit.use for limit in check(load_case(book, RECIPE)).limits
        if limit.name in ("axis-thrust", "spindle-power", "bending")
    )  # fmt: skip
    assert picked(book, margin=1 - use * 1.05)[RECIPE].fit == "holds"
    tight = picked(book, margin=1 - use * 0.95)[RECIPE]
    assert tight.fit == "tight"
    assert "with the margin asked" in tight.reasons[0]


def test_hands_off_asks_for_a_chance(book):
    assert picked(book, hands_off=True)[RECIPE].usable
    risky = add_recipe(book, "risky", axial_depth="9 mm")
    one = picked(book, hands_off=True)[risky]
    assert one.fit == "cannot"
    assert one.reasons[0].startswith("hands off: chance of passing ")


def test_a_longer_job_than_any_run_is_said_and_rules_nothing_out(book):
    ran(book, minutes=20.0)
    one = picked(book, minutes=60.0)[RECIPE]
    assert one.fit == "covered"
    assert "longest clean run 20 min, 60 min asked" in one.reasons


def test_retired_and_other_operations_are_not_for_this(book):
    retired = add_recipe(book, "retired", standing="retired")
    add_recipe(book, "finishing", operation="finish")
    found = picked(book)
    assert found[retired].reasons == ("retired",)
    assert "finishing" not in found


def test_another_machine_is_adapted_when_nothing_of_its_own_fits(book):
    ran(book)
    add(book, "machine", "weak", {"axes.thrust": "120 N", "spindle.max_speed": "12000 rpm",
                                  "spindle.rated_speed": "12000 rpm"})  # fmt: skip
    [one] = pick(book, asked(machine="weak"))
    assert (one.recipe, one.adapted.source, one.adapted.changed) == (RECIPE, RECIPE, ("machine",))
    assert one.check.case.recipe.machine == "weak"
    assert one.check.case.recipe.standing == "trial"
    assert one.adapted.to_prove == ("nothing has run clean with these three yet",)
    before, after = (
        evaluate(case, nominal_knobs(case)) for case in (load_case(book, RECIPE), one.check.case)
    )
    assert after.spindle_speed <= 200
    assert all(getattr(after, name) <= getattr(before, name) * (1 + 1e-6) for name in LOADS)
    assert after.chip_thickness_max == pytest.approx(float(before.chip_thickness_max), rel=1e-6)
    assert not one.check.over


def test_a_neighbouring_material_is_adapted_and_a_plastic_of_the_group_is_none(book):
    add(
        book,
        "material",
        "other-bar",
        {"table": "aluminium-wrought-7075-t6", "cutting_law": None, "overrides": None},
    )
    add(book, "material", "slab", {"table": "hdpe", "cutting_law": None, "overrides": None})
    [one] = pick(book, asked(material="other-bar"))
    assert one.adapted.changed == ("material",)
    assert pick(book, asked(material="slab")) == []


def test_another_diameter_is_adapted_where_the_corner_is_too_tight(book):
    ran(book)
    add(book, "tool", "slim", {"diameter": "4 mm", "shank_diameter": "6 mm"})
    found = [one for one in pick(book, asked(inside_corner=0.0025)) if one.adapted]
    [one] = found
    assert (one.adapted.changed, one.check.case.recipe.tool) == (("tool",), "slim")
    assert one.check.case.recipe.radial_width == pytest.approx(0.001)
    assert one.usable


def test_an_aluminium_wall_over_half_an_inch_asks_for_a_quarter_inch_cutter(book):
    """Common practice: an eighth-inch cutter with half-inch reach does not get there."""
    eighth = {
        "diameter": "0.125 in",
        "flute_length": "0.5 in",
        "reach": "0.5 in",
        "shank_diameter": "0.125 in",
    }
    quarter = {
        "diameter": "0.25 in",
        "flute_length": "0.75 in",
        "reach": "0.75 in",
        "shank_diameter": "0.25 in",
    }
    add(book, "tool", "eighth", eighth)
    add(book, "tool", "quarter", quarter)
    add_recipe(book, "by-eighth", tool="eighth", stickout="14 mm", radial_width="1 mm", axial_depth="1 mm")
    add_recipe(book, "by-quarter", tool="quarter", stickout="22 mm")
    found = pick(book, asked(wall=0.0135))
    assert found[0].recipe == "by-quarter"
    assert next(one for one in found if one.recipe == "by-eighth").fit == "cannot"


def test_a_one_flute_cutter_is_not_first_for_a_finish_pass_beside_a_stiffer_one(book):
    """Common practice: more flutes and a shorter stickout finish first where both hold the tolerance."""
    add(book, "tool", "three", {"flutes": 3})
    finish = {"operation": "finish", "tolerance": "0.1 mm", "radial_width": "0.2 mm", "axial_depth": "10 mm",
              "feed_per_tooth": "0.03 mm"}  # fmt: skip
    add_recipe(book, "by-one", **finish)
    add_recipe(book, "by-three", **finish | {"tool": "three", "stickout": "20 mm"})
    assert order(book, operation="finish", tolerance=1e-4)[0] == "by-three"


def test_what_the_book_does_not_have_is_told(book):
    with pytest.raises(SwarfbookError, match="moon"):
        pick(book, asked(material="moon"))
    with pytest.raises(SwarfbookError, match="moon"):
        pick(book, asked(machine="moon"))


@pytest.mark.parametrize("width", [60, 80, 120])
def test_the_page_fits_and_the_json_is_json(width):
    demo = Book.open(resources.demo_book_dir())
    for wishes in ({}, {"wall": 0.022}, {"hands_off": True}):
        question = Asked(material="6082-t6", operation="rough", **wishes)
        found = pick(demo, question)
        assert max(map(len, pick_lines(question, found, width=width, system=None))) <= width
        json.dumps(pick_json(question, found), allow_nan=False)


def test_names_are_of_the_small_book(book):
    [one] = pick(book, asked())
    recipe = one.check.case.recipe
    assert (recipe.machine, recipe.tool, recipe.material) == (MACHINE, TOOL, MATERIAL)


def test_an_adapted_recipe_keeps_to_the_marks_of_where_it_goes(book):
    ran(book)
    add(book, "machine", "second", {"axes.thrust": "900 N"})
    changes = {"machine": "second", "axial_depth": "0.4 mm", "operation": "semi-finish"}
    gentler = add_recipe(book, "there", **changes)
    ran(book, gentler)
    [one] = pick(book, asked(machine="second"))
    own = [limit for limit in one.check.limits if limit.mark is not None]
    assert own
    assert all(limit.beyond == 0.0 for limit in own)
    assert one.fit == "covered"
