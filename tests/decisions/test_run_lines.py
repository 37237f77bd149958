"""Writing runs down: what was cut at the overrides used, and what that earns."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta

import pytest

from support.books import MACHINE, RECIPE
from swarfbook import quantities
from swarfbook.book import Book
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import check
from swarfbook.decisions.evidence import load_case as load_known
from swarfbook.decisions.running import (
    Report,
    case_of_snapshot,
    corrected_line,
    log_run,
    report_of,
    withdrawn_line,
)
from swarfbook.errors import SwarfbookError

NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)


@pytest.fixture
def book(make_book):
    return Book.open(make_book(**{"recipe.standing": "trial", "recipe.notes": "mine"}))


def logged(book, *, day=0, minutes=10.0, outcome="clean", **told):
    report = Report(minutes=minutes, outcome=outcome, **told)
    return log_run(book, RECIPE, report, at=NOON + timedelta(days=day))


def lines(book):
    return [
        json.loads(line)
        for month in sorted((book.root / "runs").glob("*.jsonl"))
        for line in month.read_text(encoding="utf-8").splitlines()
    ]


def test_a_run_goes_into_its_month_as_one_line_that_reads_back(book):
    done = logged(book, cutter="no. 3", power="310 W", note="first bars")
    [line] = lines(book)
    assert line == done.line
    assert (book.root / "runs/2026-11.jsonl").exists()
    [run] = book.runs()
    assert (run.id, run.recipe, run.minutes, run.outcome) == (line["id"], RECIPE, 10.0, "clean")
    assert (run.power.si, run.power.side, run.cutter) == (310.0, "input", "no. 3")


def test_overrides_are_in_the_numbers_of_the_snapshot(book):
    cut = logged(book, feed_override=0.8, speed_override=0.9).line["snapshot"]["recipe"]
    before = book.get("recipe", RECIPE).raw
    for key, factor in (("spindle_speed", 0.9), ("feed_per_tooth", 0.8 / 0.9)):
        dimension = "spindle_speed" if key == "spindle_speed" else "feed_per_tooth"
        ratio = quantities.parse(cut[key], dimension) / quantities.parse(before[key], dimension)
        assert ratio == pytest.approx(factor, rel=1e-9)
    assert "notes" not in cut


def test_what_was_asked_is_what_a_check_of_the_snapshot_says(book):
    line = logged(book, feed_override=0.8).line
    one = check(case_of_snapshot(book, RECIPE, line["snapshot"]))
    assert line["model"]["demands"]["cutting_power"] == pytest.approx(
        float(one.numbers.cutting_power), rel=1e-12
    )
    whole = check(load_case(book, RECIPE))
    assert one.numbers.cutting_power < whole.numbers.cutting_power


def test_a_mark_never_claims_a_load_that_did_not_run(book):
    logged(book, feed_override=0.8)
    one = check(load_known(book, RECIPE))
    power = next(limit for limit in one.limits if limit.name == "spindle-power")
    assert power.mark.value < power.demand
    assert not one.covered


def test_a_later_edit_does_not_rewrite_history(book):
    logged(book)
    entry = book.get("recipe", RECIPE)
    book.save("recipe", RECIPE, {"axial_depth": "4 mm"}, seen=entry.sha)
    one = check(load_known(book, RECIPE))
    depth = next(limit for limit in one.limits if limit.name == "cut-depth")
    assert (depth.mark.value, depth.demand) == (pytest.approx(0.003), pytest.approx(0.004))
    assert depth.beyond == pytest.approx(1 / 3)


def test_the_third_clean_run_makes_it_proven_and_nothing_else_in_the_file_changes(book):
    before = book.get("recipe", RECIPE).raw
    assert [logged(book, day=day).promoted for day in range(4)] == [False, False, True, False]
    assert book.get("recipe", RECIPE).raw == before | {"standing": "proven"}


def test_changed_numbers_start_again(book):
    for day in range(2):
        logged(book, day=day)
    entry = book.get("recipe", RECIPE)
    book.save("recipe", RECIPE, {"axial_depth": "2 mm"}, seen=entry.sha)
    assert logged(book, day=3).track_record.clean_runs == 1


@pytest.mark.parametrize("standing", ["max-effort", "retired"])
def test_a_declared_standing_is_kept(book, standing):
    entry = book.get("recipe", RECIPE)
    book.save("recipe", RECIPE, {"standing": standing}, seen=entry.sha)
    assert not any(logged(book, day=day).promoted for day in range(3))
    assert book.get("recipe", RECIPE).raw["standing"] == standing


def test_logging_reads_no_more_of_a_long_log_than_of_a_short_one(book, monkeypatch):
    def cost():
        read = []
        monkeypatch.setattr(
            "swarfbook.book.jsonl._object",
            lambda line, **where: read.append(1) or original(line, **where),
        )
        logged(book, day=40)
        return len(read)

    from swarfbook.book import jsonl

    original = jsonl._object
    logged(book)
    month = book.root / "runs/2026-12.jsonl"
    line = lines(book)[0]
    month.write_text("".join(json.dumps(line | {"id": f"x{n}"}) + "\n" for n in range(600)))
    some = cost()
    with month.open("a") as file:
        file.writelines(json.dumps(line | {"id": f"y{n}"}) + "\n" for n in range(3000))
    assert cost() <= some + 1


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"power": "310"}, "--power: found 310; "),
        ({"power": "310 mm"}, "--power: found 310 mm; "),
        ({"feed_override": 0.0}, "--feed-override: found 0; an override lies above 0 %"),
        ({"speed_override": 9.0}, "--speed-override: found 9; an override lies above 0 %"),
        ({"ambient": "warm"}, "--ambient: found warm; "),
        ({"outcome": "fine"}, "outcome"),
        ({"minutes": -1.0}, "minutes"),
        ({"note": "x" * 70_000}, "write less in the note"),
    ],
)
def test_what_will_not_do_is_told_and_nothing_is_logged(book, told, said):
    with pytest.raises(SwarfbookError, match=said.replace("(", r"\(")):
        logged(book, **told)
    assert lines(book) == []


def test_a_correction_replaces_what_was_said_and_keeps_what_was_cut(book):
    logged(book, power="310 W", cutter="no. 3")
    [run] = book.runs()
    entry = book.get("recipe", RECIPE)
    book.save("recipe", RECIPE, {"axial_depth": "2 mm"}, seen=entry.sha)
    book.log(corrected_line(book, run, report_of(run, {"outcome": "chatter", "feed_override": 0.5})))
    assert len(lines(book)) == 2
    [now] = book.runs()
    assert (now.outcome, now.replaces, now.cutter, now.power.si) == ("chatter", run.id, "no. 3", 310.0)
    assert (now.at, now.digest) == (run.at, run.digest)
    assert now.snapshot["recipe"]["axial_depth"] == "3 mm"
    assert quantities.parse(now.snapshot["recipe"]["feed_per_tooth"], "feed_per_tooth") == pytest.approx(
        25e-6
    )
    assert now.model["demands"]["cutting_power"] < run.model["demands"]["cutting_power"]


def test_a_withdrawn_run_counts_no_more_and_its_line_stays(book):
    logged(book)
    [run] = book.runs()
    book.log(withdrawn_line(run))
    assert book.runs() == ()
    assert len(lines(book)) == 2
    assert next(one.id for one in book.run_log().lines) == run.id


def test_the_machine_named_in_a_snapshot_is_that_of_the_day(book):
    line = logged(book).line
    assert line["snapshot"]["machine"]["spindle"]["rated_power"] == "1.5 kW"
    assert line["snapshot"]["recipe"]["machine"] == MACHINE
