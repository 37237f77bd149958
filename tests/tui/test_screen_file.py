"""The file of a person's own theme and keys: what serves serves, what does not is told."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from swarfbook.tui.screen_file import read_settings, screen_file
from tui.conftest import Opener, seen

THEMES = ("lamplight", "daylight", "high-contrast")


@pytest.fixture
def write():
    def written(text: str) -> Path:
        path = screen_file()
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        return path

    return written


def test_the_file_lies_in_the_settings_folder(monkeypatch) -> None:
    assert screen_file() == Path(os.environ["XDG_CONFIG_HOME"]) / "swarfbook/screen.toml"
    monkeypatch.delenv("XDG_CONFIG_HOME")
    assert screen_file() == Path.home() / ".config/swarfbook/screen.toml"


def test_no_file_changes_nothing() -> None:
    settings = read_settings(THEMES)
    assert (settings.theme, dict(settings.keys), settings.problems) == (None, {}, ())


def test_a_theme_and_keys_are_read(write) -> None:
    write('theme = "daylight"\n[keys]\n"page.derate" = "D"\n"list.open" = ["enter", "f5"]\n')
    settings = read_settings(THEMES)
    assert settings.theme == "daylight"
    assert settings.keys == {"page.derate": ("D",), "list.open": ("enter", "f5")}
    assert settings.problems == ()


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ('"page.derat" = "D"', "did you mean page.derate"),
        ('"page.derate" = "s"', "page.save has that key"),
        ('"page.derate" = "ctrl+p"', "any.palette has that key"),
        ('"page.derate" = "5"', "begins a number"),
        ('"page.derate" = "ctrl+s"', "terminals keep that key"),
        ('"page.derate" = "hyperspace"', "no key of that name"),
        ('"page.derate" = 7', "no key of that name"),
        ('"page.derate" = []', "give it a key"),
    ],
)
def test_a_key_that_does_not_serve_is_told_and_the_others_serve(write, line: str, told: str) -> None:
    write(f'[keys]\n{line}\n"page.theme" = "f9"\n')
    settings = read_settings(THEMES)
    assert settings.keys == {"page.theme": ("f9",)}
    assert len(settings.problems) == 1
    assert told in str(settings.problems[0])
    assert str(settings.problems[0]).startswith("screen.toml: keys.page.derat")


def test_keys_can_change_places(write) -> None:
    write('[keys]\n"page.save" = "f2"\n"page.derate" = "s"\n')
    settings = read_settings(THEMES)
    assert settings.keys == {"page.save": ("f2",), "page.derate": ("s",)}


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('theme = "dayligt"', "did you mean daylight"),
        ('colour = "red"', "no such key"),
        ("keys = 3", "write a table"),
        ("theme = ", "broken TOML"),
    ],
)
def test_what_else_does_not_serve_is_told(write, text: str, told: str) -> None:
    write(text)
    assert told in str(read_settings(THEMES).problems[0])


async def test_the_screen_takes_them_and_tells_what_does_not_serve(write, on_screen: Opener) -> None:
    write('theme = "high-contrast"\n[keys]\n"page.derate" = "D"\n"page.save" = "u"\n')
    async with on_screen() as (app, pilot):
        assert app.theme == "high-contrast"
        shown = await seen(pilot)
        assert "D derate" in shown
        assert "screen.toml: keys.page.save" in shown
        await pilot.press("D")
        assert app.screen is not app.page
