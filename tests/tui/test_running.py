"""Runs on screen: written down in ten seconds, listed, read, corrected, withdrawn; what they have taught."""

from __future__ import annotations

import json
import threading
from datetime import timedelta
from pathlib import Path

import pytest
from textual import events

from swarfbook.book import Book
from swarfbook.decisions.running import Report
from swarfbook.tui import run_screen, running
from swarfbook.tui.ask_screen import AskScreen
from swarfbook.tui.form_view import row
from swarfbook.tui.lines import text_of
from swarfbook.tui.run_form import RunForm
from swarfbook.tui.run_form_screen import RunFormScreen
from swarfbook.tui.run_screen import RunScreen
from swarfbook.tui.runs_screen import RunsScreen
from swarfbook.tui.text_screen import TextScreen
from tui.conftest import Opener, appears, posed, seen, settled
from tui.runs import NOON, run

TRIAL = "bench-slot"


def lines(root: Path) -> list[dict]:
    """Give the lines of the log, month by month."""
    months = sorted((root / "runs").glob("*.jsonl"))
    return [json.loads(line) for month in months for line in month.read_text().splitlines()]


def last(root: Path) -> dict:
    return lines(root)[-1]


def fill(form: RunForm, **texts: str) -> RunForm:
    for name, text in texts.items():
        form.texts[name].insert(text)
    return form


# The form


@pytest.mark.parametrize(
    ("field", "text", "value"),
    [
        ("feed_override", "80", 0.8),
        ("feed_override", "0.8", 0.8),
        ("feed_override", "80 %", 0.8),
        ("speed_override", "110%", 1.1),
        ("power", "310", "310 W"),
        ("power", "0.31 kW", "0.31 kW"),
        ("stock_temperature", "41", "41 degC"),
        ("note", "310", "310"),
        ("cutter", "3", "3"),
    ],
)
def test_a_bare_number_gets_the_unit_it_is_meant_in(field: str, text: str, value: object) -> None:
    form = fill(RunForm.empty("metric"), minutes="42", **{field: text})
    assert getattr(form.report(), field) == pytest.approx(value) if isinstance(value, float) else value
    if isinstance(value, str):
        assert getattr(form.report(), field) == value


def test_a_bare_temperature_is_in_the_units_shown() -> None:
    assert fill(RunForm.empty("imperial"), minutes="1", ambient="66").report().ambient == "66 degF"


def test_a_form_made_of_a_report_makes_that_report_again() -> None:
    report = Report(
        minutes=42.5,
        outcome="chatter",
        feed_override=0.85,
        speed_override=1.1,
        cutter="no. 3",
        power="310 W",
        idle_power="40 W",
        side="shaft",
        ambient="19 degC",
        note="sang",
    )
    assert RunForm.of(report, "metric").report() == report


def test_what_is_emptied_in_a_form_is_no_longer_said() -> None:
    form = RunForm.of(Report(minutes=4.0, outcome="clean", feed_override=0.5, cutter="no. 3"), "metric")
    for name in ("cutter", "feed_override"):
        form.texts[name].text = ""
    assert form.report() == Report(minutes=4.0, outcome="clean")


def test_a_name_used_before_is_gone_on_with() -> None:
    form = RunForm.empty("metric", ["No. 5", "no. 3, reground"])
    form.go("cutter")
    assert form.suggestion == "No. 5"
    for key in "no. 3":
        form.press(key, key)
    assert form.suggestion == "no. 3, reground"
    assert text_of(row(form, form.fields.place, 60)).endswith("no. 3 , reground")
    form.press("right", None)
    assert form.text("cutter") == "no. 3, reground"
    assert form.suggestion == ""


def test_the_side_is_chosen_by_arrow_or_letter() -> None:
    form = RunForm.empty("metric")
    form.go("side")
    form.press("right", None)
    assert form.side == "shaft"
    form.press("b", "b")
    assert form.side == "input"
    form.press("b", "b")
    assert form.side == "input"


# Logging


async def test_two_letters_the_minutes_and_enter_log_a_run(workshop: Path, on_screen: Opener) -> None:
    async with on_screen(TRIAL) as (app, pilot):
        await settled(pilot)
        await pilot.press("g", *"st", *"42", "enter")
        # What to make of it opens by itself, and the page behind it says how it stands.
        shown = await appears(pilot, "After this run: stalled")
        assert isinstance(app.screen, RunScreen)
        assert "42 min, stalled" in shown
        line = last(workshop)
        assert (line["recipe"], line["outcome"], line["minutes"]) == (TRIAL, "stalled", 42.0)
        assert line["snapshot"]["recipe"]["operation"] == "slot"
        await pilot.press("pagedown", "pagedown")
        await appears(pilot, "next steps")
        await pilot.press("escape")
        assert app.screen is app.page
        await appears(pilot, "last run: stalled")


async def test_a_clean_run_is_minutes_and_enter(on_screen: Opener) -> None:
    async with on_screen(TRIAL) as (app, pilot):
        await settled(pilot)
        await pilot.press("g", "enter", *"42", "enter")
        await settled(pilot)
        assert app.screen is app.page
        shown = await seen(pilot)
        assert "logged 42 min clean; ran clean once, 42 min; 2 clean runs more make it pro" in shown
        assert "4 recipes · 1 run" in shown
        assert "◆" in shown


async def test_letters_narrow_the_outcomes_and_arrows_choose(workshop: Path, on_screen: Opener) -> None:
    async with on_screen(TRIAL) as (app, pilot):
        await pilot.press("g")
        shown = await seen(pilot)
        assert "[clean]" in shown
        assert all(word in shown for word in ("chip welding", "work moved", "stopped", "tear out"))
        await pilot.press("c", "h", "right")
        assert app.screen.form.outcomes.chosen == "chip-welding"
        assert "work moved" not in await seen(pilot)
        await pilot.press("backspace", "backspace", *"bro")
        assert app.screen.form.outcomes.chosen == "cutter-broke"
        await pilot.press("x", "enter", "enter")
        assert app.screen.form.outcomes.chosen is None
        await settled(pilot)
        assert "no outcome begins so" in await seen(pilot)
        assert lines(workshop) == []


async def test_everything_else_can_be_said(workshop: Path, on_screen: Opener) -> None:
    trace = workshop.parent / "trace.csv"
    watts = [40.0] * 30 + [340.0] * 60 + [40.0] * 30
    trace.write_text("time,power\n" + "".join(f"{second},{power}\n" for second, power in enumerate(watts)))
    async with on_screen(TRIAL, size=(100, 40)) as (app, pilot):
        await pilot.press("g", "tab", "tab", *"80", "tab", *"90", "tab", "n", "3", *["down"] * 5)
        await pilot.press(*"41", "tab", *"19", "tab")
        app.screen.post_message(events.Paste(str(trace)))
        await pilot.press("tab", *"sang", "enter")
        await settled(pilot)
        line = last(workshop)
        assert line["minutes"] == pytest.approx(1.0, rel=0.1)
        assert (line["feed_override"], line["speed_override"]) == (0.8, 0.9)
        assert (line["cutter"], line["note"]) == ("n3", "sang")
        assert line["power"]["side"] == "input"
        assert line["meter"]["file"].endswith(".csv")
        assert line["stock_temperature"] == {"value": 41.0, "unit": "degC"}


@pytest.mark.parametrize(
    ("downs", "typed", "words"),
    [
        (1, "4x", "is not a unit"),
        (2, "900", "up to 300 %"),
        (5, "4 mm", "a power takes W"),
        (11, "nowhere", "no such file"),
    ],
)
async def test_what_will_not_do_is_said_beside_its_field_and_nothing_is_lost(
    workshop: Path, on_screen: Opener, downs: int, typed: str, words: str
) -> None:
    async with on_screen(TRIAL, size=(120, 36)) as (app, pilot):
        await pilot.press("g", *"st", "tab", *"42", "up", *["down"] * downs)
        if downs == 1:
            await pilot.press("ctrl+u")
        await pilot.press(*({" ": "space"}.get(one, one) for one in typed))
        await pilot.press("enter")
        await settled(pilot)
        form = app.screen.form
        assert form.fields.place == downs
        assert words in next(line for line in (await seen(pilot)).splitlines() if line.startswith(" ▸"))
        assert form.outcomes.chosen == "stalled"
        assert typed in form.texts[form.asked.id].text
        assert lines(workshop) == []
        await pilot.press("backspace")
        assert words not in await seen(pilot)


async def test_escape_logs_nothing(workshop: Path, on_screen: Opener) -> None:
    async with on_screen(TRIAL) as (app, pilot):
        await pilot.press("g", *"42", "escape")
        await settled(pilot)
        assert app.screen is app.page
        assert lines(workshop) == []


async def test_escape_while_a_meters_file_is_read_logs_nothing(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    go, report = threading.Event(), RunForm.report

    def slow(form: RunForm) -> Report:
        assert go.wait(20)
        return report(form)

    monkeypatch.setattr(RunForm, "report", slow)
    async with on_screen(TRIAL) as (app, pilot):
        await pilot.press("g", *"42", "enter")
        try:
            assert "writing it down" in await seen(pilot)
            await pilot.press("9", "escape")
            assert app.screen is app.page
        finally:
            go.set()
        await settled(pilot)
        assert lines(workshop) == []


async def test_escape_while_it_is_written_waits_for_it(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    go, write = threading.Event(), running.log_run

    def slow(*args, **kwargs):
        assert go.wait(20)
        return write(*args, **kwargs)

    monkeypatch.setattr(running, "log_run", slow)
    async with on_screen(TRIAL) as (app, pilot):
        await pilot.press("g", *"42", "enter")
        try:
            while not app.screen._writing:
                await pilot.pause(0.01)
            await pilot.press("escape")
            assert isinstance(app.screen, RunFormScreen)
        finally:
            go.set()
        await settled(pilot)
        assert app.screen is app.page
        assert "logged 42 min" in app.page.sheet.message
        assert len(lines(workshop)) == 1


async def test_a_run_that_earns_it_makes_the_recipe_proven_without_a_conflict(
    workshop: Path, on_screen: Opener
) -> None:
    run(workshop, TRIAL)
    run(workshop, TRIAL, day=1)
    async with on_screen(TRIAL) as (app, pilot):
        await settled(pilot)
        app.page.sheet.choose("axial_depth")
        await pilot.press("1", "enter", "u")
        await pilot.press("g", *"42", "enter")
        await settled(pilot)
        shown = await seen(pilot)
        assert "logged; that makes it proven, and its file says so now" in shown
        assert " proven · ran clean 3 times, 1 h 02 min" in shown
        draft = app.desk.draft
        assert not draft.dirty
        assert not draft.changed_on_disk()
        assert not draft.can_undo
        await pilot.press("U")
        assert draft.values["standing"] == "proven"
        assert draft.changes == {"axial_depth": "1 mm"}
        await pilot.press("s")
        assert "saved in" in await seen(pilot)


async def test_unsaved_changes_are_asked_about_and_not_logged(workshop: Path, on_screen: Opener) -> None:
    run(workshop, TRIAL)
    run(workshop, TRIAL, day=1)
    before = Book.open(workshop).get("recipe", TRIAL).raw["axial_depth"]
    async with on_screen(TRIAL) as (app, pilot):
        await settled(pilot)
        app.page.sheet.choose("axial_depth")
        await pilot.press("1", "enter", "g")
        assert isinstance(app.screen, AskScreen)
        assert "as its file has it" in await seen(pilot)
        await pilot.press("l")
        assert "without the changes" in await seen(pilot)
        await pilot.press(*"42", "enter")
        await settled(pilot)
        assert last(workshop)["snapshot"]["recipe"]["axial_depth"] == before
        assert app.desk.draft.changes == {"axial_depth": "1 mm"}
        assert app.desk.draft.values["standing"] == "proven"
        assert not app.page.sheet.on_disk
        await pilot.press("g", "s", *"10", "enter")
        await settled(pilot)
        assert last(workshop)["snapshot"]["recipe"]["axial_depth"] == "1 mm"
        assert not app.desk.draft.dirty


async def test_cutters_used_before_are_offered(workshop: Path, on_screen: Opener) -> None:
    run(workshop, cutter="no. 3, reground")
    run(workshop, cutter="no. 4", day=1)
    run(workshop, "plate-finish", cutter="another kind", day=2)
    async with on_screen(TRIAL) as (_, pilot):
        await settled(pilot)
        await pilot.press("g", *["tab"] * 4)
        shown = await seen(pilot)
        assert "used before: no. 4 · no. 3, reground" in shown
        assert "another kind" not in shown
        await pilot.press("right", "up", "up", "up", *"7", "enter")
        await settled(pilot)
        assert last(workshop)["cutter"] == "no. 4"


# The log


async def test_the_runs_of_the_recipe_then_of_all_the_latest_first(workshop: Path, on_screen: Opener) -> None:
    run(workshop, TRIAL)
    run(workshop, day=1, outcome="chatter", cutter="no. 3")
    run(workshop, TRIAL, day=2, note="first bars")
    async with on_screen(TRIAL) as (app, pilot):
        await posed(pilot, ("WAIT", "G", "WAIT"))
        assert [one.run.recipe for one in app.screen.rows().hits] == [TRIAL, TRIAL]
        shown = await seen(pilot)
        assert "Runs of this recipe · 2 runs, 20 min in the cut; 2 clean, 0 not" in shown
        assert '"first bars"' in shown
        await pilot.press("tab")
        assert [one.run.at.day for one in app.screen.rows().hits] == [4, 3, 2]
        assert "chatter" in await seen(pilot)
        await pilot.press("tab")
        assert "Runs of this recipe" in await seen(pilot)


@pytest.mark.parametrize(
    ("words", "days"), [("chat", [3]), ("no. 3", [3]), ("bars", [4]), ("2026-11-03", [3]), ("bench", [4, 2])]
)
async def test_runs_are_found_by_words(
    workshop: Path, on_screen: Opener, words: str, days: list[int]
) -> None:
    run(workshop, TRIAL)
    run(workshop, day=1, outcome="chatter", cutter="no. 3")
    run(workshop, TRIAL, day=2, note="first bars")
    async with on_screen(TRIAL) as (app, pilot):
        await posed(pilot, ("WAIT", "G", "WAIT", "tab"))
        for character in words:
            app.screen.typed(character, character)
        assert [one.run.at.day for one in app.screen.rows().hits] == days


async def test_a_recipe_without_runs_lists_all(workshop: Path, on_screen: Opener) -> None:
    run(workshop)
    async with on_screen(TRIAL) as (_, pilot):
        await posed(pilot, ("WAIT", "G", "WAIT"))
        assert "Runs of all recipes · 1 run" in await seen(pilot)


async def test_a_log_without_runs_says_how_one_is_written(on_screen: Opener) -> None:
    async with on_screen(TRIAL) as (app, pilot):
        await posed(pilot, ("WAIT", "G", "WAIT", "enter"))
        assert isinstance(app.screen, RunsScreen)
        assert "no runs yet; g on the page writes one down" in await seen(pilot)


async def test_a_run_is_corrected_by_a_line_that_replaces_it(workshop: Path, on_screen: Opener) -> None:
    first = run(workshop, TRIAL, cutter="no. 3", power="310 W").line["id"]
    async with on_screen(TRIAL) as (app, pilot):
        await posed(pilot, ("WAIT", "G", "WAIT", "enter"))
        assert isinstance(app.screen, RunScreen)
        assert "power 310 W, read before the motor" in await seen(pilot)
        await pilot.press("c")
        assert f"Correct {first}" in await seen(pilot)
        await pilot.press(*"cha", "enter")
        await settled(pilot)
        line = last(workshop)
        assert (line["replaces"], line["outcome"], line["minutes"], line["cutter"]) == (
            first, "chatter", 10.0, "no. 3",
        )  # fmt: skip
        assert isinstance(app.screen, RunsScreen)
        assert [one.run.outcome for one in app.screen.rows().hits] == ["chatter"]
        assert len(lines(workshop)) == 2
        await pilot.press("escape")
        assert "last run: chatter" in await seen(pilot)


async def test_what_to_make_of_a_run_that_went_wrong_is_worked_out_beside_the_keys(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    run(workshop, TRIAL, outcome="chatter")
    go, after = threading.Event(), run_screen.after_run

    def slow(*args):
        assert go.wait(20)
        return after(*args)

    monkeypatch.setattr(run_screen, "after_run", slow)
    async with on_screen(TRIAL) as (app, pilot):
        await posed(pilot, ("WAIT", "G", "WAIT"))
        try:
            await pilot.press("enter")
            assert "working out what to make of it" in await seen(pilot)
            await pilot.press("escape", "enter")
            assert isinstance(app.screen, RunScreen)
        finally:
            go.set()
        await settled(pilot)
        assert "After this run: chatter" in await seen(pilot)


async def test_a_clean_run_has_nothing_to_be_made_of(workshop: Path, on_screen: Opener) -> None:
    run(workshop, TRIAL)
    async with on_screen(TRIAL) as (_, pilot):
        await posed(pilot, ("WAIT", "G", "WAIT", "enter", "WAIT"))
        assert "After this run" not in await seen(pilot)
        assert "working out" not in await seen(pilot)


async def test_a_run_is_withdrawn_after_a_question(workshop: Path, on_screen: Opener) -> None:
    run(workshop, TRIAL)
    async with on_screen(TRIAL) as (app, pilot):
        await posed(pilot, ("WAIT", "G", "WAIT", "enter", "delete", "escape"))
        assert isinstance(app.screen, RunScreen)
        await posed(pilot, ("delete", "y", "WAIT"))
        assert "is withdrawn; its line stays in the log" in await seen(pilot) or not app.screen.rows().hits
        assert Book.open(workshop).runs() == ()
        assert app.desk.logbook.runs == 0
        await pilot.press("escape")
        assert "ran clean" not in await seen(pilot)


async def test_minutes_of_each_cutter(workshop: Path, on_screen: Opener) -> None:
    run(workshop, cutter="no. 3")
    run(workshop, cutter="no. 3", day=1, outcome="cutter-broke")
    async with on_screen() as (app, pilot):
        await posed(pilot, ("WAIT", "G", "WAIT", "f3"))
        assert isinstance(app.screen, TextScreen)
        shown = await seen(pilot)
        assert "Minutes of each cutter in 2 runs" in shown
        assert "20 min in 2 runs, last: cutter broke" in " ".join(shown.split())
    async with on_screen(size=(80, 40)) as (_, pilot):
        await posed(pilot, ("WAIT", "T", "enter", *["pagedown"] * 4))
        shown = await seen(pilot)
        assert "what each one has cut" in shown
        assert "no. 3                20 min in 2 runs, last: cutter broke" in shown


async def test_the_log_opens_while_it_is_still_read(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    from swarfbook.book import runlog

    run(workshop)
    go, read = threading.Event(), runlog.read_log

    def slow(*args):
        assert go.wait(20)
        return read(*args)

    monkeypatch.setattr(runlog, "read_log", slow)
    async with on_screen() as (app, pilot):
        try:
            await pilot.press("G", "x", "backspace")
            assert "reading the log" in await seen(pilot)
            await pilot.press("escape")
            assert app.screen is app.page
            await pilot.press("G")
        finally:
            go.set()
        await settled(pilot)
        await settled(pilot)
        assert "1 run, 10 min in the cut" in await seen(pilot)


async def test_only_runs_in_sight_are_drawn(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    line = dict(run(workshop).line)
    months: dict[str, list[str]] = {}
    for number in range(3000):
        at = NOON - timedelta(hours=number)
        line |= {"id": f"r{number}", "at": at.isoformat()}
        months.setdefault(f"{at:%Y-%m}", []).append(json.dumps(line))
    for month, written in months.items():
        (workshop / f"runs/{month}.jsonl").write_text("\n".join(written) + "\n")
    drawn: list[int] = []
    row_of = RunsScreen.row
    monkeypatch.setattr(
        RunsScreen, "row", lambda self, at, width: drawn.append(at) or row_of(self, at, width)
    )
    async with on_screen() as (app, pilot):
        await posed(pilot, ("WAIT", "G", "WAIT"))
        assert len(app.screen.rows().hits) == 3000
        drawn.clear()
        await pilot.press("pagedown", "down")
        assert 0 < len(drawn) < 100
        assert "3 000 of 3 000" in await seen(pilot)


# What it taught


async def test_what_measured_power_has_taught_is_shown(workshop: Path, on_screen: Opener) -> None:
    for day in range(3):
        run(workshop, day=day, power="410 W", idle_power="60 W")
    async with on_screen(size=(80, 50)) as (_, pilot):
        await posed(pilot, ("WAIT", "p", "WAIT"))
        shown = await seen(pilot)
        assert "What measured power has taught" in shown
        assert "3 runs" in shown
        assert "without a cut long-bed-router draws 60 W, 3 readings" in shown
        assert "o by the tables" in shown


async def test_without_readings_it_says_how_to_give_some(on_screen: Opener) -> None:
    async with on_screen() as (_, pilot):
        await posed(pilot, ("p", "WAIT"))
        assert "no run teaches anything yet" in await seen(pilot)


async def test_the_demo_is_not_written_to(on_screen: Opener) -> None:
    from swarfbook import resources

    async with on_screen("mill-3mm-brass-slot", root=resources.demo_book_dir()) as (app, pilot):
        await posed(pilot, ("WAIT", "g"))
        assert app.screen is app.page
        assert "the demo book stays as it is" in await seen(pilot)
        await posed(pilot, ("G", "WAIT", "enter", "c"))
        assert isinstance(app.screen, RunScreen)
        assert "the demo book stays as it is" in await seen(pilot)
        await posed(pilot, ("delete",))
        assert isinstance(app.screen, RunScreen)


async def test_a_recipe_that_cannot_be_cut_so_is_not_logged_and_the_file_is_named(
    workshop: Path, on_screen: Opener
) -> None:
    async with on_screen(TRIAL, size=(120, 36)) as (app, pilot):
        await settled(pilot)
        await pilot.press("g", *"42")
        path = workshop / f"recipes/{TRIAL}.toml"
        path.write_text(path.read_text().replace('"em-6mm-1f"', '"em-5mm-1f"'))
        await pilot.press("enter")
        await settled(pilot)
        assert isinstance(app.screen, RunFormScreen)
        assert f"not taken: recipes/{TRIAL}.toml" in await seen(pilot)
        assert app.screen.form.text("minutes") == "42"
        assert lines(workshop) == []


async def test_a_file_that_goes_wrong_while_it_is_logged_is_told(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    write = running.log_run

    def spoiling(*args, **kwargs):
        done = write(*args, **kwargs)
        path = workshop / f"recipes/{TRIAL}.toml"
        path.write_text(path.read_text().replace("schema", "scheme"))
        return done

    monkeypatch.setattr(running, "log_run", spoiling)
    async with on_screen(TRIAL) as (app, pilot):
        await settled(pilot)
        await pilot.press("g", *"42", "enter")
        await settled(pilot)
        assert app.screen is app.page
        assert "logged; recipes/bench-slot.toml" in await seen(pilot)
        assert len(lines(workshop)) == 1
