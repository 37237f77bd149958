"""Drafts: what differs from the file, undo and redo, and what others do to the file meanwhile."""

from __future__ import annotations

from pathlib import Path

import pytest

from support import books
from swarfbook.book import Book
from swarfbook.errors import ConflictError, SwarfbookError
from swarfbook.tui.draft import Draft
from tui.conftest import RECIPE


@pytest.fixture
def path(workshop: Path) -> Path:
    return workshop / f"recipes/{RECIPE}.toml"


@pytest.fixture
def draft(workshop: Path) -> Draft:
    return Draft(Book.open(workshop), RECIPE)


def edited_by_another(path: Path, old: str, new: str) -> None:
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))


def test_changes_are_what_differs_from_the_file(draft: Draft) -> None:
    assert draft.change({"feed_rate": "800 mm/min", "feed_per_tooth": None})
    assert draft.changes == {"feed_per_tooth": None, "feed_rate": "800 mm/min"}
    assert not draft.change({"axial_depth": "3 mm"})
    assert draft.change({"feed_rate": None, "feed_per_tooth": "0.05 mm"})
    assert not draft.dirty


def test_undo_takes_back_one_change_at_a_time_and_a_new_change_forgets_the_undone(draft: Draft) -> None:
    draft.change({"axial_depth": "2 mm"})
    draft.change({"axial_depth": "1 mm"})
    assert draft.undo()
    assert draft.values["axial_depth"] == "2 mm"
    assert draft.can_redo
    draft.change({"axial_depth": "4 mm"})
    assert not draft.redo()
    assert draft.undo()
    assert draft.undo()
    assert not draft.undo()


def test_a_preview_leaves_the_draft_alone(draft: Draft) -> None:
    before = draft.check
    check, problems = draft.preview({"axial_depth": "4 mm"})
    assert not problems
    assert check.case["axial_depth"] == pytest.approx(0.004)
    assert draft.check is before
    check, problems = draft.preview({"axial_depth": "4"})
    assert check is None
    assert "mm" in problems[0].remedy


def test_what_cannot_be_judged_keeps_the_last_good_check(draft: Draft) -> None:
    before = draft.check
    draft.change({"radial_width": "8 mm"})
    assert draft.check is before
    assert draft.problems
    draft.undo()
    assert not draft.problems


def test_saving_a_file_that_another_changed_is_refused_and_loses_nothing(draft: Draft, path: Path) -> None:
    draft.change({"axial_depth": "2 mm"})
    edited_by_another(path, "24 mm", "22 mm")
    assert draft.changed_on_disk()
    with pytest.raises(ConflictError):
        draft.save()
    assert 'stickout = "22 mm"' in path.read_text()
    assert draft.values["axial_depth"] == "2 mm"


def test_mine_go_on_top_of_theirs(draft: Draft, path: Path) -> None:
    draft.change({"axial_depth": "2 mm"})
    edited_by_another(path, "24 mm", "22 mm")
    draft.read_again(keep_mine=True)
    assert draft.changes == {"axial_depth": "2 mm"}
    draft.save()
    text = path.read_text()
    assert 'stickout = "22 mm"' in text
    assert 'axial_depth = "2 mm"' in text


def test_theirs_instead_of_mine_can_be_taken_back(draft: Draft, path: Path) -> None:
    draft.change({"axial_depth": "2 mm"})
    edited_by_another(path, "24 mm", "22 mm")
    draft.read_again(keep_mine=False)
    assert not draft.dirty
    assert draft.undo()
    assert draft.values["axial_depth"] == "2 mm"


def test_a_file_that_is_taken_away_is_told(draft: Draft, path: Path) -> None:
    path.unlink()
    assert draft.changed_on_disk()
    with pytest.raises(SwarfbookError):
        draft.read_again(keep_mine=True)
    assert draft.values["axial_depth"] == "3 mm"


def test_a_cutter_that_another_changed_is_noticed_and_judged_by(draft: Draft, workshop: Path) -> None:
    assert not draft.parts_changed_on_disk()
    edited_by_another(workshop / f"tools/{books.TOOL}.toml", "16 mm", "12 mm")
    assert draft.parts_changed_on_disk()
    draft.judge()
    assert draft.case["flute_length"] == pytest.approx(0.012)
    assert not draft.parts_changed_on_disk()
