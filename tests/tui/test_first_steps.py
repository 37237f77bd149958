"""A book without a recipe: the page says which keys make the first one, and they do."""

from __future__ import annotations

from pathlib import Path

import pytest

from swarfbook import resources
from swarfbook.book import Book, create
from swarfbook.tui.record_screen import RecordScreen
from tui.conftest import Opener, appears, posed, seen, settled

SIZES = [(80, 24), (120, 36), (60, 20)]


@pytest.fixture
def empty(tmp_path: Path) -> Path:
    """Make an empty book."""
    return create(tmp_path / "mine", demo=False)


@pytest.mark.parametrize("size", SIZES)
async def test_the_page_of_an_empty_book_names_the_keys_to_a_first_recipe(
    empty: Path, on_screen: Opener, size: tuple[int, int]
) -> None:
    async with on_screen(None, root=empty, size=size) as (_, pilot):
        shown = await seen(pilot)
    rows = [line.split()[:2] for line in shown.splitlines() if line[3:4] in "MTAS" and line[4:6] == "  "]
    assert rows == [["▸", "M"], ["T", "cutter"], ["A", "material"], ["S", "recipe"]]
    foot = shown.rstrip().splitlines()[-1]
    for hint in ("S solve", "M machines", "T cutters", "A materials", "? help"):
        assert hint in foot
    assert "log a run" not in foot


async def test_the_keys_of_the_footer_alone_make_a_first_recipe(empty: Path, on_screen: Opener) -> None:
    async with on_screen(None, root=empty) as (app, pilot):
        for key in "MTA":
            await pilot.press(key)
            assert "Enter begin" in await seen(pilot)
            await pilot.press("enter", "y")
            assert isinstance(app.screen, RecordScreen)
            await pilot.press("enter", "ctrl+u", *"mine", "enter", "s", "escape", "escape")
            assert app.screen is app.page
        assert "▸ S " in await seen(pilot)
        await posed(pilot, ("S", "enter", "WAIT", "enter", "enter"))
        await settled(pilot)
        assert app.screen is app.page
        assert app.desk.draft.values["standing"] == "trial"
        assert app.page.sheet.rungs
    book = Book.open(empty)
    recipe = book.get("recipe", book.ids("recipe")[0]).raw
    assert [recipe[kind] for kind in ("machine", "tool", "material")] == [
        "my-machine",
        "my-tool",
        "my-material",
    ]
    assert book.get("tool", "my-tool").raw["name"] == "mine"


async def test_what_a_first_recipe_lacks_is_told(empty: Path, on_screen: Opener) -> None:
    async with on_screen(None, root=empty) as (app, pilot):
        await posed(pilot, ("M", "enter", "y", "escape", "escape", "S"))
        assert app.screen is app.page
        assert "before a first recipe can be worked out: a cutter (T), a material (A)" in await seen(pilot)


async def test_recipes_that_do_not_read_are_no_first_steps(workshop: Path, on_screen: Opener) -> None:
    for path in (workshop / "recipes").glob("*.toml"):
        path.write_text("torn = ")
    async with on_screen(None) as (_, pilot):
        shown = await seen(pilot)
        assert "cannot be judged" in shown
        assert "has no recipe yet" not in shown


async def test_the_demo_says_how_a_book_of_ones_own_is_started(on_screen: Opener) -> None:
    async with on_screen(None, root=resources.demo_book_dir()) as (_, pilot):
        assert "`swarfbook init DIR` starts one of your own" in await appears(pilot, "demo book")
