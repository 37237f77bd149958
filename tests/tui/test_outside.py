"""The editor a person named, and copying with a file beside it."""

from __future__ import annotations

import sys
from contextlib import contextmanager
from pathlib import Path

import pytest

from swarfbook.tui import outside
from tui.conftest import RECIPE, Opener, seen


@contextmanager
def lent():
    yield


@pytest.fixture
def a_terminal_to_lend(monkeypatch: pytest.MonkeyPatch) -> None:
    from swarfbook.tui.app import SwarfbookApp

    monkeypatch.setattr(SwarfbookApp, "suspend", lambda _: lent())
    monkeypatch.delenv("VISUAL", raising=False)


@pytest.mark.usefixtures("a_terminal_to_lend")
async def test_the_editor_changes_the_file_and_the_page_follows(
    workshop: Path, on_screen: Opener, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    script = tmp_path / "an editor.py"
    script.write_text(
        "import sys, pathlib\n"
        "path = pathlib.Path(sys.argv[1])\n"
        "path.write_text(path.read_text().replace('3 mm', '2.25 mm'))\n"
    )
    monkeypatch.setenv("EDITOR", f"{sys.executable} '{script}'")
    async with on_screen() as (app, pilot):
        await pilot.press("e")
        assert "2.25 mm deep" in await seen(pilot)
        assert not app.desk.draft.dirty
    assert "2.25 mm" in (workshop / f"recipes/{RECIPE}.toml").read_text()


@pytest.mark.usefixtures("a_terminal_to_lend")
@pytest.mark.parametrize(
    ("named", "told"),
    [
        ("", "no editor is named"),
        ("no-such-editor-at-all", "no-such-editor-at-all does not start"),
        ("'unclosed", "EDITOR does not read as a command"),
        ("false", "false left with 1"),
    ],
)
async def test_an_editor_that_does_not_serve_is_told(
    on_screen: Opener, monkeypatch: pytest.MonkeyPatch, named: str, told: str
) -> None:
    monkeypatch.setenv("EDITOR", named)
    async with on_screen() as (_, pilot):
        await pilot.press("e")
        assert told in await seen(pilot)


async def test_a_terminal_that_cannot_be_lent_names_the_file(
    on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("EDITOR", "true")
    async with on_screen(size=(120, 36)) as (_, pilot):
        await pilot.press("e")
        assert "this terminal cannot be lent to an editor" in await seen(pilot)


async def test_what_is_copied_goes_to_the_terminal_and_into_a_file(
    on_screen: Opener, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    async with on_screen() as (app, pilot):
        await pilot.press("y")
        text = outside.copied_file().read_text(encoding="utf-8")
        assert app.clipboard == text
        assert "copied, if this terminal takes it" in await seen(pilot)
    assert text.startswith("6 mm one-flute, 6082, bulk roughing\n\nRough 6082-T6 flat bar")
    assert "18 000 rpm (339 m/min)" in " ".join(text.split())
    assert "spindle power" in text
    assert "Mind: " in text


async def test_a_state_folder_that_cannot_be_written_is_told(
    on_screen: Opener, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "state").write_text("a file, not a folder")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    async with on_screen() as (app, pilot):
        await pilot.press("y")
        assert "no file: " in await seen(pilot)
        assert app.clipboard
