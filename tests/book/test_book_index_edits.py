"""Whatever other programs do to the files, the index tells what reading all of them tells."""

from __future__ import annotations

import os
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from support import books
from support.books import to_toml, values
from support.indexed import HOUR, INDEX, looked, read_all, tick
from swarfbook.book import Book, index
from swarfbook.errors import SwarfbookError

pytestmark = pytest.mark.usefixtures("later")


NUMBERS = count()
EDITS = (
    *(
        "write",
        "same size and time",
        "replace, same size and time",
        "delete",
        "move",
        "copy",
        "break",
        "touch",
    ),
    *("save", "rename", "restore", "spoil"),
)
NAMES = ("a-one", "b-two", "c-three")


def edit(root: Path, what: str, name: str, other: str) -> None:
    """Change a book as another program does, or this one."""
    path, to = root / f"recipes/{name}.toml", root / f"recipes/{other}.toml"
    tick(root)
    if what == "write" or not path.exists():
        path.write_text(to_toml(values("recipe", {"name": f"no. {next(NUMBERS):06}"})))
    elif what == "same size and time":
        _rewritten(path, path)
    elif what == "replace, same size and time":
        _rewritten(path, root / "fresh")
        (root / "fresh").replace(path)
    elif what in ("delete", "move"):
        path.unlink() if what == "delete" else path.replace(to)
    elif what == "copy":
        to.write_bytes(path.read_bytes())
        os.utime(to, ns=(path.stat().st_atime_ns, path.stat().st_mtime_ns))
    elif what == "break":
        path.write_text('name = "cut off')
    elif what == "touch":
        os.utime(path, ns=(1, 1))
    elif what == "spoil" and (root / INDEX).exists():
        (root / INDEX).write_bytes((root / INDEX).read_bytes()[: next(NUMBERS)])
    else:
        _by_this_program(root, what, name, other)


def _rewritten(path: Path, to: Path) -> None:
    """Write the same number of bytes, and put the time back."""
    before = path.stat()
    text = path.read_text()
    to.write_text(text[:-10] + f"#{next(NUMBERS):08}\n" if len(text) > 20 else text.upper())
    os.utime(to, ns=(before.st_atime_ns, before.st_mtime_ns))


def _by_this_program(root: Path, what: str, name: str, other: str) -> None:
    book = Book.open(root)
    try:
        if what == "save":
            book.save("recipe", name, {"name": f"no. {next(NUMBERS):06}"}, seen=book.get("recipe", name).sha)
        elif what == "rename":
            book.rename("recipe", name, other)
        elif what == "restore":
            book.delete("recipe", name)
            book.restore("recipe", name)
    except SwarfbookError:
        pass  # it is broken, or there is one of that id


@given(
    st.lists(st.tuples(st.sampled_from(EDITS), st.sampled_from(NAMES), st.sampled_from(NAMES)), max_size=8)
)
@example([("same size and time", "a-one", "a-one"), ("replace, same size and time", "a-one", "a-one")])
@example([("move", "a-one", "b-two"), ("move", "b-two", "a-one"), ("copy", "a-one", "c-three")])
def test_whatever_others_do_it_tells_what_reading_everything_tells(
    edits: list[tuple[str, str, str]],
) -> None:
    with TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setattr(index, "GRAIN", -HOUR)
        root = books.make_book(Path(folder))
        for name in NAMES:
            edit(root, "write", name, name)
        stays = Book.open(root)
        for what, name, other in edits:
            list(stays.index.look())
            edit(root, what, name, other)
            plain = read_all(Book.open(root))
            assert list(stays.index.look()) == plain
            assert looked(root) == plain
