"""Whole recipes on the page: another like this one, renamed, deleted and brought back."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from tui.conftest import RECIPE, Opener, seen


def written(root: Path, recipe: str) -> dict[str, object]:
    return tomllib.loads((root / f"recipes/{recipe}.toml").read_text(encoding="utf-8"))


def add_child(root: Path) -> None:
    parent = (root / f"recipes/{RECIPE}.toml").read_text()
    derived = f'from = "{RECIPE}"\nparent_digest = "sha256:{"0" * 64}"\nmethod = "feed"\nmargin = 0.1\n'
    (root / "recipes/child.toml").write_text(f"{parent}\n[derived]\n{derived}")


async def test_another_recipe_takes_the_changes_and_leaves_the_old_one(
    workshop: Path, on_screen: Opener
) -> None:
    path = workshop / f"recipes/{RECIPE}.toml"
    path.write_text("# as Ines found it\n" + path.read_text())
    before = path.read_text()
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("axial_depth")
        await pilot.press("2", "enter", "a")
        assert f"{RECIPE}-2" in await seen(pilot)
        await pilot.press("ctrl+u", *"twin", "enter")
        assert app.desk.draft.recipe_id == "twin"
        assert not app.desk.draft.dirty
        assert "recipes/twin.toml begun, on trial" in await seen(pilot)
        assert not app.desk.unsaved()
    twin = written(workshop, "twin")
    assert (twin["axial_depth"], twin["standing"]) == ("2 mm", "trial")
    assert (workshop / "recipes/twin.toml").read_text().startswith("# as Ines found it\n")
    assert path.read_text() == before


@pytest.mark.parametrize(("key", "told"), [("a", "not written: "), ("R", "not renamed: ")])
@pytest.mark.parametrize("name", ["bench-slot", "../up", "Upper"])
async def test_an_id_that_will_not_do_is_told_and_nothing_is_written(
    workshop: Path, on_screen: Opener, key: str, told: str, name: str
) -> None:
    before = sorted(path.name for path in workshop.rglob("*.toml"))
    async with on_screen() as (app, pilot):
        await pilot.press(key, "ctrl+u", *(("slash" if c == "/" else c) for c in name), "enter")
        assert told in await seen(pilot)
        assert app.desk.draft.recipe_id == RECIPE
    assert sorted(path.name for path in workshop.rglob("*.toml")) == before


async def test_a_recipe_is_renamed_and_its_child_follows(workshop: Path, on_screen: Opener) -> None:
    add_child(workshop)
    async with on_screen() as (app, pilot):
        await pilot.press("R", "ctrl+u", *"long", "enter")
        assert app.desk.draft.recipe_id == "long"
        assert f"{RECIPE} is long now; child followed" in await seen(pilot)
        app.page.sheet.choose("axial_depth")
        await pilot.press("2", "enter", "R")
        assert "save first" in await seen(pilot)
        assert app.screen is app.page
    assert not (workshop / f"recipes/{RECIPE}.toml").exists()
    assert written(workshop, "child")["derived"]["from"] == "long"


async def test_a_deleted_recipe_comes_back(workshop: Path, on_screen: Opener) -> None:
    path = workshop / "recipes/bench-slot.toml"
    before = path.read_text()
    async with on_screen("bench-slot") as (app, pilot):
        await pilot.press("delete")
        assert "Delete bench-slot?" in await seen(pilot)
        await pilot.press("escape")
        assert path.exists()
        await pilot.press("delete", "y")
        assert not path.exists()
        assert app.desk.draft.recipe_id != "bench-slot"
        assert "bench-slot is deleted; B brings it back" in await seen(pilot)
        await pilot.press("B", "enter")
        assert app.desk.draft.recipe_id == "bench-slot"
        await pilot.press("B")
        assert "no recipe was deleted" in await seen(pilot)
    assert path.read_text() == before


async def test_a_recipe_others_came_from_is_not_deleted_unseen(workshop: Path, on_screen: Opener) -> None:
    add_child(workshop)
    async with on_screen() as (app, pilot):
        await pilot.press("delete", "y")
        assert "not deleted: " in await seen(pilot)
        assert "child" in await seen(pilot)
        assert app.desk.draft.recipe_id == RECIPE


async def test_the_last_recipe_can_be_deleted(workshop: Path, on_screen: Opener) -> None:
    for path in (workshop / "recipes").glob("*.toml"):
        if path.stem != RECIPE:
            path.unlink()
    async with on_screen() as (app, pilot):
        await pilot.press("delete", "y")
        assert app.desk.draft is None
        assert "no recipe that can be read" in await seen(pilot)
        await pilot.press("B", "enter")
        assert app.desk.draft.recipe_id == RECIPE
