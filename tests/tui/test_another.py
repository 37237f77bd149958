"""Another record like one that is there: its text, an id and a name of its own."""

from __future__ import annotations

from pathlib import Path

import pytest

from support.books import MACHINE, RECIPE, TOOL
from swarfbook.book import Book
from swarfbook.tui.another import begin, proposal


def test_an_id_is_proposed_that_is_free(workshop: Path) -> None:
    book = Book.open(workshop)
    assert proposal(book, "tool", TOOL) == f"{TOOL}-2"
    assert begin(book, "tool", TOOL, f"{TOOL}-2", {}) == ""
    assert proposal(book, "tool", TOOL) == f"{TOOL}-3"
    assert proposal(book, "recipe", "x" * 64) == f"{'x' * 60}-2"


@pytest.mark.parametrize(("kind", "record"), [("recipe", RECIPE), ("machine", MACHINE), ("tool", TOOL)])
def test_its_text_goes_over_comments_and_all_with_a_name_of_its_own(
    workshop: Path, kind: str, record: str
) -> None:
    path = Book.open(workshop).path(kind, record)
    path.write_text(f"# as found\n{path.read_text()}")
    book = Book.open(workshop)
    assert begin(book, kind, record, "new", {}) == ""
    old, new = book.get(kind, record), book.get(kind, "new")
    assert new.path.read_text().startswith("# as found\n")
    assert new.raw["name"] == f"{old.raw['name']}, another"
    same = {"name": "", "standing": ""}
    assert {**new.raw, **same} == {**old.raw, **same}


def test_a_name_that_was_given_stands_and_a_long_one_is_cut(workshop: Path) -> None:
    book = Book.open(workshop)
    assert begin(book, "tool", TOOL, "mine", {"name": "Mine"}) == ""
    assert book.get("tool", "mine").raw["name"] == "Mine"
    assert begin(book, "tool", TOOL, "long", {"name": "n" * 200}) == ""
    assert begin(book, "tool", "long", "longer", {}) == ""
    assert book.get("tool", "longer").raw["name"] == f"{'n' * 191}, another"


def test_a_recipe_begins_on_trial_without_a_parent(workshop: Path) -> None:
    path = workshop / f"recipes/{RECIPE}.toml"
    derived = f'from = "bench-slot"\nparent_digest = "sha256:{"0" * 64}"\nmethod = "feed"\nmargin = 0.1\n'
    path.write_text(f"{path.read_text()}\n[derived]\n{derived}")
    book = Book.open(workshop)
    assert begin(book, "recipe", RECIPE, "new", {}) == ""
    values = book.get("recipe", "new").raw
    assert values["standing"] == "trial"
    assert "derived" not in values


@pytest.mark.parametrize(("old", "new"), [(TOOL, TOOL), (TOOL, "../x"), ("gone", "new")])
def test_it_says_why_it_was_not_written(workshop: Path, old: str, new: str) -> None:
    assert begin(Book.open(workshop), "tool", old, new, {}) != ""
    assert not (workshop / "tools/new.toml").exists()
