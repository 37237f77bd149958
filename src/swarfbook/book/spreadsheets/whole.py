"""What of a whole book no table holds: its settings, its files as texts, the lines of its run log."""

from __future__ import annotations

import base64
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from swarfbook.book.entry import Entry
from swarfbook.book.ids import SETTINGS
from swarfbook.book.jsonl import MARK
from swarfbook.book.reading import MOST_BYTES, read_bytes, read_toml, sha256
from swarfbook.book.renames import FILE as RENAMES
from swarfbook.book.runlog import FOLDER, METERS

if TYPE_CHECKING:
    from swarfbook.book.store import Book


def settings_of(book: Book) -> dict[str, Any]:
    """Give what `book.toml` holds, as typed, and its text; raises SwarfbookError."""
    read = read_toml(book.root / SETTINGS, where=SETTINGS)
    return read.raw | _text(book.root / SETTINGS, SETTINGS, read.sha)


def text_of(entry: Entry[Any]) -> dict[str, str]:
    """Give a record's file as a text, under `text`; nothing where it changed since it was read."""
    return _text(entry.path, entry.where, entry.sha)


def _text(path: Path, where: str, sha: str) -> dict[str, str]:
    data = read_bytes(path, where=where, most=MOST_BYTES)
    return {"text": data.decode()} if sha256(data) == sha else {}


def log_lines(book: Book) -> list[Any]:
    """Give every line of the run log that is JSON, those that were corrected among them, in order."""
    lines: list[Any] = []
    for path in sorted((book.root / FOLDER).glob("[!.]*.jsonl")):
        lines += _lines(path)
    return lines


def rename_lines(book: Book) -> list[Any]:
    """Give every line of `renames.jsonl`, by which runs tell what records are called now."""
    path = book.root / RENAMES
    return _lines(path) if path.is_file() else []


def meter_files(book: Book) -> dict[str, str]:
    """Give the files kept with runs by name, in base64: a meter's file is in whatever letters it came in."""
    folder = book.root / FOLDER / METERS
    files = sorted(path for path in folder.glob("[!.]*") if path.is_file())
    return {path.name: base64.b64encode(path.read_bytes()).decode() for path in files}


def _lines(path: Path) -> list[Any]:
    lines: list[Any] = []
    for line in path.read_bytes().removeprefix(MARK).split(b"\n"):
        try:
            lines.append(json.loads(line))
        except ValueError:  # `Book.run_log` tells of it
            continue
    return lines
