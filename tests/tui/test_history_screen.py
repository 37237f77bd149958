"""The states of a record on screen: told as the command line tells them, compared, brought back."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from support.books import MACHINE, RECIPE
from swarfbook import resources
from swarfbook.book import Book
from swarfbook.tui.ask_screen import AskScreen
from swarfbook.tui.history_screen import HistoryScreen
from tui.conftest import Opener, posed, seen, settled
from tui.jobs import make_job

SIZES = [(80, 24), (120, 36)]
SAVED = ({"axial_depth": "2.2 mm"}, {"axial_depth": "2 mm", "wear": 1.1})


def depth(root: Path) -> str:
    return str(tomllib.loads((root / f"recipes/{RECIPE}.toml").read_text())["axial_depth"])


@pytest.fixture
def saved(workshop: Path) -> Path:
    """Save the recipe twice: three states."""
    book = Book.open(workshop)
    for changes in SAVED:
        book.save("recipe", RECIPE, changes, seen=book.get("recipe", RECIPE).sha)
    return workshop


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.usefixtures("saved")
async def test_the_states_are_told_the_latest_first(on_screen: Opener, size: tuple[int, int]) -> None:
    async with on_screen(size=size) as (app, pilot):
        await pilot.press("H")
        assert isinstance(app.screen, HistoryScreen)
        shown = await seen(pilot)
        rows = [line for line in shown.splitlines() if "  saved; " in line or "another program" in line]
        assert [row.replace("▸", " ").replace("*", " ").split()[0] for row in rows[:3]] == ["3", "2", "1"]
        assert rows[0].startswith(" ▸*   3 ")
        assert "axial_depth 3 mm -> 2.2 mm" in rows[1]
        assert "3 states" in shown
        await pilot.press("down")
        assert app.screen.chosen.state.number == 2


async def test_what_another_program_wrote_since_is_told(saved: Path, on_screen: Opener) -> None:
    path = saved / f"recipes/{RECIPE}.toml"
    path.write_text(path.read_text().replace('"2 mm"', '"4 mm"'))
    async with on_screen() as (_, pilot):
        await pilot.press("H")
        told = " ".join((await seen(pilot)).split())
        assert "another program since state 3, kept at the next save: axial_depth 2 mm -> 4 mm" in told


@pytest.mark.usefixtures("saved")
async def test_enter_reads_the_difference_from_a_state_to_now(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("H", "enter")
        assert "no difference" in await seen(pilot)
        await pilot.press("escape", "down", "down", "enter")
        shown = await seen(pilot)
        assert "from state 1 to now" in shown
        assert '-axial_depth = "3 mm"' in shown
        assert '+axial_depth = "2 mm"' in shown
        await pilot.press("escape", "escape")
        assert app.screen is app.page


async def test_a_state_comes_back_after_a_question(saved: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("H", "B")
        assert "is as in state 3 now" in await seen(pilot)
        await pilot.press("down", "down", "B")
        assert isinstance(app.screen, AskScreen)
        await pilot.press("escape")
        assert depth(saved) == "2 mm"
        await pilot.press("B", "y")
        assert app.screen is app.page
        assert depth(saved) == "3 mm"
        assert app.desk.draft.values["axial_depth"] == "3 mm"
        assert not app.desk.unsaved()
        assert f"{RECIPE} is as in state 1 again" in await seen(pilot)
        await pilot.press("H")
        assert "state 1 again; axial_depth 2 mm -> 3 mm" in " ".join((await seen(pilot)).split())


async def test_changes_that_are_not_saved_can_be_put_back_on_the_page(saved: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("radial_width")
        await pilot.press("1", "enter", "H", "down", "B")
        assert "u puts them back" in " ".join((await seen(pilot)).split())
        await pilot.press("y")
        assert depth(saved) == "2.2 mm"
        assert not app.desk.unsaved()
        await pilot.press("u")
        assert app.desk.draft.values["radial_width"] == "1 mm"
        assert app.desk.draft.values["axial_depth"] == "2 mm"


async def test_a_machine_has_its_history_on_its_own_page(workshop: Path, on_screen: Opener) -> None:
    book = Book.open(workshop)
    name = {"name": "Longer router"}
    before = str(book.get("machine", MACHINE).raw["name"])
    book.save("machine", MACHINE, name, seen=book.get("machine", MACHINE).sha)
    async with on_screen() as (app, pilot):
        await pilot.press("M", "enter", "H")
        assert f"History of machine:{MACHINE}" in await seen(pilot)
        await pilot.press("down", "B", "y")
        assert app.screen.sheet.draft.values["name"] == before
        assert "as in state 1 again" in await seen(pilot)
    assert Book.open(workshop).get("machine", MACHINE).raw["name"] == before


async def test_a_job_is_judged_again_as_it_was(workshop: Path, on_screen: Opener) -> None:
    make_job(workshop)
    book = Book.open(workshop)
    job = book.ids("job")[0]
    book.save("job", job, {"name": "Other plates"}, seen=book.get("job", job).sha)
    async with on_screen() as (app, pilot):
        await posed(pilot, ("J", "WAIT", "enter", "WAIT"))
        assert "Other plates" in await seen(pilot)
        await pilot.press("H", "down", "B", "y")
        await settled(pilot)
        shown = await seen(pilot)
        assert "Other plates" not in shown.splitlines()[3]
        assert "as in state 1 again" in shown
        await posed(pilot, ("v", "WAIT", "H"))
        assert f"History of job:{job}" in await seen(pilot)
        assert isinstance(app.screen, HistoryScreen)


async def test_a_history_that_does_not_read_is_told(saved: Path, on_screen: Opener) -> None:
    (saved / f".swarfbook/history/recipe/{RECIPE}.states").write_bytes(b"torn")
    async with on_screen() as (app, pilot):
        await pilot.press("H")
        assert app.screen is app.page
        assert "its history does not read: this is no history" in await seen(pilot)


async def test_the_demo_has_no_states_and_none_comes_back(on_screen: Opener) -> None:
    async with on_screen(None, root=resources.demo_book_dir()) as (_, pilot):
        await pilot.press("H")
        assert "No state is kept yet" in await seen(pilot)
        await pilot.press("B", "enter")
        assert "No state is kept yet" in await seen(pilot)
