"""The screen in a browser: what needs the machine it runs on is neither offered nor done."""

from __future__ import annotations

from pathlib import Path

import pytest

from swarfbook.tui import outside
from swarfbook.tui.app import SwarfbookApp
from swarfbook.tui.commands import bind, help_lines
from swarfbook.tui.commands.table import AT_THE_MACHINE, COMMANDS, of_screen
from swarfbook.tui.job_screen import JobScreen
from tui.conftest import Opener, posed, seen
from tui.jobs import make_job


@pytest.fixture
def in_a_browser(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(SwarfbookApp, "is_web", True)


@pytest.mark.usefixtures("in_a_browser")
async def test_no_editor_starts(on_screen: Opener, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    ran = tmp_path / "ran"
    monkeypatch.setenv("EDITOR", f"touch {ran}")
    async with on_screen(size=(140, 36)) as (_, pilot):
        assert "editor" not in await seen(pilot)
        await pilot.press("e")
        assert outside.SERVED in await seen(pilot)
    assert not ran.exists()


@pytest.mark.usefixtures("in_a_browser")
async def test_what_is_copied_goes_to_the_browser_and_into_no_file(
    on_screen: Opener, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    async with on_screen() as (app, pilot):
        await pilot.press("y")
        assert "copied, if this browser takes it" in await seen(pilot)
        assert app.clipboard.startswith("6 mm one-flute, 6082, bulk roughing")
    assert not (tmp_path / "state").exists()


@pytest.mark.usefixtures("in_a_browser")
async def test_a_run_names_no_file_of_the_machine(on_screen: Opener) -> None:
    async with on_screen(size=(100, 40)) as (_, pilot):
        await pilot.press("g")
        shown = await seen(pilot)
        assert "minutes in the cut" in shown
        assert "meter's file" not in "\n".join(line for line in shown.splitlines() if "left out" not in line)


@pytest.mark.usefixtures("in_a_browser")
async def test_the_sheet_of_a_job_is_not_written(on_screen: Opener, workshop: Path) -> None:
    make_job(workshop)
    async with on_screen(size=(120, 40)) as (app, pilot):
        await posed(pilot, ("J", "WAIT", "enter", "WAIT", "p"))
        assert isinstance(app.screen, JobScreen)
        assert outside.SERVED in await seen(pilot)


@pytest.mark.parametrize("served", [True, False])
async def test_commands_of_the_machine_are_offered_at_the_machine_alone(served: bool) -> None:
    helps = {command.id: command.help for command in COMMANDS}
    assert set(helps) >= AT_THE_MACHINE
    bind({}, served=served)
    try:
        text = "\n".join(help_lines())
        for name in AT_THE_MACHINE:
            assert (helps[name] in text) is not served
            assert (name in {one.id for one in of_screen(name.split(".")[0])}) is not served
    finally:
        bind({})
