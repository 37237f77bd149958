"""What is said after a bad run: three steps that the model was asked about, for every outcome and recipe."""

from __future__ import annotations

import math
from datetime import timedelta

import pytest

from support.books import RECIPE, RUN
from swarfbook import quantities, records, resources
from swarfbook.book import Book
from swarfbook.decisions import step_rules
from swarfbook.decisions.aftermath import BEARS, aftermath, minutes_of_cutter
from swarfbook.decisions.case import load_case, with_values
from swarfbook.decisions.check import check
from swarfbook.decisions.next_steps import RULES, TELLS
from swarfbook.decisions.sensitivity import sensitivity
from swarfbook.decisions.step_rules import COLLET_GAP, MEASURABLE
from swarfbook.decisions.steps import fact
from swarfbook.errors import SwarfbookError
from swarfbook.records import OUTCOMES
from swarfbook.reports.measuring import topics_for

DEMO = Book.open(resources.demo_book_dir())
BAD = [outcome for outcome in OUTCOMES if outcome != "clean"]
WEAK = {"machine.axes.thrust": "5000 N", "recipe.axial_depth": "8 mm", "recipe.radial_width": "3 mm"}


@pytest.fixture
def once(monkeypatch):
    """Back each recipe off once and not for every outcome again."""
    known = {}

    def derate(case, *, margin):
        key = case.recipe_id, margin
        if key not in known:
            known[key] = step_rules_derate(case, margin=margin)
        return known[key]

    step_rules_derate = step_rules.derate
    monkeypatch.setattr(step_rules, "derate", derate)


@pytest.fixture
def case(make_book):
    """Give a function that resolves the small book's recipe with some values changed."""

    def make(**changes):
        return load_case(Book.open(make_book(**changes)), RECIPE)

    return make


def applied(case, step):
    return check(with_values(case, {**case.values, **step.changes}))


def uses(checked, severity="hard"):
    return {limit.name: limit.use for limit in checked.limits if limit.use and limit.severity == severity}


def of_kind(found, kind):
    return next(one for one in found.steps if one.kind == kind)


def test_every_outcome_has_its_rules_its_limits_and_its_numbers():
    assert set(RULES) == set(BEARS) == set(TELLS) == set(BAD)


@pytest.mark.usefixtures("once")
@pytest.mark.parametrize("recipe", DEMO.ids("recipe"))
def test_every_outcome_of_every_recipe_has_three_steps_that_were_tried(recipe):
    case = load_case(DEMO, recipe)
    before = check(case)
    for outcome in BAD:
        found = aftermath(case, outcome)
        assert len(found.steps) == 3, outcome
        assert 3 <= len(found.closest) <= 4, outcome
        assert found.least_known, outcome
        for step in found.steps:
            assert step.shifts, (outcome, step)
            assert all(math.isfinite(one.before) for one in step.shifts)
            if step.changes:
                assert_possible(case, before, step)


def assert_possible(case, before, step):
    """Check a step again: it fits the machine, breaks nothing that held, and moves what it says it moves."""
    after = applied(case, step)
    held = uses(before)
    for name, use in uses(after).items():
        assert use <= max(1.0, held.get(name, 0.0) * (1 + 1e-6)), (step, name)
    machine, speed = case.machine.spindle, after.case["spindle_speed"]
    assert machine.min_speed * (1 - 1e-9) <= speed <= machine.max_speed * (1 + 1e-9)
    if machine.speeds and "spindle_speed" in step.changes:
        assert any(speed == pytest.approx(one) for one in machine.speeds)
    assert after.case["axial_depth"] <= case["flute_length"] or "axial_depth" not in step.changes
    kept = set(case.recipe.keep) & set(step.changes)
    assert all(step.changes[key] == str(case.values[key]) for key in kept)
    if step.aim == "none":
        return
    told = step.shifts[0]
    assert fact(after, told.name).before == pytest.approx(told.after)
    ratio = told.after / told.before
    assert ratio <= 0.95 if step.aim == "lower" else ratio >= 1.05


@pytest.mark.parametrize("outcome", ["clean", "stumbled"])
def test_there_is_nothing_after_a_clean_run_or_an_unknown_word(case, outcome):
    with pytest.raises(SwarfbookError):
        aftermath(case(), outcome)


def test_a_stall_over_the_spindles_power_comes_down_to_the_threshold(case):
    cut = case(**{**WEAK, "machine.spindle.rated_power": "1 kW"})
    power = uses(check(cut))["spindle-power"]
    rated = 1000 * power / 1.3
    cut = case(name="weak", **{**WEAK, "machine.spindle.rated_power": f"{rated} W"})
    found = aftermath(cut, "stalled")
    assert found.closest[0].name in ("spindle-power", "spindle-torque")
    assert found.closest[0].use == pytest.approx(1.3)
    assert found.closest[0].verdict == "over"
    shallower = of_kind(found, "shallower")
    now = uses(applied(cut, shallower))["spindle-power"]
    assert 0.7 < now <= cut.settings.thresholds.tight
    assert of_kind(found, "rating").shifts[0].before == pytest.approx(rated)
    assert found.least_known[0].name == "law"


def test_a_broken_cutter_with_an_assumed_run_out_says_so(case):
    teeth = {"tool.flutes": 2, "machine.spindle.runout": None, "machine.axes.thrust": "5000 N"}
    wide = {"recipe.axial_depth": "14 mm", "recipe.stickout": "40 mm", "recipe.radial_width": "1 mm"}
    use = uses(check(case(**teeth, **wide)))["bending"]
    safety = 2.5 * 1.2 / use
    cut = case(name="weak", **teeth, **wide, **{"book.safety_factors.bending": safety})
    factor = 1.2 / uses(check(cut))["bending"]
    cut = case(name="weaker", **teeth, **wide, **{"book.safety_factors.bending": safety * factor})
    found = aftermath(cut, "cutter-broke")
    assert found.closest[0].name == "bending"
    assert found.closest[0].use == pytest.approx(1.2)
    unknown = {one.name: one for one in found.least_known}
    assert unknown["runout"].assumed
    assert unknown["runout"].limit in ("bending", "chip-thick")
    child = of_kind(found, "derate")
    assert child.subject == "25 %"
    assert child.shifts[0].after < child.shifts[0].before * 0.75 * (1 + 1e-6)
    out = of_kind(found, "shorter")
    stickout = quantities.parse(out.changes["stickout"], "length")
    assert cut["neck_end"] + COLLET_GAP <= stickout < cut["neck_end"] + COLLET_GAP + 1e-4


def test_the_least_known_input_is_the_one_with_the_most_of_the_variance(case):
    cut = case(**{"machine.tool_tip.stiffness": None, "machine.tool_tip": None, "recipe.tolerance": "0.1 mm"})
    found = aftermath(cut, "off-size")
    first = found.least_known[0]
    assert (first.name, first.assumed, first.limit) == ("tool_tip_stiffness", True, "deflection")
    effects = sensitivity(cut).worth_measuring("deflection")
    variance = sum(one.doubt("deflection") ** 2 for one in effects)
    own = next(one for one in effects if one.name == "tool_tip_stiffness")
    assert first.share == pytest.approx(own.doubt("deflection") ** 2 / variance)
    assert first.share > 0.5


def test_lost_steps_on_an_assumed_thrust_ask_for_it_to_be_measured(case):
    found = aftermath(case(**{"machine.axes.thrust": None}), "lost-steps")
    assert found.least_known[0].name == "thrust"
    step = of_kind(found, "measure")
    assert step.subject == "thrust"
    doubt = found.least_known[0].doubt
    assert step.shifts[-1].before == pytest.approx(math.exp(1.6448536 * doubt))


def test_rubbing_asks_for_a_chip_of_twice_the_floor(case):
    cut = case(**{"recipe.feed_per_tooth": "0.004 mm", "tool.edge_radius": "9 um"})
    before = uses(check(cut))["chip-thin"]
    assert before > 0.5
    step = of_kind(aftermath(cut, "rubbing"), "thicker")
    assert 0.4 < uses(applied(cut, step))["chip-thin"] <= 0.5


def test_a_lower_speed_after_rubbing_keeps_the_feed_rate(case):
    cut = case(**{"recipe.feed_per_tooth": "0.004 mm"})
    step = of_kind(aftermath(cut, "rubbing"), "slower")
    after = applied(cut, step)
    assert float(after.numbers.feed_rate) == pytest.approx(float(check(cut).numbers.feed_rate), rel=0.01)
    assert after.case["spindle_speed"] == pytest.approx(0.8 * cut["spindle_speed"], rel=0.01)


def test_what_the_hold_has_to_bear_is_told_when_the_work_moved(case):
    cut = case()
    numbers = check(cut).numbers
    found = aftermath(cut, "work-moved")
    side, lift = of_kind(found, "hold").shifts
    assert side.before == pytest.approx(float(numbers.thrust_demand))
    assert lift.before == pytest.approx(float(numbers.force_z_peak))
    assert of_kind(found, "derate").subject == "50 %"
    assert of_kind(found, "pull-test").shifts[1].before == pytest.approx(2 * side.before)


def test_with_measured_modes_chatter_gets_a_stable_depth():
    found = aftermath(load_case(DEMO, "mill-8mm-6082-max"), "chatter")
    step = found.steps[0]
    assert step.kind == "stable"
    assert step.shifts[0].name == "chatter"
    assert uses(applied(found.check.case, step), "advice")["chatter"] <= 0.8 + 1e-9


def test_without_modes_chatter_gets_half_the_depth(case):
    step = aftermath(case(), "chatter").steps[0]
    assert (step.kind, step.changes) == ("shallower", {"axial_depth": "1.5 mm"})


def test_a_kept_knob_and_a_slots_width_are_left_alone(case):
    cut = case(**{"recipe.operation": "slot", "recipe.radial_width": "6 mm", "recipe.keep": ["axial_depth"]})
    for outcome in BAD:
        for step in aftermath(cut, outcome).steps:
            assert step.changes.get("radial_width", "6 mm") == "6 mm"
            assert step.changes.get("axial_depth", "3 mm") == "3 mm"


def test_the_time_of_a_cutter_is_told_where_it_is_known(case):
    found = aftermath(case(), "cutter-worn", minutes=95.0)
    assert of_kind(found, "minutes").shifts[0].before == pytest.approx(95 * 60)
    assert all(one.kind != "minutes" for one in aftermath(case(name="other"), "cutter-worn").steps)


def test_minutes_of_a_cutter_are_those_until_the_run_of_the_same_tool():
    recipe = {"machine": "m", "tool": "t", "material": "s"}
    one = records.parse("run", RUN | {"cutter": "no. 3", "snapshot": {"recipe": recipe}}, where="")
    spent = one.minutes
    later = one.replaced(id="later", at=one.at + timedelta(hours=1))
    foreign = one.replaced(id="foreign", cutter="another")
    assert minutes_of_cutter([one, later, foreign], one) == pytest.approx(spent)
    assert minutes_of_cutter([one, later, foreign], later) == pytest.approx(2 * spent)
    assert minutes_of_cutter([one], one.replaced(cutter=None)) is None


def test_what_can_be_measured_has_a_page():
    assert all(topics_for([name]) for name in MEASURABLE if name != "law")


def test_air_is_only_for_chips_that_may_be_blown(case):
    assert of_kind(aftermath(case(**{"recipe.cooling": "dry"}), "recutting"), "air").changes == {
        "cooling": "air-blast"
    }
    brass = load_case(DEMO, "bench-3mm-brass-outline")
    assert brass.recipe.cooling == "dry"
    assert all(one.kind != "air" for one in aftermath(brass, "recutting").steps)


def test_a_cut_outside_its_formulas_still_has_three_steps():
    bore = load_case(DEMO, "mill-8mm-6082-bore")
    off = with_values(bore, {**bore.values, "radial_width": "19 mm"})
    assert math.isnan(float(check(off).numbers.force_peak))
    for outcome in BAD:
        steps = aftermath(off, outcome).steps
        assert len(steps) == 3
        assert all(math.isfinite(one.before) for step in steps for one in step.shifts)


def test_the_steps_follow_the_numbers(case):
    deep, flat = case(), case(name="flat", **{"recipe.axial_depth": "1.5 mm"})
    first, second = (of_kind(aftermath(one, "stalled"), "shallower") for one in (deep, flat))
    depths = [quantities.parse(one.changes["axial_depth"], "length") for one in (first, second)]
    assert depths[1] == pytest.approx(depths[0] / 2, rel=0.05)
