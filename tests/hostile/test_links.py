"""Ids and links lead nowhere but into the book."""

from __future__ import annotations

import os

import pytest

from support.books import MACHINE, RECIPE, RUN, TOOL, values
from support.hostile import writes_only_in
from swarfbook.book import Book
from swarfbook.book.ids import DEVICES
from swarfbook.errors import SwarfbookError

PATHS = (
    "..", ".", "/etc/passwd", "../x", "a/b",
    "a\\b", "c:", "C:\\x", "\\\\host\\x", "a.toml", "", " ", "a b", "A", "a\n",
    "a\x00", "\x1b[2J", "é", "-a", "a" * 81, "\u202ea", "~", "$HOME", "a:b", "nul.", "con ",
)  # fmt: skip


@pytest.fixture
def book(make_book):
    return Book.open(make_book())


def refused(do, told):
    with pytest.raises(SwarfbookError) as caught:
        do()
    assert told in str(caught.value)
    assert "\n" not in str(caught.value)


def asks(book, name):
    """Everything that takes an id of a new record or of one that is there."""
    return (
        lambda: book.save("tool", name, values("tool"), seen=None),
        lambda: book.duplicate("tool", TOOL, name),
        lambda: book.rename("tool", TOOL, name),
    )


def files(root):
    return sorted(os.fspath(path) for path in root.parent.rglob("*") if ".swarfbook" not in path.parts)


@pytest.mark.parametrize("name", PATHS)
def test_what_is_no_id_is_refused_wherever_one_is_asked_for(book, name):
    before = files(book.root)
    others = (
        lambda: book.get("tool", name),
        lambda: book.delete("tool", name),
        lambda: book.restore("tool", name),
        lambda: book.restore_state("tool", name, 1),
    )
    with writes_only_in(book.root):
        for ask in (*asks(book, name), *others):
            refused(ask, "an id ")
    assert files(book.root) == before


@pytest.mark.parametrize("name", sorted(DEVICES))
def test_names_of_devices_are_no_new_ids_and_old_ones_still_read(book, name):
    for ask in asks(book, name):
        refused(ask, "some systems keep that name for a device; choose another id")
    path = book.path("tool", name)
    path.write_bytes(book.path("tool", TOOL).read_bytes())
    entry = book.get("tool", name)
    assert book.save("tool", name, {"name": "x"}, seen=entry.sha).record.name == "x"


def test_the_names_of_devices_are_those_of_windows():
    assert {"con", "prn", "aux", "nul", "com1", "com9", "lpt1", "lpt9"} <= DEVICES
    assert not {"com", "console", "com10", "null"} & DEVICES


@pytest.fixture
def linked(book, tmp_path):
    """Let the recipe's file be a link out of the book."""
    outside = tmp_path / "outside.toml"
    path = book.path("recipe", RECIPE)
    path.rename(outside)
    path.symlink_to(outside)
    return outside


def test_a_record_that_is_a_link_out_of_the_book_reads_and_is_not_written(book, linked):
    before = linked.read_bytes()
    sha = book.get("recipe", RECIPE).sha
    for do in (
        lambda: book.save("recipe", RECIPE, {"axial_depth": "2 mm"}, seen=sha),
        lambda: book.rename("tool", TOOL, "other"),
        lambda: book.restore_state("recipe", RECIPE, 1),
    ):
        with writes_only_in(book.root):
            refused(do, f"recipes/{RECIPE}.toml: found")
    assert linked.read_bytes() == before
    assert book.has("tool", TOOL)


@pytest.mark.parametrize("folder", ["recipes", "tools", "runs", ".swarfbook"])
def test_a_folder_that_is_a_link_out_of_the_book_is_not_written_to(book, tmp_path, folder):
    outside = tmp_path / "outside"
    (book.root / folder).mkdir(exist_ok=True)
    (book.root / folder).rename(outside)
    (book.root / folder).symlink_to(outside)
    before = files(outside / "x")
    sha = book.get("machine", MACHINE).sha
    with writes_only_in(book.root):
        if folder == "runs":
            refused(lambda: book.log(RUN), "leads out of the book")
        elif folder == ".swarfbook":
            refused(lambda: book.delete("recipe", RECIPE), "cannot be deleted")
            book.save("machine", MACHINE, {"name": "x"}, seen=sha)
            list(Book.open(book.root).index.look())
            assert book.unkept()
        else:
            refused(
                lambda: book.save(folder[:-1], "new", values(folder[:-1]), seen=None), "leads out of the book"
            )
    assert files(outside / "x") == before


@pytest.mark.parametrize("name", [".lock", "renames.jsonl", "runs/2026-11.jsonl"])
def test_a_link_to_nowhere_outside_makes_no_file_there(book, tmp_path, name):
    outside = tmp_path / "made"
    (book.root / "runs").mkdir(exist_ok=True)
    (book.root / name).unlink(missing_ok=True)
    (book.root / name).symlink_to(outside)
    with pytest.raises(SwarfbookError) as caught, writes_only_in(book.root):
        book.log(RUN) if name != "renames.jsonl" else book.rename("machine", MACHINE, "other")
    assert "\n" not in str(caught.value)
    assert not outside.exists()


def test_a_rename_that_cannot_be_written_down_changes_nothing(book, tmp_path):
    (book.root / "renames.jsonl").symlink_to(tmp_path / "made")
    refused(lambda: book.rename("machine", MACHINE, "other"), "renames.jsonl")
    assert book.has("machine", MACHINE)
    assert not book.has("machine", "other")
