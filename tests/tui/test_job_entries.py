"""Whole steps, features and holds of a job on screen: added, taken out, moved, judged at once, saved."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from swarfbook.book import Book
from swarfbook.tui import entries
from swarfbook.tui.entries import Spot
from swarfbook.tui.job_values_screen import JobValuesScreen
from swarfbook.tui.record_draft import RecordDraft
from tui.conftest import Opener, appears, posed, seen, settled
from tui.jobs import JOB, STEPS, job_values, make_job

OPEN = ("J", "WAIT", "enter", "WAIT", "v", "WAIT")
SIZES = [(80, 24), (120, 36)]


def on_disk(root: Path) -> dict:
    return tomllib.loads((root / f"jobs/{JOB}.toml").read_text(encoding="utf-8"))


async def go_to(app, pilot, key: str) -> None:
    sheet = app.screen.sheet
    at = [fact.key for fact in sheet.finder.rows].index(key)
    await pilot.press(*["down" if at > sheet.finder.place else "up"] * abs(at - sheet.finder.place))


# Lists


def test_a_place_leads_to_its_entry() -> None:
    assert entries.spot_of("steps[2].path") == Spot("steps", 2)
    assert entries.spot_of("stock.skim") is None
    assert entries.spot_of("name") is None


def test_a_new_entry_begins_like_the_chosen_one_and_a_feature_has_an_id_of_its_own() -> None:
    values = job_values()
    held, number = entries.added(values, "steps", Spot("steps", 1))
    assert (held, number) == ([STEPS[0], STEPS[0], STEPS[1]], 2)
    held, number = entries.added(values, "steps", Spot("holds", 1))
    assert (held, number) == ([*STEPS, STEPS[1]], 3)
    first = values["features"][0]["id"]
    for at in (2, 3):
        held, number = entries.added(values, "features", Spot("features", 1))
        assert (number, held[1]["id"]) == (2, f"{first}-{at}")
        values = {**values, "features": held}
    held, number = entries.added({}, "holds", None)
    assert (number, held[0]["method"]) == (1, "tape")


def test_an_entry_is_taken_out_and_moved_and_the_values_stay_as_they_were() -> None:
    values = job_values()
    assert entries.without(values, Spot("steps", 1)) == [STEPS[1]]
    assert entries.moved(values, Spot("steps", 2), -1) == [STEPS[1], STEPS[0]]
    assert values["steps"] == STEPS


def test_a_list_with_other_entries_stays_mine_when_the_file_is_read_again(workshop: Path) -> None:
    path = make_job(workshop)
    draft = RecordDraft(Book.open(workshop), "job", JOB)
    draft.change({"steps": [*STEPS, STEPS[1]], "quantity": 7})
    path.write_text(path.read_text().replace('name = "Clamp plates"', 'name = "Plates"'))
    draft.read_again(keep_mine=True)
    assert draft.values["steps"] == [*STEPS, STEPS[1]]
    assert (draft.values["quantity"], draft.values["name"]) == (7, "Plates")


# Keys


@pytest.mark.parametrize("size", SIZES)
async def test_a_step_is_added_written_and_saved_with_the_remarks_kept(
    workshop: Path, on_screen: Opener, size: tuple[int, int]
) -> None:
    path = make_job(workshop)
    path.write_text(path.read_text().replace("[[steps]]", "# from the drawing\n[[steps]]", 1))
    async with on_screen(size=size) as (app, pilot):
        await posed(pilot, OPEN)
        await go_to(app, pilot, "steps[1].recipe")
        await pilot.press("I")
        assert "like step 1, pocket, after it" in await seen(pilot)
        await pilot.press("enter")
        assert app.screen.sheet.fact.key == "steps[2].recipe"
        assert "step 2 is added; u takes it back, s saves it" in await seen(pilot)
        await go_to(app, pilot, "steps[2].volume")
        await pilot.press(*"12", "space", *"cm^3", "enter", "s")
        assert "saved in jobs/" in await seen(pilot)
    assert [one.get("volume") for one in on_disk(workshop)["steps"]] == ["30 cm^3", "12 cm^3", None]
    assert "# from the drawing\n[[steps]]" in path.read_text()


async def test_what_stands_there_is_judged_at_once(workshop: Path, on_screen: Opener) -> None:
    make_job(workshop)
    async with on_screen() as (app, pilot):
        await posed(pilot, OPEN)
        before = (await appears(pilot, "first to give is step")).splitlines()[4]
        assert isinstance(app.screen, JobValuesScreen)
        await go_to(app, pilot, "holds[1].force")
        await pilot.press(*"20", "space", "N", "enter")
        assert before not in await appears(pilot, "over: ")
        await go_to(app, pilot, "features[1].depth")
        await pilot.press(*"900", "space", *"mm", "enter")
        assert "not judged as it stands" in await appears(pilot, "deeper than the stock")


async def test_an_entry_moves_goes_and_comes_back(workshop: Path, on_screen: Opener) -> None:
    make_job(workshop)
    async with on_screen() as (app, pilot):
        await posed(pilot, OPEN)
        sheet = app.screen.sheet
        await go_to(app, pilot, "steps[2].path")
        await pilot.press(">")
        assert sheet.draft.values["steps"] == STEPS
        await pilot.press("<")
        assert sheet.draft.values["steps"] == STEPS[::-1]
        assert sheet.fact.key == "steps[1].path"
        await pilot.press("X")
        assert sheet.draft.values["steps"] == STEPS[:1]
        assert "step 1, outline is taken out" in await seen(pilot)
        await pilot.press("X")
        assert sheet.draft.values["steps"] == STEPS[:1]
        assert "a job has one step at least" in await seen(pilot)
        await pilot.press("u", "u")
        assert not sheet.draft.dirty


async def test_an_added_hold_is_undone_by_the_history(workshop: Path, on_screen: Opener) -> None:
    path = make_job(workshop)
    before = path.read_text()
    async with on_screen() as (app, pilot):
        await posed(pilot, OPEN)
        await go_to(app, pilot, "holds[1].method")
        await pilot.press("I", "enter", "s", "escape")
        await settled(pilot)
        assert len(on_disk(workshop)["holds"]) == 2
        await pilot.press("H", "down", "B", "y")
        await settled(pilot)
    assert path.read_text() == before


async def test_a_machine_has_no_entries_to_add(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("M", "enter", "I", "X", "<")
        assert not app.screen.sheet.draft.dirty
        assert "add entry" not in await seen(pilot)
