"""Picking on screen: the form of a job, the ranking below it, the reasons, what is opened and named."""

from __future__ import annotations

import threading
import tomllib
from pathlib import Path

import pytest

from swarfbook import quantities
from swarfbook.book import Book
from swarfbook.decisions.asking import asked_told
from swarfbook.decisions.pick import Asked, pick
from swarfbook.reports.pick_page import WORDS
from swarfbook.tui import beside, pick_screen
from swarfbook.tui.desk import READ_ONLY, Desk
from swarfbook.tui.job_forms import asked_of, job_text, pick_form
from swarfbook.tui.pick_screen import PickScreen
from tui.conftest import RECIPE, Opener, posed, seen, settled, until
from tui.runs import run

DOWN = {
    name: at
    for at, name in enumerate(
        (
            "material",
            "operation",
            "machine",
            "wall",
            "inside_corner",
            "slot",
            "tolerance",
            "finish",
            "minutes",
            "hands_off",
            "margin",
        )
    )
}


def downs(field: str) -> tuple[str, ...]:
    return ("down",) * DOWN[field]


# The form


@pytest.mark.parametrize(
    ("field", "text", "name", "value"),
    [
        ("wall", "22", "wall", 0.022),
        ("wall", "1/2 in", "wall", 0.0127),
        ("finish", "1.6", "roughness", 1.6e-6),
        ("finish", "Ra 1.6 um", "roughness", 1.6e-6),
        ("minutes", "60", "minutes", 60.0),
        ("minutes", "1.5 h", "minutes", 90.0),
        ("margin", "20", "margin", 0.2),
        ("margin", "20%", "margin", 0.2),
    ],
)
def test_each_value_is_read_with_its_unit(
    workshop: Path, field: str, text: str, name: str, value: float
) -> None:
    form = pick_form(Desk(Book.open(workshop), RECIPE))
    form.texts[field].insert(text)
    assert getattr(asked_of(form), name) == pytest.approx(value)


def test_a_bare_length_is_in_the_units_shown(workshop: Path) -> None:
    desk = Desk(Book.open(workshop), RECIPE)
    desk.shown = "imperial"
    form = pick_form(desk)
    form.texts["wall"].insert("0.5")
    assert asked_of(form).wall == pytest.approx(quantities.parse("0.5 in", "length"))


def test_a_form_begins_with_the_job_of_the_recipe_on_the_page(workshop: Path) -> None:
    form = pick_form(Desk(Book.open(workshop), "plate-finish"))
    assert asked_of(form) == Asked("6061-plate", "finish")
    form.choices["hands_off"].place = 1
    form.texts["wall"].insert("14")
    assert asked_of(form).hands_off
    assert job_text(form) == "6061 plate, Finish, wall 14 mm, hands off"


def test_what_the_command_reads_the_form_reads() -> None:
    told = {"material": "x", "operation": "rough", "wall": "14 mm", "finish": "Ra 0.8 um", "margin": "0.1"}
    asked = asked_told(told, hands_off=True)
    assert (asked.wall, asked.roughness, asked.margin, asked.hands_off) == pytest.approx(
        (0.014, 8e-7, 0.1, True)
    )


# The ranking


async def test_the_ranking_stands_below_the_form_as_it_is_ranked(workshop: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("P",))
        ranked = pick(Book.open(workshop), Asked("6082-t6", "rough"))
        assert [row.candidate.recipe for row in app.screen.ranking.hits] == [one.recipe for one in ranked]
        shown = await seen(pilot)
        assert "▸ material" in shown
        assert "of 2 recipes may be run" in shown
        assert WORDS["over"] in shown
        assert "bench-too-deep" in shown


async def test_it_is_ranked_anew_when_a_value_is_written_and_not_before(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("P", "WAIT", *downs("wall"), *"20"))
        assert "reach 16" not in await seen(pilot)
        assert app.screen.chosen.fit != "cannot"
        await posed(pilot, ("tab",))
        assert {row.candidate.fit for row in app.screen.ranking.hits if not row.candidate.adapted} == {
            "cannot"
        }
        await posed(pilot, ("enter",))
        assert "reach 16.0 mm, wall 20.0 mm" in await seen(pilot)
        await posed(pilot, ("tab", "up", "ctrl+u", "enter"))
        assert "6082-T6 flat bar, Rough" in await seen(pilot)
        assert app.screen.chosen.fit != "cannot"


@pytest.mark.parametrize("leave", ["tab", "up", "enter"])
async def test_a_value_that_will_not_do_is_refused_beside_it(on_screen: Opener, leave: str) -> None:
    async with on_screen(size=(120, 36)) as (app, pilot):
        await posed(pilot, ("P", *downs("wall"), *"20x", leave))
        line = next(line for line in (await seen(pilot)).splitlines() if line.startswith(" ▸"))
        assert "wall" in line
        assert "is not a unit" in line
        assert not app.screen.among_ranked
        await posed(pilot, ("backspace",))
        assert "is not a unit" not in await seen(pilot)


async def test_letters_that_find_no_material_are_refused(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("P", *"zz", "enter"))
        assert "no material begins so" in await seen(pilot)
        assert app.screen.form.asked.id == "material"


async def test_the_chosen_recipe_says_what_it_is_and_why_no_better(on_screen: Opener) -> None:
    async with on_screen(size=(120, 36)) as (app, pilot):
        await posed(pilot, ("P", "WAIT", "enter", "end", "down", "down"))
        one = app.screen.chosen
        assert one.recipe == "bench-too-deep"
        shown = await seen(pilot)
        assert all(reason in shown for reason in one.reasons)
        assert "12 mm deep" in shown


async def test_enter_opens_the_chosen_recipe_on_the_page(workshop: Path, on_screen: Opener) -> None:
    run(workshop)
    async with on_screen("bench-too-deep") as (app, pilot):
        await posed(pilot, ("WAIT", "P", "WAIT", "enter"))
        assert WORDS["tight"] in await seen(pilot)
        await posed(pilot, ("enter",))
        assert app.screen is app.page
        assert app.page.sheet.draft.recipe_id == RECIPE


@pytest.mark.parametrize("keys", [("l", "f2"), ("l", "WAIT", "tab", "P")])
async def test_it_opens_from_the_list_and_a_recipe_opens_on_the_page(
    on_screen: Opener, keys: tuple[str, ...]
) -> None:
    async with on_screen("bench-too-deep") as (app, pilot):
        await posed(pilot, (*keys, "WAIT"))
        assert isinstance(app.screen, PickScreen)
        await posed(pilot, ("enter", "enter"))
        assert app.screen is app.page
        assert app.page.sheet.draft.recipe_id == RECIPE


async def test_an_adapted_recipe_is_named_saved_on_trial_and_opened(
    workshop: Path, on_screen: Opener
) -> None:
    async with on_screen() as (app, pilot):
        # Roughing the other plate: nothing in the book does, and 6082 is its neighbour.
        await posed(pilot, ("P", *"6061", "enter"))
        one = app.screen.chosen
        assert one.adapted is not None
        shown = await seen(pilot)
        assert "a trial, adapted" in shown
        assert "with another material" in shown
        assert "to prove: nothing has run clean with these three yet" in shown
        assert "none of the book's may be run as it is" in shown
        await posed(pilot, ("enter",))
        assert f"save as: {one.recipe}-adapted" in await seen(pilot)
        await posed(pilot, ("ctrl+u", *"plate-first", "enter"))
        assert app.screen is app.page
        assert app.page.sheet.draft.recipe_id == "plate-first"
    saved = tomllib.loads((workshop / "recipes/plate-first.toml").read_text())
    assert saved["standing"] == "trial"
    assert saved["material"] == "6061-plate"
    assert saved == {**one.check.case.values}


async def test_a_name_that_is_taken_is_refused_and_escape_keeps_nothing(
    workshop: Path, on_screen: Opener
) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("P", *"6061", "enter", "WAIT", "enter", "ctrl+u", *RECIPE, "enter"))
        assert "not saved" in await seen(pilot)
        await posed(pilot, ("escape",))
        assert app.screen.naming.line is None
        await posed(pilot, ("escape", "escape"))
        assert app.screen is app.page
        assert len(Book.open(workshop).ids("recipe")) == 4


async def test_the_demo_stays_as_it_is(on_screen: Opener, monkeypatch: pytest.MonkeyPatch) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("P", *"6061", "enter", "WAIT"))
        monkeypatch.setattr(app.desk.book, "built_in", True)
        await posed(pilot, ("enter",))
        assert READ_ONLY[:60] in await seen(pilot)


async def test_nothing_that_fits_is_said_with_what_else_there_is(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("P", "tab", *"plunge", "enter"))
        assert app.screen.ranking.hits == []
        shown = " ".join((await seen(pilot)).split())
        assert "none is near enough to adapt" in shown
        assert "S on the page works out a first one" in shown
        await posed(pilot, ("enter",))
        assert isinstance(app.screen, PickScreen)


async def test_the_mouse_chooses_and_opens(on_screen: Opener) -> None:
    async with on_screen("bench-too-deep") as (app, pilot):
        await posed(pilot, ("P", "WAIT"))
        assert await pilot.click("#ranking", offset=(8, 2))
        assert app.screen.among_ranked
        assert app.screen.chosen.recipe == RECIPE
        await pilot.click("#ranking", offset=(8, 2))
        assert app.screen is app.page
        assert app.page.sheet.draft.recipe_id == RECIPE


# Beside the keys


async def test_progress_is_said_and_escape_stops_the_ranking(
    on_screen: Opener, monkeypatch: pytest.MonkeyPatch, stopped: threading.Event
) -> None:
    go = threading.Event()

    def slow(book: Book, asked: Asked, *, past, watch) -> list:
        watch()
        assert go.wait(20)
        watch()
        return pick(book, asked, past=past)

    monkeypatch.setattr(pick_screen, "pick", slow)
    monkeypatch.setattr(beside, "PATIENCE", 0.02)
    async with on_screen() as (app, pilot):
        await pilot.press("P")
        try:
            await pilot.pause(0.1)
            shown = await seen(pilot)
            assert "recipes looked at 1 of 4" in shown
            assert "Esc stop" in shown
            await pilot.press("tab")
            assert "▸ operation" in await seen(pilot)
            await pilot.press("escape")
            assert "stopped; Enter ranks again" in await seen(pilot)
        finally:
            go.set()
        await until(pilot, stopped.is_set)
        await posed(pilot, ("tab",))
        assert app.screen.ranking.hits == []
        await posed(pilot, ("enter",))
        assert app.screen.ranking.hits


async def test_what_was_ranked_for_another_job_is_not_opened(
    on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    go = threading.Event()

    def slow(book: Book, asked: Asked, *, past, watch) -> list:
        if asked.wall is not None:
            assert go.wait(20)
        return pick(book, asked, past=past, watch=watch)

    monkeypatch.setattr(pick_screen, "pick", slow)
    async with on_screen() as (app, pilot):
        await posed(pilot, ("P", "WAIT"))
        try:
            await pilot.press(*downs("wall"), *"20", "enter", "enter")
            assert isinstance(app.screen, PickScreen)
            shown = await seen(pilot)
            assert "ranking …" in shown
            assert "Enter open" not in shown
        finally:
            go.set()
        await settled(pilot)
        assert "reach 16.0 mm, wall 20.0 mm" in await seen(pilot)


async def test_going_back_ends_the_ranking(
    on_screen: Opener, monkeypatch: pytest.MonkeyPatch, stopped: threading.Event
) -> None:
    go = threading.Event()

    def slow(book: Book, asked: Asked, *, past, watch) -> list:
        assert go.wait(20)
        watch()
        return pick(book, asked, past=past)

    monkeypatch.setattr(pick_screen, "pick", slow)
    async with on_screen() as (app, pilot):
        await pilot.press("P", "escape", "escape")
        assert app.screen is app.page
        go.set()
        await until(pilot, stopped.is_set)


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (200, 60)])
async def test_it_fits_every_size(on_screen: Opener, size: tuple[int, int]) -> None:
    async with on_screen(size=size) as (_, pilot):
        await posed(pilot, ("P", "WAIT"))
        form = await seen(pilot)
        await posed(pilot, ("enter",))
        ranking = await seen(pilot)
        for shown in (form, ranking):
            lines = shown.splitlines()
            assert len(lines) == size[1]
            assert max(map(len, lines)) <= size[0]
            assert "F1 help" in lines[-1]
            assert RECIPE[:20] in shown


async def test_it_is_ranked_anew_by_a_log_that_is_read_again(workshop: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("WAIT", "P", "WAIT"))
        best = app.screen.chosen
        assert best.check.case.past.cuts == ()
        run(workshop)
        app.page.look_at_log()
        await until(pilot, lambda: len(app.screen.chosen.check.case.past.cuts) == 1)
        assert app.screen.chosen.recipe == best.recipe
