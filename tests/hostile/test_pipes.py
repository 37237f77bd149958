"""What is no file in a book is never waited for; no link backstage leads a write out of the book."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from hostile.test_fuzz import IN_BOOK, root  # noqa: F401 - a fixture
from support.books import TOOL
from support.hostile import writes_only_in
from swarfbook.book import Book
from swarfbook.decisions import merging
from swarfbook.errors import SwarfbookError

LOOK = """
import sys
from pathlib import Path
from hostile.test_fuzz import whole_book
from swarfbook.errors import SwarfbookError
try:
    whole_book(Path(sys.argv[1]))
except SwarfbookError as error:
    print(error)
"""


def backstage_files(root):  # noqa: F811
    return [path for path in (root / ".swarfbook").rglob("*") if path.is_file()]


def test_a_pipe_in_place_of_any_file_is_not_waited_for(root):  # noqa: F811
    paths = [root / name for name in IN_BOOK.values()] + backstage_files(root)
    for path in paths:
        path.unlink(missing_ok=True)
        os.mkfifo(path)
        # One look each: settings that are a pipe hide the rest.
        if path.name == "book.toml":
            look(root)
            path.unlink()
            path.write_text('schema = "book/1"\ntitle = "x"\n')
    look(root)


def look(root):  # noqa: F811
    """Look through a book in a process of its own, ended if it waits."""
    words = [sys.executable, "-c", LOOK, str(root)]
    environment = os.environ | {"PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    done = subprocess.run(words, capture_output=True, text=True, timeout=60, env=environment, check=False)
    assert done.returncode == 0, done.stderr


def test_a_write_through_a_link_would_be_seen(tmp_path):
    (tmp_path / "in").mkdir()
    (tmp_path / "in/link").symlink_to(tmp_path / "out")
    with pytest.raises(AssertionError), writes_only_in(tmp_path / "in"):
        (tmp_path / "in/link").write_text("x")


def test_links_backstage_are_not_written_through(root, tmp_path):  # noqa: F811
    outside = tmp_path / "outside"
    outside.write_text("precious")
    found = backstage_files(root)
    assert any(path.name == "clock" for path in found)
    for path in found:
        path.unlink()
        path.symlink_to(outside)
    with writes_only_in(root):
        book = Book.open(root)
        list(book.index.look())
        book.light_log()
        book.save("tool", TOOL, {"name": "Yet another"}, seen=book.get("tool", TOOL).sha)
    assert outside.read_text() == "precious"


def test_sums_of_any_size_are_not_read(tmp_path, monkeypatch):
    path = tmp_path / "sums.json"
    path.write_text('{"schema": "sums/1", "cells": []}')
    assert merging.read_added(path, where="x").share
    monkeypatch.setattr(merging, "MOST_SUMS", 10)
    with pytest.raises(SwarfbookError, match="merge the logs themselves"):
        merging.read_added(path, where="x")
