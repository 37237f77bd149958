"""A job's page: its steps walked, the rest read, its recipes opened, its sheet written, files noticed."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from support import books
from swarfbook.book import Book
from swarfbook.decisions.jobs.judging import judge_job
from swarfbook.decisions.jobs.loading import load_job
from swarfbook.reports.job_page import job_lines
from swarfbook.reports.reply import reply
from swarfbook.tui import job_sheet, outside
from swarfbook.tui.ask_screen import AskScreen
from swarfbook.tui.choose_screen import ChooseScreen
from swarfbook.tui.job_screen import JobScreen
from swarfbook.tui.job_view import block_name, letter_part
from swarfbook.tui.jobs_screen import JobsScreen
from swarfbook.tui.prompt_screen import PromptScreen
from swarfbook.tui.record_screen import RecordScreen
from swarfbook.tui.text_screen import WrittenScreen
from tui.conftest import Opener, appears, posed, seen, settled, until
from tui.jobs import BOTH, GLUED, JOB, make_job

OPEN = ("J", "WAIT", "enter", "WAIT")


@pytest.fixture(autouse=True)
def job(workshop: Path) -> Path:
    """Put a job into the book."""
    return make_job(workshop, **GLUED)


async def test_the_steps_are_walked_and_each_says_what_matters(workshop: Path, on_screen: Opener) -> None:
    report = judge_job(load_job(Book.open(workshop), JOB))
    async with on_screen(size=(120, 36)) as (app, pilot):
        await posed(pilot, OPEN)
        assert isinstance(app.screen, JobScreen)
        for one in report.steps:
            shown = await seen(pilot)
            below = shown[shown.index("Reply") :]
            assert app.screen.sheet.part.id == f"step {one.cutting.number}"
            for title in ("hold", "reach", "stock heat"):
                assert any(
                    line.split()[:1] == [title.split()[0]] or title in line for line in below.splitlines()
                )
            assert "held by glue on tape, 300 mm x 90 mm: " in below
            assert one.cutting.case.recipe.name in below
            assert f"runs {one.cutting.time.seconds / 60:.0f} min" in " ".join(below.split())
            await posed(pilot, ("down",))


async def test_the_rest_of_the_page_is_what_the_command_prints(workshop: Path, on_screen: Opener) -> None:
    report = judge_job(load_job(Book.open(workshop), JOB))
    async with on_screen(size=(80, 40)) as (app, pilot):
        await posed(pilot, OPEN)
        sheet = app.screen.sheet
        printed = "\n".join(job_lines(report, width=79, system="metric"))
        blocks = sheet.seen.blocks_at(79)
        assert [block_name(block) for block in blocks][-1] == "Cautions"
        assert {"Can it be made", "Stock", "Stock temperature", "Time and money"} <= set(
            map(block_name, blocks)
        )
        for block in blocks:
            assert "\n".join(block) in printed
        at = next(at for at, part in enumerate(sheet.finder.rows) if part.name == "Stock temperature")
        await posed(pilot, ("down",) * at)
        shown = await seen(pilot)
        assert "at its warmest, in step" in shown
        assert "●●●" in shown
        await posed(pilot, ("enter",))
        assert isinstance(app.screen, WrittenScreen)
        assert "step numbers above" in await seen(pilot)


async def test_enter_on_a_step_opens_its_recipe_on_the_page(on_screen: Opener) -> None:
    async with on_screen("bench-slot") as (app, pilot):
        await posed(pilot, (*OPEN, "enter"))
        assert app.screen is app.page
        assert app.desk.draft.recipe_id == books.RECIPE


async def test_changes_wait_on_the_desk_while_a_recipe_is_opened_from_a_job(on_screen: Opener) -> None:
    async with on_screen("bench-slot") as (app, pilot):
        await posed(pilot, ("1", "2", "0", "0", "0", "enter", *OPEN, "enter"))
        assert [draft.recipe_id for draft in app.desk.unsaved()] == ["bench-slot"]
        await posed(pilot, (*["tab"] * 3, "2", "enter", *OPEN))
        assert "not saved; it is judged as its file has it" in " ".join(app.screen.sheet.part.tell(200))


async def test_what_does_not_fit_below_is_read_on(on_screen: Opener) -> None:
    async with on_screen(size=(60, 20)) as (app, pilot):
        await posed(pilot, OPEN)
        first = await seen(pilot)
        assert "more below" in first
        await posed(pilot, ("pagedown",) * 9)
        last = await seen(pilot)
        assert last != first
        assert "more below" not in last
        await posed(pilot, ("pageup",) * 9)
        assert await seen(pilot) == first
        await posed(pilot, ("pagedown", "down"))
        assert app.screen.sheet.top == 0


@pytest.mark.parametrize(
    ("ending", "begins"), [(".txt", b""), (".html", b"<!doctype html>"), (".pdf", b"%PDF-")]
)
async def test_the_sheet_is_written(ending: str, begins: bytes, on_screen: Opener, tmp_path: Path) -> None:
    target = tmp_path / f"sheet{ending}"
    async with on_screen() as (app, pilot):
        await posed(pilot, (*OPEN, "p"))
        assert isinstance(app.screen, PromptScreen)
        assert app.screen.line.text == f"{JOB}.pdf"
        app.screen.line.text, app.screen.line.caret = "", 0
        await posed(pilot, (*(_key(char) for char in str(target)), "enter", "WAIT"))
        await until(pilot, lambda: isinstance(app.screen, JobScreen))
        assert "the sheet is in" in await seen(pilot)
    written = target.read_bytes()
    assert written.lower().startswith(begins.lower())
    assert ending == ".pdf" or b"Glued plates" in written


async def test_a_sheet_that_is_there_is_written_over_only_when_asked(
    on_screen: Opener, tmp_path: Path
) -> None:
    target = tmp_path / "sheet.txt"
    target.write_text("mine", encoding="utf-8")
    async with on_screen() as (app, pilot):
        await posed(pilot, OPEN)
        app.screen._take_name(str(target))
        await settled(pilot)
        assert isinstance(app.screen, AskScreen)
        await posed(pilot, ("escape",))
        assert target.read_text(encoding="utf-8") == "mine"
        app.screen._take_name(str(target))
        await posed(pilot, ("y", "WAIT"))
        await until(pilot, lambda: isinstance(app.screen, JobScreen))
        assert "Glued plates" in target.read_text(encoding="utf-8")


async def test_a_sheet_that_cannot_be_written_says_so(on_screen: Opener, tmp_path: Path) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, (*OPEN, "p", *["backspace"] * 4, *(_key(char) for char in ".doc"), "enter"))
        assert "end the name in .pdf, .html, .txt" in await seen(pilot)
        await posed(pilot, ("escape",))
        app.screen._take_name(str(tmp_path / "no-folder" / "sheet.txt"))
        await until(pilot, lambda: isinstance(app.screen, JobScreen))
        assert "not written: this cannot be written: no such file or directory" in await seen(pilot)


def _key(char: str) -> str:
    return {".": "full_stop", "/": "slash", "-": "minus", "_": "underscore"}.get(char, char)


async def test_the_reply_is_read_and_copied(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    report = judge_job(load_job(Book.open(workshop), JOB))
    letter = reply(report.case.job, report.features, report.stock, system="metric")
    async with on_screen(size=(100, 40)) as (_, pilot):
        await posed(pilot, (*OPEN, "c"))
        shown = await seen(pilot)
        for line in letter.splitlines():
            assert line in shown
        await posed(pilot, ("y",))
        assert outside.copied_file().read_text(encoding="utf-8") == letter
        assert "copied" in await seen(pilot)
        await posed(pilot, ("escape", "y"))
        assert "Can it be made" in outside.copied_file().read_text(encoding="utf-8")


def test_a_letter_is_broken_anew_for_fewer_columns() -> None:
    letter = (
        "Needs a change:\n1. A first point that is so long that it goes on\n   on a second line: here.\n"
        "2. Another.\n\nA closing paragraph of two lines, the\nsecond of them short.\n"
    )
    part = letter_part("Reply", letter)
    assert list(part.tell(60)) == letter.rstrip("\n").split("\n")
    assert list(part.tell(36)) == [
        "Needs a change:",
        "1. A first point that is so long",
        "   that it goes on on a second line:",
        "   here.",
        "2. Another.",
        "",
        "A closing paragraph of two lines,",
        "the second of them short.",
    ]


@pytest.mark.parametrize("columns", [60, 80, 120])
async def test_the_heat_curve_fits(columns: int, on_screen: Opener) -> None:
    async with on_screen(size=(columns, 30)) as (_, pilot):
        await posed(pilot, (*OPEN, "h"))
        shown = (await seen(pilot)).splitlines()
        drawn = [line for line in shown if "│" in line]
        assert len(drawn) >= 10
        assert all(line.rstrip().endswith("│") and len(line) <= columns for line in drawn)
        assert any("●" in line for line in drawn)


async def test_a_file_that_changes_is_noticed(job: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, OPEN)
        before = app.screen.sheet.report.time.total
        app.screen.look_at_disk()
        assert app.screen.progress is None
        job.write_text(job.read_text().replace('path = "12 m"', 'path = "24 m"'), encoding="utf-8")
        app.screen.look_at_disk()
        await settled(pilot)
        assert app.screen.sheet.report.time.total > before
        assert "changed on disk; judged again" in await seen(pilot)


async def test_read_again_and_the_editor(
    job: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[Path] = []
    monkeypatch.setattr(outside, "edit", lambda _, path: opened.append(path) or "")
    async with on_screen() as (app, pilot):
        await posed(pilot, (*OPEN, "r"))
        assert "read again from disk and judged" in await appears(pilot, "read again")
        await posed(pilot, ("e",))
        assert opened == [job]
        assert isinstance(app.screen, JobScreen)


async def test_escape_while_a_job_is_judged_goes_back(
    on_screen: Opener, monkeypatch: pytest.MonkeyPatch, stopped: threading.Event
) -> None:
    begun, go = threading.Event(), threading.Event()
    judge = job_sheet.judge_job

    def slow(case):
        begun.set()
        assert go.wait(5)
        return judge(case)

    monkeypatch.setattr(job_sheet, "judge_job", slow)
    async with on_screen() as (app, pilot):
        await posed(pilot, ("J", "WAIT"))
        await pilot.press("enter")
        while not begun.is_set():
            await pilot.pause(0.01)
        assert "judging …" in await seen(pilot)
        await pilot.press("escape")
        assert isinstance(app.screen, JobsScreen)
        go.set()
        while not stopped.is_set():
            await pilot.pause(0.01)
        await settled(pilot)
        assert isinstance(app.screen, JobsScreen)


async def test_whole_jobs_another_rename_delete_and_back(workshop: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, (*OPEN, "a", "enter", "WAIT"))
        assert app.screen.sheet.job == f"{JOB}-2"
        assert "Glued plates, another" in await seen(pilot)
        assert (workshop / f"jobs/{JOB}-2.toml").exists()
        await posed(pilot, ("R", *["backspace"] * 2, *"r", "enter", "WAIT"))
        await until(pilot, lambda: isinstance(app.screen, JobScreen) and app.screen.sheet.job == f"{JOB}r")
        assert f"{JOB}-2 is {JOB}r now" in await seen(pilot)
        await posed(pilot, ("delete", "y", "WAIT"))
        await until(pilot, lambda: isinstance(app.screen, JobScreen) and app.screen.sheet.job == JOB)
        assert not (workshop / f"jobs/{JOB}r.toml").exists()
        await posed(pilot, ("B",))
        assert isinstance(app.screen, ChooseScreen)
        await posed(pilot, ("enter", "WAIT"))
        assert app.screen.sheet.job == f"{JOB}r"
        assert (workshop / f"jobs/{JOB}r.toml").exists()


async def test_a_value_saved_is_judged_on_going_back(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, OPEN)
        before = app.screen.sheet.report.case.ambient
        await posed(pilot, ("v",))
        assert isinstance(app.screen, RecordScreen)
        at = [fact.key for fact in app.screen.sheet.finder.rows].index("ambient")
        await posed(pilot, (*["down"] * at, *"12", "enter", "s", "escape", "WAIT"))
        assert isinstance(app.screen, JobScreen)
        assert app.screen.sheet.report.case.ambient == pytest.approx(before - 18)


async def test_a_second_side_stands_under_how_it_is_turned(workshop: Path, on_screen: Opener) -> None:
    make_job(workshop, **BOTH)
    async with on_screen() as (app, pilot):
        await posed(pilot, OPEN)
        shown = (await seen(pilot)).splitlines()
        turned = next(at for at, line in enumerate(shown) if "turn it over, find it by its edges" in line)
        assert "Rough the pocket" in shown[turned - 1]
        assert "Rough the pocket" in shown[turned + 1]
        assert "The second side" in [part.name for part in app.screen.sheet.finder.rows]
