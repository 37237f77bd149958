"""Whole recipes on the page: another like this one, renamed, deleted and brought back."""

from __future__ import annotations

import threading
import tomllib
from pathlib import Path

import pytest

from swarfbook import resources
from swarfbook.book import Book
from swarfbook.tui import beside
from tui.conftest import RECIPE, Opener, posed, seen, settled


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
    assert twin["name"] == f"{written(workshop, RECIPE)['name']}, another"
    assert (workshop / "recipes/twin.toml").read_text().startswith("# as Ines found it\n")
    assert path.read_text() == before


@pytest.mark.parametrize("key", ["a", "R"])
@pytest.mark.parametrize("name", ["bench-slot", "../up", "Upper"])
async def test_an_id_that_will_not_do_is_told_and_nothing_is_written(
    workshop: Path, on_screen: Opener, key: str, name: str
) -> None:
    before = sorted(path.name for path in workshop.rglob("*.toml"))
    async with on_screen() as (app, pilot):
        await pilot.press(key, "ctrl+u", *(("slash" if c == "/" else c) for c in name), "enter")
        assert "not taken: " in await seen(pilot)
        await pilot.press("escape")
        assert app.screen is app.page
        assert app.desk.draft.recipe_id == RECIPE
    assert sorted(path.name for path in workshop.rglob("*.toml")) == before


async def test_a_recipe_is_renamed_and_its_child_follows(workshop: Path, on_screen: Opener) -> None:
    add_child(workshop)
    async with on_screen() as (app, pilot):
        await posed(pilot, ("R", "ctrl+u", *"long", "enter", "WAIT"))
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
        await posed(pilot, ("delete", "y", "WAIT"))
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
        await posed(pilot, ("delete", "y", "WAIT"))
        assert "not deleted: " in await seen(pilot)
        assert "child" in await seen(pilot)
        assert app.desk.draft.recipe_id == RECIPE


async def test_the_last_recipe_can_be_deleted(workshop: Path, on_screen: Opener) -> None:
    for path in (workshop / "recipes").glob("*.toml"):
        if path.stem != RECIPE:
            path.unlink()
    async with on_screen() as (app, pilot):
        await posed(pilot, ("delete", "y", "WAIT"))
        assert app.desk.draft is None
        assert "B brings back a recipe that was deleted." in await seen(pilot)
        await pilot.press("B", "enter")
        assert app.desk.draft.recipe_id == RECIPE


# Machines, cutters and materials, by the same keys on their own page


async def test_a_cutter_is_renamed_and_the_recipes_follow_on_the_page_as_well(
    workshop: Path, on_screen: Opener
) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("T", "enter", "R")
        assert "recipes that name it" in await seen(pilot)
        await pilot.press("ctrl+u", *"em-4mm-2f", "enter")
        assert "not taken: " in await seen(pilot)
        await posed(pilot, ("ctrl+u", *"six", "enter", "WAIT"))
        assert "em-6mm-1f is six now; bench-slot, bench-too-deep, " in await seen(pilot)
        assert app.screen.sheet.draft.id == "six"
        await pilot.press("escape")
        assert app.screen.finder.chosen == "six"
        await posed(pilot, ("escape", "WAIT"))
        assert app.desk.draft.values["tool"] == "six"
        assert app.page.sheet.check.case.recipe.tool == "six"
        assert not app.desk.unsaved()
    assert written(workshop, RECIPE)["tool"] == "six"


async def test_a_rename_waits_for_what_is_not_saved(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("axial_depth")
        await pilot.press("2", "enter", "T", "enter", "R")
        assert "save first" in await seen(pilot)
        await pilot.press("escape", "escape", "u", "T", "enter", "down", "down", "5", "enter", "R")
        assert app.screen.sheet.draft.dirty
        assert "save first" in await seen(pilot)


@pytest.mark.parametrize(
    ("letter", "stem", "users"),
    [
        ("M", "machines/bench-router", "bench-slot, bench-too-deep"),
        ("T", "tools/em-6mm-1f", "bench-slot, bench-too-deep, long-bed-6mm-6082-rough"),
        ("A", "materials/6082-t6", "bench-slot, bench-too-deep, long-bed-6mm-6082-rough"),
    ],
)
async def test_what_recipes_name_is_not_deleted_and_they_are_said(
    workshop: Path, on_screen: Opener, letter: str, stem: str, users: str
) -> None:
    async with on_screen("bench-slot") as (_, pilot):
        await posed(pilot, (letter, "WAIT", "enter", "delete"))
        assert f"Delete {stem.partition('/')[2]}? B brings it back" in " ".join((await seen(pilot)).split())
        await posed(pilot, ("y", "WAIT"))
        shown = " ".join((await seen(pilot)).split())
        assert f"not deleted: recipes name it: {users}; delete those first" in shown
    assert (workshop / f"{stem}.toml").exists()


async def test_a_material_nothing_names_is_deleted_and_brought_back(
    workshop: Path, on_screen: Opener
) -> None:
    path = workshop / "materials/6061-plate.toml"
    before = path.read_text()
    (workshop / "recipes/plate-finish.toml").unlink()
    async with on_screen() as (app, pilot):
        await posed(pilot, ("A", "WAIT", *"plate", "enter", "B"))
        assert "no material was deleted" in await seen(pilot)
        await posed(pilot, ("delete", "y", "WAIT"))
        assert not path.exists()
        assert "6061-plate is deleted; B brings it back" in await seen(pilot)
        assert app.screen.sheet.draft.id == "6082-t6"
        await pilot.press("B")
        assert "Bring back a material" in await seen(pilot)
        await pilot.press("enter")
        assert app.screen.sheet.draft.id == "6061-plate"
        assert "6061-plate is back" in await seen(pilot)
    assert path.read_text() == before


async def test_changes_are_not_lost_to_bringing_back(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("T", "enter", "down", "down", "5", "enter", "B")
        assert app.screen.sheet.draft.dirty
        assert "save first" in await seen(pilot)


async def test_the_last_of_a_kind_can_be_deleted_and_comes_back(workshop: Path, on_screen: Opener) -> None:
    for stem in ("materials/6082-t6", "recipes/bench-slot", "recipes/bench-too-deep", f"recipes/{RECIPE}"):
        (workshop / f"{stem}.toml").unlink()
    (workshop / "recipes/plate-finish.toml").unlink()
    async with on_screen(None) as (app, pilot):
        await posed(pilot, ("A", "WAIT", "enter", "delete", "y", "WAIT"))
        assert "none yet" in await seen(pilot)
        await pilot.press("enter")
        assert "bring back one that was deleted" in await seen(pilot)
        await pilot.press("b", "enter")
        assert app.screen.sheet.draft.id == "6061-plate"
    assert (workshop / "materials/6061-plate.toml").exists()


async def test_the_demo_keeps_its_records(on_screen: Opener) -> None:
    async with on_screen(None, root=resources.demo_book_dir()) as (app, pilot):
        await pilot.press("M", "enter")
        for key in ("R", "delete", "B", "a"):
            screen = app.screen
            await pilot.press(key)
            assert app.screen is screen
            assert "init --demo DIR" in await seen(pilot)


async def test_what_takes_a_while_says_so_and_keeps_the_keys_for_later(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    go, delete = threading.Event(), Book.delete

    def slowly(book: Book, kind: str, record: str) -> object:
        go.wait(20)
        return delete(book, kind, record)

    monkeypatch.setattr(Book, "delete", slowly)
    monkeypatch.setattr(beside, "PATIENCE", 0.001)
    async with on_screen("bench-slot") as (app, pilot):
        await pilot.press("delete", "y", "B")
        assert "deleting bench-slot; every recipe and job is asked whether it names it …" in await seen(pilot)
        assert (workshop / "recipes/bench-slot.toml").exists()
        go.set()
        await settled(pilot)
        assert "Bring back a recipe" in await seen(pilot)
        await pilot.press("enter")
        assert app.desk.draft.recipe_id == "bench-slot"
