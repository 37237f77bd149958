"""The demo workshop: complete, readable and true to its own words."""

from __future__ import annotations

import itertools
from collections import Counter
from datetime import date

import pytest

from swarfbook import records, resources
from swarfbook.book import Book
from swarfbook.decisions.case import case_of, load_case
from swarfbook.decisions.check import check
from swarfbook.decisions.evidence import model_of
from swarfbook.decisions.running import case_of_snapshot

BOOK = Book.open(resources.demo_book_dir())
RECIPES = BOOK.ids("recipe")
RUNS = BOOK.runs()
OVER = "bench-6mm-6082-slot-too-deep"
MAX, CHILD = "long-bed-6mm-6082-max", "long-bed-6mm-6082-rough"
LOADS = ("cutting_power", "cutting_torque_mean", "cutting_torque_peak", "force_peak", "bending_stress_peak",
         "deflection_total")  # fmt: skip


@pytest.fixture(scope="module")
def checks():
    return {recipe: check(load_case(BOOK, recipe)) for recipe in RECIPES}


def snapshot_case(run):
    return case_of(BOOK, run.recipe, run.snapshot["recipe"])


def over(one):
    return {limit.name for limit in one.limits if limit.severity == "hard" and limit.verdict == "over"}


@pytest.mark.parametrize(("kind", "least"), [("machine", 3), ("tool", 8), ("material", 6), ("recipe", 16)])
def test_every_record_reads_and_there_are_enough(kind, least):
    entries, problems = BOOK.entries(kind)
    assert problems == []
    assert len(entries) >= least
    names = [entry.record.name for entry in entries]
    assert len(set(names)) == len(names)


def test_three_machines_of_three_motors():
    machines = [entry.record for entry in BOOK.entries("machine")[0]]
    assert sorted(machine.spindle.motor for machine in machines) == ["induction", "servo", "universal"]


@pytest.mark.parametrize("kind", ["machine", "tool", "material"])
def test_nothing_lies_about_unused(kind):
    used = {getattr(BOOK.get("recipe", recipe).record, kind) for recipe in RECIPES}
    assert used == set(BOOK.ids(kind))


def test_every_operation_and_every_standing_occurs():
    found = [BOOK.get("recipe", recipe).record for recipe in RECIPES]
    assert {one.operation for one in found} == set(records.choices("recipe", "operation"))
    assert {one.standing for one in found} == {"trial", "proven", "max-effort", "retired"}
    assert {one.direction for one in found} == {"climb", "conventional"}


def test_cutters_differ_as_a_drawer_does():
    tools = [entry.record for entry in BOOK.entries("tool")[0]]
    assert {tool.flutes for tool in tools} == {1, 2, 3, 4}
    assert {tool.substrate for tool in tools} == {"carbide", "hss"}
    assert {-1.0, 0.0, 1.0} == {(tool.helix > 0) - (tool.helix < 0) for tool in tools}
    assert min(tool.diameter for tool in tools) == pytest.approx(0.003)
    assert max(tool.diameter for tool in tools) == pytest.approx(0.010)


def test_metric_and_inch_units_both_occur():
    values = [str(BOOK.get("recipe", recipe).raw["axial_depth"]) for recipe in RECIPES]
    assert any(value.endswith(" in") for value in values)
    assert any(value.endswith(" mm") for value in values)


def test_keys_a_newcomer_should_meet_all_occur():
    written = {key for recipe in RECIPES for key in BOOK.get("recipe", recipe).raw}
    assert {"feed_per_tooth", "feed_rate", "keep", "tolerance", "allowance", "wear", "notes"} <= written


def test_one_machine_is_known_and_one_is_not(checks):
    assumed = {
        machine: {name for recipe, one in checks.items() if one.case.recipe.machine == machine
                  for name, number in one.case.inputs.items() if number.assumed}
        for machine in BOOK.ids("machine")
    }  # fmt: skip
    unknown = {"thrust", "tool_tip_stiffness", "runout", "rated_speed", "efficiency"}
    assert unknown <= assumed["bench-router"]
    assert not unknown & assumed["small-mill"]


def test_only_the_recipe_that_says_so_is_over(checks):
    assert [recipe for recipe, one in checks.items() if one.over] == [OVER]
    recipe = BOOK.get("recipe", OVER).record
    assert recipe.standing in {"retired", "trial"}
    assert "DO NOT RUN" in recipe.name
    assert "Over the limit" in recipe.notes


def test_no_chip_is_under_the_rubbing_floor(checks):
    uses = [limit.use for one in checks.values() for limit in one.limits if limit.name == "chip-thin"]
    assert len(uses) == len(RECIPES)
    assert max(uses) < 0.9


def test_what_gives_first_differs_from_recipe_to_recipe(checks):
    tightest = {one.tightest.name for one in checks.values()}
    assert {"axis-thrust", "spindle-power", "bending", "deflection"} <= tightest
    assert {"tool-speed", "feed-rate", "chip-thin", "cut-depth"} <= tightest
    assert Counter(one.verdict for one in checks.values())["holds"] > len(checks) / 3
    assert checks[MAX].verdict == "tight"


@pytest.mark.parametrize("recipe", [r for r in RECIPES if BOOK.get("recipe", r).record.derived])
def test_children_keep_the_promise_to_the_parent_as_it_stands(checks, recipe):
    derived = checks[recipe].case.recipe.derived
    parent = checks[derived.from_]
    assert derived.parent_digest == parent.case.digest
    assert not checks[recipe].case.stale_parent
    for name in LOADS:
        ratio = getattr(checks[recipe].numbers, name) / getattr(parent.numbers, name)
        assert 0 < ratio <= 1 - derived.margin, name
    for knob in ("axial_depth", "radial_width", "feed_per_tooth", "spindle_speed"):
        assert getattr(checks[recipe].numbers, knob) <= getattr(parent.numbers, knob)


def test_the_first_child_is_a_quarter_off_by_least_time():
    derived = BOOK.get("recipe", CHILD).record.derived
    assert (derived.from_, derived.method, derived.margin) == (MAX, "least-time", 0.25)


def test_every_run_reads():
    log = BOOK.run_log()
    assert log.problems == ()
    assert 35 <= len(log.in_force) <= 60


def test_runs_stand_in_order_of_time_inside_their_month():
    moments = [run.at for run in RUNS]
    assert all(before < after for before, after in itertools.pairwise(moments))
    assert len({run.id for run in RUNS}) == len(RUNS)
    assert date(2026, 10, 19) <= moments[0].date()
    assert moments[-1].date() < date(2026, 11, 20)
    for path in sorted((BOOK.root / "runs").glob("*.jsonl")):
        lines = path.read_text(encoding="utf-8").splitlines()
        assert all(f'"at": "{path.stem}-' in line for line in lines)


def test_runs_name_recipes_of_the_book_as_they_stand():
    for run in RUNS:
        assert run.digest == records.digest(BOOK.get("recipe", run.recipe).record), run.id


def test_snapshots_hold_what_was_cut():
    for run in RUNS:
        recipe = BOOK.get("recipe", run.recipe).record
        cut = records.parse("recipe", run.snapshot["recipe"], where=run.id)
        assert cut.spindle_speed == pytest.approx(recipe.spindle_speed * run.speed_override, rel=1e-5)
        factor = run.feed_override / (run.speed_override if recipe.feed_per_tooth else 1.0)
        before = recipe.feed_per_tooth or recipe.feed_rate
        assert (cut.feed_per_tooth or cut.feed_rate) == pytest.approx(before * factor, rel=1e-4)
        assert (cut.axial_depth, cut.radial_width) == (recipe.axial_depth, recipe.radial_width)
        for kind in ("machine", "tool"):
            record = records.parse(kind, run.snapshot[kind], where=run.id)
            assert records.digest(record) == records.digest(BOOK.get(kind, getattr(recipe, kind)).record)


def test_what_each_run_asked_stands_in_its_line_as_the_formulas_say_today():
    """If not, the formulas changed: raise `evidence.REVISION` and run `python tests/demo/refresh.py`."""
    for run in RUNS:
        fresh = model_of(case_of_snapshot(BOOK, run.recipe, run.snapshot), run)
        assert run.model["basis"] == fresh["basis"], run.id
        assert run.model["demands"] == pytest.approx(fresh["demands"], rel=1e-9), run.id
        assert run.model.get("measured") == pytest.approx(fresh.get("measured"), rel=1e-9), run.id


def test_outcomes_are_mostly_clean_with_the_usual_troubles():
    outcomes = Counter(run.outcome for run in RUNS)
    assert outcomes["clean"] > 0.7 * len(RUNS)
    assert {"chatter", "rubbing", "chips-packed", "stopped", "stalled", "cutter-broke"} <= set(outcomes)
    assert {run.outcome for run in RUNS if run.recipe == OVER} == {"stalled"}


def test_a_proven_recipe_has_run_clean_often_and_long_enough():
    thresholds = BOOK.settings.thresholds
    clean = Counter(
        run.recipe for run in RUNS if run.outcome == "clean" and run.minutes * 60 >= thresholds.clean_time
    )
    proven = [recipe for recipe in RECIPES if BOOK.get("recipe", recipe).record.standing == "proven"]
    assert proven
    assert all(clean[recipe] >= thresholds.clean_runs for recipe in proven)


def test_measured_power_is_what_the_physics_says_give_or_take():
    read = [run for run in RUNS if run.power is not None]
    assert len(read) >= 20
    for run in read:
        one = check(snapshot_case(run))
        idle = one.case["idle_power"]
        net = (run.power.si - idle) / (one.numbers.spindle_input_power - idle)
        assert run.power.side == "input"
        assert 0.7 < net < 1.4, run.id


def test_the_run_that_rubbed_was_under_the_floor_and_the_stall_over_the_spindle():
    by_outcome = {run.outcome: run for run in RUNS}
    assert "chip-thin" in over(check(snapshot_case(by_outcome["rubbing"])))
    assert "spindle-power" in over(check(snapshot_case(by_outcome["stalled"])))


def test_readme_and_settings_say_that_it_is_invented():
    for path in (BOOK.root / "book.toml", BOOK.root.parent / "README.md"):
        assert "invented" in path.read_text(encoding="utf-8")
