"""The promise of a margin, asked of the child as it is written to the book and read back."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from support.books import RECIPE, VALUES, values
from swarfbook import records
from swarfbook.book import Book
from swarfbook.decisions.as_json import check_json, derate_json
from swarfbook.decisions.case import load_case, with_values
from swarfbook.decisions.check import check
from swarfbook.decisions.derate import MOVES, derate
from swarfbook.decisions.numbers import Knobs, evaluate, nominal_knobs
from swarfbook.decisions.promise import Promise
from swarfbook.decisions.search import best_knobs, feed_floor, largest_feed
from swarfbook.errors import SwarfbookError

LOADS = (
    "cutting_power",
    "cutting_torque_mean",
    "cutting_torque_peak",
    "force_peak",
    "bending_stress_peak",
    "deflection_total",
)
KNOBS = ("axial_depth", "radial_width", "feed_per_tooth", "feed_rate", "spindle_speed")


def case_of(make_book, **changes):
    return load_case(Book.open(make_book(**changes)), RECIPE)


def quantities_of(case):
    return {name: item["value"] for name, item in check_json(check(case))["quantities"].items()}


def assert_promise(parent, child, margin):
    """Assert every line of the promise from the two checks alone."""
    before, after = check_json(check(parent)), check_json(check(child))
    for name in LOADS:
        ratio = after["quantities"][name]["value"] / before["quantities"][name]["value"]
        assert ratio <= 1 - margin, name
    held = {
        limit["name"]
        for limit in before["limits"]
        if limit["severity"] == "hard" and limit["verdict"] != "over"
    }
    broken = {limit["name"] for limit in after["limits"] if limit["verdict"] == "over"}
    assert not held & broken
    thin = next(limit for limit in after["limits"] if limit["name"] == "chip-thin")
    assert thin["demand"] >= thin["limit"]
    for knob in ("spindle_speed", "feed_per_tooth", "feed_rate"):
        assert after["quantities"][knob]["value"] <= before["quantities"][knob]["value"] * (1 + 1e-12), knob
    assert child["axial_depth"] <= parent["axial_depth"]
    assert child["radial_width"] <= parent["radial_width"]


@pytest.mark.parametrize("method", MOVES)
@pytest.mark.parametrize("margin", [0.0, 0.05, 0.25, 0.6])
def test_promise_holds_on_the_child_read_back_from_disk(make_book, method, margin):
    book = Book.open(make_book(**{"tool.flutes": 2, "recipe.radial_width": "0.12 in"}))
    parent = load_case(book, RECIPE)
    result = derate(parent, margin=margin, method=method)
    if not result.reached:
        assert method == "speed"
        return
    book.save("recipe", "child", result.values, seen=None)
    child = load_case(Book.open(book.root), "child")
    assert_promise(parent, child, margin)
    assert child.recipe.derived.parent_digest == parent.digest
    assert child.recipe.derived.margin == margin
    assert child.recipe.derived.method == method


def test_a_margin_of_nothing_is_the_parent_itself(make_book):
    parent = case_of(make_book)
    result = derate(parent, margin=0.0)
    assert result.reached
    assert result.removal_rate_ratio == 1
    assert {key: result.values[key] for key in KNOBS if key in result.values} == {
        key: VALUES["recipe"][key] for key in KNOBS if key in VALUES["recipe"]
    }


@pytest.mark.parametrize(
    ("method", "moved"),
    [("engagement", "radial_width"), ("depth", "axial_depth"), ("feed", "feed_per_tooth")],
)
def test_a_single_knob_moves_alone_and_no_further_than_it_must(make_book, method, moved):
    parent = case_of(make_book, **{"tool.flutes": 3})
    result = derate(parent, margin=0.25, method=method)
    assert result.reached
    assert {key for key in KNOBS if result.values.get(key) != parent.values.get(key)} == {moved}
    assert max(demand.ratio for demand in result.demands) > 0.74


def test_speed_alone_lowers_power_and_not_force_and_says_so(make_book):
    result = derate(case_of(make_book), margin=0.25, method="speed")
    ratios = {demand.name: demand.ratio for demand in result.demands}
    assert not result.reached
    assert ratios["cutting_power"] <= 0.75
    assert ratios["force_peak"] == pytest.approx(1)
    assert "peak side force" in result.note
    assert "power" not in result.note.replace("power,", "")
    assert result.values["feed_per_tooth"] == "0.05 mm"


def test_kept_knobs_do_not_move(make_book):
    result = derate(case_of(make_book, **{"recipe.keep": ["radial_width", "axial_depth"]}), margin=0.3)
    assert result.reached
    assert result.values["radial_width"] == "1.5 mm"
    assert result.values["axial_depth"] == "3 mm"
    assert result.values["keep"] == ["radial_width", "axial_depth"]


def test_a_kept_single_knob_is_not_reached(make_book):
    result = derate(case_of(make_book, **{"recipe.keep": ["axial_depth"]}), margin=0.3, method="depth")
    assert not result.reached
    assert "keeps axial_depth" in result.note


def test_a_parent_under_the_rubbing_floor_is_not_reached(make_book):
    result = derate(case_of(make_book, **{"recipe.feed_per_tooth": "0.001 mm"}), margin=0.1)
    assert not result.reached
    assert "rubbing floor" in result.note


def test_the_feed_is_never_rounded_under_the_floor(make_book):
    parent = case_of(
        make_book,
        **{"recipe.feed_per_tooth": "0.0083 mm", "tool.edge_radius": "14 um", "recipe.radial_width": "3 mm"},
    )
    floor = next(one for one in check(parent).limits if one.name == "chip-thin").limit
    result = derate(parent, margin=0.5)
    assert result.reached
    assert with_values(parent, result.values)["feed_per_tooth"] >= floor


def test_a_feed_rate_parent_gets_a_feed_rate_child(make_book):
    changes = {"recipe.feed_per_tooth": None, "recipe.feed_rate": "45 in/min", "tool.flutes": 2}
    parent = case_of(make_book, **changes)
    result = derate(parent, margin=0.4, method="feed")
    assert result.reached
    assert "feed_per_tooth" not in result.values
    assert result.values["feed_rate"].endswith(" in/min")
    assert_promise(parent, with_values(parent, result.values), 0.4)


def test_units_stay_as_typed(make_book):
    parent = case_of(make_book, **{"recipe.axial_depth": "1/8 in", "recipe.feed_per_tooth": "0.002 in/tooth"})
    result = derate(parent, margin=0.25)
    assert result.values["axial_depth"].endswith(" in")
    assert result.values["radial_width"].endswith(" mm")


def test_dial_positions_are_kept_to(make_book):
    dial = ["8000 rpm", "12000 rpm", "16000 rpm"]
    parent = case_of(make_book, **{"machine.spindle.speeds": dial})
    result = derate(parent, margin=0.25)
    assert result.reached
    assert result.values["spindle_speed"] in {"16000 rpm", "12000 rpm", "8000 rpm"}


@pytest.mark.parametrize("margin", [-0.01, 0.951, float("nan")])
def test_margins_outside_are_refused(make_book, margin):
    with pytest.raises(SwarfbookError, match="between 0 % and 95 %"):
        derate(case_of(make_book), margin=margin)


@pytest.mark.parametrize("margin", [0.1, 0.25, 0.5])
def test_the_largest_feed_leaves_nothing_of_the_promise_unused(make_book, margin):
    case = case_of(make_book)
    promise, parent = Promise(case, margin), nominal_knobs(case)
    depth, width = (mesh.ravel() for mesh in np.meshgrid(np.geomspace(1, 0.6, 9), np.geomspace(1, 0.6, 9)))
    knobs = Knobs(
        depth * parent.axial_depth,
        width * parent.radial_width,
        np.full(depth.size, parent.feed_per_tooth),
        np.full(depth.size, parent.spindle_speed),
    )
    feed = largest_feed(promise, knobs)
    strain = promise.strain(evaluate(case, replace(knobs, feed_per_tooth=feed)))
    floor = np.minimum(feed_floor(promise, knobs), parent.feed_per_tooth)
    between = (feed > floor) & (feed < parent.feed_per_tooth)
    assert between.sum() >= 5
    assert np.all(strain[between] <= 1)
    assert np.all(strain[between] >= 1 - 1e-5)


def test_least_time_is_not_beaten_by_chance(make_book):
    """Thousands of random knobs under the same promise remove no more than a percent over the search's."""
    draw = np.random.default_rng(11)
    for flutes, margin in ((1, 0.2), (2, 0.45), (4, 0.3)):
        parent = case_of(
            make_book, name=f"book{flutes}", **{"tool.flutes": flutes, "recipe.radial_width": "3 mm"}
        )
        promise = Promise(parent, margin)
        found, kept = best_knobs(
            promise, ("axial_depth", "radial_width", "feed_per_tooth"), np.array([parent["spindle_speed"]])
        )
        assert kept
        knobs = nominal_knobs(parent)
        shares = draw.uniform(0.2, 1, (3, 4000))
        numbers = evaluate(
            parent,
            Knobs(
                *(
                    share * value
                    for share, value in zip(
                        shares, (knobs.axial_depth, knobs.radial_width, knobs.feed_per_tooth), strict=True
                    )
                ),
                np.full(4000, knobs.spindle_speed),
            ),
        )
        chance = np.where(promise.kept(numbers), numbers.material_removal_rate, 0.0).max()
        mine = float(evaluate(parent, found).material_removal_rate)
        assert chance > 0
        assert mine >= 0.99 * chance


recipes = st.fixed_dictionaries(
    {
        "recipe.axial_depth": st.floats(0.3, 9).map(lambda x: f"{x:.2f} mm"),
        "recipe.radial_width": st.floats(0.15, 6).map(lambda x: f"{x:.3f} mm"),
        "recipe.feed_per_tooth": st.floats(0.012, 0.12).map(lambda x: f"{x:.4f} mm"),
        "recipe.direction": st.sampled_from(["climb", "conventional"]),
        "recipe.spindle_speed": st.integers(6000, 24000).map(lambda x: f"{x} rpm"),
        "tool.flutes": st.integers(1, 4),
        "tool.helix": st.sampled_from(["0 deg", "12 deg", "30 deg", "-25 deg", "45 deg"]),
        "material.cutting_law": st.sampled_from(["kienzle", "linear-edge"]),
    }
)


@settings(
    max_examples=20,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    changes=recipes,
    margin=st.floats(0.05, 0.6),
    method=st.sampled_from(["least-time", "engagement", "depth", "feed"]),
)
def test_promise_holds_for_random_recipes(tmp_path_factory, changes, margin, method):
    from support.books import make_book

    parent = load_case(Book.open(make_book(tmp_path_factory.mktemp("book"), **changes)), RECIPE)
    result = derate(parent, margin=margin, method=method)
    child = with_values(parent, result.values)
    if result.reached:
        assert_promise(parent, child, margin)
    else:
        assert result.note


def test_json_says_what_the_child_is(make_book):
    parent = case_of(make_book)
    said = derate_json(derate(parent, margin=0.25))
    assert {
        "parent",
        "method",
        "margin",
        "reached",
        "child",
        "removal_rate_ratio",
        "chance_over",
        "demands",
        "limits_broken",
        "note",
    } <= set(said)
    assert said["parent"] == RECIPE
    assert said["reached"] is True
    assert said["limits_broken"] == []
    assert {demand["name"] for demand in said["demands"]} >= set(LOADS)
    child = records.parse("recipe", dict(said["child"]), where="child")
    assert child.derived.from_ == RECIPE
    powers = {demand["name"]: demand for demand in said["demands"]}["cutting_power"]
    assert powers["parent"] == pytest.approx(quantities_of(parent)["cutting_power"], rel=1e-12)
    assert powers["ratio"] == pytest.approx(powers["child"] / powers["parent"])


def test_a_changed_parent_makes_the_child_stale(make_book):
    book = Book.open(make_book())
    result = derate(load_case(book, RECIPE), margin=0.25)
    book.save("recipe", "child", result.values, seen=None)
    assert not any("stale" in line for line in check(load_case(book, "child")).cautions)
    entry = book.get("recipe", RECIPE)
    book.save("recipe", RECIPE, {"axial_depth": "2.9 mm"}, seen=entry.sha)
    assert any("stale" in line for line in check(load_case(book, "child")).cautions)


def test_values_of_the_support_book_are_what_the_tests_assume():
    assert values("recipe")["feed_per_tooth"] == "0.05 mm"
