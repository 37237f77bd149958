"""Solving on screen: the form of a job, the first recipe it comes to, named, saved on trial and opened."""

from __future__ import annotations

import threading
import tomllib
from pathlib import Path

import pytest

from swarfbook.book import Book
from swarfbook.decisions.first_values import Wishes
from swarfbook.decisions.solve import solve_in_book
from swarfbook.reports.solve_page import solve_lines
from swarfbook.tui import beside, solve_screen
from swarfbook.tui.desk import Desk
from swarfbook.tui.job_forms import SOLVED_BY, Sought, solve_form, sought_of
from swarfbook.tui.solve_screen import SolutionScreen, SolveScreen
from tui.conftest import RECIPE, Opener, posed, seen, settled, until

IDS = ("long-bed-router", "em-6mm-1f", "6082-t6")
STEM = "em-6mm-1f-6082-t6-rough"


def downs(field: str) -> tuple[str, ...]:
    return ("down",) * [one.id for one in SOLVED_BY].index(field)


def test_the_form_begins_with_what_the_recipe_says_of_the_job(workshop: Path) -> None:
    assert sought_of(solve_form(Desk(Book.open(workshop), RECIPE))) == Sought(
        IDS, "rough", Wishes(margin=0.25, allowance=0.0005, stickout=0.024)
    )


def test_depth_and_width_are_the_jobs_where_the_operation_leaves_nothing_to_choose(workshop: Path) -> None:
    sought = sought_of(solve_form(Desk(Book.open(workshop), "plate-finish")))
    assert (sought.wishes.depth, sought.wishes.width) == pytest.approx((0.003, 0.0015))
    slot = sought_of(solve_form(Desk(Book.open(workshop), "bench-slot")))
    assert (slot.wishes.depth, slot.wishes.width) == (None, None)


async def test_a_first_recipe_is_worked_out_and_read(workshop: Path, on_screen: Opener) -> None:
    async with on_screen(size=(100, 60)) as (app, pilot):
        await posed(pilot, ("S", "enter"))
        assert isinstance(app.screen, SolutionScreen)
        sought = Sought(IDS, "rough", Wishes(margin=0.25, allowance=0.0005, stickout=0.024))
        own = solve_in_book(Book.open(workshop), IDS, "rough", sought.wishes)
        assert app.screen.sought == sought
        assert app.screen.found.values == own.values
        shown = await seen(pilot)
        for line in "\n".join(solve_lines(own, sought.wishes, width=99, system=None)[2:]).split("\n"):
            assert line.replace("\u00a0", " ") in shown
        assert "A tenth more of" in shown
        assert "A first recipe, 25 % of every limit on a load left free" in shown


async def test_what_is_written_is_what_is_sought(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("S", *downs("margin"), *"40", "tab", *"5", "enter"))
        assert app.screen.sought.wishes.margin == pytest.approx(0.4)
        assert app.screen.sought.wishes.depth == pytest.approx(0.005)
        assert app.screen.found.best.axial_depth <= 0.005 * (1 + 1e-9)


async def test_it_is_named_saved_on_trial_and_opened(workshop: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("S", "enter", "WAIT"))
        values = dict(app.screen.found.values)
        await posed(pilot, ("enter",))
        assert f"save as: {STEM}" in await seen(pilot)
        await posed(pilot, ("enter",))
        assert app.screen is app.page
        assert app.page.sheet.draft.recipe_id == STEM
    saved = tomllib.loads((workshop / f"recipes/{STEM}.toml").read_text())
    assert saved == values
    assert saved["standing"] == "trial"


async def test_every_letter_goes_into_the_name_and_escape_goes_back_step_by_step(
    workshop: Path, on_screen: Opener
) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("S", "enter", "WAIT", "enter", "ctrl+u", *"quick?"))
        assert app.screen.naming.line.text == "quick?"
        await posed(pilot, ("enter",))
        assert "not saved" in await seen(pilot)
        await posed(pilot, ("escape",))
        assert "scroll" in await seen(pilot)
        await posed(pilot, ("escape",))
        assert isinstance(app.screen, SolveScreen)
        await posed(pilot, ("escape",))
        assert app.screen is app.page
        assert len(Book.open(workshop).ids("recipe")) == 4


async def test_a_value_that_will_not_do_is_refused_beside_it(on_screen: Opener) -> None:
    async with on_screen(size=(120, 36)) as (app, pilot):
        await posed(pilot, ("S", *downs("depth"), *"5x", "down", "enter"))
        assert app.screen.form.asked.id == "depth"
        line = next(line for line in (await seen(pilot)).splitlines() if line.startswith(" ▸"))
        assert "is not a unit" in line


async def test_what_the_search_refuses_is_said_in_the_form(on_screen: Opener) -> None:
    async with on_screen(size=(120, 36)) as (app, pilot):
        await posed(pilot, ("S", *downs("operation"), *"bore", "enter"))
        assert isinstance(app.screen, SolveScreen)
        assert app.screen.form.asked.id == "hole"
        assert "a bore needs its diameter" in await seen(pilot)


async def test_what_is_refused_while_help_is_open_is_said_below_it(
    on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    go = threading.Event()

    def slow(*args, **kwargs):
        assert go.wait(20)
        return solve_in_book(*args, **kwargs)

    monkeypatch.setattr(solve_screen, "solve_in_book", slow)
    async with on_screen() as (app, pilot):
        try:
            await pilot.press("S", *downs("operation"), *"bore", "enter", "f1")
        finally:
            go.set()
        await settled(pilot)
        await posed(pilot, ("escape",))
        assert isinstance(app.screen, SolutionScreen)
        assert "a bore needs its diameter" in await seen(pilot)


async def test_progress_is_said_and_escape_ends_the_search(
    on_screen: Opener, monkeypatch: pytest.MonkeyPatch, stopped: threading.Event
) -> None:
    go = threading.Event()

    def slow(*args, watch, **kwargs):
        watch()
        assert go.wait(20)
        return solve_in_book(*args, watch=watch, **kwargs)

    monkeypatch.setattr(solve_screen, "solve_in_book", slow)
    monkeypatch.setattr(beside, "PATIENCE", 0.02)
    async with on_screen() as (app, pilot):
        await pilot.press("S", "enter")
        try:
            await pilot.pause(0.1)
            assert "every limit allows: 1 of 147" in await seen(pilot)
            await pilot.press("enter")  # there is nothing to take yet
            assert app.screen.naming.line is None
            await pilot.press("escape")
            assert isinstance(app.screen, SolveScreen)
        finally:
            go.set()
        await until(pilot, stopped.is_set)
        assert isinstance(app.screen, SolveScreen)


async def test_the_steps_told_are_never_more_than_it_says_there_are(workshop: Path) -> None:
    for operation in ("rough", "slot", "finish", "plunge"):
        looks = []
        solve_in_book(Book.open(workshop), IDS, operation, watch=lambda looks=looks: looks.append(1))
        assert 0 < len(looks) <= solve_screen.LOOKS


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (200, 60)])
async def test_it_fits_every_size(on_screen: Opener, size: tuple[int, int]) -> None:
    async with on_screen(size=size) as (_, pilot):
        await posed(pilot, ("S",))
        form = await seen(pilot)
        await posed(pilot, ("enter",))
        for shown in (form, await seen(pilot)):
            assert max(map(len, shown.splitlines())) <= size[0]
            assert "Esc back" in shown.splitlines()[-1]
