"""Recipes side by side: what differs first, the rest folded, reached from the list and from the page."""

from __future__ import annotations

import pytest

from swarfbook.tui.compare_screen import CompareScreen
from swarfbook.tui.list_screen import ListScreen
from tui.conftest import Opener, posed, seen, write

PAIR = ("c", "WAIT", "pageup", "enter")


async def test_the_page_is_compared_with_one_from_the_list(on_screen: Opener) -> None:
    async with on_screen(size=(100, 40)) as (app, pilot):
        await posed(pilot, PAIR)
        assert isinstance(app.screen, CompareScreen)
        shown = await seen(pilot)
        lines = shown.splitlines()
        assert (
            next(line for line in lines if line.startswith("  A  ")).split("·")[0].endswith("bulk roughing ")
        )
        assert next(line for line in lines if line.startswith("  B  ")).startswith("  B  Clamp slot")
        assert "machine         Long-bed router" in shown
        assert next(line for line in lines if "operation" in line).split() == ["operation", "rough", "slot"]
        assert "material" not in shown.split("Uses of limits")[0].split("What they say")[1]
        await pilot.press("escape")
        assert isinstance(app.screen, ListScreen)
        await pilot.press("escape")
        assert app.screen is app.page


async def test_the_rest_is_folded_and_unfolds(on_screen: Opener) -> None:
    async with on_screen(size=(100, 60)) as (_, pilot):
        await posed(pilot, PAIR)
        shown = await seen(pilot)
        assert "less apart or the same" in shown
        assert "cutting power" not in shown
        await pilot.press("n")
        unfolded = await seen(pilot)
        assert "What they ask" in unfolded
        assert "cutting power" in unfolded
        await pilot.press("n")
        assert await seen(pilot) == shown


async def test_marked_ones_are_compared_as_they_stand_on_the_desk(on_screen: Opener) -> None:
    async with on_screen(size=(110, 50)) as (app, pilot):
        app.page.sheet.choose("axial_depth")
        await posed(pilot, ("2", "enter", "l", "WAIT", "tab", "home", "space", "space", "end", "space", "c"))
        shown = await seen(pilot)
        depth = next(line for line in shown.splitlines() if "axial depth" in line)
        assert depth.split("  ")[-1].strip() == "2 mm"
        assert next(line for line in shown.splitlines() if " standing " in line).split()[1:] == [
            "trial", "trial", "max-effort",
        ]  # fmt: skip


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 36)])
async def test_four_fit_a_narrow_screen(on_screen: Opener, size: tuple[int, int]) -> None:
    async with on_screen(size=size) as (_, pilot):
        await posed(pilot, ("l", "WAIT", "tab", "asterisk", "c"))
        for _ in range(6):
            shown = await seen(pilot)
            assert all(len(line) <= size[0] for line in shown.splitlines())
            await pilot.press("pagedown")
        assert "A" in shown or "more that" in shown or "less apart" in shown


async def test_one_or_five_are_refused_with_what_would_do(workshop, on_screen: Opener) -> None:
    text = (workshop / "recipes/bench-slot.toml").read_text()
    (workshop / "recipes/bench-slot-2.toml").write_text(text)
    async with on_screen("bench-slot") as (app, pilot):
        await posed(pilot, ("l", "WAIT", "tab", "c"))
        assert "choose a recipe other than the one on the page" in await seen(pilot)
        await pilot.press("asterisk", "c")
        assert "5 are marked: compare four at most" in await seen(pilot)
        assert isinstance(app.screen, ListScreen)


async def test_one_that_cannot_be_judged_says_so_in_the_list(workshop, on_screen: Opener) -> None:
    write(workshop, "recipes/no-such-cutter", {"schema": "recipe/1", "name": "A no one"})
    async with on_screen() as (app, pilot):
        await posed(pilot, ("c", "WAIT", "n", "o", "enter"))
        assert isinstance(app.screen, ListScreen)
        assert "recipes/no-such-cutter.toml" in await seen(pilot)
