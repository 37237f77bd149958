"""A line asked for over the page, and what the page's other looks make of it."""

from __future__ import annotations

import pytest

from swarfbook.tui.line_edit import LineEdit
from swarfbook.tui.lines import text_of
from swarfbook.tui.prompt_screen import PromptScreen, caret_spans
from swarfbook.tui.text_screen import TextScreen
from tui.conftest import Opener, seen


def odd(text: str) -> str:
    return "" if len(text) % 2 else f"'{text}' is even"


async def asked(app, pilot, **more) -> list[str | None]:
    answers: list[str | None] = []
    app.push_screen(PromptScreen("A new name", **more), answers.append)
    await pilot.pause()
    return answers


async def test_a_prompt_gives_what_is_written_without_the_blanks_around_it(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        answers = await asked(app, pilot, hint="letters, digits and hyphens", text="old")
        shown = await seen(pilot)
        assert " A new name\n letters, digits and hyphens\n\n > old\n" in shown
        await pilot.press("backspace", "q", "question_mark", "space", "enter")
        assert answers == ["olq?"]
        assert app.screen is app.page


async def test_a_prompt_says_why_a_text_will_not_do_and_stays(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        answers = await asked(app, pilot, check=odd)
        await pilot.press("a", "b", "enter")
        assert answers == []
        assert "not taken: 'ab' is even" in await seen(pilot)
        await pilot.press("c")
        assert "not taken" not in await seen(pilot)
        await pilot.press("enter")
        assert answers == ["abc"]


async def test_a_prompt_that_is_left_gives_nothing(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        answers = await asked(app, pilot, text="old")
        await pilot.press("x", "escape")
        assert answers == [None]


async def test_what_is_pasted_is_one_line(on_screen: Opener) -> None:
    from textual import events

    async with on_screen() as (app, pilot):
        answers = await asked(app, pilot)
        app.screen.post_message(events.Paste("one\n[bold]two\x1b"))
        await pilot.press("enter")
        assert answers == ["one [bold]two"]


@pytest.mark.parametrize("caret", [0, 5, 19, 20, 40])
def test_a_long_line_shows_what_stands_around_the_caret(caret: int) -> None:
    text = "".join(chr(ord("A") + place % 26) for place in range(40))
    before, (under, style), after = caret_spans(LineEdit(text, caret), 20)
    shown = text_of([before, (under, style), after])
    assert len(shown) == 20
    assert shown.rstrip() in text
    assert under == (text + " ")[caret]
    assert style == "caret"


async def test_a_corners_radius_is_asked_for_and_its_load_shown(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("o", *"2", "enter")
        assert "not taken: an inside corner has to be wider than the cutter's 3.00 mm" in await seen(pilot)
        await pilot.press("backspace", "3", "comma", "5", "enter")
        assert "write 3.5" in await seen(pilot)
        await pilot.press("backspace", "backspace", "full_stop", "5", "enter")
        assert isinstance(app.screen, TextScreen)
        shown = await seen(pilot)
        assert "In an inside corner of radius 3.50 mm" in shown
        assert "The cutter is engaged as in a cut" in shown
        await pilot.press("escape")
        assert app.screen is app.page


async def test_where_it_chatters_is_a_guess_unless_modes_are_measured(workshop, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("h")
        assert app.screen.heading.endswith("a guess")
        assert "estimate from the cutter's own bending" in await seen(pilot)
    with (workshop / "machines/long-bed-router.toml").open("a") as file:
        file.write(
            '[[tool_tip.modes]]\naxis = "x"\nfrequency = "310 Hz"\ndamping = 0.03\nstiffness = "6 N/um"\n'
        )
    async with on_screen() as (app, pilot):
        await pilot.press("h")
        assert app.screen.heading == "Where it begins to chatter"
        assert "the measured modes" in await seen(pilot)


@pytest.mark.parametrize("key", ["o", "h"])
async def test_there_is_no_other_look_at_what_cannot_be_judged(key: str, on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("radial_width")
        await pilot.press("7", "enter")
        await pilot.press(key)
        assert app.screen is app.page
