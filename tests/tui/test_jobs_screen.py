"""The list of jobs over the page: read, judged beside the keys, found by words, ordered, opened."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from support import books
from swarfbook.book import Book
from swarfbook.decisions.jobs.judging import judge_job
from swarfbook.decisions.jobs.loading import load_job
from swarfbook.tui import beside, job_shelf, jobs_screen
from swarfbook.tui.ask_screen import AskScreen
from swarfbook.tui.desk import Desk
from swarfbook.tui.job_screen import JobScreen
from swarfbook.tui.job_shelf import JobRow, JobShelf, JobTold, rests_on
from swarfbook.tui.jobs_screen import JobsScreen
from tui.conftest import Opener, posed, seen, settled
from tui.jobs import BOTH, GLUED, JOB, make_job


async def test_a_job_is_listed_with_what_the_command_says_of_it(workshop: Path, on_screen: Opener) -> None:
    make_job(workshop)
    report = judge_job(load_job(Book.open(workshop), JOB))
    async with on_screen(size=(120, 36)) as (app, pilot):
        await posed(pilot, ("J",))
        assert isinstance(app.screen, JobsScreen)
        line = next(line for line in (await seen(pilot)).splitlines() if "▸" in line)
        assert "Clamp plates · 12 parts of 6082-T6 flat bar in the Long-bed router" in line
        assert f"{report.worst.tightest.use:.2f}" in line
        assert line.endswith(report.verdict)


async def test_the_worst_comes_first_or_they_stand_by_name(workshop: Path, on_screen: Opener) -> None:
    make_job(workshop, "a-well-held", name="A well held one")
    make_job(workshop, "b-loose", name="B, loose", holds=[{"method": "vise", "force": "60 N"}])
    async with on_screen() as (app, pilot):
        await posed(pilot, ("J",))
        told = app.desk.jobs.told
        assert told["b-loose"].verdict == "over"
        assert told["a-well-held"].verdict != "over"
        assert [row.id for row in app.desk.jobs.hits] == ["b-loose", "a-well-held"]
        assert "worst first" in await seen(pilot)
        await pilot.press("tab")
        assert [row.id for row in app.desk.jobs.hits] == ["a-well-held", "b-loose"]
        assert "in order of name" in await seen(pilot)


async def test_it_is_found_in_by_name_recipe_material_and_verdict(workshop: Path, on_screen: Opener) -> None:
    make_job(workshop)
    make_job(workshop, "loose", name="Loose", holds=[{"method": "vise", "force": "60 N"}])
    async with on_screen() as (app, pilot):
        await posed(pilot, ("J", *"clamp"))
        assert [row.id for row in app.desk.jobs.hits] == [JOB]
        await posed(pilot, (*["backspace"] * 5, *"over"))
        assert [row.id for row in app.desk.jobs.hits] == ["loose"]
        await posed(pilot, (*["backspace"] * 4, *"6082"))
        assert len(app.desk.jobs.hits) == 2
        await posed(pilot, tuple("zz"))
        assert app.desk.jobs.hits == []
        await posed(pilot, ("enter",))
        assert isinstance(app.screen, JobsScreen)


async def test_a_broken_file_is_told_with_its_problem_and_opens_all_the_same(
    workshop: Path, on_screen: Opener
) -> None:
    make_job(workshop)
    make_job(workshop, "broken", quantity="many")
    (workshop / "jobs/torn.toml").write_text("name = 'no end\n", encoding="utf-8")
    async with on_screen() as (app, pilot):
        await posed(pilot, ("J",))
        shown = await seen(pilot)
        assert "cannot be read" in shown
        assert "broken: quantity: " in shown
        assert "torn: " in shown
        await posed(pilot, ("down",))
        assert "broken is not read: quantity:" in await seen(pilot)
        await posed(pilot, ("enter",))
        assert isinstance(app.screen, JobScreen)
        shown = await seen(pilot)
        assert "not judged: 1 problem" in shown
        assert "jobs/broken.toml: quantity:" in " ".join(shown.split())
        await posed(pilot, ("v",))
        assert isinstance(app.screen, JobScreen)
        assert "jobs/broken.toml: quantity" in await seen(pilot)


async def test_a_job_whose_recipe_is_missing_is_not_judged_and_says_why(
    workshop: Path, on_screen: Opener
) -> None:
    path = make_job(workshop)
    path.write_text(path.read_text().replace(books.RECIPE, "long-bed-6mm-6082-ruff", 1), encoding="utf-8")
    async with on_screen() as (app, pilot):
        await posed(pilot, ("J",))
        shown = await seen(pilot)
        assert "Clamp plates" in shown
        assert "not judged" in shown
        assert "steps[1].recipe: found 'long-bed-6mm-6082-ruff'" in " ".join(shown.split())
        await posed(pilot, ("enter",))
        assert books.RECIPE in " ".join((await seen(pilot)).split())
        recipe = workshop / f"recipes/{books.RECIPE}.toml"
        (workshop / "recipes/long-bed-6mm-6082-ruff.toml").write_text(recipe.read_text(), encoding="utf-8")
        app.screen.look_at_disk()
        await settled(pilot)
        assert app.screen.sheet.report is not None
        assert "changed on disk; judged again" in await seen(pilot)


async def test_escape_while_judging_ends_it(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch, stopped: threading.Event
) -> None:
    for number in range(4):
        make_job(workshop, f"plates-{number}")
    judged: list[str] = []
    begun, go = threading.Event(), threading.Event()

    def slow(_, job):
        judged.append(job)
        begun.set()
        assert go.wait(5)
        return JobTold("holds", "hold", 0.5)

    monkeypatch.setattr(jobs_screen, "judged", slow)
    async with on_screen() as (app, pilot):
        await pilot.press("J")
        while not begun.is_set():
            await pilot.pause(0.01)
        await pilot.press("escape")
        assert app.screen is app.page
        go.set()
        while not stopped.is_set():
            await pilot.pause(0.01)
        await settled(pilot)
        assert judged == ["plates-0"]


async def test_how_far_the_judging_is_is_said_once_it_takes_long(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(beside, "PATIENCE", 0.0)
    make_job(workshop, "a-first")
    make_job(workshop, "b-second")
    go = threading.Event()

    def slow(_, job):
        assert job == "a-first" or go.wait(5)
        return JobTold("holds", "hold", 0.5)

    monkeypatch.setattr(jobs_screen, "judged", slow)
    async with on_screen() as (_, pilot):
        await pilot.press("J")
        try:
            while "judged 1 of 2" not in await seen(pilot):
                await pilot.pause(0.01)
        finally:
            go.set()
        await settled(pilot)
        assert "judged" not in await seen(pilot)


async def test_what_was_judged_is_judged_again_only_when_something_under_it_changed(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    make_job(workshop)
    judged: list[str] = []
    really = job_shelf.judged

    def noted(desk, job):
        judged.append(job)
        return really(desk, job)

    monkeypatch.setattr(jobs_screen, "judged", noted)
    async with on_screen() as (app, pilot):
        await posed(pilot, ("J", "WAIT"))
        await posed(pilot, ("escape", "J", "WAIT"))
        assert judged == [JOB]
        before = app.desk.jobs.told[JOB]
        await pilot.press("escape")
        recipe = workshop / f"recipes/{books.RECIPE}.toml"
        recipe.write_text(recipe.read_text().replace('"3 mm"', '"4.5 mm"'), encoding="utf-8")
        await posed(pilot, ("J", "WAIT"))
        assert judged == [JOB, JOB]
        assert app.desk.jobs.told[JOB] != before


def test_a_job_rests_on_itself_all_it_names_and_every_cutter(workshop: Path) -> None:
    make_job(workshop)
    book = Book.open(workshop)
    named = {str(path.relative_to(workshop)) for path in rests_on(book, JOB)}
    assert named == {
        f"jobs/{JOB}.toml", f"machines/{books.MACHINE}.toml", f"materials/{books.MATERIAL}.toml",
        f"recipes/{books.RECIPE}.toml", f"tools/{books.TOOL}.toml", "tools/em-4mm-2f.toml",
    }  # fmt: skip
    (workshop / "jobs/torn.toml").write_text("= 3", encoding="utf-8")
    assert workshop / "jobs/torn.toml" in rests_on(book, "torn")


def test_the_order_of_verdicts_is_the_worst_first() -> None:
    shelf = JobShelf()
    shelf.take([JobRow(verdict, verdict, words="") for verdict in ("holds", "over", "tight", "cannot")])
    for verdict in ("holds", "over", "tight", "cannot"):
        shelf.judge(verdict, JobTold(verdict, "hold", 0.5), None)
    shelf.take([*shelf.rows, JobRow("later", "later"), JobRow("unread", "unread", trouble="torn")])
    assert [row.id for row in shelf.hits] == ["cannot", "over", "tight", "holds", "later", "unread"]


@pytest.mark.parametrize(
    ("changes", "verdict", "tightest"),
    [
        ({"part": {"thickness": "12 mm", "width": "12 cm", "length": "28 cm"}}, "cannot", "stock too small"),
        (
            {"features": [{"id": "outline", "kind": "outside", "depth": "12 mm"},
                          {"id": "pocket", "kind": "pocket", "depth": "6 mm", "inside_corner": "0.2 mm"}]},
            "cannot", "pocket",
        ),
        (BOTH, "over", "second side"),
    ],
)  # fmt: skip
def test_what_rules_a_job_out_is_named_where_it_is_no_limit(
    changes: dict, verdict: str, tightest: str, workshop: Path
) -> None:
    make_job(workshop, **changes)
    told = job_shelf.judged(Desk(Book.open(workshop)), JOB)
    assert (told.verdict, told.tightest, told.use) == (verdict, tightest, None)


async def test_an_empty_list_begins_a_job_of_the_recipe_on_the_page(
    workshop: Path, on_screen: Opener
) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("J",))
        assert "no jobs yet; Enter begins one of the recipe on the page" in await seen(pilot)
        await posed(pilot, ("enter",))
        assert isinstance(app.screen, AskScreen)
        await posed(pilot, ("y",))
        assert isinstance(app.screen, JobScreen)
        report = app.screen.sheet.report
        assert report is not None
        assert [step.cutting.step.recipe for step in report.steps] == [books.RECIPE]
        assert Book.open(workshop).ids("job") == ["my-job"]


async def test_a_job_deleted_comes_back_from_the_empty_list(workshop: Path, on_screen: Opener) -> None:
    path = make_job(workshop)
    async with on_screen() as (app, pilot):
        await posed(pilot, ("J", "WAIT", "enter", "WAIT", "delete", "y", "WAIT"))
        assert not path.exists()
        assert isinstance(app.screen, JobsScreen)
        await posed(pilot, ("enter", "b", "enter"))
        assert path.exists()
        assert app.screen.sheet.job == JOB


async def test_the_demo_jobs_are_listed(on_screen: Opener) -> None:
    from swarfbook import resources

    async with on_screen(None, root=resources.demo_book_dir()) as (app, pilot):
        await posed(pilot, ("J",))
        assert {row.id for row in app.desk.jobs.hits} >= {"mast-clamps", "mast-clamps-cool"}
        assert set(app.desk.jobs.told) == set(app.desk.book.ids("job"))


def test_glue_minds_the_heat_in_the_scenes(workshop: Path) -> None:
    """The pictures show a hold that is warm: it has to be one."""
    make_job(workshop, **GLUED)
    report = judge_job(load_job(Book.open(workshop), JOB))
    assert any(one.most is not None for one in report.steps)
