"""A disk that refuses: one line, the edit stays on screen; what a cut-off save left is counted and told."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from support.books import MACHINE
from swarfbook.book import history, saving
from tui.conftest import RECIPE, Opener, posed, seen, settled


@pytest.mark.parametrize(
    ("number", "words"), [(errno.ENOSPC, "no space left on device"), (errno.EROFS, "read-only file system")]
)
async def test_a_save_that_the_disk_refuses_keeps_the_edit_on_screen(
    workshop: Path, on_screen: Opener, monkeypatch: pytest.MonkeyPatch, number: int, words: str
) -> None:
    path = workshop / f"recipes/{RECIPE}.toml"
    before = path.read_bytes()

    def refused(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    async with on_screen() as (app, pilot):
        app.page.sheet.choose("axial_depth")
        with monkeypatch.context() as patch:
            patch.setattr(saving, "write_atomically", refused)
            await pilot.press("2", "enter", "s")
            shown = " ".join((await seen(pilot)).split())
            assert f"not saved: this cannot be written: {words}" in shown
            assert "[2 mm] deep" in shown
        assert app.desk.draft.dirty
        assert path.read_bytes() == before
        await pilot.press("s")
        assert f"saved in recipes/{RECIPE}.toml" in await seen(pilot)
        assert b'"2 mm"' in path.read_bytes()
        assert not app.desk.draft.dirty


async def test_a_record_that_the_disk_refuses_keeps_its_edit_on_screen(
    on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    from swarfbook.tui.record_draft import RecordDraft

    def refused(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    async with on_screen() as (app, _):
        draft = RecordDraft(app.desk.book, "machine", MACHINE)
        draft.change({"axes.thrust": "700 N"})
        monkeypatch.setattr(saving, "write_atomically", refused)
        with pytest.raises(Exception, match="no space left on device"):
            draft.save()
        assert draft.changed_keys() == ["axes.thrust"]
        monkeypatch.undo()
        draft.save()
        assert not draft.dirty


async def test_a_save_that_is_not_kept_in_the_history_says_so(
    on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(history.History, "_write", refused)
    async with on_screen() as (app, pilot):
        app.page.sheet.choose("axial_depth")
        await pilot.press("2", "enter", "s")
        shown = " ".join((await seen(pilot)).split())
        assert "saved; history not kept: no space left on device" in shown
        assert not app.desk.draft.dirty


async def test_what_a_save_that_was_cut_off_left_is_counted_and_told(
    workshop: Path, on_screen: Opener
) -> None:
    (workshop / f"recipes/.{RECIPE}.toml.0a1b2c3d.tmp").write_text("half a rec")
    async with on_screen() as (_, pilot):
        await settled(pilot)
        assert "4 recipes · 1 file with problems (x)" in (await seen(pilot)).splitlines()[0]
        await posed(pilot, ("x", "WAIT"))
        shown = " ".join((await seen(pilot)).split())
        assert "a save that was cut off left this" in shown
        assert "swarfbook verify --leftovers keep" in shown
