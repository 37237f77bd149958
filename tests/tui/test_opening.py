"""The first frame: words of the files before anything heavy is loaded, keys kept, refusals told outside."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from swarfbook.errors import SwarfbookError
from swarfbook.tui import app as app_module
from swarfbook.tui.app import SwarfbookApp
from swarfbook.tui.lines import text_of
from swarfbook.tui.opening import opening_lines
from tui.conftest import RECIPE, seen

LIGHT = """
import sys
import swarfbook.cli.main, swarfbook.cli.open_command, swarfbook.tui.app
print(*{name.partition(".")[0] for name in sys.modules})
"""


def test_the_first_frame_needs_no_models_and_no_numbers() -> None:
    done = subprocess.run(
        [sys.executable, "-c", LIGHT], capture_output=True, text=True, check=True, timeout=60
    )
    assert not set(done.stdout.split()) & {"numpy", "pydantic", "pandas", "pint", "scipy", "tomlkit"}


def test_the_first_frame_says_the_recipe_as_its_file_does(workshop: Path) -> None:
    text = "\n".join(text_of(line) for line in opening_lines(workshop, RECIPE))
    assert "Test workshop" in text
    assert "6 mm one-flute, 6082, bulk roughing" in text
    assert "18000 rpm, 0.05 mm a tooth, 3 mm deep, 1.5 mm wide, 24 mm out of the collet" in text
    first = "\n".join(text_of(line) for line in opening_lines(workshop, None))
    assert "Clamp slot" in first


def test_the_first_frame_of_what_does_not_read_is_empty_but_safe(workshop: Path) -> None:
    path = workshop / f"recipes/{RECIPE}.toml"
    path.write_text('name = "\\u001b[31mred"\nspindle_speed = 7\n')
    text = "\n".join(text_of(line) for line in opening_lines(workshop, RECIPE))
    assert "\x1b" not in text
    assert "red" in text
    for lines in (opening_lines(workshop / "nowhere", None), opening_lines(workshop, "../up\0")):
        assert text_of(lines[-1]).strip() == "opening …"


async def test_the_page_follows_and_keys_typed_before_it_count(workshop: Path) -> None:
    app = SwarfbookApp(workshop, RECIPE)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("tab", "tab")
        await pilot.pause()
        assert app.screen is app.page
        assert app.page.sheet.key == "feed_per_tooth"
        assert "[0.05 mm] a tooth" in await seen(pilot)


@pytest.mark.parametrize(("recipe", "told"), [("nope", "no recipe of that id"), (None, "not a book")])
def test_what_cannot_be_opened_is_told_once_the_screen_is_left(
    workshop: Path, recipe: str | None, told: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    if recipe is None:
        (workshop / "book.toml").unlink()
    monkeypatch.setattr(SwarfbookApp, "run", headless)
    with pytest.raises(SwarfbookError, match=told):
        app_module.run(workshop, recipe)


def headless(app: SwarfbookApp) -> None:
    import asyncio

    async def shown() -> None:
        async with app.run_test() as pilot:
            await pilot.pause()

    asyncio.run(shown())
