"""Deleting with a way back, and duplicates with the comments of what they came from."""

from __future__ import annotations

import pytest

from support.books import MACHINE, RECIPE, values
from swarfbook import resources
from swarfbook.book import Book
from swarfbook.errors import ConflictError, SwarfbookError

REMARK = "# as Ines found it\n"


@pytest.fixture
def book(make_book):
    root = make_book()
    path = root / f"recipes/{RECIPE}.toml"
    path.write_text(REMARK + path.read_text())
    return Book.open(root)


def test_a_deleted_recipe_is_gone_and_comes_back_as_it_was(book):
    path = book.path("recipe", RECIPE)
    before = path.read_bytes()
    gone = book.delete("recipe", RECIPE)
    assert not path.exists()
    assert book.ids("recipe") == []
    assert [(one.kind, one.id) for one in book.deleted()] == [("recipe", RECIPE)]
    assert gone.path.read_bytes() == before
    assert gone.path.is_relative_to(book.root / ".swarfbook")
    assert (book.root / ".swarfbook/.gitignore").read_text().strip() == "*"
    book.restore("recipe", RECIPE)
    assert path.read_bytes() == before
    assert book.deleted() == []


def test_the_latest_of_an_id_comes_back_first(book):
    for depth in ("2 mm", "1 mm"):
        book.save("recipe", "twice", values("recipe", {"axial_depth": depth}), seen=None)
        book.delete("recipe", "twice")
    book.restore("recipe", "twice")
    assert book.get("recipe", "twice").raw["axial_depth"] == "1 mm"


def test_a_record_others_name_is_kept_and_they_are_named(book):
    with pytest.raises(SwarfbookError, match=RECIPE):
        book.delete("machine", MACHINE)
    assert book.path("machine", MACHINE).exists()
    assert book.users("machine", MACHINE) == [("recipe", RECIPE)]


def test_a_file_changed_since_it_was_read_is_not_deleted_unseen(book):
    seen = book.get("recipe", RECIPE).sha
    path = book.path("recipe", RECIPE)
    path.write_text(path.read_text() + "# theirs\n")
    with pytest.raises(ConflictError):
        book.delete("recipe", RECIPE, seen=seen)
    assert path.exists()


def test_nothing_is_restored_over_a_record_that_is_there(book):
    book.delete("recipe", RECIPE)
    book.save("recipe", RECIPE, values("recipe", {"axial_depth": "1 mm"}), seen=None)
    with pytest.raises(SwarfbookError, match="there is one"):
        book.restore("recipe", RECIPE)
    assert book.get("recipe", RECIPE).raw["axial_depth"] == "1 mm"
    with pytest.raises(SwarfbookError):
        book.restore("recipe", "never-was")


def test_the_demo_book_loses_and_gains_nothing():
    demo = Book.open(resources.demo_book_dir())
    recipe = demo.ids("recipe")[0]
    for tried in (
        lambda: demo.delete("recipe", recipe),
        lambda: demo.duplicate("recipe", recipe, "another"),
        lambda: demo.restore("recipe", recipe),
    ):
        with pytest.raises(SwarfbookError, match="demo"):
            tried()


def test_a_duplicate_keeps_the_text_and_stands_on_trial_without_a_parent(book):
    derived = {"from": "gone", "parent_digest": "sha256:" + "0" * 64, "method": "feed", "margin": 0.1}
    book.save("recipe", RECIPE, {"derived": derived}, seen=book.get("recipe", RECIPE).sha)
    twin = book.duplicate("recipe", RECIPE, "twin", {"name": "Twin", "axial_depth": "2 mm"})
    assert twin.raw["standing"] == "trial"
    assert "derived" not in twin.raw
    assert (twin.raw["name"], twin.raw["axial_depth"]) == ("Twin", "2 mm")
    assert book.path("recipe", "twin").read_text().startswith(REMARK)
    with pytest.raises(SwarfbookError, match="there is one of that id already"):
        book.duplicate("recipe", RECIPE, "twin")
    machine = book.duplicate("machine", MACHINE, "second")
    assert machine.raw == book.get("machine", MACHINE).raw
