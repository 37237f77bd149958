"""A write of several files at once: written down first, and finished at the next opening if it was cut off.

The note stands backstage for as long as the writing lasts. Whoever finishes it cannot know how far it came:
each of its steps may have been done before.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from swarfbook.book.backstage import UNFINISHED, backstage
from swarfbook.book.ids import FOLDERS, file_name
from swarfbook.book.inside import to_write
from swarfbook.book.locking import locked, write_atomically
from swarfbook.book.reading import fail, read_bytes, sha256, stamp
from swarfbook.records import check_id

if TYPE_CHECKING:
    from swarfbook.book.history import History

MOST_BYTES = 256 * 1024 * 1024
WRITERS = {
    "renaming/1": "renaming",
    "renaming/2": "renaming",
    "importing/1": "saving_all",
    "taking-in/1": "taking_in",
}
"""The module that wrote a note, by the note's schema: its `plan_of` reads it, its `carry_out` does it."""
NO_NOTE = (ValueError, KeyError, TypeError, AttributeError, RecursionError)


@dataclass(frozen=True, slots=True)
class Change:
    """A record's file before, as a sha256 or None for none, and after, as a text."""

    kind: str
    id: str
    before: str | None
    text: str


def begin(root: Path, schema: str, plan: Mapping[str, Any]) -> None:
    """Write down what is about to be written; raises OSError."""
    backstage(root)
    write_atomically(root / UNFINISHED, json.dumps({"schema": schema, **plan}).encode())


def end(root: Path) -> None:
    """Take the note away: all is written."""
    (root / UNFINISHED).unlink(missing_ok=True)


def finish(root: Path) -> None:
    """Finish what was cut off, if there is any; raises OSError and SwarfbookError."""
    from swarfbook.book.history import History  # noqa: PLC0415 - hardly ever is there any

    with locked(root):
        finish_held(root, History(root))


def finish_held(root: Path, history: History) -> None:
    """Finish what was cut off, for one who holds the book's lock."""
    if stamp(root / UNFINISHED) is None:
        return
    data = read_bytes(root / UNFINISHED, where=UNFINISHED, most=MOST_BYTES)
    try:
        raw = json.loads(data)
        writer = import_module(f"swarfbook.book.{WRITERS[raw['schema']]}")
        plan = writer.plan_of(raw)
    except NO_NOTE as error:
        raise fail(UNFINISHED, "this is no note of what was cut off; take the file away") from error
    writer.carry_out(root, plan, history)


def write_change(root: Path, one: Change, keep: Callable[[bytes | None, bytes], object]) -> None:
    """Write a record's file, unless that was done or someone edited it meanwhile.

    Args:
        root: folder of the book.
        one: the change.
        keep: called with the file before and after, before it is written.
    """
    path, data = to_write(root, file_name(one.kind, one.id)), one.text.encode()
    if sha_of(path) == one.before:
        keep(None if one.before is None else path.read_bytes(), data)
        path.parent.mkdir(exist_ok=True)
        write_atomically(path, data)


def sha_of(path: Path) -> str | None:
    """Give the sha256 of a file, None where there is none."""
    return sha256(path.read_bytes()) if path.is_file() else None


def check_changes(changes: Sequence[Change], kinds: Sequence[str] = tuple(FOLDERS)) -> None:
    """Check what was read of a note: raises one of `NO_NOTE` for what no writer wrote."""
    for one in changes:
        if one.kind not in kinds:
            raise ValueError(one.kind)
        check_id(one.id)
        one.text.encode()  # a text, and one that a file can hold
        (one.before or "").encode()
