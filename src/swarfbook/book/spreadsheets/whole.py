"""What of a whole book no table holds: its settings and the lines of its run log, as they stand."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from swarfbook.book.ids import SETTINGS
from swarfbook.book.reading import read_toml

if TYPE_CHECKING:
    from swarfbook.book.store import Book


def settings_of(book: Book) -> dict[str, Any]:
    """Give what `book.toml` holds, as typed; raises SwarfbookError."""
    return read_toml(book.root / SETTINGS, where=SETTINGS).raw


def log_lines(book: Book) -> list[Any]:
    """Give every line of the run log that is JSON, those that were corrected among them, in order."""
    lines: list[Any] = []
    for path in sorted((book.root / "runs").glob("[!.]*.jsonl")):
        for line in path.read_bytes().splitlines():
            try:
                lines.append(json.loads(line))
            except ValueError:  # `Book.run_log` tells of it
                continue
    return lines
