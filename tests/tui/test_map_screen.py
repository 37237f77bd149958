"""The map of a recipe on screen, its lobes, and what counts."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from support import books
from swarfbook.decisions.cutmap import KNOBS, cut_map
from swarfbook.decisions.sensitivity import sensitivity
from swarfbook.reports.cutmap_page import cut_map_lines
from swarfbook.reports.sensitivity_page import sensitivity_lines
from swarfbook.tui import beside, map_screen
from swarfbook.tui.map_screen import LEGEND, POINTS, MapScreen
from swarfbook.tui.measure_screen import HEADING
from tui.conftest import Opener, posed, seen, settled, until
from tui.runs import run


def measured(workshop: Path) -> None:
    """Give the long-bed router modes."""
    path = workshop / "machines/long-bed-router.toml"
    stiff = 'stiffness = "3 N/um"'
    assert stiff in path.read_text()
    path.write_text(path.read_text().replace(stiff, books.MODES))


def drawn(app, width: int, height: int) -> list[str]:
    """Give the map of the recipe on the page as the command would draw it in a space."""
    case = app.page.sheet.check.case
    found = cut_map(case, app.screen.x, app.screen.y, POINTS)
    return cut_map_lines(found, width=width - 1, height=height - 6 - LEGEND, system="metric")


@pytest.mark.parametrize("size", [(80, 24), (120, 36), (200, 60)])
async def test_the_map_is_drawn_for_the_space_there_is(on_screen: Opener, size: tuple[int, int]) -> None:
    async with on_screen(size=size) as (app, pilot):
        await posed(pilot, ("k",))
        shown = await seen(pilot)
        for line in drawn(app, *size)[: size[1] - 6]:
            assert f" {line}".rstrip().replace("\u00a0", " ") in shown
        assert "axial depth [mm] over radial width [mm]" in shown
        assert "●" in shown
        assert max(map(len, shown.splitlines())) <= size[0]
        assert any(line.startswith(" A  ") for line in shown.splitlines())  # what the first letter means


async def test_it_is_drawn_anew_when_the_terminal_changes(on_screen: Opener) -> None:
    async with on_screen(size=(120, 36)) as (_, pilot):
        await posed(pilot, ("k",))
        wide = max(map(len, (await seen(pilot)).splitlines()))
        await pilot.resize_terminal(60, 20)
        await settled(pilot)
        lines = (await seen(pilot)).splitlines()
        assert max(map(len, lines)) <= 60 < wide
        assert "●" in "".join(lines)


async def test_it_is_of_the_values_in_the_sentence_saved_or_not(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("feed_per_tooth")
        await posed(pilot, (*"0.08", "enter", "k"))
        assert app.page.sheet.draft.dirty
        assert "feed per tooth 0.0800 mm" in await seen(pilot)


async def test_keys_change_what_goes_along_and_up_and_never_make_them_one(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("k",))
        assert (app.screen.x, app.screen.y) == ("radial_width", "axial_depth")
        seen_across, seen_up = set(), set()
        for _ in KNOBS:
            await posed(pilot, ("x",))
            seen_across.add(app.screen.x)
            assert app.screen.x != app.screen.y
        assert seen_across == {knob for knob in KNOBS if knob != app.screen.y}
        for _ in KNOBS:
            await posed(pilot, ("y",))
            seen_up.add(app.screen.y)
            assert app.screen.x != app.screen.y
        assert seen_up == {knob for knob in KNOBS if knob != app.screen.x}
        words = {"axial_depth": "axial depth", "feed_per_tooth": "feed per tooth"}
        shown = await seen(pilot)
        assert f"{words.get(app.screen.y, app.screen.y.replace('_', ' '))} [" in shown


async def test_runs_are_drawn_in(workshop: Path, on_screen: Opener) -> None:
    run(workshop)
    async with on_screen(size=(80, 60)) as (_, pilot):
        await posed(pilot, ("WAIT", "k"))
        assert "ran clean (1)" in await seen(pilot)


async def test_lobes_have_a_key_where_modes_are_known(workshop: Path, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("k",))
        assert "lobes" not in await seen(pilot)
        await posed(pilot, ("l",))
        assert not app.screen.lobes
    measured(workshop)
    async with on_screen() as (app, pilot):
        await posed(pilot, ("k",))
        assert "l lobes" in await seen(pilot)
        await posed(pilot, ("l",))
        shown = await seen(pilot)
        assert "stable axial depth [mm] over spindle speed [rpm]" in shown
        assert "c  the depth at which it begins to chatter" in shown
        await posed(pilot, ("l",))
        assert "axial depth [mm] over radial width [mm]" in await seen(pilot)


async def test_progress_is_said_and_escape_ends_it(
    on_screen: Opener, monkeypatch: pytest.MonkeyPatch, stopped: threading.Event
) -> None:
    go = threading.Event()

    def slow(*args, watch, **kwargs):
        watch(12, 60)
        assert go.wait(20)
        return cut_map(*args, watch=watch, **kwargs)

    monkeypatch.setattr(map_screen, "cut_map", slow)
    monkeypatch.setattr(beside, "PATIENCE", 0.02)
    async with on_screen() as (app, pilot):
        await pilot.press("k")
        try:
            await pilot.pause(0.1)
            assert "rows 12 of 60" in await seen(pilot)
            await pilot.press("escape")
            assert app.screen is app.page
        finally:
            go.set()
        await until(pilot, stopped.is_set)


async def test_an_older_map_does_not_come_over_a_newer_one(
    on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    go = threading.Event()

    def slow(case, x, y, *args, **kwargs):
        if x == "radial_width":
            assert go.wait(20)
            kwargs["watch"] = None
        return cut_map(case, x, y, *args, **kwargs)

    monkeypatch.setattr(map_screen, "cut_map", slow)
    async with on_screen() as (app, pilot):
        await pilot.press("k")
        try:
            await pilot.press("x")
        finally:
            go.set()
        await settled(pilot)
        assert isinstance(app.screen, MapScreen)
        assert "axial depth [mm] over feed per tooth [mm]" in await seen(pilot)


# What counts


async def test_what_counts_is_of_the_values_in_the_sentence(on_screen: Opener) -> None:
    async with on_screen(size=(100, 60)) as (app, pilot):
        app.page.sheet.choose("feed_per_tooth")
        await posed(pilot, (*"0.08", "enter", "W"))
        shown = await seen(pilot)
        for line in sensitivity_lines(sensitivity(app.page.sheet.check.case), width=99):
            assert line in shown
        await posed(pilot, ("m",))
        assert HEADING in await seen(pilot)


async def test_what_counts_is_found_in_the_palette(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, ("ctrl+p", *"tenth", "enter"))
        assert "change of each limit's use for a tenth more" in await seen(pilot)
        await posed(pilot, ("escape",))
        assert app.screen is app.page


async def test_both_are_worked_out_anew_by_a_log_that_is_read_again(
    workshop: Path, on_screen: Opener
) -> None:
    async with on_screen(size=(100, 60)) as (app, pilot):
        await posed(pilot, ("WAIT", "k"))
        assert "ran clean" not in await seen(pilot)
        run(workshop)
        app.page.look_at_log()
        await until(pilot, lambda: bool(app.screen._found and app.screen._found.ran))
        assert "ran clean (1)" in await seen(pilot)
        await posed(pilot, ("escape", "W"))
        before = app.screen._found
        run(workshop, day=1, power="500 W", idle_power="40 W")
        app.page.look_at_log()
        await until(pilot, lambda: app.screen._found.uses != before.uses)


async def test_escape_has_a_say_between_parts_of_the_map(
    on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[tuple[int, int]] = []

    def noted(*args, watch, **kwargs):
        def both(done: int, of: int) -> None:
            told.append((done, of))
            watch(done, of)

        return cut_map(*args, watch=both, **kwargs)

    monkeypatch.setattr(map_screen, "cut_map", noted)
    async with on_screen() as (_, pilot):
        await posed(pilot, ("k",))
    assert told == [(rows, POINTS) for rows in range(6, POINTS + 1, 6)]
