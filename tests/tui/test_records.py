"""Machines, cutters and materials on screen: listed, walked, written in place, saved, and judged again."""

from __future__ import annotations

import threading
import tomllib
from pathlib import Path

import pytest
from textual import events

from support.books import MACHINE, MATERIAL, TOOL, to_toml, values
from swarfbook import records, resources
from swarfbook.book import Book, create, index
from swarfbook.reports.part_page import at
from swarfbook.tui import beside, outside
from swarfbook.tui.ask_screen import AskScreen
from swarfbook.tui.choose_screen import ChooseScreen
from swarfbook.tui.parts_screen import PartsScreen
from swarfbook.tui.problems_screen import ProblemsScreen
from swarfbook.tui.record_screen import RecordScreen
from swarfbook.tui.text_screen import TextScreen
from tui.conftest import Opener, posed, seen, settled


def on_disk(root: Path, stem: str) -> dict:
    return tomllib.loads((root / f"{stem}.toml").read_text())


async def go_to(app, pilot, key: str) -> None:
    """Walk to a key of the record on top."""
    sheet = app.screen.sheet
    at = [fact.key for fact in sheet.finder.rows].index(key)
    await pilot.press(*["down" if at > sheet.finder.place else "up"] * abs(at - sheet.finder.place))
    assert sheet.fact.key == key


async def open_page(app, pilot, letter: str, key: str = "name") -> RecordScreen:
    await pilot.press(letter, "enter")
    assert isinstance(app.screen, RecordScreen)
    await go_to(app, pilot, key)
    return app.screen


@pytest.mark.parametrize(
    ("letter", "kind", "names", "tells"),
    [
        ("M", "machine", ("Long-bed router", "Bench router"), "induction, 1.5 kW"),
        (
            "T",
            "tool",
            ("6 mm one-flute end mill", "4 mm two-flute end mill"),
            "4 mm square, 2 flutes, carbide",
        ),
        ("A", "material", ("6082-T6 flat bar", "6061 plate"), "Aluminium 6061-T6"),
    ],
)
async def test_each_kind_is_listed_with_its_uses_the_one_of_the_recipe_chosen(
    letter: str, kind: str, names: tuple[str, ...], tells: str, on_screen: Opener
) -> None:
    async with on_screen(size=(120, 36)) as (app, pilot):
        await pilot.press(letter)
        await settled(pilot)
        shown = await seen(pilot)
        assert isinstance(app.screen, PartsScreen)
        for name in names:
            assert name in shown
        assert tells in shown
        assert app.screen.finder.chosen == app.desk.draft.values[kind]
        uses = {"machine": "2 recipes", "tool": "3 recipes", "material": "3 recipes"}[kind]
        line = next(line for line in shown.splitlines() if "▸" in line)
        assert uses in line
        assert app.screen.finder.chosen in line


async def test_a_list_is_found_in_as_typed(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("T", *"one flute")
        assert [row.id for row in app.screen.finder.hits] == [TOOL]
        await pilot.press(*["backspace"] * 9, *"em-4")
        assert [row.id for row in app.screen.finder.hits] == ["em-4mm-2f"]


async def test_a_page_has_what_was_typed_and_what_stands_in(workshop: Path, on_screen: Opener) -> None:
    machine = workshop / f"machines/{MACHINE}.toml"
    machine.write_text(machine.read_text().replace('thrust = "600 N"', ""))
    async with on_screen(size=(120, 36)) as (app, pilot):
        await open_page(app, pilot, "M", "axes.thrust")
        shown = " ".join((await seen(pilot)).split())
        assert "fastest feed 5000 mm/min" in shown
        assert "▸ thrust* not given: 200 N assumed defaults.csv, assumption" in shown
        assert "idle power 90 W" in shown
        await pilot.press("w")
        assert isinstance(app.screen, TextScreen)
        shown = " ".join((await seen(pilot)).split())
        assert "thrust, defaults.csv" in shown
        assert "belt and small screw drives" in shown
        await pilot.press("escape", "m")
        assert "You need: luggage scale" in await seen(pilot)


async def test_what_is_shown_follows_the_units_and_what_is_typed_stays(
    workshop: Path, on_screen: Opener
) -> None:
    machine = workshop / f"machines/{MACHINE}.toml"
    machine.write_text(machine.read_text().replace('thrust = "600 N"', ""))
    with (workshop / "book.toml").open("a") as file:
        file.write('units = "imperial"\n')
    async with on_screen() as (app, pilot):
        await open_page(app, pilot, "M", "axes.thrust")
        shown = " ".join((await seen(pilot)).split())
        assert "not given: 45.0 lbf assumed" in shown
        assert "fastest feed 5000 mm/min" in shown


async def test_a_value_is_written_in_place_saved_and_the_recipe_judged_again(
    workshop: Path, on_screen: Opener
) -> None:
    async with on_screen("bench-slot") as (app, pilot):
        before = next(one.limit for one in app.page.sheet.check.limits if one.name == "axis-thrust")
        await open_page(app, pilot, "M", "axes.thrust")
        await pilot.press("1", "2", "0", "0")
        assert app.screen.mode == "writing"
        assert "thrust               1200 N" in await seen(pilot)
        await pilot.press("enter")
        shown = await seen(pilot)
        assert "1200 N  changed" in shown
        assert "unsaved" in shown
        assert on_disk(workshop, "machines/bench-router")["axes"]["thrust"] == "900 N"
        await pilot.press("s")
        assert "saved in machines/bench-router.toml" in await seen(pilot)
        assert on_disk(workshop, "machines/bench-router")["axes"]["thrust"] == "1200 N"
        await pilot.press("escape", "escape")
        app.page.look_at_disk()
        await settled(pilot)
        after = next(one.limit for one in app.page.sheet.check.limits if one.name == "axis-thrust")
        assert after == pytest.approx(before * 1200 / 900)


async def test_what_will_not_do_is_refused_at_once(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        screen = await open_page(app, pilot, "M", "axes.thrust")
        await pilot.press("5", "space", "f")
        assert "not taken:" in await seen(pilot)
        await pilot.press("enter")
        assert screen.mode == "writing"
        await pilot.press("escape")
        assert not screen.sheet.draft.dirty
        await go_to(app, pilot, "spindle.min_speed")
        await pilot.press(*"30000")
        assert "does not fit: lowest speed: write a speed not above max_speed" in await seen(pilot)


async def test_a_key_left_out_is_given_and_emptied_again(workshop: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        screen = await open_page(app, pilot, "T", "rake")
        assert screen.sheet.fact.given is None
        await pilot.press("enter", *"12", "enter")
        assert screen.sheet.fact.shown == "12 deg"
        await pilot.press("s")
        assert on_disk(workshop, f"tools/{TOOL}")["rake"] == "12 deg"
        await pilot.press("enter", *["backspace"] * 6, "enter", "s")
        assert "rake" not in on_disk(workshop, f"tools/{TOOL}")
        assert "no correction for rake" in await seen(pilot)


async def test_words_are_walked_and_keys_of_the_shape_come_and_go(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        screen = await open_page(app, pilot, "T", "shape")
        assert "corner_radius" not in {fact.key for fact in screen.sheet.finder.rows}
        await pilot.press("enter", "down", "down")
        shown = await seen(pilot)
        assert "[corner-radius]" in shown
        await pilot.press("enter")
        assert "corner_radius" in {fact.key for fact in screen.sheet.finder.rows}
        assert "does not fit: corner radius: missing" in " ".join((await seen(pilot)).split())
        await go_to(app, pilot, "corner_radius")
        await pilot.press(*"0.5", "enter")
        assert screen.sheet.problems == ()


async def test_undo_and_redo(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        screen = await open_page(app, pilot, "M", "axes.max_feed")
        await pilot.press(*"4000", "tab")
        assert screen.sheet.fact.key == "axes.max_plunge"
        await pilot.press(*"900", "enter", "u", "u")
        assert not screen.sheet.draft.dirty
        await pilot.press("U")
        assert screen.sheet.draft.changed_keys() == ["axes.max_feed"]


async def test_leaving_with_changes_asks(workshop: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await open_page(app, pilot, "M", "axes.max_feed")
        await pilot.press(*"4000", "enter", "escape")
        assert isinstance(app.screen, AskScreen)
        assert "Not saved in machines/long-bed-router.toml: fastest feed." in await seen(pilot)
        await pilot.press("escape")
        assert isinstance(app.screen, RecordScreen)
        await pilot.press("q", "x")
        assert isinstance(app.screen, PartsScreen)
        assert on_disk(workshop, f"machines/{MACHINE}")["axes"]["max_feed"] == "5000 mm/min"
        await open_again(app, pilot)
        await pilot.press("escape", "s")
        assert isinstance(app.screen, PartsScreen)
        assert on_disk(workshop, f"machines/{MACHINE}")["axes"]["max_feed"] == "4500 mm/min"


async def open_again(app, pilot) -> None:
    await pilot.press("enter")
    await go_to(app, pilot, "axes.max_feed")
    await pilot.press(*"4500", "enter")


async def test_a_file_changed_by_another_is_read_or_asked_about(workshop: Path, on_screen: Opener) -> None:
    path = workshop / f"machines/{MACHINE}.toml"
    async with on_screen() as (app, pilot):
        screen = await open_page(app, pilot, "M", "axes.thrust")
        path.write_text(path.read_text().replace("5000 mm/min", "6000 mm/min"))
        screen.look_at_disk()
        assert "read again from disk" in await seen(pilot)
        await pilot.press(*"700", "enter")
        path.write_text(path.read_text().replace("6000 mm/min", "6500 mm/min"))
        await pilot.press("s")
        assert isinstance(app.screen, AskScreen)
        assert "Nothing was overwritten" in " ".join((await seen(pilot)).split())
        await pilot.press("m", "s")
        axes = on_disk(workshop, f"machines/{MACHINE}")["axes"]
        assert (axes["thrust"], axes["max_feed"]) == ("700 N", "6500 mm/min")


async def test_another_record_begins_like_this_one(workshop: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        screen = await open_page(app, pilot, "T", "diameter")
        await pilot.press(*"5", "enter", "a")
        shown = await seen(pilot)
        assert "Another cutter like em-6mm-1f: its id" in shown
        assert "> em-6mm-1f-2" in shown
        await pilot.press("ctrl+u", *"em 5", "enter")
        assert "not taken: an id is lower-case letters" in await seen(pilot)
        await pilot.press("ctrl+u", *"em-5mm-1f", "enter")
        assert screen.sheet.draft.id == "em-5mm-1f"
        assert screen.sheet.draft.values["name"] == "6 mm one-flute end mill, another"
        assert "tools/em-5mm-1f.toml begun" in await seen(pilot)
        assert on_disk(workshop, "tools/em-5mm-1f")["diameter"] == "5 mm"
        assert on_disk(workshop, f"tools/{TOOL}")["diameter"] == "6 mm"
        await pilot.press("escape")
        assert app.screen.finder.chosen == "em-5mm-1f"


@pytest.mark.parametrize(("letter", "kind"), [("M", "machine"), ("T", "tool"), ("A", "material")])
async def test_the_first_of_a_kind_begins_from_an_example(
    letter: str, kind: str, tmp_path: Path, on_screen: Opener
) -> None:
    root = create(tmp_path / "empty", demo=False)
    async with on_screen(None, root=root) as (app, pilot):
        await pilot.press(letter)
        await settled(pilot)
        assert "none yet" in await seen(pilot)
        await pilot.press("enter")
        assert "an example's" in await seen(pilot)
        assert not list(root.glob(f"{kind}s/*.toml"))
        await pilot.press("y")
        assert isinstance(app.screen, RecordScreen)
        assert app.screen.sheet.draft.id == f"my-{kind}"
        assert app.screen.sheet.problems == ()
        entry = Book.open(root).get(kind, f"my-{kind}")
        optional = [key for key in records.record_keys(kind) if not records.required(kind, key)]
        assert [key for key in optional if at(entry.raw, key) is not None] == []


async def test_the_row_of_the_table_is_found_as_typed(workshop: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        screen = await open_page(app, pilot, "A", "table")
        await pilot.press("enter")
        assert isinstance(app.screen, ChooseScreen)
        assert app.screen.finder.chosen == "aluminium-wrought-6082-t6"
        await pilot.press(*"birch")
        shown = await seen(pilot)
        assert "Birch plywood" in shown
        assert "▸ 6082" not in shown
        await pilot.press("enter")
        assert app.screen is screen
        assert screen.sheet.fact.given == "plywood-birch"
        await pilot.press("s")
        assert on_disk(workshop, f"materials/{MATERIAL}")["table"] == "plywood-birch"
        assert "not given" not in await seen(pilot)


async def test_a_material_says_what_serves_and_what_stands_over_it(on_screen: Opener) -> None:
    async with on_screen(size=(120, 36)) as (app, pilot):
        screen = await open_page(app, pilot, "A", "overrides.kc11")
        shown = " ".join((await seen(pilot)).split())
        assert "specific force kc1.1 700 N/mm^2 (the table: 800 N/mm²)" in shown
        assert "force_ratios.csv, published" in shown
        assert "law fitted on chips" in shown
        assert "speed, carbide 183 m/min to 396 m/min" in shown
        await pilot.press("enter", "backspace", *["backspace"] * 20, "enter")
        assert screen.sheet.fact.shown == "800 N/mm², from the table"
        await pilot.press("end", *["down"] * 30, "enter")
        assert screen.mode == "record"
        assert "stands in the tables" in await seen(pilot)


async def test_the_demo_is_read_only(on_screen: Opener) -> None:
    async with on_screen("bench-6mm-6082-rough", root=resources.demo_book_dir()) as (app, pilot):
        await open_page(app, pilot, "M", "axes.max_feed")
        assert "demo, read only" in await seen(pilot)
        await pilot.press(*"2000", "enter", "s")
        assert "init --demo DIR" in await seen(pilot)
        await pilot.press("a")
        assert "init --demo DIR" in await seen(pilot)
        assert app.screen.mode == "record"


async def test_the_editor_opens_the_file_and_it_is_read_again(on_screen: Opener, monkeypatch) -> None:
    def edited(_app, path: Path) -> str:
        path.write_text(path.read_text().replace("5000 mm/min", "5500 mm/min"))
        return ""

    monkeypatch.setattr(outside, "edit", edited)
    async with on_screen() as (app, pilot):
        screen = await open_page(app, pilot, "M", "axes.max_feed")
        await pilot.press("e")
        assert screen.sheet.fact.shown == "5500 mm/min"
        monkeypatch.setattr(outside, "edit", lambda *_: "no editor is named")
        await pilot.press("e")
        assert "no editor is named" in await seen(pilot)


async def test_a_record_that_does_not_read_leads_to_its_problems(workshop: Path, on_screen: Opener) -> None:
    (workshop / "machines/bench-router.toml").write_text('schema = "machine/1"\n')
    async with on_screen() as (app, pilot):
        await pilot.press("M", "up")
        assert "bench-router · does not read: " in await seen(pilot)
        await pilot.press("enter")
        await settled(pilot)
        assert isinstance(app.screen, ProblemsScreen)
        assert app.screen.problem.where == "machines/bench-router.toml"


async def test_the_mouse_chooses_a_key_and_a_second_press_writes_it(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        screen = await open_page(app, pilot, "M", "name")
        rows = (await seen(pilot)).splitlines()
        offset = (8, next(at for at, line in enumerate(rows) if "rated power" in line))
        await pilot.click(offset=offset)
        await pilot.pause()
        assert screen.sheet.fact.key == "spindle.rated_power"
        rows = (await seen(pilot)).splitlines()
        await pilot.click(offset=(8, next(at for at, line in enumerate(rows) if "rated power" in line)))
        await pilot.pause()
        assert screen.mode == "writing"


def many_more(workshop: Path, count: int) -> None:
    text = (workshop / "recipes/bench-slot.toml").read_text()
    for number in range(count):
        (workshop / f"recipes/many-{number:04}.toml").write_text(text)


async def test_counting_the_uses_says_how_far_it_is(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    many_more(workshop, 96)
    monkeypatch.setattr(beside, "PATIENCE", 0.0)
    told: list[str] = []
    entitle = PartsScreen._entitle

    def noted(self: PartsScreen, progress: str) -> None:
        told.append(progress)
        entitle(self, progress)

    monkeypatch.setattr(PartsScreen, "_entitle", noted)
    async with on_screen() as (app, pilot):
        await posed(pilot, ("M", "WAIT"))
        assert app.screen.counts == {("recipe", "bench-router"): 98, ("recipe", MACHINE): 2}
        assert "uses counted in 100 of 100" in told
        assert told[-1] == ""
        assert "The machines of this book\n" in await seen(pilot)


async def test_jobs_that_use_a_machine_are_counted_beside_the_recipes(
    workshop: Path, on_screen: Opener
) -> None:
    for job in ("plates", "rails", "washers"):
        (workshop / f"jobs/{job}.toml").write_text(to_toml(values("job")))
    async with on_screen() as (_, pilot):
        await posed(pilot, ("M", "WAIT"))
        assert "2 recipes and 3 jobs" in await seen(pilot)
        await posed(pilot, ("escape", "T", "WAIT"))
        assert "jobs" not in await seen(pilot)


async def test_going_back_ends_the_counting(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch, stopped: threading.Event
) -> None:
    many_more(workshop, 200)
    read, steps = list[str](), threading.Semaphore(0)
    plain = index._read

    def by_steps(root, recipe):
        steps.acquire(timeout=20)
        read.append(recipe)
        return plain(root, recipe)

    monkeypatch.setattr(index, "_read", by_steps)
    async with on_screen() as (app, pilot):
        await settled(pilot)
        await pilot.press("M")
        steps.release()
        while not read:
            await pilot.pause(0.01)
        await pilot.press("escape")
        assert app.screen is app.page
        steps.release(200)
        assert stopped.wait(20)
        assert len(read) == 2


async def test_a_key_typed_ahead_of_the_list_opens_a_record(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        for key in ("M", "enter", "w"):
            app.screen.post_message(events.Key(key, key if len(key) == 1 else None))
        await settled(pilot)
        assert isinstance(app.screen, TextScreen)
        assert "name: Long-bed router" in await seen(pilot)
