"""What the tests of the index share: odd files, and reading everything without an index."""

from __future__ import annotations

import time
from pathlib import Path

from swarfbook.book import Book
from swarfbook.book.glance import glance
from swarfbook.book.index_file import SAID, Brief
from swarfbook.errors import SwarfbookError

INDEX = ".swarfbook/recipes.json"
HOUR = 3_600_000_000_000  # ns
ODD = {
    "a-broken": b'name = "cut off',
    "b-empty": b"",
    "c-latin": b'name = "\xe9"',
    "d-numbers": b'name = 3\nmachine = [1, "x"]\noperation = 1979-05-27\nstanding = {a = 1}\n',
    "e-parent": b'name = "child"\n[derived]\nfrom = "long-bed-6mm-6082-rough"\n',
    "f-no-parent": b"derived = 7\n",
    "G not an id": b'name = "\\u0000 \xf0\x9f\x94\xa9"\n',
    "h-words-of-none": b'schema = "recipe/1"\n',
}


def looked(root: Path) -> list[Brief]:
    return list(Book.open(root).index.look())


def read_all(book: Book) -> list[Brief]:
    """Read every file, without an index."""
    return [_read(book, recipe) for recipe in book.ids("recipe")]


def _read(book: Book, recipe: str) -> Brief:
    try:
        raw = glance(book, "recipe", recipe)
    except SwarfbookError as error:
        return Brief(recipe, problems=error.problems)
    said = {key: str(raw[key]) for key in SAID if key in raw}
    derived = raw.get("derived")
    return Brief(recipe, **said, parent=derived.get("from") if isinstance(derived, dict) else None)


def tick(folder: Path) -> None:
    """Wait until the clock of the file system has gone on."""
    probe = folder / "probe"
    probe.touch()
    before = probe.stat().st_ctime_ns
    while probe.stat().st_ctime_ns == before:
        time.sleep(0.001)
        probe.touch()
    probe.unlink()
