"""The list: all recipes by machine and material, judged beside the keys, found as one types."""

from __future__ import annotations

from pathlib import Path

import pytest

from swarfbook.tui.list_screen import ListScreen
from tui.conftest import RECIPE, Opener, seen, settled


async def test_it_opens_at_the_recipe_on_the_page_and_judges_every_one(on_screen: Opener) -> None:
    async with on_screen(size=(100, 24)) as (_, pilot):
        await pilot.press("l")
        await settled(pilot)
        shown = await seen(pilot)
        assert "4 of 4 recipes" in shown
        assert "Bench router · 6082-T6 flat bar" in shown
        assert "Long-bed router · 6061 plate" in shown
        chosen = next(line for line in shown.splitlines() if "▸" in line)
        assert "6 mm one-flute, 6082, bulk roughing" in chosen
        for name in ("Kept to show what over looks like", "Clamp slot", "Plate, last pass"):
            line = next(line for line in shown.splitlines() if name in line)
            assert line.split()[-1] in ("holds", "tight", "over")
        over = next(line for line in shown.splitlines() if "Kept to show" in line)
        assert over.endswith("over")


@pytest.mark.parametrize(
    ("words", "names"),
    [
        ("slot", ["Clamp slot"]),
        ("bench trial", ["Clamp slot", "Kept to show what over looks like"]),
        ("trial bench rough", ["Kept to show what over looks like"]),
        ("4 mm two", ["Plate, last pass"]),
        ("out", []),
        ("4mm-2f", ["Plate, last pass"]),
        ("MAX-effort", ["6 mm one-flute, 6082, bulk roughing"]),
        ("no such words", []),
    ],
)
async def test_it_finds_words_in_any_order(on_screen: Opener, words: str, names: list[str]) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("slash", *(character if character != " " else "space" for character in words))
        await settled(pilot)
        assert [row.name for row in app.screen.shelf.hits] == names
        assert f"{len(names)} of 4 recipes" in await seen(pilot)


async def test_enter_opens_what_was_found(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("l", *"slot")
        await settled(pilot)
        await pilot.press("enter")
        assert app.screen is app.page
        assert app.desk.draft.recipe_id == "bench-slot"
        assert "Slot 6082-T6 flat bar" in await seen(pilot)


async def test_nothing_found_opens_nothing(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("l", *"zzz", "enter")
        assert isinstance(app.screen, ListScreen)
        await pilot.press("escape")
        assert app.desk.draft.recipe_id == RECIPE


async def test_up_and_down_walk_over_the_headings(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("l")
        await settled(pilot)
        await pilot.press("pageup")
        ids = [row.id for row in app.screen.shelf.rows]
        walked = [app.screen.shelf.chosen]
        for _ in range(4):
            await pilot.press("down")
            walked.append(app.screen.shelf.chosen)
        assert walked == [*ids, ids[-1]]
        await pilot.press("up", "pageup")
        assert app.screen.shelf.chosen == ids[0]


async def test_the_mouse_opens_a_recipe(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("l")
        await settled(pilot)
        rows = (await seen(pilot)).splitlines()
        row = next(at for at, line in enumerate(rows) if "Clamp slot" in line)
        await pilot.click(offset=(8, row))
        await pilot.pause()
        assert app.desk.draft.recipe_id == "bench-slot"


async def test_changes_wait_on_the_desk_while_another_recipe_is_open(on_screen: Opener) -> None:
    async with on_screen(size=(100, 24)) as (app, pilot):
        app.page.sheet.choose("axial_depth")
        await pilot.press("2", "enter", "l", *"slot", "enter")
        await settled(pilot)
        await pilot.press("l")
        await settled(pilot)
        line = next(line for line in (await seen(pilot)).splitlines() if "bulk roughing" in line)
        assert "* 6 mm one-flute" in line
        await pilot.press(*"bulk", "enter")
        assert app.desk.draft.values["axial_depth"] == "2 mm"
        assert app.desk.draft.dirty


async def test_a_recipe_that_cannot_be_read_stands_last_with_what_is_wrong(
    workshop: Path, on_screen: Opener
) -> None:
    (workshop / "recipes/a-broken.toml").write_text('schema = "recipe/1"\nname = "x\n')
    async with on_screen() as (app, pilot):
        await pilot.press("l")
        await settled(pilot)
        assert app.screen.shelf.rows[-1].id == "a-broken"
        assert "a-broken: " in await seen(pilot)
        await pilot.press("pagedown", "enter")
        assert app.screen is app.page
        assert "a-broken.toml" in await seen(pilot)
        assert app.desk.draft.recipe_id == RECIPE


async def test_a_narrow_list_leaves_the_room_to_the_names(on_screen: Opener) -> None:
    async with on_screen(size=(60, 20)) as (_, pilot):
        await pilot.press("l")
        await settled(pilot)
        line = next(line for line in (await seen(pilot)).splitlines() if "Kept to show" in line)
        assert "Kept to show what over looks like" in line
        assert line.split()[-1] == "over"
        assert float(line.split()[-2]) > 1
