"""A job's values written in place: words, numbers, flags, and those of one entry of a list of tables."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from support import books
from support.typed_job import TYPED
from swarfbook.reports.part_page import Fact
from swarfbook.tui import job_facts
from swarfbook.tui.ask_screen import AskScreen
from swarfbook.tui.pens import WordPen
from swarfbook.tui.places import any_entry, places, put, value_at
from swarfbook.tui.record_screen import RecordScreen
from tui.conftest import Opener, posed, seen
from tui.jobs import JOB, job_values, make_job

OPEN = ("J", "WAIT", "enter", "WAIT", "v")


def on_disk(root: Path) -> dict:
    return tomllib.loads((root / f"jobs/{JOB}.toml").read_text(encoding="utf-8"))


async def go_to(app, pilot, key: str) -> RecordScreen:
    """Walk to a key of the job on top."""
    assert isinstance(app.screen, RecordScreen)
    sheet = app.screen.sheet
    at = [fact.key for fact in sheet.finder.rows].index(key)
    await pilot.press(*["down" if at > sheet.finder.place else "up"] * abs(at - sheet.finder.place))
    assert sheet.fact.key == key
    return app.screen


# Places


def test_a_value_of_one_entry_is_found_and_put_and_the_others_stay() -> None:
    values = {"steps": [{"path": "1 m"}, {"path": "2 m", "move": "4 mm"}], "stock": {"skim": "0 mm"}}
    assert value_at(values, "steps[2].path") == "2 m"
    assert value_at(values, "stock.skim") == "0 mm"
    assert value_at(values, "steps[3].path") is None
    assert value_at(values, "steps[1].move") is None
    assert value_at({"steps": "none"}, "steps[1].path") is None
    after = put(values, "steps[2].path", "3 m")
    assert after == {**values, "steps": [{"path": "1 m"}, {"path": "3 m", "move": "4 mm"}]}
    assert put(after, "steps[2].move", None)["steps"] == [{"path": "1 m"}, {"path": "3 m"}]
    assert put(values, "steps[3].path", "3 m") == values
    assert put({"quantity": 3}, "steps[1].path", "3 m")["quantity"] == 3
    assert values["steps"][1] == {"path": "2 m", "move": "4 mm"}


def test_places_go_through_a_list_entry_by_entry() -> None:
    values = job_values()
    found = list(places("job", values))
    assert found[:3] == ["name", "machine", "material"]
    assert [place for place in found if place.endswith(".recipe")] == ["steps[1].recipe", "steps[2].recipe"]
    assert any_entry("steps[2].recipe") == "steps.recipe"
    # The modes of a machine stay one value: they are written as the file has them.
    modes = {"tool_tip": {"modes": [{"axis": "x"}]}}
    assert "tool_tip.modes" in places("machine", modes)


# Facts


def fact(key: str, **changes: object) -> Fact:
    return next(one for one in job_facts.facts(job_values(**changes), "metric") if one.key == key)


def test_what_is_left_out_says_what_serves_and_where_it_is_from() -> None:
    ambient = fact("ambient")
    assert ambient.shown == "not given: 20.0 °C assumed"
    assert ambient.value == pytest.approx(293.15)
    assert ambient.titled == "workshop*"
    assert ambient.rows[0].id == "ambient"
    assert fact("pieces").shown == "not given: 1"
    assert fact("flip.error").shown == "not given"
    assert fact("flip.error", flip={"locate": "pins"}).shown == "not given: 0.0500 mm assumed"


def test_a_hold_shows_the_keys_of_its_method_and_what_was_written_besides() -> None:
    def keys(**hold: object) -> set[str]:
        facts = job_facts.facts(job_values(holds=[hold]), "metric")
        return {one.key.partition("].")[2] for one in facts if one.key.startswith("holds[1]")}

    assert {"force", "bolt", "jaws"} <= keys(method="vise", force="4 kN")
    assert not {"work_arm", "thickness"} & keys(method="vise", force="4 kN")
    assert {"length", "width"} <= keys(method="tape", length="300 mm", width="60 mm")
    assert "work_arm" in keys(method="vise", force="4 kN", work_arm="30 mm")


def test_entries_stand_under_what_they_are() -> None:
    assert fact("steps[2].path").group == "step 2: outline"
    assert fact("features[2].depth").group == "feature 2: pocket"
    assert fact("holds[1].method").group == "hold 1: vise"
    assert fact("stock.form").group == "stock"
    assert fact("name").group == ""
    assert job_facts.in_full("steps[2].path") == "step 2, path"
    assert job_facts.in_full("steps[2]") == "step 2"
    assert job_facts.in_full("stock.thickness") == "stock, thickness"
    assert job_facts.in_full("ambient") == "workshop"


# On screen


@pytest.mark.parametrize(
    ("key", "keys", "stands"),
    [
        ("name", ("enter", *["backspace"] * 6, *"bars"), "Clamp bars"),
        ("quantity", tuple("30"), 30),
        ("pieces", ("enter", "2"), 2),
        ("ambient", ("enter", *"12", "space", *"degC"), "12 degC"),
        ("hands_off", ("enter", "y"), True),
        ("hands_off", ("enter", *"no", "down"), True),
        ("hourly_rate", ("enter", *"42"), 42),
        ("hourly_rate", ("enter", *"42.5"), 42.5),
        ("currency", ("enter", *"EUR"), "EUR"),
        ("machine", ("enter", *"bench"), "bench-router"),
        ("notes", ("enter", *"mind"), "mind"),
        ("stock.form", ("enter", *"plate"), "plate"),
        ("stock.skim", ("enter", *"0.2"), "0.2 mm"),
        ("part.width", tuple("80"), "80 mm"),
        ("bed.cut_in", ("enter", *"0.3"), "0.3 mm"),
        ("flip.locate", ("enter", *"pins"), "pins"),
        ("features[2].inside_corner", tuple("5"), "5 mm"),
        ("holds[1].force", tuple("5"), "5 kN"),
        ("steps[2].recipe", ("enter", *"bench", "space", *"slot"), "bench-slot"),
        ("steps[2].feature", ("enter", *"pocket"), "pocket"),
        ("steps[2].pause", ("enter", *"5"), "5 min"),
        ("steps[2].path", tuple("14"), "14 m"),
    ],
)
async def test_a_value_is_written_and_saved(
    key: str, keys: tuple[str, ...], stands: object, workshop: Path, on_screen: Opener
) -> None:
    make_job(workshop)
    before = on_disk(workshop)
    async with on_screen() as (app, pilot):
        await posed(pilot, OPEN)
        screen = await go_to(app, pilot, key)
        await pilot.press(*({".": "full_stop"}.get(one, one) for one in keys), "enter")
        assert value_at(screen.sheet.draft.values, key) == stands
        assert screen.sheet.draft.changed_keys() == [key]
        await pilot.press("s")
        assert value_at(on_disk(workshop), key) == stands
        assert on_disk(workshop) == put(before, key, stands)


async def test_remarks_and_the_other_entries_stay(workshop: Path, on_screen: Opener) -> None:
    path = workshop / f"jobs/{JOB}.toml"
    path.write_text(TYPED.replace('"other"', f'"{books.RECIPE}"'), encoding="utf-8")
    before = path.read_text(encoding="utf-8")
    async with on_screen() as (app, pilot):
        await posed(pilot, OPEN)
        await go_to(app, pilot, "steps[2].path")
        await pilot.press("enter", *["backspace"] * 4, *"7", "space", *"ft", "enter", "s")
        after = path.read_text(encoding="utf-8")
        assert after == before.replace('path = "5 ft"', 'path = "7 ft"')


async def test_undo_redo_and_leaving_with_changes(workshop: Path, on_screen: Opener) -> None:
    make_job(workshop)
    async with on_screen() as (app, pilot):
        await posed(pilot, OPEN)
        screen = await go_to(app, pilot, "steps[1].volume")
        await pilot.press(*"20", "enter", "u")
        assert not screen.sheet.draft.dirty
        await pilot.press("U", "escape")
        assert isinstance(app.screen, AskScreen)
        assert f"Not saved in jobs/{JOB}.toml: step 1, takes off." in await seen(pilot)


async def test_what_does_not_fit_is_said_with_its_entry(workshop: Path, on_screen: Opener) -> None:
    make_job(workshop)
    async with on_screen() as (app, pilot):
        await posed(pilot, OPEN)
        await go_to(app, pilot, "features[2].depth")
        await pilot.press(*"40", "enter")
        assert "does not fit: feature 2, depth: deeper than the stock is thick" in await seen(pilot)
        await pilot.press("u")
        await go_to(app, pilot, "steps[2].path")
        await pilot.press(*"4", "space", *"kg")
        assert "not taken:" in await seen(pilot)
        await pilot.press("escape")
        await go_to(app, pilot, "steps[2].move")
        shown = await seen(pilot)
        assert "not given: 50.0 mm assumed" in shown


async def test_ids_come_from_the_book_and_the_job(workshop: Path, on_screen: Opener) -> None:
    make_job(workshop)
    async with on_screen() as (app, pilot):
        await posed(pilot, OPEN)
        for key, ids in (
            ("material", ["6061-plate", "6082-t6"]),
            ("steps[1].recipe", app.desk.book.ids("recipe")),
            ("steps[1].feature", ["outline", "pocket"]),
        ):
            screen = await go_to(app, pilot, key)
            await pilot.press("enter")
            assert isinstance(screen.sheet.pen, WordPen)
            assert [option.value for option in screen.sheet.pen.options] == ids
            await pilot.press("escape")


async def test_a_file_with_fewer_steps_by_now_keeps_what_still_has_a_place(
    workshop: Path, on_screen: Opener
) -> None:
    path = make_job(workshop)
    async with on_screen() as (app, pilot):
        await posed(pilot, OPEN)
        screen = await go_to(app, pilot, "steps[2].path")
        await pilot.press(*"14", "enter")
        await go_to(app, pilot, "quantity")
        await pilot.press(*"30", "enter")
        make_job(workshop, steps=job_values()["steps"][:1])
        screen.look_at_disk()
        await posed(pilot, ("r", "m"))
        assert screen.sheet.draft.values["quantity"] == 30
        assert len(screen.sheet.draft.values["steps"]) == 1
        await pilot.press("s")
        assert on_disk(workshop)["quantity"] == 30
        assert path.exists()


async def test_notes_of_several_lines_are_left_to_the_editor(workshop: Path, on_screen: Opener) -> None:
    path = make_job(workshop)
    path.write_text(
        path.read_text(encoding="utf-8").replace("quantity", 'notes = """two\nlines"""\nquantity'), "utf-8"
    )
    async with on_screen() as (app, pilot):
        await posed(pilot, OPEN)
        await go_to(app, pilot, "notes")
        await pilot.press("enter")
        assert "e opens the file" in await seen(pilot)
        assert app.screen.mode == "record"
