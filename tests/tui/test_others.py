"""Other writers, the demo book, and leaving: nothing is lost and nothing is written unasked."""

from __future__ import annotations

from pathlib import Path

import pytest

from support import books
from swarfbook import resources
from swarfbook.tui.app import SwarfbookApp
from tui.conftest import RECIPE, Opener, seen


def edited_by_another(path: Path, old: str, new: str) -> None:
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))


async def depth_changed(app: SwarfbookApp, pilot) -> None:
    app.page.sheet.choose("axial_depth")
    await pilot.press("2", "enter")


async def test_a_file_that_changed_is_read_where_nothing_is_lost(workshop: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        edited_by_another(workshop / f"recipes/{RECIPE}.toml", "24 mm", "22 mm")
        app.page.look_at_disk()
        await pilot.pause()
        assert "22 mm out of the collet" in await seen(pilot)
        assert "read again from disk" in await seen(pilot)


async def test_a_cutter_that_changed_is_judged_by(workshop: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        edited_by_another(workshop / f"tools/{books.TOOL}.toml", "16 mm", "12 mm")
        app.page.look_at_disk()
        await pilot.pause()
        rung = next(rung for rung in app.page.sheet.rungs if rung.limit == "cut-depth")
        assert rung.use == pytest.approx(3 / 12)
        assert "judged again" in await seen(pilot)


@pytest.mark.parametrize(("answer", "depth"), [("m", "2 mm"), ("t", "3 mm")])
async def test_a_file_that_changed_under_changes_is_told_and_asked_about(
    workshop: Path, on_screen: Opener, answer: str, depth: str
) -> None:
    async with on_screen() as (app, pilot):
        await depth_changed(app, pilot)
        edited_by_another(workshop / f"recipes/{RECIPE}.toml", "24 mm", "22 mm")
        app.page.look_at_disk()
        await pilot.pause()
        assert "changed on disk (r)" in await seen(pilot)
        assert "r read again" in await seen(pilot)
        await pilot.press("s")
        asked = await seen(pilot)
        assert "keep my changes on top" in asked
        assert "axial depth: mine 2 mm, on disk as it was" in asked
        assert "stickout: on disk 22 mm, here as it was, 24 mm" in asked
        await pilot.press(answer)
        assert app.desk.draft.values["stickout"] == "22 mm"
        assert app.desk.draft.values["axial_depth"] == depth
        assert "changed on disk" not in await seen(pilot)
        await pilot.press("s", "u")
        text = (workshop / f"recipes/{RECIPE}.toml").read_text()
        assert 'stickout = "22 mm"' in text
        assert f'axial_depth = "{depth}"' in text


async def test_a_value_that_both_changed_is_told_with_both(workshop: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await depth_changed(app, pilot)
        depths = ('axial_depth = "3 mm"', 'axial_depth = "2.5 mm"')
        edited_by_another(workshop / f"recipes/{RECIPE}.toml", *depths)
        await pilot.press("s")
        assert "axial depth: mine 2 mm, on disk 2.5 mm" in await seen(pilot)


async def test_going_back_from_the_question_keeps_everything(workshop: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await depth_changed(app, pilot)
        edited_by_another(workshop / f"recipes/{RECIPE}.toml", "24 mm", "22 mm")
        await pilot.press("s", "escape")
        assert app.screen is app.page
        assert app.desk.draft.values["axial_depth"] == "2 mm"
        assert "22 mm" in (workshop / f"recipes/{RECIPE}.toml").read_text()


async def test_q_leaves_at_once_where_all_is_saved(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("q")
        assert not app.is_running


@pytest.mark.parametrize(("answer", "depth"), [("s", "2 mm"), ("x", "3 mm")])
@pytest.mark.parametrize("key", ["q", "ctrl+q"])
async def test_leaving_asks_about_what_is_not_saved(
    workshop: Path, on_screen: Opener, key: str, answer: str, depth: str
) -> None:
    async with on_screen() as (app, pilot):
        await depth_changed(app, pilot)
        await pilot.press(key)
        assert app.is_running
        assert f"{RECIPE}: axial depth" in await seen(pilot)
        await pilot.press("escape")
        assert app.screen is app.page
        await pilot.press(key, answer)
        assert not app.is_running
    assert f'axial_depth = "{depth}"' in (workshop / f"recipes/{RECIPE}.toml").read_text()


async def test_saving_and_leaving_saves_every_recipe_on_the_desk(workshop: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await depth_changed(app, pilot)
        await pilot.press("l", *"slot", "enter")
        await depth_changed(app, pilot)
        await pilot.press("q", "s")
        assert not app.is_running
    for recipe in (RECIPE, "bench-slot"):
        assert 'axial_depth = "2 mm"' in (workshop / f"recipes/{recipe}.toml").read_text()


async def test_a_recipe_that_cannot_be_saved_keeps_the_program_open(
    workshop: Path, on_screen: Opener
) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("radial_width")
        await pilot.press("7", "enter")
        (workshop / f"recipes/{RECIPE}.toml").unlink()
        await pilot.press("q", "s")
        assert app.is_running
        assert app.desk.draft.values["radial_width"] == "7 mm"


async def test_ctrl_c_says_how_to_leave(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("ctrl+c")
        assert app.is_running
        assert "q leaves" in await seen(pilot)


async def test_the_demo_book_is_not_written_to(on_screen: Opener) -> None:
    root = resources.demo_book_dir()
    async with on_screen(None, root=root) as (app, pilot):
        recipe = app.desk.draft.recipe_id
        before = (root / f"recipes/{recipe}.toml").read_bytes()
        app.page.sheet.choose("stickout")
        await pilot.press("+", "1", "enter", "s")
        assert "swarfbook init --demo" in await seen(pilot)
        assert app.desk.draft.dirty
        await pilot.press("q")
        assert "save and leave" not in await seen(pilot)
        await pilot.press("x")
        assert not app.is_running
        assert (root / f"recipes/{recipe}.toml").read_bytes() == before
