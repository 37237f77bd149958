"""A book's log as evidence: read once, worked out anew only where something behind it changed."""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta

import pytest

from support.books import MACHINE, MATERIAL, RECIPE, TOOL, to_toml, values
from swarfbook.book import Book
from swarfbook.decisions import evidence as module
from swarfbook.decisions.case import load_case as load_bare
from swarfbook.decisions.check import check
from swarfbook.decisions.evidence import evidence, load_case
from swarfbook.decisions.merging import share_of_lines
from swarfbook.decisions.numbers import evaluate, nominal_knobs
from swarfbook.decisions.observing import OTHERWISE, power_doubt
from swarfbook.decisions.running import Report, log_run
from swarfbook.records import OUTCOMES

NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)


@pytest.fixture
def book(make_book):
    return Book.open(make_book(**{"recipe.standing": "trial"}))


def log(book, *, day=0, recipe=RECIPE, minutes=10.0, outcome="clean", **told):
    log_run(book, recipe, Report(minutes=minutes, outcome=outcome, **told), at=NOON + timedelta(days=day))


def limit(book, name, recipe=RECIPE):
    return next(one for one in check(load_case(book, recipe)).limits if one.name == name)


def add_recipe(book, name, changes):
    (book.root / f"recipes/{name}.toml").write_text(to_toml(values("recipe", changes)), encoding="utf-8")
    return name


def save(book, kind, record, changes):
    book.save(kind, record, changes, seen=book.get(kind, record).sha)


def test_a_book_without_runs_checks_as_before(book):
    assert check(load_case(book, RECIPE)).numbers == check(load_bare(book, RECIPE)).numbers
    assert load_case(book, RECIPE).past.cuts == ()


def test_a_recipe_that_ran_clean_is_covered(book):
    log(book)
    one = check(load_case(book, RECIPE))
    assert one.covered
    assert all(each.mark.value == pytest.approx(each.demand) for each in one.limits)
    assert one.furthest_beyond is None


def test_beyond_says_in_what_and_by_how_much(book):
    log(book)
    deeper = add_recipe(book, "deeper", {"axial_depth": "3.6 mm"})
    one = check(load_case(book, deeper))
    assert not one.covered
    depth = limit(book, "cut-depth", deeper)
    assert depth.beyond == pytest.approx(0.2)
    assert one.furthest_beyond.beyond >= 0.2 * (1 - 1e-9)


def test_a_shallower_one_is_covered_but_for_nothing(book):
    log(book)
    assert check(load_case(book, add_recipe(book, "shallow", {"axial_depth": "2 mm"}))).covered


def test_a_longer_stickout_is_not_covered_by_a_shorter_one(book):
    log(book)
    longer = add_recipe(book, "longer", {"stickout": "30 mm", "axial_depth": "1 mm"})
    assert all(each.mark is None for each in check(load_case(book, longer)).limits)


def test_a_bad_run_at_less_disputes_and_covers_nothing(book):
    log(book)
    log(book, day=1, outcome="chatter", feed_override=0.9)
    one = check(load_case(book, RECIPE))
    assert not one.covered
    assert limit(book, "spindle-power").mark.disputed_by
    assert limit(book, "spindle-power").mark.covers is None


def test_another_machine_cutter_or_material_is_other_evidence(book):
    log(book)
    (book.root / "machines/other.toml").write_text(to_toml(values("machine")), encoding="utf-8")
    assert limit(book, "spindle-power", add_recipe(book, "there", {"machine": "other"})).mark is None


def test_what_is_learnt_of_a_machine_later_holds_for_the_past_too(book):
    log(book)
    before = limit(book, "deflection").mark if "deflection" in names(book) else None
    save(book, "machine", MACHINE, {"tool_tip": {"stiffness": "1 N/um"}})
    after = check(load_case(book, RECIPE))
    assert after.covered
    assert before is None or limit(book, "deflection").mark.value > before.value


def names(book):
    return [one.name for one in check(load_case(book, RECIPE)).limits]


def test_a_cutter_of_another_shape_is_the_one_that_cut(book):
    log(book)
    save(book, "tool", TOOL, {"flutes": 2})
    power = limit(book, "spindle-power")
    assert power.mark.value == pytest.approx(power.demand / 2, rel=0.02)


def test_what_is_known_of_a_cutter_later_changes_no_mark_of_its_loads(book):
    log(book)
    before = limit(book, "spindle-power").mark.value
    save(book, "tool", TOOL, {"edge_radius": "8 um", "name": "the same, measured"})
    assert limit(book, "spindle-power").mark.value == pytest.approx(before, rel=1e-12)


def test_runs_are_worked_out_anew_only_when_something_behind_them_changed(book, monkeypatch):
    for day in range(3):
        log(book, day=day)
    worked = []
    original = module.model_of
    monkeypatch.setattr(module, "model_of", lambda *given: worked.append(1) or original(*given))
    check(load_case(book, RECIPE))
    assert worked == []
    save(book, "machine", MACHINE, {"tool_tip": {"stiffness": "2 N/um"}})
    check(load_case(book, RECIPE))
    check(load_case(book, RECIPE))
    assert len(worked) == 3


def test_the_log_is_read_once_for_many_recipes(book, monkeypatch):
    log(book)
    from swarfbook.book import runlog

    reads = []
    original = runlog.read_log
    monkeypatch.setattr(runlog, "read_log", lambda *told: reads.append(1) or original(*told))
    fresh = Book.open(book.root)
    for _ in range(5):
        check(load_case(fresh, RECIPE))
    assert len(reads) == 1


def test_a_run_of_a_snapshot_that_no_longer_reads_keeps_what_its_line_says(book):
    log(book)
    text = (book.root / "runs/2026-11.jsonl").read_text()
    (book.root / "runs/2026-11.jsonl").write_text(
        text.replace('"axial_depth": "3 mm"', '"axial_depth": "3 furlong"')
    )
    save(book, "machine", MACHINE, {"tool_tip": {"stiffness": "2 N/um"}})
    assert limit(book, "spindle-power").mark.value == pytest.approx(limit(book, "spindle-power").demand)


@pytest.mark.parametrize(
    "model",
    ['{"basis": "%s", "demands": 7}', '{"basis": "%s", "demands": {"cutting_power": "much"}}',
     '{"basis": "%s", "demands": {"cutting_power": 1e400}}', "[]", '{"basis": "%s"}'],
)  # fmt: skip
def test_a_damaged_model_is_no_evidence_and_no_traceback(book, model):
    log(book)
    [run] = book.runs()
    whole = (book.root / "runs/2026-11.jsonl").read_text()
    start = whole.index('"model": ') + len('"model": ')
    (book.root / "runs/2026-11.jsonl").write_text(
        whole[:start] + model.replace("%s", run.model["basis"]) + "}\n"
    )
    check(load_case(book, RECIPE))


def power_for(book, factor, recipe=RECIPE):
    """Give the reading of a meter that shows a cut to take so many times what the tables say."""
    case = load_bare(book, recipe)
    cutting = factor * float(check(case).numbers.cutting_power)
    torque = cutting / (2 * math.pi * case["spindle_speed"])
    copper = max(1500 / 0.8 - 1500 - 90, 0)
    return cutting + 90 + copper * (torque / case["rated_torque"]) ** 2


def test_measured_power_moves_the_force_and_narrows_its_band(book):
    before = check(load_case(book, RECIPE))
    for day in range(8):
        log(book, day=day, power=f"{power_for(book, 1.3):.6g} W", side="input")
    after = check(load_case(book, RECIPE))
    learnt = after.case.choice.learnt
    assert 1.15 < learnt.factor < 1.3
    assert after.case.choice.sd < before.case.choice.sd
    ratio = after.numbers.force_peak / before.numbers.force_peak
    assert ratio == pytest.approx(learnt.factor, rel=1e-9)
    assert after.covered
    assert learnt.runs == 8


def test_one_tool_informs_its_neighbour_in_the_same_material(book):
    (book.root / "tools/other.toml").write_text(to_toml(values("tool", {"flutes": 2})), encoding="utf-8")
    neighbour = add_recipe(book, "neighbour", {"tool": "other"})
    alone = check(load_case(book, neighbour)).case.choice.sd
    for day in range(8):
        log(book, day=day, power=f"{power_for(book, 1.3):.6g} W")
    told = check(load_case(book, neighbour)).case.choice
    assert told.learnt.factor > 1.05
    assert told.sd < alone
    assert told.sd > check(load_case(book, RECIPE)).case.choice.sd


def test_a_shaft_reading_needs_no_efficiency(book):
    power = float(check(load_bare(book, RECIPE)).numbers.cutting_power)
    log(book, power=f"{power:.9g} W", side="shaft")
    [(three, _, read)] = evidence(book).metered()
    assert three == (MACHINE, TOOL, MATERIAL)
    assert read.log_ratio == pytest.approx(0, abs=1e-6)


def test_a_reading_without_a_cut_of_its_own_stands_in_for_the_machines(book):
    log(book, power=f"{power_for(book, 1.0) + 60:.9g} W", idle_power="150 W")
    [(_, _, read)] = evidence(book).metered()
    assert read.log_ratio == pytest.approx(0, abs=0.02)


def test_a_net_power_under_the_floor_teaches_nothing(book):
    log(book, power="95 W")
    assert list(evidence(book).metered()) == []
    assert check(load_case(book, RECIPE)).case.choice.learnt is None


def test_marks_are_worked_out_once_for_all_numbers_that_are_tried(book, monkeypatch):
    from swarfbook.decisions import past
    from swarfbook.decisions.case import again

    log(book)
    worked_out = []
    original = past.ground
    monkeypatch.setattr(past, "ground", lambda *told, **more: worked_out.append(1) or original(*told, **more))
    case = load_case(book, RECIPE)
    for depth in ("1 mm", "2 mm", "3 mm"):
        one = check(again(case, {**case.values, "axial_depth": depth}))
        assert any(limit.mark for limit in one.limits)
    assert len(worked_out) == 1
    other = check(again(case, {**case.values, "stickout": "40 mm"}))
    assert not any(limit.mark for limit in other.limits)
    assert len(worked_out) == 2


POWERS = ("180 W", "190 W", "185 W")


def learnt(book):
    return evidence(book).learning().posterior


@pytest.mark.parametrize("outcome", sorted(OUTCOMES))
def test_power_of_a_cut_that_was_another_than_the_model_s_teaches_nothing(book, outcome):
    log(book, power=POWERS[0])
    before = learnt(book)
    for day, power in enumerate(POWERS, start=1):
        log(book, day=day, power=power, outcome=outcome)
    sharp = {"clean", "chatter", "tear-out", "burr", "poor-finish", "off-size", "stopped"}
    after = learnt(book)
    assert (outcome in sharp) == (outcome not in OTHERWISE)
    assert after.runs(f"material:{MATERIAL}") == (4 if outcome in sharp else 1)
    assert (after.of(f"tool:{TOOL}") == before.of(f"tool:{TOOL}")) == (outcome not in sharp)


def test_such_power_teaches_nothing_where_it_is_worked_out_anew_nor_in_another_book_s_fit(book):
    log(book, power=POWERS[0])
    log(book, day=1, power="300 W", outcome="cutter-worn")
    save(book, "tool", TOOL, {"edge_radius": "7 um"})
    told = list(evidence(Book.open(book.root)).metered())
    assert len(told) == 1
    columns = evidence(book).table.columns
    assert share_of_lines(columns, evidence(book).rows).sums.cells.popitem()[1].runs == 1


@pytest.mark.parametrize(
    ("power", "side", "outcome", "ratio"),
    [
        ("1.2 kW", "input", "clean", 5),
        ("1.2 kW", "input", "cutter-worn", None),
        ("180 W", "input", "clean", None),
        ("30 W", "input", "clean", 0.2),
        ("2 kW", "shaft", "chatter", 20),
        ("8 W", "shaft", "clean", 0.1),
    ],
)
def test_a_reading_far_from_the_model_is_told_with_its_side(book, power, side, outcome, ratio):
    logged = log_run(book, RECIPE, Report(minutes=5.0, outcome=outcome, power=power, side=side), at=NOON)
    doubt = power_doubt(logged.case, logged.run)
    assert (doubt is None) == (ratio is None)
    if doubt is not None and ratio is not None:
        numbers = evaluate(logged.case, nominal_knobs(logged.case))
        expected = numbers.cutting_power if side == "shaft" else numbers.spindle_input_power
        assert doubt.expected == pytest.approx(float(expected))
        assert doubt.side == side
        assert ratio / 2 < doubt.ratio < 2 * ratio
