"""The list: all recipes by machine and material, judged beside the keys, found as one types."""

from __future__ import annotations

import threading
import time
from collections import Counter
from pathlib import Path
from types import SimpleNamespace

import pytest

from support.indexed import HOUR
from swarfbook.book import Book, index
from swarfbook.tui import beside, catalogue, list_view
from swarfbook.tui.list_screen import Found, ListScreen
from swarfbook.tui.shelf import Shelf, Told
from tui.conftest import RECIPE, Opener, posed, seen, settled


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


def rows_of(app) -> list[str]:
    return [row.id for row in app.screen.shelf.rows]


async def test_letters_are_typed_while_finding_and_commands_among_the_rows(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("l", "WAIT", "g", "o"))
        assert app.screen.shelf.find.text == "go"
        await pilot.press("ctrl+u", "tab")
        assert "g group" in await seen(pilot)
        await pilot.press("g", "o")
        assert app.screen.shelf.find.text == ""
        shown = await seen(pilot)
        assert "by machine · tightest first" in shown
        for way_back in ("tab", "slash", "escape"):
            await pilot.press(way_back)
            assert app.screen.mode == "list"
            await pilot.press("tab")
        assert app.screen.mode == "rows"


async def test_the_arrangement_stays_for_the_next_opening_and_the_find_line_does_not(
    on_screen: Opener,
) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("l", "WAIT", *"ben", "tab", "g", "o", "space", "tab", "escape", "l", "WAIT"))
        assert "by machine · tightest first" in await seen(pilot)
        assert (app.screen.shelf.find.text, app.screen.shelf.marks) == ("", set())
        assert rows_of(app)[0] == "bench-too-deep"
        assert app.screen.shelf.chosen == RECIPE


async def test_escape_takes_marks_away_before_it_goes_back(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("l", "WAIT", "tab", "asterisk"))
        assert len(app.screen.shelf.marks) == 4
        assert "4 marked" in await seen(pilot)
        await pilot.press("c")
        assert "compare four at most" not in await seen(pilot)
        await pilot.press("escape", "escape")
        assert (app.screen.mode, app.screen.shelf.marks) == ("rows", set())


async def test_a_new_recipe_from_one_in_the_list_is_on_trial_and_opens(
    workshop: Path, on_screen: Opener
) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("l", "WAIT", "tab", "a"))
        assert f"> {RECIPE}-2" in await seen(pilot)
        await pilot.press("ctrl+u", *"bench", "minus", *"slot", "enter")
        assert "choose another id" in await seen(pilot)
        await posed(pilot, ("ctrl+u", *"mine", "enter"))
        assert app.screen is app.page
        assert app.desk.draft.recipe_id == "mine"
        values = Book.open(workshop).get("recipe", "mine").raw
        parent = Book.open(workshop).get("recipe", RECIPE).raw
        assert values["standing"] == "trial"
        assert values["name"] == f"{parent['name']}, another"
        assert values["axial_depth"] == parent["axial_depth"]
        assert "derived" not in values
        await posed(pilot, ("l", "WAIT"))
        assert app.screen.shelf.chosen == "mine"


# What is read and judged, and how often


@pytest.fixture
def work(monkeypatch: pytest.MonkeyPatch) -> dict[str, list[str]]:
    """Note every recipe that is read or judged for the list."""
    done: dict[str, list[str]] = {"read": [], "judged": []}
    look, read, judge = index._read, catalogue.glance, catalogue.case_of

    def noted_look(root, recipe):
        done["read"].append(recipe)
        return look(root, recipe)

    def noted_read(book, kind, recipe):
        done["read"].append(recipe)
        return read(book, kind, recipe)

    def noted_case(book, recipe, *rest):
        done["judged"].append(recipe)
        return judge(book, recipe, *rest)

    monkeypatch.setattr(index, "GRAIN", -HOUR)  # as if the files were written an hour ago
    monkeypatch.setattr(index, "_read", noted_look)
    monkeypatch.setattr(catalogue, "glance", noted_read)
    monkeypatch.setattr(catalogue, "case_of", noted_case)
    return done


def forget(work: dict[str, list[str]]) -> None:
    for done in work.values():
        done.clear()


async def test_opened_again_it_reads_and_judges_nothing_that_stayed_as_it_was(
    workshop: Path, on_screen: Opener, work: dict[str, list[str]]
) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("l", "WAIT", "escape"))
        assert sorted(work["judged"]) == ["bench-slot", "bench-too-deep", RECIPE, "plate-finish"]
        forget(work)
        await pilot.press("l")
        assert len(app.screen.shelf.hits) == 4
        await posed(pilot, ("WAIT", "escape"))
        assert work == {"read": [], "judged": []}
        file = workshop / "recipes/bench-slot.toml"
        file.write_text(file.read_text().replace("Clamp slot", "Another slot by now"))
        await posed(pilot, ("l", "WAIT"))
        assert work == {"read": ["bench-slot", "bench-slot"], "judged": ["bench-slot"]}
        assert "Another slot by now" in await seen(pilot)


async def test_a_book_listed_before_is_listed_without_opening_a_recipe(
    workshop: Path, on_screen: Opener, work: dict[str, list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    (workshop / "recipes/a-broken.toml").write_text('name = "x')
    list(Book.open(workshop).index.look())
    forget(work)
    monkeypatch.setattr(ListScreen, "_judge", lambda *_: ())
    async with on_screen() as (app, pilot):
        await posed(pilot, ("l", "WAIT"))
        shown = await seen(pilot)
        assert "5 of 5 recipes" in shown
        assert "a-broken: " in shown
        await pilot.press(*"router")
        assert len(app.screen.shelf.hits) == 4
    assert work["read"] == []


async def test_what_was_changed_and_saved_on_the_page_is_judged_anew_at_the_next_opening(
    on_screen: Opener, work: dict[str, list[str]]
) -> None:
    async with on_screen("bench-slot") as (app, pilot):
        await posed(pilot, ("l", "WAIT", "escape"))
        before = app.desk.catalogue.shelf.told["bench-slot"]
        forget(work)
        app.page.sheet.choose("axial_depth")
        await posed(pilot, ("6", "enter", "l", "WAIT"))
        unsaved = app.screen.shelf.told["bench-slot"]
        await posed(pilot, ("escape", "s", "l", "WAIT"))
        assert work["judged"] == ["bench-slot", "bench-slot"]
        saved = app.screen.shelf.told["bench-slot"]
        assert saved == unsaved != before
        line = next(line for line in (await seen(pilot)).splitlines() if "▸" in line)
        assert f"{saved.use:.2f}  {saved.verdict}" in line
        assert "*" not in line


async def test_a_machine_that_changed_has_its_recipes_judged_anew_and_no_others(
    workshop: Path, on_screen: Opener, work: dict[str, list[str]]
) -> None:
    async with on_screen() as (_, pilot):
        await posed(pilot, ("l", "WAIT", "escape"))
        forget(work)
        machine = workshop / "machines/bench-router.toml"
        machine.write_text(machine.read_text().replace("Bench router", "Little router by the door"))
        await posed(pilot, ("l", "WAIT"))
        assert sorted(work["judged"]) == ["bench-slot", "bench-too-deep"]
        assert "Little router by the door" in await seen(pilot)


async def test_a_recipe_taken_away_goes_from_the_list(workshop: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("l", "WAIT", "escape"))
        (workshop / "recipes/plate-finish.toml").unlink()
        await posed(pilot, ("l", "WAIT"))
        assert "plate-finish" not in rows_of(app)
        assert "3 of 3 recipes" in await seen(pilot)


def many(workshop: Path, count: int) -> None:
    text = (workshop / "recipes/bench-slot.toml").read_text()
    for at in range(count):
        fresh = text.replace("Clamp slot", f"Slot no. {at:04}")
        (workshop / f"recipes/many-{at:04}.toml").write_text(fresh)


async def test_what_is_in_sight_is_judged_first_and_nothing_after_the_list_is_closed(
    workshop: Path, on_screen: Opener, work: dict[str, list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    many(workshop, 300)
    steps = threading.Semaphore(0)
    judge = catalogue.check

    def by_steps(case):
        steps.acquire(timeout=20)
        return judge(case)

    monkeypatch.setattr(catalogue, "check", by_steps)
    async with on_screen("bench-slot") as (app, pilot):
        await pilot.press("l")
        while not work["judged"]:
            await pilot.pause(0.01)
        await pilot.press("tab", "end")
        in_sight = set(app.screen.sight)
        assert not set(work["judged"]) & in_sight
        forget(work)
        for _ in range(len(in_sight) + 1):
            steps.release()
        while len(work["judged"]) < len(in_sight):
            await pilot.pause(0.01)
        assert set(work["judged"][: len(in_sight)]) == in_sight
        await pilot.press("tab", "escape")
        assert app.screen is app.page
        steps.release(2)
        await pilot.app.workers.wait_for_complete()
        assert len(work["judged"]) <= len(in_sight) + 2


async def test_only_rows_in_sight_are_drawn(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    many(workshop, 300)
    drawn: list[object] = []
    line = list_view.line
    monkeypatch.setattr(catalogue, "check", lambda case: pytest.fail(f"judged {case.recipe_id}"))
    monkeypatch.setattr(ListScreen, "_judge", lambda *_: ())
    monkeypatch.setattr(
        list_view, "line", lambda shelf, item, width: drawn.append(item) or line(shelf, item, width)
    )
    async with on_screen() as (app, pilot):
        await posed(pilot, ("l", "WAIT"))
        drawn.clear()
        await pilot.press("n")
        assert len(app.screen.shelf.rows) == 304
        assert 0 < len(drawn) <= 24


async def test_it_says_how_far_it_is_once_it_takes_a_while(
    on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(beside, "PATIENCE", 0.0)
    told: list[str] = []
    post = ListScreen.post_message

    def noted(self, message):
        told.append(getattr(message, "progress", ""))
        return post(self, message)

    monkeypatch.setattr(ListScreen, "post_message", noted)
    async with on_screen() as (_, pilot):
        await posed(pilot, ("l", "WAIT"))
        assert "read 4 of 4" in told
        assert "judged 4 of 4" in told
        assert told[-1] == ""
        assert "judged" not in await seen(pilot)


async def test_thousands_are_sorted_a_few_times_and_shown_at_once_while_they_are_read(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    many(workshop, 1000)
    counts: Counter[str] = Counter()
    count_calls(monkeypatch, counts, Shelf, "arrange")
    monkeypatch.setattr(beside, "time", SimpleNamespace(sleep=time.sleep, monotonic=time.monotonic))
    count_calls(monkeypatch, counts, beside.time, "sleep")
    monkeypatch.setattr(beside, "PATIENCE", 0.0)
    monkeypatch.setattr(ListScreen, "_judge", lambda *_: ())
    told: list[Found] = []
    post = ListScreen.post_message
    monkeypatch.setattr(ListScreen, "post_message", lambda self, one: told.append(one) or post(self, one))
    async with on_screen() as (app, pilot):
        await settled(pilot)
        counts.clear()
        await posed(pilot, ("l", "WAIT"))
        assert len(app.screen.shelf.rows) == 1004
    found = [one for one in told if isinstance(one, Found)]
    assert [len(one.rows) for one in found if one.rows] == [32, 64, 128, 256, 512, 12]
    assert len(found) > 900  # with no patience at all it tells at every step how far it is,
    assert counts["arrange"] == 1 + 6  # and nothing is sorted for that
    assert counts["sleep"] == 1004 // beside.READS


async def test_verdicts_out_of_sight_come_many_at_a_time(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    many(workshop, 300)
    counts: Counter[str] = Counter()
    count_calls(monkeypatch, counts, Shelf, "judge")
    monkeypatch.setattr(catalogue.Look, "_told", lambda *_: Told("bending", 0.5, "holds"))
    async with on_screen() as (app, pilot):
        await posed(pilot, ("l", "WAIT"))
        assert len(app.screen.shelf.told) == 304
        # Those in sight, then 32, 64, 128 and the rest; one more for what was in sight early.
        assert counts["judge"] <= 6


def count_calls(monkeypatch: pytest.MonkeyPatch, counts: Counter[str], owner: object, name: str) -> None:
    """Count the calls of a function."""
    plain = getattr(owner, name)

    def counted(*given: object) -> object:
        counts[name] += 1
        return plain(*given)

    monkeypatch.setattr(owner, name, counted)


async def test_what_was_read_and_judged_when_the_list_was_closed_is_there_the_next_time(
    workshop: Path,
    on_screen: Opener,
    work: dict[str, list[str]],
    monkeypatch: pytest.MonkeyPatch,
    stopped: threading.Event,
) -> None:
    many(workshop, 100)
    stop_at = {"read": 40, "judged": 20}
    stops = beside.Pace.stops

    def closed(pace: beside.Pace) -> bool:
        if any(len(work[what]) == stop_at[what] for what in work):
            pace._worker.cancel()
        return stops(pace)

    async with on_screen() as (app, pilot):
        await settled(pilot)
        with monkeypatch.context() as patch:
            patch.setattr(beside.Pace, "stops", closed)
            for what, most in tuple(stop_at.items()):
                stopped.clear()
                await pilot.press("l")
                while not stopped.is_set():
                    await pilot.pause(0.01)
                await pilot.press("escape")
                assert len(work[what]) == most
                stop_at["read"] = -1
        await posed(pilot, ("l", "WAIT"))
        assert len(app.screen.shelf.rows) == 104
        assert len(app.screen.shelf.told) == 104
        assert sorted(work["judged"]) == sorted(rows_of(app))
