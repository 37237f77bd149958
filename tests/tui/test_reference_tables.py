"""Tables, problems and cautions on screen."""

from __future__ import annotations

from pathlib import Path

import pytest

from support.books import MACHINE, RECIPE
from swarfbook import resources, tables
from swarfbook.decisions.troubles import troubles
from swarfbook.tui import outside
from swarfbook.tui.choose_screen import ChooseScreen
from swarfbook.tui.problems_screen import ProblemsScreen
from swarfbook.tui.text_screen import TextScreen
from tui.conftest import Opener, seen, settled


def said(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture
def broken(workshop: Path) -> Path:
    machine = workshop / f"machines/{MACHINE}.toml"
    machine.write_text(
        machine.read_text().replace("5000 mm/min", "5000 furlongs").replace("1.5 kW", "1,5 kW")
    )
    recipe = workshop / "recipes/bench-slot.toml"
    recipe.write_text(recipe.read_text().replace('tool = "em-6mm-1f"', 'tool = "em-9mm-1f"'))
    (workshop / "runs/2026-11.jsonl").write_text("not a run\n")
    return workshop


async def test_tables_lead_to_their_rows_and_a_row_to_its_source(on_screen: Opener) -> None:
    async with on_screen(size=(120, 36)) as (app, pilot):
        await pilot.press("b")
        assert [row.id for row in app.screen.finder.rows] == list(tables.names())
        await pilot.press(*"materials")
        hits = [row.id for row in app.screen.finder.hits]
        await pilot.press(*["down"] * hits.index("materials"), "enter")
        assert len(app.screen.finder.rows) == len(tables.load("materials").rows)
        await pilot.press(*"6082", "enter")
        shown = said(await seen(pilot))
        for words in ("kc11: 800 N/mm²", "chip low: not given", "at: turning catalogue p. 558", "published"):
            assert words in shown
        await pilot.press("escape")
        assert isinstance(app.screen, ChooseScreen)
        assert app.screen.finder.find.text == "6082"
        await pilot.press("escape", "escape")
        assert app.screen is app.page


@pytest.mark.parametrize("name", tables.names())
def test_every_row_of_every_table_is_written_in_full(name: str) -> None:
    from swarfbook.tui.tables_screen import row_screen, rows_screen

    table = tables.load(name)
    assert len(rows_screen(table).finder.rows) == len(table.rows)
    for row in table.rows:
        text = "\n".join(row_screen(row).text)
        for number in row.values.values():
            assert number in text


async def test_a_row_is_found_by_any_of_its_words(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("b", *"cutting_coefficients", "enter", *"carbide dry reference 189")
        assert [row.id for row in app.screen.finder.hits] == ["aluminium-wrought-6082-t6"]


async def test_every_problem_of_the_book_is_listed_with_file_key_found_and_remedy(
    broken: Path, on_screen: Opener
) -> None:
    async with on_screen("plate-finish", size=(120, 36), root=broken) as (app, pilot):
        await pilot.press("x")
        await settled(pilot)
        shown = await seen(pilot)
        listed = [row.problem for row in app.screen.rows().rows]
        assert listed == list(troubles(app.desk.book))
        assert len(listed) == 4
        assert "4 problems in 3 files" in shown
        for words in (
            f"machines/{MACHINE}.toml",
            "spindle.rated_power",
            "write 1.5",
            "runs/2026-11.jsonl line 1",
        ):
            assert words in shown
        await pilot.press("down", "down")
        assert "no tool of that id in this book; did you mean em-6mm-1f" in said(await seen(pilot))


async def test_the_editor_opens_the_file_and_the_book_is_looked_through_again(
    broken: Path, on_screen: Opener, monkeypatch
) -> None:
    opened = []

    def edited(_app, path: Path) -> str:
        opened.append(path)
        path.write_text(path.read_text().replace("em-9mm-1f", "em-6mm-1f").replace("not a run\n", ""))
        return ""

    monkeypatch.setattr(outside, "edit", edited)
    async with on_screen("plate-finish", root=broken) as (app, pilot):
        await pilot.press("x")
        await settled(pilot)
        await pilot.press("pagedown", "enter")
        await settled(pilot)
        assert opened == [broken / "runs/2026-11.jsonl"]
        assert {row.group for row in app.screen.rows().rows} == {
            f"machines/{MACHINE}.toml",
            "recipes/bench-slot.toml",
        }
        await pilot.press("pagedown", "e")
        await settled(pilot)
        assert opened[1:] == [broken / "recipes/bench-slot.toml"]
        assert {row.group for row in app.screen.rows().rows} == {f"machines/{MACHINE}.toml"}
        monkeypatch.setattr(outside, "edit", lambda *_: "no editor is named")
        await pilot.press("e")
        assert "no editor is named" in await seen(pilot)


async def test_what_was_mended_elsewhere_is_gone_when_read_again(broken: Path, on_screen: Opener) -> None:
    async with on_screen("plate-finish", root=broken) as (app, pilot):
        await pilot.press("x")
        await settled(pilot)
        (broken / "runs/2026-11.jsonl").unlink()
        await pilot.press("r")
        await settled(pilot)
        assert "3 problems in 2 files" in await seen(pilot)
        await pilot.press("escape")
        assert app.screen is app.page


async def test_a_book_without_problems_says_so(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("x")
        await settled(pilot)
        assert isinstance(app.screen, ProblemsScreen)
        assert "Every file of this book reads" in await seen(pilot)
        await pilot.press("enter")
        assert isinstance(app.screen, ProblemsScreen)


async def test_the_demo_has_no_problems_and_is_not_edited(on_screen: Opener, monkeypatch) -> None:
    monkeypatch.setattr(outside, "edit", lambda *_: pytest.fail("the demo was opened in an editor"))
    async with on_screen(None, root=resources.demo_book_dir()) as (app, pilot):
        await pilot.press("x")
        await settled(pilot)
        assert app.screen.problem is None
        await pilot.press("e")


async def test_cautions_are_of_the_recipe_with_their_sources_and_the_usual_ones(on_screen: Opener) -> None:
    async with on_screen(size=(100, 50)) as (app, pilot):
        await pilot.press("v")
        assert isinstance(app.screen, TextScreen)
        shown = said(await seen(pilot))
        for caution in app.page.sheet.check.cautions:
            assert said(caution) in shown
        for words in ("wrought-aluminium, hazards.csv", "cooling-air-blast, cautions.csv", "same extractor"):
            assert words in shown
        assert "Never leave a running machine alone" in shown
        await pilot.press("escape")
        assert app.desk.draft.recipe_id == RECIPE
