"""The run log on the page and in the list: read beside the keys, and again when it changes."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from swarfbook.book import Book, runlog
from swarfbook.tui.logbook import Logbook
from tui.conftest import RECIPE, Opener, posed, seen, settled
from tui.runs import run


async def test_the_page_says_how_the_recipe_ran_and_the_head_how_many_runs_there_are(
    workshop: Path, on_screen: Opener
) -> None:
    run(workshop, minutes=60.0)
    run(workshop, minutes=70.0, day=1)
    run(workshop, "bench-slot", day=2, outcome="chatter")
    async with on_screen(size=(120, 36)) as (_, pilot):
        await settled(pilot)
        shown = await seen(pilot)
        assert "4 recipes · 3 runs" in shown.splitlines()[0]
        assert "ran clean 2 times, 2 h 10 min" in shown
        assert "Covered: every demand" in shown
        assert "◆" in shown


async def test_a_book_that_never_ran_says_nothing_of_runs(on_screen: Opener) -> None:
    async with on_screen() as (_, pilot):
        await settled(pilot)
        assert "run" not in (await seen(pilot)).splitlines()[0]
        assert "ran clean" not in await seen(pilot)


async def test_what_goes_beyond_is_said_in_the_fold(workshop: Path, on_screen: Opener) -> None:
    run(workshop)
    async with on_screen(size=(80, 40)) as (app, pilot):
        await settled(pilot)
        app.page.sheet.choose("axial_depth")
        await posed(pilot, ("3", "full_stop", "5", "enter", "n"))
        shown = await seen(pilot)
        assert " What has run\n" in shown
        assert "not run at these numbers; 1 run at others" in shown
        assert "beyond what has run clean by" in shown


async def test_the_page_is_painted_before_the_log_is_read(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    run(workshop)
    go, read = threading.Event(), runlog.read_log

    def slow(*args):
        assert go.wait(20)
        return read(*args)

    monkeypatch.setattr(runlog, "read_log", slow)
    async with on_screen() as (_, pilot):
        try:
            await pilot.press("down")
            shown = await seen(pilot)
            assert "1 limit" in shown
            assert "ran clean" not in shown
        finally:
            go.set()
        await settled(pilot)
        assert "ran clean" in await seen(pilot)


async def test_a_run_logged_by_another_program_is_noticed(workshop: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await settled(pilot)
        run(workshop)
        app.page.look_at_disk()
        await settled(pilot)
        assert "4 recipes · 1 run" in await seen(pilot)
        assert "ran clean once, 10 min" in await seen(pilot)
        run(workshop, day=1, outcome="chatter")
        app.page.look_at_disk()
        await settled(pilot)
        assert "last run: chatter, 03 Nov 2026" in await seen(pilot)
        assert app.desk.draft.problems == ()
        assert not app.desk.draft.can_undo


async def test_what_is_being_written_stays_when_the_log_is_read(workshop: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await settled(pilot)
        await pilot.press("1", "7")
        run(workshop)
        app.page.look_at_disk()
        await settled(pilot)
        assert app.page.sheet.pen is not None
        assert app.page.sheet.check.case.past.cuts
        await pilot.press("escape")
        assert app.desk.draft.values == app.desk.draft.saved


async def test_the_list_says_covered_and_finds_by_it(workshop: Path, on_screen: Opener) -> None:
    run(workshop, "plate-finish")
    async with on_screen() as (app, pilot):
        await posed(pilot, ("WAIT", "l", "WAIT"))
        told = app.desk.catalogue.shelf.told
        assert {key for key, one in told.items() if one.verdict == "covered"} == {"plate-finish"}
        await posed(pilot, tuple("cover"))
        assert [row.id for row in app.screen.shelf.hits] == ["plate-finish"]
        assert "covered" in await seen(pilot)


async def test_a_run_has_only_recipes_judged_anew_that_it_says_something_of(
    workshop: Path, on_screen: Opener
) -> None:
    run(workshop, "bench-slot")
    async with on_screen() as (app, pilot):
        await posed(pilot, ("WAIT", "l", "WAIT"))
        catalogue = app.desk.catalogue
        before = {key: told for key, (_, told) in catalogue.told.items()}
        assert before["bench-slot"].verdict == "covered"
        run(workshop, "plate-finish", day=1)
        app.page.look_at_disk()
        await settled(pilot)
        after = {key: told for key, (_, told) in catalogue.told.items()}
        assert after["plate-finish"].verdict == "covered"
        assert {key for key in after if after[key] is not before[key]} == {"plate-finish"}


def test_reading_can_be_ended_between_two_lines(workshop: Path) -> None:
    for day in range(3):
        run(workshop, day=day)
    calls = []

    def step() -> None:
        calls.append(1)
        if len(calls) == 2:
            raise KeyError("enough")

    logbook = Logbook(Book.open(workshop))
    with pytest.raises(KeyError, match="enough"):
        logbook.read(step)
    assert logbook.known is None
    logbook.known = logbook.read(lambda: None)
    assert logbook.runs == 3
    assert not logbook.changed()
    run(workshop, RECIPE, day=9)
    assert logbook.changed()
