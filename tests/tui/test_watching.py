"""The page's head says how many files have problems, counted beside the keys."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from support.books import JOB, to_toml, values
from swarfbook.decisions import troubles
from swarfbook.tui import outside
from swarfbook.tui.commands import bind
from tui.conftest import Opener, posed, seen, settled


def spoil(root: Path, stem: str) -> Path:
    path = root / f"{stem}.toml"
    path.write_text(path.read_text().replace("schema", "scheme"))
    return path


async def test_a_book_that_is_well_says_nothing(on_screen: Opener) -> None:
    async with on_screen() as (_, pilot):
        await settled(pilot)
        assert "problems ·" not in await seen(pilot)


async def test_files_with_problems_are_counted_and_the_key_is_said(workshop: Path, on_screen: Opener) -> None:
    spoil(workshop, "recipes/plate-finish")
    spoil(workshop, "materials/6061-plate")
    (workshop / "runs").mkdir(exist_ok=True)
    (workshop / "runs/2026-11.jsonl").write_text("{\n[\n")
    async with on_screen() as (_, pilot):
        await settled(pilot)
        assert "4 recipes · 3 files with problems (x)" in (await seen(pilot)).splitlines()[0]


async def test_jobs_that_do_not_read_or_fit_are_counted_and_listed(workshop: Path, on_screen: Opener) -> None:
    job = to_toml(values("job", {"machine": "lathe"}))
    (workshop / f"jobs/{JOB}.toml").write_text(job)
    (workshop / "jobs/second.toml").write_text(job.replace("schema", "scheme"))
    async with on_screen() as (_, pilot):
        await settled(pilot)
        assert "4 recipes · 2 files with problems (x)" in (await seen(pilot)).splitlines()[0]
        await posed(pilot, ("x", "WAIT"))
        shown = " ".join((await seen(pilot)).split())
        assert f"jobs/{JOB}.toml ▸ machine found 'lathe'; no machine of that id" in shown


async def test_a_key_of_ones_own_is_said(workshop: Path, on_screen: Opener) -> None:
    spoil(workshop, "recipes/plate-finish")
    async with on_screen() as (_, pilot):
        bind({"page.problems": ["X"]})
        try:
            await posed(pilot, ("tab",))
            assert "1 file with problems (X)" in await seen(pilot)
        finally:
            bind({})


async def test_it_follows_what_is_mended(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = spoil(workshop, "recipes/plate-finish")
    spoil(workshop, "recipes/bench-too-deep")

    def mend(*_: object) -> str:
        path.write_text(path.read_text().replace("scheme", "schema"))
        return ""

    monkeypatch.setattr(outside, "edit", mend)
    async with on_screen() as (app, pilot):
        await posed(pilot, ("x", "WAIT"))
        app.screen.rows().place = next(
            at for at, row in enumerate(app.screen.rows().hits) if row.group == "recipes/plate-finish.toml"
        )
        await posed(pilot, ("enter", "WAIT", "escape"))
        assert "1 file with problems (x)" in await seen(pilot)
        spoil(workshop, "recipes/plate-finish")
        await posed(pilot, ("M", "WAIT", "escape", "WAIT"))
        assert "2 files with problems (x)" in await seen(pilot)
        await posed(pilot, ("e", "WAIT"))
        assert "1 file with problems (x)" in await seen(pilot)


async def test_the_page_is_there_before_recipes_are_looked_at_and_nothing_is_after_it_is_left(
    on_screen: Opener, monkeypatch: pytest.MonkeyPatch, stopped: threading.Event
) -> None:
    steps, looked = threading.Semaphore(0), list[str]()
    look = troubles.case_of

    def by_steps(book, recipe, *rest):
        steps.acquire(timeout=20)
        looked.append(recipe)
        return look(book, recipe, *rest)

    monkeypatch.setattr(troubles, "case_of", by_steps)
    async with on_screen() as (app, pilot):
        await pilot.press("tab")
        assert "limit" in await seen(pilot)
        assert looked == []
        steps.release()
        while not looked:
            await pilot.pause(0.01)
        app.exit()
    steps.release(4)
    assert stopped.wait(20)
    assert len(looked) == 2
