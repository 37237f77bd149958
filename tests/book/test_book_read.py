# ruff: noqa: E501 - a table reads better with a row a line
"""Reading a book: what is there, what is missing, what a person is told about bad files."""

from __future__ import annotations

import os
import time

import pytest

from support.books import MACHINE, MATERIAL, RECIPE, TOOL, to_toml, values
from swarfbook.book import Book
from swarfbook.errors import SwarfbookError

FILE = f"recipes/{RECIPE}.toml"
GOOD = to_toml(values("recipe"))

# bytes of the recipe's file, the line a person gets
BAD_FILES = {
    "empty": (b"", f"{FILE}: the file is empty"),
    "blank": (b" \n\n", f"{FILE}: the file is empty"),
    "only a byte order mark": (b"\xef\xbb\xbf", f"{FILE}: the file is empty"),
    "utf-16": ("a = 1".encode("utf-16"), f"{FILE}: not UTF-8 (line 1); save the file as UTF-8"),
    "latin-1": ('a = 1\nb = "é"\n'.encode("latin-1"), f"{FILE}: not UTF-8 (line 2); save the file as UTF-8"),
    "a value without quotes": (
        b"name = 6 mm",
        f"{FILE}: found 'name = 6 mm'; broken TOML at line 1, column 10: write name = \"6 mm\"",
    ),
    "a long line without quotes": (
        b"a = 1 x" + b" " * 200_000 + b"x",
        f"{FILE}: found 'a = 1 x'; broken TOML at line 1, column 7: write a = \"1 x\"",
    ),
    "an open quote": (
        b'name = "6 mm\n',
        f"{FILE}: found 'name = \"6 mm'; broken TOML at line 1, column 13: the quotes are not closed on this line",
    ),
    "twice the same key": (
        b"a = 1\r\na = 2\r\n",
        f"{FILE}: found 'a = 2'; broken TOML at line 2, column 6: cannot overwrite a value",
    ),
    "an open list": (b"a = [1,", f"{FILE}: broken TOML: the file ends in the middle of something"),
    "deep lists": (b"a = " + b"[" * 5000, f"{FILE}: values are nested deeper than in any record"),
    "deep keys": (
        b".".join([b"a"] * 50_000) + b" = 1",
        f"{FILE}: a key has more than 16 dots, which no record needs",
    ),
    "deep quoted keys": (
        b" . ".join([b'"a b"', b"'c'"] * 9) + b" = 1",
        f"{FILE}: a key has more than 16 dots, which no record needs",
    ),
    "many keys": (
        b"".join(b"k%d = 1\n" % n for n in range(1001)),
        f"{FILE}: this file has more than 1000 keys, which no record needs",
    ),
    "a huge number": (b"a = " + b"9" * 5000, f"{FILE}: a number has more digits than any record needs"),
    "too large": (
        b"#" * (256 * 1024 + 1),
        f"{FILE}: this file is larger than 256 KiB, which no record needs",
    ),
}


def told(book, kind="recipe", record=RECIPE):
    with pytest.raises(SwarfbookError) as caught:
        book.get(kind, record)
    return str(caught.value)


def resolve_recipe(book):
    entry = book.get("recipe", RECIPE)
    return book.resolve(entry.record, raw=entry.raw, where=entry.where)


def test_a_record_reads_in_si_and_keeps_what_was_typed(make_book):
    book = Book.open(make_book())
    entry = book.get("recipe", RECIPE)
    assert (entry.kind, entry.id, entry.where) == ("recipe", RECIPE, FILE)
    assert entry.record.axial_depth == 0.003
    assert entry.raw["axial_depth"] == "3 mm"
    machine, tool, material = resolve_recipe(book)
    assert (machine.name, tool.name, material.name) == (
        "Long-bed router",
        "6 mm one-flute end mill",
        "6082-T6 flat bar",
    )
    assert machine.spindle.max_speed == 400.0
    assert material.overrides["kc11"] == 7e8


@pytest.mark.parametrize("case", BAD_FILES)
def test_a_bad_file_gets_one_line(make_book, case):
    data, line = BAD_FILES[case]
    root = make_book()
    (root / FILE).write_bytes(data)
    assert told(Book.open(root)) == line


@pytest.mark.parametrize("before", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_byte_order_marks_and_line_ends_do_not_matter(make_book, before, line_end):
    root = make_book()
    (root / FILE).write_bytes(before + GOOD.replace("\n", line_end).encode())
    assert Book.open(root).get("recipe", RECIPE).raw == values("recipe")


def test_a_folder_in_place_of_a_file_is_told(make_book):
    root = make_book()
    (root / FILE).unlink()
    (root / FILE).mkdir()
    assert told(Book.open(root)) == f"{FILE}: this is not a file"


def test_a_pipe_in_place_of_a_file_does_not_hang(make_book):
    root = make_book()
    (root / FILE).unlink()
    os.mkfifo(root / FILE)
    assert told(Book.open(root)) == f"{FILE}: this is not a file"


def test_a_link_to_nothing_is_told(make_book):
    root = make_book()
    (root / FILE).unlink()
    (root / FILE).symlink_to("nowhere")
    assert told(Book.open(root)) == f"{FILE}: this cannot be read: no such file or directory"


def test_a_file_that_may_not_be_read_is_told(make_book, monkeypatch):
    root = make_book()
    book = Book.open(root)

    def refuse(*_args, **_kwargs):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("pathlib.Path.open", refuse)
    assert told(book) == f"{FILE}: this cannot be read: permission denied"


def test_an_unknown_id_offers_the_nearest(make_book):
    assert told(Book.open(make_book()), record="long-bed-6mm-6082-ruogh") == (
        "recipe: found 'long-bed-6mm-6082-ruogh'; no recipe of that id in this book; "
        "did you mean long-bed-6mm-6082-rough?"
    )


@pytest.mark.parametrize(
    "name", ["../recipes/x", "/etc/passwd", "a/b", "a.toml", "", "A", "-a", "a b", "a\x00", "a\n", "é", ".."]
)
def test_an_id_is_not_a_path(make_book, name):
    said = told(Book.open(make_book()), record=name)
    assert said.endswith("an id is lower-case letters, digits and hyphens, not a path")
    assert said.isprintable()


def test_a_long_id_is_refused(make_book):
    assert told(Book.open(make_book()), record="a" * 81).endswith("an id has at most 80 characters")


def test_entries_gives_what_reads_and_the_problems_of_the_rest(make_book):
    root = make_book()
    (root / "recipes/b.toml").write_text("name = 3\n")
    (root / "recipes/Bad Name.toml").write_text(GOOD)
    (root / "recipes/.hidden.toml").write_text("")
    (root / "recipes/readme.md").write_text("")
    entries, problems = Book.open(root).entries("recipe")
    assert [entry.id for entry in entries] == [RECIPE]
    assert {problem.where for problem in problems} == {"recipes/b.toml", "recipes/Bad Name.toml"}


def test_a_kind_without_a_folder_is_empty(make_book):
    root = make_book()
    (root / FILE).unlink()
    (root / "recipes").rmdir()
    book = Book.open(root)
    assert (book.ids("recipe"), book.entries("recipe")) == ([], ([], []))
    assert told(book).endswith("no recipe of that id in this book; there are none yet")


def test_a_file_in_place_of_a_folder_is_told(make_book):
    root = make_book()
    (root / FILE).unlink()
    (root / "recipes").rmdir()
    (root / "recipes").write_text("")
    with pytest.raises(SwarfbookError, match="recipes: this cannot be read: not a directory"):
        Book.open(root).ids("recipe")


def test_what_a_recipe_names_is_told_at_the_recipe_and_all_at_once(make_book):
    root = make_book(**{"recipe.machine": "long-bed", "recipe.tool": "em-6mm", "material.name": None})
    book = Book.open(root)
    with pytest.raises(SwarfbookError) as caught:
        resolve_recipe(book)
    assert str(caught.value).split("\n") == [
        f"{FILE}: machine: found 'long-bed'; no machine of that id in this book; did you mean {MACHINE}?",
        f"{FILE}: tool: found 'em-6mm'; no tool of that id in this book; did you mean {TOOL}?",
        f'materials/{MATERIAL}.toml: name: missing; write for example name = "6082-T6 flat bar"',
    ]


def test_a_recipe_wider_than_its_cutter_does_not_resolve(make_book):
    book = Book.open(make_book(**{"recipe.radial_width": "7 mm", "recipe.stickout": "51 mm"}))
    with pytest.raises(SwarfbookError) as caught:
        resolve_recipe(book)
    assert [problem.key for problem in caught.value.problems] == ["radial_width", "stickout"]


def test_an_unchanged_record_is_read_once_and_a_changed_one_again(make_book):
    book = Book.open(make_book())
    entry = book.get("recipe", RECIPE)
    assert book.get("recipe", RECIPE) is entry
    assert not book.changed(entry)
    entry.path.write_text(GOOD.replace('"3 mm"', '"2.0 mm"'))
    assert book.changed(entry)
    assert book.get("recipe", RECIPE).record.axial_depth == 0.002
    entry.path.unlink()
    assert book.changed(entry)


def test_a_touched_record_reads_the_same(make_book):
    book = Book.open(make_book())
    entry = book.get("recipe", RECIPE)
    os.utime(entry.path, ns=(time.time_ns(), entry.stamp[0] + 10**9))
    assert book.changed(entry)
    assert book.get("recipe", RECIPE).sha == entry.sha
