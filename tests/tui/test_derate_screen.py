"""Backing off: every method beside the parent, worked out beside the keys, named and saved."""

from __future__ import annotations

import asyncio
import threading
import tomllib
from pathlib import Path

import pytest

from swarfbook.book import Book
from swarfbook.decisions.derate import MOVES, derate, percent_text
from swarfbook.decisions.risk import derate_to_risk, load_chances
from swarfbook.reports.ladder import percent
from swarfbook.tui import derate_screen
from swarfbook.tui.derate_screen import DerateScreen
from tui.conftest import RECIPE, Opener, seen, settled

CHILD = f"{RECIPE}-25-off"


async def rested(pilot) -> None:
    await pilot.pause(derate_screen.REST + 0.1)
    await settled(pilot)


async def test_every_method_stands_beside_the_parent(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("d")
        await settled(pilot)
        shown = await seen(pilot)
        assert "margin [25 %]" in shown
        assert "each at most 0.75 of it" in shown
        assert "[least time]" in shown
        for method, derating in app.screen.state.deratings.items():
            own = derate(app.page.sheet.check.case, margin=0.25, method=method)
            assert derating.values == own.values
        assert "3 mm deep" in shown
        child = app.screen.state.chosen.values
        assert f"{child['axial_depth']} deep" in shown


async def test_a_method_that_cannot_reach_the_margin_says_so_and_saves_nothing(
    on_screen: Opener, workshop: Path
) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("d")
        await settled(pilot)
        await pilot.press("left", "left")
        assert app.screen.state.label == "speed"
        shown = await seen(pilot)
        assert "[speed]" in shown
        assert "short" in shown
        assert "(1.00)" in shown
        assert "cannot reach 25 %" in shown
        before = Book.open(workshop).ids("recipe")
        await pilot.press("enter")
        assert "does not keep the promise" in await seen(pilot)
        assert app.screen.state.naming.line is None
        assert Book.open(workshop).ids("recipe") == before


async def test_the_margin_is_typed_or_stepped(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("d", "4", "0")
        assert app.screen.state.margin.value == pytest.approx(0.40)
        await rested(pilot)
        assert app.screen.state.chosen.margin == pytest.approx(0.40)
        assert "at most 0.60 of it" in await seen(pilot)
        await pilot.press("up")
        assert app.screen.state.asked.typed == "45 %"
        await pilot.press("down", "down")
        assert app.screen.state.asked.typed == "35 %"
        await pilot.press("5", "backspace", "6", "0")
        assert app.screen.state.margin.value == pytest.approx(0.60)


@pytest.mark.parametrize("typed", ["96", "%", "1.2.3"])
async def test_what_is_no_margin_is_refused(on_screen: Opener, typed: str) -> None:
    names = {"%": "percent_sign", ".": "full_stop"}
    async with on_screen() as (app, pilot):
        await pilot.press("d", *(names.get(character, character) for character in typed), "enter")
        assert app.screen.state.refusal
        assert app.screen.state.refusal.split(",")[0] in await seen(pilot)
        assert app.screen.state.naming.line is None
        assert app.screen.state.margin.value != pytest.approx(0.96)


async def test_the_child_is_named_saved_and_opened(on_screen: Opener, workshop: Path) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("d")
        await settled(pilot)
        await pilot.press("enter")
        assert f"save as: {CHILD}" in await seen(pilot)
        expected = dict(app.screen.state.chosen.values)
        await pilot.press("enter")
        assert app.screen is app.page
        assert app.desk.draft.recipe_id == CHILD
        written = tomllib.loads((workshop / f"recipes/{CHILD}.toml").read_text())
        assert written == {"schema": "recipe/1", **expected}
        assert written["derived"]["from"] == RECIPE
        await pilot.press("n", *["pagedown"] * 9)
        assert f"backed off 25 % from {RECIPE} by least-time" in await seen(pilot)


@pytest.mark.parametrize(
    ("name", "words"),
    [("bench-slot", "already"), ("../up", "lower-case"), ("Upper", "lower-case"), ("", "lower-case")],
)
async def test_a_name_that_will_not_do_is_refused(
    on_screen: Opener, workshop: Path, name: str, words: str
) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("d")
        await settled(pilot)
        await pilot.press("enter", "ctrl+u")
        app.screen.state.naming.line.insert(name)
        before = Book.open(workshop).ids("recipe")
        await pilot.press("enter")
        assert isinstance(app.screen, DerateScreen)
        assert words in await seen(pilot)
        assert Book.open(workshop).ids("recipe") == before


async def test_the_proposed_name_is_free(on_screen: Opener, workshop: Path) -> None:
    (workshop / f"recipes/{CHILD}.toml").write_bytes((workshop / f"recipes/{RECIPE}.toml").read_bytes())
    async with on_screen() as (app, pilot):
        await pilot.press("d")
        await settled(pilot)
        await pilot.press("enter")
        assert app.screen.state.naming.line.text == f"{CHILD}-2"


async def test_every_letter_of_a_name_can_be_typed_and_the_caret_moves(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("d")
        await settled(pilot)
        await pilot.press("enter", "ctrl+u", *"roug", "left", "left", "u")
        assert app.screen.state.naming.line.text == "rouug"
        assert not app.screen.state.by_risk


async def test_escape_goes_back_a_step_at_a_time(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("d")
        await settled(pilot)
        await pilot.press("enter", "escape")
        assert isinstance(app.screen, DerateScreen)
        await pilot.press("escape")
        assert app.screen is app.page


async def test_a_changed_recipe_is_saved_before_it_is_backed_off(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("axial_depth")
        await pilot.press("2", "enter", "d")
        assert app.screen is app.page
        assert "save first" in await seen(pilot)


async def test_keys_are_answered_while_it_works_and_escape_leaves(
    on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    go = threading.Event()

    def slow(*args, **kwargs):
        assert go.wait(20)
        return derate(*args, **kwargs)

    monkeypatch.setattr(derate_screen, "derate", slow)
    async with on_screen() as (app, pilot):
        await pilot.press("d")
        try:
            assert "working" in await seen(pilot)
            await pilot.press("right", "enter")
            assert "[engagement]" in await seen(pilot)
            assert "still working it out" in await seen(pilot)
            await pilot.press("escape")
            assert app.screen is app.page
        finally:
            go.set()
        await settled(pilot)
        assert app.is_running


async def test_answers_to_an_old_margin_are_passed_over(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("d")
        await settled(pilot)
        old = app.screen.state.chosen
        await pilot.press("up")
        assert app.screen.state.deratings == dict.fromkeys(MOVES)
        assert not app.screen.state.take(0, old)
        await rested(pilot)
        assert app.screen.state.chosen.margin == pytest.approx(0.30)
        await asyncio.sleep(0)


async def test_a_risk_is_typed_and_the_margin_that_keeps_it_is_found(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("d")
        await settled(pilot)
        at_once = max(load_chances(app.screen.state.chosen.check).values())
        assert f"margin [25 %]  risk {percent(at_once)}" in await seen(pilot)
        await pilot.press("r", "2", "percent_sign")
        assert "risk [2%]" in await seen(pilot)
        assert "Looking for the smallest margin" in await seen(pilot)
        await rested(pilot)
        found = derate_to_risk(app.page.sheet.check.case, risk=0.02)
        assert app.screen.state.chosen.values == found.derating.values
        shown = await seen(pilot)
        assert f"margin {percent_text(found.derating.margin)}  risk [2%]" in shown
        assert "Chances: axis thrust" in shown
        await pilot.press("up", "up")
        assert app.screen.state.asked.typed == "10 %"
        await pilot.press("down")
        assert app.screen.state.asked.typed == "5 %"
        await pilot.press("r")
        assert "margin [25 %]" in await seen(pilot)


async def test_a_child_by_risk_is_saved_under_its_margin(on_screen: Opener, workshop: Path) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("d", "r")
        await rested(pilot)
        margin = app.screen.state.chosen.margin
        await pilot.press("enter", "enter")
        assert app.desk.draft.recipe_id == f"{RECIPE}-{100 * margin:.0f}-off"
        written = tomllib.loads((workshop / f"recipes/{app.desk.draft.recipe_id}.toml").read_text())
        assert written["derived"]["margin"] == pytest.approx(margin)


async def test_a_risk_that_is_not_reached_says_so_and_saves_nothing(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("d", "left", "left", "r")
        await rested(pilot)
        assert app.screen.state.label == "speed"
        assert "Not reached, no margin that speed reaches" in await seen(pilot)
        await pilot.press("enter")
        assert app.screen.state.naming.line is None


@pytest.mark.parametrize("typed", ["0", "51", "%"])
async def test_what_is_no_risk_is_refused(on_screen: Opener, typed: str) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("d", "r", *({"%": "percent_sign"}.get(one, one) for one in typed), "enter")
        assert app.screen.state.refusal.split(",")[0] in await seen(pilot)
        assert app.screen.state.risk.value in (0.01, 0.05)  # the last that would do


async def test_keys_are_answered_while_a_risk_is_looked_for(
    on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    go = threading.Event()

    def slow(*args, **kwargs):
        assert go.wait(20)
        return derate_to_risk(*args, **kwargs)

    monkeypatch.setattr(derate_screen, "derate_to_risk", slow)
    async with on_screen() as (app, pilot):
        await pilot.press("d", "r")
        try:
            await pilot.pause(derate_screen.REST + 0.1)
            await pilot.press("enter")
            assert "still working it out" in await seen(pilot)
            await pilot.press("escape")
            assert app.screen is app.page
        finally:
            go.set()
        await settled(pilot)
        assert app.is_running
