"""What is read over the page: the why of a rung and how to measure what is assumed."""

from __future__ import annotations

from pathlib import Path

import pytest

from swarfbook.reports.measuring import topics
from swarfbook.tui.choose_screen import Choice, ChooseScreen, find_line
from swarfbook.tui.finding import Finder
from swarfbook.tui.lines import text_of
from swarfbook.tui.text_screen import TextScreen
from tui.conftest import RECIPE, Opener, seen


async def test_the_why_of_the_chosen_rung_opens_over_the_page_and_closes(on_screen: Opener) -> None:
    async with on_screen(size=(100, 60)) as (app, pilot):
        await pilot.press("down", "w")
        chosen = app.page.sheet.limit
        shown = await seen(pilot)
        assert isinstance(app.screen, TextScreen)
        assert app.screen.heading.startswith(app.page.sheet.rungs[app.page.sheet.rung].title)
        for words in ("held against", "rests on", "spindle speed  18 000 rpm  (recipe)"):
            assert words in shown
        await pilot.press("escape")
        assert app.screen is app.page
        assert app.page.sheet.limit.name == chosen.name


async def test_the_why_is_of_the_values_on_the_desk(on_screen: Opener) -> None:
    async with on_screen(size=(100, 60)) as (app, pilot):
        app.page.sheet.choose("axial_depth")
        await pilot.press("2", "enter")
        while app.page.sheet.limit.name != "cut-depth":
            await pilot.press("down")
        await pilot.press("w")
        assert "axial depth  2.00 mm" in await seen(pilot)


async def test_there_is_no_why_of_values_that_cannot_be_judged(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("radial_width")
        await pilot.press("7", "enter")
        assert "w why" not in await seen(pilot)
        await pilot.press("w")
        assert app.screen is app.page


async def test_the_why_speaks_the_books_units(workshop: Path, on_screen: Opener) -> None:
    with (workshop / "book.toml").open("a") as file:
        file.write('units = "imperial"\n')
    async with on_screen(size=(100, 60)) as (_, pilot):
        assert " lbf " in await seen(pilot)
        await pilot.press("w")
        assert "lbf" in await seen(pilot)


async def test_the_why_leads_to_the_page_on_measuring_and_back(workshop: Path, on_screen: Opener) -> None:
    machine = workshop / "machines/long-bed-router.toml"
    machine.write_text(machine.read_text().replace('thrust = "600 N"', ""))
    async with on_screen(size=(100, 60)) as (app, pilot):
        while app.page.sheet.limit.name != "axis-thrust":
            await pilot.press("down")
        await pilot.press("w")
        assert "measure it: m, thrust: how hard an axis pushes" in await seen(pilot)
        assert "m measure it" in await seen(pilot)
        await pilot.press("m")
        assert "You need: luggage scale" in await seen(pilot)
        await pilot.press("escape", "escape")
        assert app.screen is app.page


async def test_where_more_than_one_thing_is_assumed_they_are_listed(
    workshop: Path, on_screen: Opener
) -> None:
    machine = workshop / "machines/long-bed-router.toml"
    text = machine.read_text().replace('thrust = "600 N"', "")
    machine.write_text(text.replace('runout = "0.01 mm"', ""))
    async with on_screen(size=(100, 60)) as (app, pilot):
        while app.page.sheet.limit.name != "axis-thrust":
            await pilot.press("down")
        await pilot.press("w", "m")
        assert isinstance(app.screen, ChooseScreen)
        assert [row.id for row in app.screen.finder.rows] == ["run-out", "thrust"]


async def test_a_why_with_nothing_assumed_has_nothing_to_measure(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        while app.page.sheet.limit.name != "cut-depth":
            await pilot.press("down")
        await pilot.press("w")
        assert "measure it" not in await seen(pilot)
        await pilot.press("m")
        assert isinstance(app.screen, TextScreen)


@pytest.mark.parametrize("at", range(len(topics())))
async def test_every_page_on_measuring_opens_from_the_list_and_goes_back_to_it(
    at: int, on_screen: Opener
) -> None:
    topic = topics()[at]
    async with on_screen(size=(100, 50)) as (app, pilot):
        await pilot.press("m", *["down"] * at)
        listed = await seen(pilot)
        assert [one.title for one in topics() if one.title not in listed] == []
        await pilot.press("enter")
        shown = " ".join((await seen(pilot)).split())
        assert f"It goes to {topic.key}" in shown
        assert " ".join(topic.sense.split()) in shown
        await pilot.press("escape")
        assert isinstance(app.screen, ChooseScreen)
        await pilot.press("escape")
        assert app.screen is app.page
        assert app.desk.draft.recipe_id == RECIPE


async def test_the_mouse_opens_a_page_on_measuring(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("m")
        rows = (await seen(pilot)).splitlines()
        await pilot.click(offset=(8, next(at for at, line in enumerate(rows) if "edge radius:" in line)))
        await pilot.pause()
        assert isinstance(app.screen, TextScreen)
        assert app.screen.heading.startswith("edge radius")


async def test_long_text_is_read_by_lines_and_by_screenfuls(on_screen: Opener) -> None:
    async with on_screen(size=(60, 20)) as (app, pilot):
        await pilot.press("question_mark")
        assert "more below" in await seen(pilot)
        await pilot.press("down")
        assert app.screen.top == 1
        await pilot.press("pagedown")
        assert app.screen.top == 1 + 20 - 6 - 1
        await pilot.press("pageup", "up", "up")
        assert app.screen.top == 0
        await pilot.press(*["pagedown"] * 40)
        assert "more below" not in await seen(pilot)


def test_a_find_line_longer_than_its_row_shows_what_is_being_typed_and_the_count() -> None:
    finder: Finder[Choice] = Finder()
    finder.fill([Choice("one", "one")], None)
    for letter in "a" * 100 + "z":
        finder.press(letter, letter)
    line = text_of(find_line(finder, 40))
    assert len(line) == 40
    assert line.startswith(" find: aaa")
    assert " ".join(line.split()).endswith("az 0 of 1")
