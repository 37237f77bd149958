"""A record on the desk: values in nested tables, undo and redo, saving, changes by another."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from support.books import MACHINE, MATERIAL
from swarfbook.book import Book
from swarfbook.errors import ConflictError, SwarfbookError
from swarfbook.reports.part_page import at
from swarfbook.tui.places import put
from swarfbook.tui.record_draft import RecordDraft, difference


def draft(root: Path, kind: str = "machine", record: str = MACHINE) -> RecordDraft:
    return RecordDraft(Book.open(root), kind, record)


def on_disk(root: Path) -> dict:
    return tomllib.loads((root / f"machines/{MACHINE}.toml").read_text())


def test_a_value_is_put_into_its_table_and_a_table_left_empty_goes() -> None:
    values = {"name": "a", "axes": {"thrust": "1 N"}}
    assert put(values, "axes.thrust", "2 N") == {"name": "a", "axes": {"thrust": "2 N"}}
    assert put(values, "tip.stiffness", "3 N/um")["tip"] == {"stiffness": "3 N/um"}
    assert put(values, "axes.thrust", None) == {"name": "a"}
    assert put(values, "name", None) == {"axes": {"thrust": "1 N"}}
    assert values == {"name": "a", "axes": {"thrust": "1 N"}}


def test_a_difference_is_nested_and_says_what_is_taken_out() -> None:
    before = {"a": 1, "t": {"x": "1", "y": "2"}, "gone": {"z": 1}}
    after = {"a": 1.0, "t": {"x": "1", "y": "3", "w": "4"}}
    assert difference(before, after) == {"a": 1.0, "t": {"y": "3", "w": "4"}, "gone": None}
    assert difference(before, before) == {}


def test_changes_are_taken_back_and_made_again_until_another_is_made(workshop: Path) -> None:
    one = draft(workshop)
    one.change({"axes.thrust": "700 N"})
    one.change({"axes.thrust": "800 N"})
    one.undo()
    assert at(one.values, "axes.thrust") == "700 N"
    one.undo()
    one.undo()
    assert not one.dirty
    assert not one.can_undo
    one.redo()
    assert at(one.values, "axes.thrust") == "700 N"
    one.change({"axes.max_feed": "4000 mm/min"})
    assert not one.can_redo
    assert one.changed_keys() == ["axes.max_feed", "axes.thrust"]


def test_a_change_that_changes_nothing_is_none(workshop: Path) -> None:
    one = draft(workshop)
    one.change({"axes.thrust": "600 N"})
    assert not one.can_undo


def test_saving_keeps_comments_and_writes_only_what_changed(workshop: Path) -> None:
    path = workshop / f"machines/{MACHINE}.toml"
    path.write_text(f"# ours\n{path.read_text()}")
    one = draft(workshop)
    one.change({"axes.thrust": "700 N"})
    one.change({"tool_tip.stiffness": None})
    one.save()
    assert path.read_text().startswith("# ours\n")
    assert on_disk(workshop)["axes"]["thrust"] == "700 N"
    assert "tool_tip" not in on_disk(workshop)
    assert on_disk(workshop)["spindle"]["motor"] == "induction"
    assert not one.dirty


def test_what_does_not_fit_is_told_and_not_saved(workshop: Path) -> None:
    one = draft(workshop)
    assert [problem.key for problem in one.preview({"spindle.min_speed": "30000 rpm"})] == [
        "spindle.min_speed"
    ]
    assert not one.problems
    one.change({"spindle.overload.power": "1.8 kW"})
    assert [problem.key for problem in one.problems] == ["spindle.overload.duty"]
    with pytest.raises(SwarfbookError, match="duty"):
        one.save()
    one.change({"spindle.overload.duty": "S6 40%"})
    one.save()
    assert on_disk(workshop)["spindle"]["overload"] == {"power": "1.8 kW", "duty": "S6 40%"}


def test_a_material_without_the_numbers_of_its_law_does_not_fit(workshop: Path) -> None:
    one = draft(workshop, "material", MATERIAL)
    assert not one.problems
    one.change({"table": "brass-free-cutting", "cutting_law": "linear-edge"})
    assert {problem.key for problem in one.problems} == {
        f"overrides.{key}" for key in ("ktc", "krc", "kac", "kte", "kre", "kae")
    }
    one.change({"table": "no-such-row"})
    assert [problem.key for problem in one.problems] == ["table"]


def test_a_file_changed_by_another_is_not_written_over(workshop: Path) -> None:
    path = workshop / f"machines/{MACHINE}.toml"
    one = draft(workshop)
    one.change({"axes.thrust": "700 N"})
    path.write_text(path.read_text().replace("5000 mm/min", "6000 mm/min"))
    assert one.changed_on_disk()
    with pytest.raises(ConflictError):
        one.save()
    one.read_again(keep_mine=True)
    assert at(one.values, "axes.thrust") == "700 N"
    assert at(one.values, "axes.max_feed") == "6000 mm/min"
    one.save()
    assert on_disk(workshop)["axes"]["thrust"] == "700 N"
    assert on_disk(workshop)["axes"]["max_feed"] == "6000 mm/min"


def test_dropping_mine_can_be_taken_back(workshop: Path) -> None:
    one = draft(workshop)
    one.change({"axes.thrust": "700 N"})
    one.read_again(keep_mine=False)
    assert not one.dirty
    one.undo()
    assert at(one.values, "axes.thrust") == "700 N"
