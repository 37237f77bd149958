"""One file of a folder of many, as typed, nothing of it kept."""

from __future__ import annotations

from typing import Any

from swarfbook.book.ids import file_name
from swarfbook.book.reading import read_toml
from swarfbook.book.store import Book


def glance(book: Book, kind: str, record: str) -> dict[str, Any]:
    """Read a record as typed, unchecked and not kept; raises SwarfbookError for a file that is no TOML."""
    return read_toml(book.path(kind, record), where=file_name(kind, record)).raw
