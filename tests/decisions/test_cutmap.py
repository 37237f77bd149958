"""The map: every point as a check has it, borders where a use is 1, as few evaluations as points."""

from __future__ import annotations

import json
from dataclasses import fields

import numpy as np
import pytest

from support.books import RECIPE
from swarfbook import resources
from swarfbook.book import Book
from swarfbook.decisions import cutmap
from swarfbook.decisions.borders import crossings, nearest, outline, passes
from swarfbook.decisions.case import with_values
from swarfbook.decisions.check import check
from swarfbook.decisions.cutmap import KNOBS, chosen_axes, cut_map, uses_at
from swarfbook.decisions.cutmap_json import cut_map_json, lobe_map_json
from swarfbook.decisions.dynamics import stability
from swarfbook.decisions.evidence import load_case
from swarfbook.decisions.lobe_map import lobe_map
from swarfbook.decisions.numbers import Knobs
from swarfbook.decisions.ran import ran
from swarfbook.errors import SwarfbookError

DEMO = Book.open(resources.demo_book_dir())
MODE = {"axis": "x", "frequency": "310 Hz", "damping": 0.03, "stiffness": "6 N/um"}
PAIRS = [(x, y) for x in KNOBS for y in KNOBS if x != y]


def at(found, row, column):
    """Write the recipe with the knobs of one point, and check that."""
    turned = {
        found.x.knob: float(found.x.values[column]),
        found.y.knob: float(found.y.values[row]),
    }
    typed = {knob: f"{si * 1000!r} mm" for knob, si in turned.items() if knob != "spindle_speed"}
    if "spindle_speed" in turned:
        typed["spindle_speed"] = f"{turned['spindle_speed'] * 60!r} rpm"
    values = {key: value for key, value in found.case.values.items() if key != "feed_rate"}
    still = {"feed_per_tooth": f"{found.case['feed_per_tooth'] * 1000!r} mm"}
    return check(with_values(found.case, {**values, **still, **typed}))


@pytest.fixture
def case(make_book):
    def of(**changes):
        return load_case(Book.open(make_book(**changes)), RECIPE)

    return of


@pytest.mark.parametrize(("x", "y"), PAIRS)
@pytest.mark.parametrize("recipe", ["long-bed-6mm-6082-rough", "mill-8mm-6082-rough"])
def test_every_use_is_that_of_a_check_of_the_recipe_at_those_knobs(recipe, x, y):
    found = cut_map(load_case(DEMO, recipe), x, y, 10)
    for row, column in ((0, 0), (4, 7), (9, 9), (9, 2)):
        one = at(found, row, column)
        for limit in one.limits:
            if limit.use is not None:
                assert found.uses[limit.name][row, column] == pytest.approx(limit.use, rel=1e-9)
        judged = {limit.name for limit in one.limits if limit.use is not None}
        assert {name for name, use in found.uses.items() if np.isfinite(use[row, column])} == judged
        assert found.removal_rate[row, column] == pytest.approx(one.numbers.material_removal_rate, rel=1e-9)
        assert found.holds[row, column] == (not one.over)


@pytest.mark.parametrize("recipe", sorted(DEMO.ids("recipe")))
def test_every_recipe_of_the_demo_has_a_map_with_the_recipe_on_it(recipe):
    case = load_case(DEMO, recipe)
    found = cut_map(case, *chosen_axes(case), 10, ran=ran(DEMO, case))
    for axis in (found.x, found.y):
        assert axis.values[0] <= axis.now <= axis.values[-1]
        assert (np.diff(axis.values) > 0).all()
    assert set(found.over) == {limit.name for limit in check(case).limits if (limit.use or 0) > 1}
    json.dumps(cut_map_json(found), allow_nan=False)


def test_chatter_is_the_same_whether_depth_is_an_axis_or_not(case):
    lively = case(**{"machine.tool_tip.modes": [MODE]})
    for x, y in (
        ("radial_width", "axial_depth"),
        ("axial_depth", "spindle_speed"),
        ("feed_per_tooth", "axial_depth"),
        ("spindle_speed", "radial_width"),
    ):
        found = cut_map(lively, x, y, 10)
        for place in ((2, 8), (9, 1)):
            rung = next(one for one in at(found, *place).limits if one.name == "chatter")
            assert found.uses["chatter"][place] == pytest.approx(rung.use, rel=1e-9)


@pytest.mark.parametrize("at_once", [1, 40, 130, 10_000])
def test_parts_do_not_change_the_result(monkeypatch, at_once):
    case = load_case(DEMO, "long-bed-6mm-6082-slot")
    whole = cut_map(case, "radial_width", "axial_depth", 20)
    monkeypatch.setattr(cutmap, "AT_ONCE", at_once)
    parts = cut_map(case, "radial_width", "axial_depth", 20)
    turned = cut_map(case, "axial_depth", "radial_width", 20)
    assert list(parts.uses) == list(whole.uses) == list(turned.uses)
    for name, use in whole.uses.items():
        np.testing.assert_array_equal(parts.uses[name], use)
        np.testing.assert_allclose(turned.uses[name].T, use, rtol=1e-12)
    np.testing.assert_array_equal(parts.removal_rate, whole.removal_rate)


@pytest.mark.parametrize("points", [40, 100])
def test_no_more_points_are_worked_out_than_the_map_has_and_a_line_for_each_axis(monkeypatch, case, points):
    counted = []
    real = cutmap.evaluate

    def counting(of, knobs):
        counted.append(np.broadcast(*(getattr(knobs, field.name) for field in fields(knobs))).size)
        return real(of, knobs)

    one = case()
    monkeypatch.setattr(cutmap, "evaluate", counting)
    cut_map(one, "radial_width", "feed_per_tooth", points)
    assert points**2 <= sum(counted) <= 1.06 * points**2
    assert max(counted) <= cutmap.AT_ONCE


def test_it_tells_how_far_it_is_and_can_be_ended(monkeypatch, case):
    told = []
    monkeypatch.setattr(cutmap, "AT_ONCE", 60)
    cut_map(case(), "radial_width", "axial_depth", 20, watch=lambda *progress: told.append(progress))
    assert told == [*((done, 20) for done in range(3, 20, 3)), (20, 20)]

    class EndedError(Exception):
        pass

    def end(done, of):
        told.append((done, of))
        raise EndedError

    told.clear()
    with pytest.raises(EndedError):
        cut_map(case(), "radial_width", "axial_depth", 20, watch=end)
    assert told == [(3, 20)]


def limits_along(found, points):
    nominal = {knob: np.full(len(points), found.case[knob]) for knob in KNOBS}
    return uses_at(found.case, Knobs(**nominal | {found.x.knob: points[:, 0], found.y.knob: points[:, 1]}))[0]


@pytest.mark.parametrize(
    "recipe", ["long-bed-6mm-6082-rough", "mill-8mm-6082-rough", "long-bed-6mm-6082-slot"]
)
def test_on_every_border_the_use_is_one(recipe):
    case = load_case(DEMO, recipe)
    found = cut_map(case, *chosen_axes(case), 60)
    drawn = outline(found.uses, found.severity)
    assert drawn.bounding
    for name in (*drawn.bounding, *drawn.behind):
        points = crossings(found.x.values, found.y.values, found.uses[name])
        assert len(points) > 10
        assert limits_along(found, points)[name] == pytest.approx(1, rel=0.02)


def test_a_power_of_the_knob_is_met_exactly():
    values = np.linspace(1.0, 9.0, 5)
    assert passes(values, (values / 4) ** 1.7) == pytest.approx([4.0])
    assert passes(values, 4 / values) == pytest.approx([4.0])
    assert passes(values, np.array([0.5, np.nan, 2.0, np.inf, 0.0])).size == 0


def test_what_bounds_is_told_from_what_lies_behind():
    x = np.linspace(0.1, 2.0, 20)[None, :] * np.ones((20, 1))
    y = x.T
    uses = {
        "a": x,
        "b": y / 1.2,
        "c": x / 1.5 + y,
        "behind": x / 1.4,
        "never": x / 9,
        "always": 5 + x,
        "late": x / 1.6,
    }
    severity = dict.fromkeys(uses, "hard") | {"always": "advice", "late": "advice"}
    found = outline(uses, severity)
    assert set(found.bounding) == {"a", "c"}
    assert found.behind == ("b", "behind", "late")
    assert (found.everywhere, found.nowhere) == (("always",), ("never",))


def test_a_hard_limit_over_everywhere_is_set_aside_so_that_the_others_still_bound():
    x = np.linspace(0.1, 2.0, 20)[None, :] * np.ones((20, 1))
    found = outline({"a": x, "over": 5 + x}, {"a": "hard", "over": "hard"})
    assert (found.bounding, found.everywhere) == (("a",), ("over",))


def test_the_nearest_limit_is_where_a_check_passes_it():
    found = cut_map(load_case(DEMO, RECIPE), "radial_width", "axial_depth", 60)
    deeper = next(
        one for one in found.reaches if one.knob == "axial_depth" and one.more and one.severity == "hard"
    )
    for share, over in ((0.999, False), (1.001, True)):
        one = check(
            with_values(found.case, {**found.case.values, "axial_depth": f"{deeper.at * 1000 * share} mm"})
        )
        assert next(limit.use > 1 for limit in one.limits if limit.name == deeper.limit) == over


def test_advice_is_told_only_where_it_comes_before_the_hard_limit():
    values = np.array([1.0, 2.0, 3.0, 4.0])
    uses = {"hard": values / 3.5, "early": values / 2.5, "late": values / 3.9, "passed": values / 0.5}
    severity = dict.fromkeys(uses, "advice") | {"hard": "hard"}
    found = list(nearest("k", values, 2.0, uses, severity))
    assert [(one.limit, one.more) for one in found] == [("early", True), ("hard", True), (None, False)]
    assert [one.at for one in found] == pytest.approx([2.5, 3.5, 1.0])


def test_a_width_that_is_not_free_gives_way_to_the_feed():
    assert chosen_axes(load_case(DEMO, "long-bed-6mm-6082-rough")) == ("radial_width", "axial_depth")
    slot = load_case(DEMO, "long-bed-6mm-6082-slot")
    assert chosen_axes(slot) == ("feed_per_tooth", "axial_depth")
    assert chosen_axes(slot, y="feed_per_tooth") == ("spindle_speed", "feed_per_tooth")
    assert chosen_axes(slot, x="axial_depth") == ("axial_depth", "spindle_speed")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("depth", "axial_depth", 20), "--x: found depth; did you mean axial_depth"),
        (("radial_width", "width", 20), "--y: found width; did you mean radial_width"),
        (("axial_depth", "axial_depth", 20), "--y: found axial_depth; --x is that knob already"),
        (("radial_width", "axial_depth", 9), "--points: found 9; write a number from 10 to 400"),
        (("radial_width", "axial_depth", 401), "--points: found 401;"),
    ],
)
def test_what_cannot_be_mapped_is_one_line(case, words, told):
    with pytest.raises(SwarfbookError) as caught:
        cut_map(case(), *words)
    assert str(caught.value).startswith(told)
    assert "\n" not in str(caught.value)


def test_runs_stand_at_their_knobs_and_say_how_they_went():
    case = load_case(DEMO, RECIPE)
    runs = {run.run: run for run in ran(DEMO, case)}
    assert {run.went for run in runs.values()} == {"clean", "disputed", "bad"}
    disputed = next(run for run in runs.values() if run.went == "disputed")
    snapshot = next(run for run in DEMO.runs() if run.id == disputed.run).snapshot["recipe"]
    assert disputed.knobs.axial_depth * 1000 == pytest.approx(float(snapshot["axial_depth"].split()[0]))
    # The recipe is covered, and it ran at its own numbers.
    own = [run for run in runs.values() if run.knobs.axial_depth == case["axial_depth"]]
    assert own
    assert all(run.went == "clean" for run in own)


def test_a_book_without_runs_has_no_places(make_book):
    book = Book.open(make_book())
    assert ran(book, load_case(book, RECIPE)) == ()


def test_lobes_are_the_stable_depth_over_speed(case):
    lively = case(**{"machine.tool_tip.modes": [MODE]})
    found = lobe_map(lively, 121)
    here = stability(lively)
    assert np.interp(found.speed, found.speeds, found.depths) == pytest.approx(here.depth, rel=0.05)
    assert found.depths.min() == pytest.approx(here.lowest, rel=0.01)
    assert (found.speeds[0], found.speeds[-1]) == (100.0, 400.0)
    json.dumps(lobe_map_json(found), allow_nan=False)


def test_lobes_without_modes_are_one_line_that_says_what_to_give(case):
    with pytest.raises(
        SwarfbookError, match=r"tool_tip: no modes are measured: .*`show --chatter` gives a guess"
    ):
        lobe_map(case(), 100)
