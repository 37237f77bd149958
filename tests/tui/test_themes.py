"""Every screen in every theme and without colour: the same words, and ink that stands out from its paper."""

from __future__ import annotations

from pathlib import Path

import pytest
from rich.color import Color, ColorSystem
from textual import constants

from swarfbook.tui.lines import Lines
from swarfbook.tui.themes import SIXTEEN, THEMES
from tui.conftest import Opener, posed, seen
from tui.test_pictures import PICTURES, SCENES, spoil

# The ratio the Web Content Accessibility Guidelines 2.1 ask of text, criterion 1.4.3.
LEAST_CONTRAST = 4.5


def luminance(colour: Color) -> float:
    def linear(part: int) -> float:
        share = part / 255
        return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4

    red, green, blue = map(linear, colour.get_truecolor())
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(ink: Color, paper: Color) -> float:
    dark, light = sorted((luminance(ink), luminance(paper)))
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("scene", SCENES)
async def test_the_words_are_the_same_and_can_be_read(scene: str, on_screen: Opener, workshop: Path) -> None:
    spoil(workshop, scene)
    recipe, keys = SCENES[scene]
    picture = (PICTURES / f"{scene}-80x24.txt").read_text(encoding="utf-8").splitlines()
    async with on_screen(recipe) as (app, pilot):
        await posed(pilot, keys)
        for theme in THEMES:
            app.theme = theme.name
            shown = (await seen(pilot)).splitlines()
            assert shown == picture, theme.name
            strips = app.screen._compositor.render_strips()
            # What shows, dimmed, above a screen that lies over the page is there to be seen, not read.
            parts = [part.region for part in app.screen.query(Lines)]
            for row in [row for part in parts for row in range(part.y, part.bottom)]:
                for segment in strips[row]:
                    style = segment.style
                    if segment.text.strip() and style and style.color and style.bgcolor:
                        assert contrast(style.color, style.bgcolor) >= LEAST_CONTRAST, (theme.name, segment)


@pytest.mark.parametrize(
    "keys", [("M", "enter"), ("M", "enter", "a"), ("A", "enter", "w"), ("l", "tab", "a")]
)
async def test_what_lies_below_stays_in_sight_whichever_screen_is_painted_anew(
    keys: tuple[str, ...], on_screen: Opener
) -> None:
    async with on_screen() as (app, pilot):
        await posed(pilot, keys)
        before = await seen(pilot)
        assert before.startswith(" Test workshop")
        for screen in app.screen_stack[1:]:
            screen.refresh()
            assert await seen(pilot) == before, screen
        for theme in (*THEMES[1:], THEMES[0]):
            app.theme = theme.name
            assert await seen(pilot) == before, theme.name


@pytest.mark.parametrize(
    "keys", [("M", "enter"), ("l",), ("M", "enter", "a"), ("t", "q"), ("question_mark",)]
)
async def test_sixteen_colours_leave_every_ink_apart_from_its_paper(
    keys: tuple[str, ...], on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(constants, "COLOR_SYSTEM", SIXTEEN)
    async with on_screen() as (app, pilot):
        await posed(pilot, keys)
        for theme in THEMES:
            app.theme = theme.name
            await seen(pilot)
            for strip in app.screen._compositor.render_strips():
                for segment in strip:
                    if segment.text.strip() and segment.style:
                        ink, paper = (
                            colour.downgrade(ColorSystem.STANDARD)
                            for colour in (segment.style.color, segment.style.bgcolor)
                        )
                        assert contrast(ink, paper) >= LEAST_CONTRAST, (theme.name, segment)
