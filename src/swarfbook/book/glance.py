"""A look over a folder of many records: what changed, and one file as typed, nothing of it kept."""

from __future__ import annotations

import os
from typing import Any

from swarfbook.book.ids import FOLDERS, file_name
from swarfbook.book.reading import NO_STAMP, Stamp, read_toml, trouble
from swarfbook.book.store import Book


def stamps(book: Book, kind: str) -> dict[str, Stamp]:
    """Give the stamp of every record of a kind by id, in order; raises SwarfbookError."""
    try:
        with os.scandir(book.root / FOLDERS[kind]) as files:
            found = {
                file.name.removesuffix(".toml"): _stamp(file)
                for file in files
                if file.name.endswith(".toml") and file.name[0] != "."
            }
    except FileNotFoundError:
        return {}
    except OSError as error:
        raise trouble(FOLDERS[kind], "read", error) from error
    return dict(sorted(found.items()))


def _stamp(file: os.DirEntry[str]) -> Stamp:
    try:
        found = file.stat()
    except OSError:  # a link that leads nowhere
        return NO_STAMP
    return found.st_mtime_ns, found.st_size, found.st_ino


def glance(book: Book, kind: str, record: str) -> dict[str, Any]:
    """Read a record as typed, unchecked and not kept; raises SwarfbookError for a file that is no TOML."""
    return read_toml(book.path(kind, record), where=file_name(kind, record)).raw
