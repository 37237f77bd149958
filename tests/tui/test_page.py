"""The page: values are written in place, the ladder follows every key, rungs are walked."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from tui.conftest import RECIPE, Opener, seen, settled

NAMED = {" ": "space", ".": "full_stop", "+": "plus", "-": "minus", "/": "slash", "%": "percent_sign"}


def use_of(app, limit: str) -> float:
    return next(rung.use for rung in app.page.sheet.rungs if rung.limit == limit)


async def test_the_sentence_says_the_recipe_and_the_first_value_is_chosen(on_screen: Opener) -> None:
    async with on_screen() as (_, pilot):
        shown = await seen(pilot)
        assert "Rough 6082-T6 flat bar with the 6 mm one-flute end mill in the Long-bed" in shown
        assert "[18 000 rpm] (339 m/min), 0.05 mm a tooth (900 mm/min), 3 mm deep," in shown
        assert "1.5 mm (25 %) wide" in shown
        assert "max-effort" in shown


async def test_tab_walks_every_value_and_comes_back(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        walked = [app.page.sheet.key]
        for _ in range(16):
            await pilot.press("tab")
            walked.append(app.page.sheet.key)
        assert walked == [
            "spindle_speed", "cutting_speed", "feed_per_tooth", "feed_rate", "axial_depth", "radial_width",
            "radial_share", "direction", "stickout", "cooling", "allowance", "standing", "name",
            "operation", "material", "tool", "machine",
        ]  # fmt: skip
        await pilot.press("tab", "shift+tab", "left")
        assert app.page.sheet.key == "tool"


async def test_the_ladder_follows_every_key(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("axial_depth")
        uses = [use_of(app, "cut-depth")]
        for key in ("6", "full_stop", "5"):
            await pilot.press(key)
            uses.append(use_of(app, "cut-depth"))
        assert uses == pytest.approx([3 / 16, 6 / 16, 6 / 16, 6.5 / 16])
        assert "[6.5 mm] deep" in await seen(pilot)
        assert app.desk.draft.values["axial_depth"] == "3 mm"


async def test_escape_gives_the_value_and_the_ladder_back(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("axial_depth")
        await pilot.press("9", "escape")
        assert use_of(app, "cut-depth") == pytest.approx(3 / 16)
        assert not app.desk.draft.dirty


async def test_enter_keeps_what_was_written_and_marks_it(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("axial_depth")
        await pilot.press("2", "full_stop", "5", "enter")
        assert app.desk.draft.values["axial_depth"] == "2.5 mm"
        assert "not saved: axial depth" in await seen(pilot)
        assert "changed, was 3 mm" in await seen(pilot)


@pytest.mark.parametrize(
    ("typed", "text"),
    [
        ("0.1 in", "0.1 in"),
        ("1/8in", "1/8 in"),
        ("+10 %", "3.3 mm"),
        ("-0.2", "2.8 mm"),
        ("2.50", "2.5 mm"),
    ],
)
async def test_a_depth_is_taken_in_every_form(on_screen: Opener, typed: str, text: str) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("axial_depth")
        await pilot.press(*(NAMED.get(character, character) for character in typed))
        await pilot.press("enter")
        assert app.desk.draft.values["axial_depth"] == text


async def test_what_is_wrong_is_said_while_typing_and_the_last_good_ladder_stays(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("axial_depth")
        await pilot.press("4", "comma", "5")
        shown = await seen(pilot)
        assert "not taken" in shown
        assert "4.5" in shown.split("not taken")[1].splitlines()[0]
        assert "The ladder shows the last values that could be judged." in shown
        assert use_of(app, "cut-depth") == pytest.approx(4 / 16)
        await pilot.press("enter")
        assert app.page.sheet.pen is not None
        assert not app.desk.draft.dirty


async def test_a_value_that_does_not_fit_the_cutter_is_kept_but_not_judged(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("radial_width")
        await pilot.press("7", "enter")
        assert app.desk.draft.values["radial_width"] == "7 mm"
        assert "does not fit:" in await seen(pilot)
        assert "diameter" in (await seen(pilot)).split("does not fit:")[1].splitlines()[0]


async def test_a_feed_by_the_minute_replaces_the_feed_by_the_tooth(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("feed_rate")
        await pilot.press("7", "2", "0", "enter")
        assert app.desk.draft.values["feed_rate"] == "720 mm/min"
        assert "feed_per_tooth" not in app.desk.draft.values
        assert "[720 mm/min] (0.04 mm a tooth)" in await seen(pilot)


async def test_words_are_walked_or_found_by_letter(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("direction")
        await pilot.press("enter", "down")
        assert "[cutting conventionally]" in await seen(pilot)
        assert "direction: climbing · [cutting conventionally]" in await seen(pilot)
        await pilot.press("enter")
        app.page.sheet.choose("cooling")
        await pilot.press("enter", "f", "enter")
        app.page.sheet.choose("machine")
        await pilot.press("enter", "b", "e", "enter")
        values = app.desk.draft.values
        assert (values["direction"], values["cooling"]) == ("conventional", "flood")
        assert values["machine"] == "bench-router"
        assert "Bench router" in await seen(pilot)


async def test_a_tolerance_can_be_given_where_there_is_none(workshop: Path, on_screen: Opener) -> None:
    path = workshop / f"recipes/{RECIPE}.toml"
    path.write_text(path.read_text().replace('allowance = "0.5 mm"\n', ""))
    async with on_screen() as (app, pilot):
        assert "tolerance not given" in await seen(pilot)
        app.page.sheet.choose("tolerance")
        await pilot.press("0", "full_stop", "1", "enter")
        assert app.desk.draft.values["tolerance"] == "0.1 mm"
        assert use_of(app, "deflection") > 0


async def test_rungs_are_walked_and_the_choice_stays_with_its_limit(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("down", "down")
        chosen = app.page.sheet.limit.name
        assert chosen != app.page.sheet.rungs[0].limit
        await pilot.press("tab", "tab", "tab", "1", "enter")
        assert app.page.sheet.limit.name == chosen
        await pilot.press(*["up"] * 20)
        assert app.page.sheet.rung == 0


async def test_the_note_of_a_strained_rung_ends_in_a_relief(on_screen: Opener) -> None:
    async with on_screen("bench-too-deep", size=(100, 30)) as (app, pilot):
        await settled(pilot)
        assert app.page.sheet.limit.verdict == "over"
        assert "Relief:" in await seen(pilot)
        assert "deep brings it to" in " ".join((await seen(pilot)).split())


async def test_undo_and_redo(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("axial_depth")
        await pilot.press("2", "enter", "1", "enter", "u")
        assert app.desk.draft.values["axial_depth"] == "2 mm"
        await pilot.press("u")
        assert not app.desk.draft.dirty
        await pilot.press("U")
        assert app.desk.draft.values["axial_depth"] == "2 mm"
        await pilot.press("ctrl+y")
        assert app.desk.draft.values["axial_depth"] == "1 mm"


async def test_saving_writes_the_file_and_keeps_what_a_person_wrote_beside_it(
    workshop: Path, on_screen: Opener
) -> None:
    path = workshop / f"recipes/{RECIPE}.toml"
    path.write_text("# as Ines found it\n" + path.read_text())
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("axial_depth")
        await pilot.press("2", "enter", "s")
        text = path.read_text()
        assert text.startswith("# as Ines found it\n")
        assert tomllib.loads(text)["axial_depth"] == "2 mm"
        assert f"saved in recipes/{RECIPE}.toml" in await seen(pilot)
        assert not app.desk.draft.dirty


async def test_letters_are_typed_and_not_obeyed_while_a_value_is_written(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("axial_depth")
        await pilot.press("4", "s", "q", "d", "l")
        assert app.is_running
        assert app.screen is app.page
        assert "[4sqdl" in await seen(pilot)


async def test_keys_typed_ahead_of_a_screen_go_to_it(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("d", "4", "0")
        assert app.page.sheet.pen is None
        assert app.screen.state.margin.value == pytest.approx(0.4)
        await pilot.press("escape", "tab")
        assert app.page.sheet.key == "cutting_speed"


async def test_the_mouse_chooses_values_and_rungs(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        rows = (await seen(pilot)).splitlines()
        row = next(at for at, line in enumerate(rows) if "3 mm deep" in line)
        place = (rows[row].index("3 mm deep"), row)
        await pilot.click(offset=place)
        assert app.page.sheet.key == "axial_depth"
        await pilot.click(offset=place)
        assert app.page.sheet.pen is not None
        await pilot.press("escape")
        second = app.page.sheet.rungs[1]
        row = next(at for at, line in enumerate(rows) if line.startswith(f" {second.title}"))
        await pilot.click(offset=(4, row))
        assert app.page.sheet.limit.name == second.limit


async def test_pasting_writes_a_value(on_screen: Opener) -> None:
    from textual.events import Paste

    async with on_screen() as (app, pilot):
        app.page.sheet.choose("axial_depth")
        app.page.post_message(Paste("0.1 in\n"))
        await pilot.pause()
        await pilot.press("enter")
        assert app.desk.draft.values["axial_depth"] == "0.1 in"


async def test_the_fold_shows_notes_and_cautions_and_is_read_on_in(on_screen: Opener) -> None:
    async with on_screen() as (_, pilot):
        assert "Cautions" not in await seen(pilot)
        await pilot.press("n")
        assert "Cautions" in await seen(pilot)
        assert f"recipes/{RECIPE}.toml" not in await seen(pilot)
        await pilot.press(*["pagedown"] * 9)
        shown = await seen(pilot)
        assert f"recipes/{RECIPE}.toml" in shown
        assert "Holding" in shown
        assert "┃" in shown
        await pilot.press(*["pageup"] * 9)
        assert "Cautions" in await seen(pilot)
        await pilot.press("n")
        assert "Cautions" not in await seen(pilot)


async def test_notes_are_written_where_the_fold_is_open(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("n")
        app.page.sheet.choose("notes")
        await pilot.press("enter", *"quiet", "enter")
        assert app.desk.draft.values["notes"] == "quiet"
        assert "  quiet" in await seen(pilot)
        await pilot.press("enter", "ctrl+u", "enter")
        assert "notes" not in app.desk.draft.values
        app.desk.draft.change({"notes": "one\ntwo"})
        await pilot.press("enter")
        assert app.page.sheet.pen is None
        assert "e opens it in your editor" in await seen(pilot)


async def test_the_name_is_written_in_place(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("name")
        await pilot.press("enter", "ctrl+u", "enter")
        assert "not taken" in await seen(pilot)
        await pilot.press(*"Flange", "enter")
        assert app.desk.draft.values["name"] == "Flange"
        assert "[Flange]" in (await seen(pilot)).splitlines()[1]


async def test_a_long_name_is_written_at_sixty_columns(on_screen: Opener) -> None:
    async with on_screen(size=(60, 20)) as (app, pilot):
        app.page.sheet.choose("name")
        await pilot.press("enter", "ctrl+u", *"abcdefghij" * 7, "Z")
        assert "Z" in (await seen(pilot)).splitlines()[1]


@pytest.mark.parametrize(
    ("key", "typed", "changed", "text"),
    [
        ("cutting_speed", "300", "spindle_speed", "15915 rpm"),
        ("cutting_speed", "1000 ft/min", "spindle_speed", "16170 rpm"),
        ("radial_share", "30", "radial_width", "1.8 mm"),
        ("radial_share", "+10 %", "radial_width", "1.65 mm"),
    ],
)
async def test_a_value_that_follows_can_be_written_and_the_other_follows(
    on_screen: Opener, key: str, typed: str, changed: str, text: str
) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose(key)
        await pilot.press(*(NAMED.get(character, character) for character in typed))
        before = app.desk.draft.values[changed]
        shown = "".join(piece.text for piece in app.page.sheet.pieces()[0]).replace("\u00a0", "")
        assert text in shown
        assert app.desk.draft.values[changed] == before
        await pilot.press("enter")
        assert app.desk.draft.values[changed] == text


async def test_what_is_shown_changes_units_and_what_is_written_does_not(on_screen: Opener) -> None:
    async with on_screen(size=(100, 40)) as (app, pilot):
        values = dict(app.desk.draft.values)
        await pilot.press("i")
        shown = await seen(pilot)
        assert "0.118 in deep" in shown
        assert "imperial" in shown.splitlines()[0]
        assert " lbf " in shown
        assert app.desk.draft.values == values
        app.page.sheet.choose("axial_depth")
        await pilot.press("enter", "enter")
        assert app.desk.draft.values == values
        await pilot.press("full_stop", "1", "enter")
        assert app.desk.draft.values["axial_depth"] == "0.1 in"
        await pilot.press("i")
        assert "[2.54 mm] deep" in await seen(pilot)
        await pilot.press("i")
        assert "[0.1 in] deep" in await seen(pilot)


async def test_enter_on_a_rung_opens_its_why_and_on_a_value_the_value(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("down")
        assert "Enter why" in await seen(pilot)
        await pilot.press("enter")
        assert app.screen is not app.page
        assert "held against" in await seen(pilot)
        await pilot.press("escape", "tab")
        assert "Enter edit" in await seen(pilot)
        await pilot.press("enter")
        assert app.page.sheet.pen is not None


async def test_the_relief_can_be_applied_and_taken_back(on_screen: Opener) -> None:
    async with on_screen("bench-too-deep") as (app, pilot):
        await settled(pilot)
        assert app.page.sheet.limit.verdict == "over"
        name, found = app.page.sheet.limit.name, app.page.sheet.relief
        await pilot.press("equals_sign")
        assert app.desk.draft.values[found.key] == found.text
        assert next(limit for limit in app.page.sheet.check.limits if limit.name == name).verdict == "holds"
        await pilot.press("u")
        assert not app.desk.draft.dirty
        # Without waiting for the search the key finds it for itself.
        await pilot.press("equals_sign")
        assert app.desk.draft.values[found.key] == found.text


async def test_changes_are_dropped_at_once_and_come_back(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("axial_depth")
        await pilot.press("2", "enter")
        app.page.sheet.choose("stickout")
        await pilot.press("2", "2", "enter", "Z")
        assert not app.desk.draft.dirty
        await pilot.press("u")
        assert app.desk.draft.values["stickout"] == "22 mm"
        assert app.desk.draft.values["axial_depth"] == "2 mm"


async def test_a_recipe_is_retired_and_taken_up_again(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("z")
        assert app.desk.draft.values["standing"] == "retired"
        await pilot.press("z")
        assert app.desk.draft.values["standing"] == "trial"


async def test_the_themes_go_round(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        seen_themes = []
        for _ in range(4):
            seen_themes.append(app.theme)
            await pilot.press("t")
        assert len(set(seen_themes)) == 3
        assert seen_themes[0] == seen_themes[3]


async def test_a_recipe_that_cannot_be_judged_says_why(workshop: Path, on_screen: Opener) -> None:
    path = workshop / f"recipes/{RECIPE}.toml"
    path.write_text(path.read_text().replace('tool = "em-6mm-1f"', 'tool = "em-9mm"'))
    async with on_screen() as (_, pilot):
        assert "This recipe cannot be judged:" in await seen(pilot)
        assert "did you mean em-6mm-1f" in await seen(pilot)


async def test_a_book_without_recipes_says_so(workshop: Path, on_screen: Opener) -> None:
    for path in (workshop / "recipes").glob("*.toml"):
        path.unlink()
    async with on_screen(None) as (app, pilot):
        assert "no recipe" in await seen(pilot)
        await pilot.press("tab", "enter", "d", "s", "u", "n", "escape", "down", "5")
        assert app.is_running


async def test_a_change_shows_what_it_comes_to(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("axial_depth")
        await pilot.press("plus", "1", "0", "percent_sign")
        assert "becomes 3.3 mm" in await seen(pilot)
        assert use_of(app, "cut-depth") == pytest.approx(3.3 / 16)
