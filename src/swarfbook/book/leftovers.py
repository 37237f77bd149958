"""What a save that was cut off left behind: hidden files that never took their name.

Nobody looks for them on opening a book. The screen lists its folders beside the keys anyway, and `verify` and
`list --problems` on being asked; these look.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from swarfbook.book import index
from swarfbook.book.backstage import FOLDER
from swarfbook.book.history import History
from swarfbook.book.ids import ALL_FOLDERS, FOLDERS
from swarfbook.book.kept_columns import INNER
from swarfbook.book.locking import TEMPORARY, locked
from swarfbook.book.reading import MOST_BYTES, parse_toml, read_bytes, trouble
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.records import parse
from swarfbook.records.fields import ID_PATTERN

if TYPE_CHECKING:
    from swarfbook.book.store import Book

NAME = re.compile(rf"\.(?P<of>.+)\.[0-9a-f]+{re.escape(TEMPORARY)}\Z")
KINDS = {folder: kind for kind, folder in FOLDERS.items()}
REMEDY = (
    "a save that was cut off left this; `swarfbook verify --leftovers keep` keeps what is whole in the "
    "record's history, `remove` takes it away"
)


@dataclass(frozen=True, slots=True)
class Leftover:
    """A file that a save left behind.

    Attributes:
        where: the file relative to the book.
        kind, id: the record whose file it was to be; empty for none.
    """

    where: str
    kind: str
    id: str

    @property
    def problem(self) -> Problem:
        """What a person is told of it."""
        return Problem(self.where, "", "", REMEDY)


@dataclass(frozen=True, slots=True)
class Settled:
    """What became of a leftover.

    Attributes:
        leftover: the file.
        state: number of the state it became in the record's history; None where it was only taken away.
        outcome: what was done where it became none: `removed`, or why it was left as it is.
    """

    leftover: Leftover
    state: int | None
    outcome: str


def of_name(name: str) -> str | None:
    """Give the name a file was to take; None for a file that no save left."""
    found = NAME.match(name)
    return found["of"] if found else None


def leftovers(root: Path) -> list[Leftover]:
    """Find what saves left behind; one that is being written now by another program is none."""
    found = _told(root)
    if not found:
        return []
    try:
        with locked(root):
            return _told(root)
    except OSError:  # a book that cannot be written to has no saves under way
        return found


def _told(root: Path) -> list[Leftover]:
    """Find what a person is told of."""
    return [one for one in _look(root) if not _of_cache(one.where)]


def _of_cache(where: str) -> bool:
    """Say whether a file is of the index or of a long log's columns: written without the lock, made anew."""
    folder, _, name = where.rpartition("/")
    return folder == f"{FOLDER}/{INNER}" or of_name(name) == index.NAME


def _look(root: Path) -> list[Leftover]:
    return [_leftover(folder, name) for folder in _folders() for name in _names(root / folder)]


def _folders() -> Iterator[str]:
    """Yield the folders that saves write to."""
    yield from ALL_FOLDERS
    yield "runs/meters"
    yield FOLDER
    yield f"{FOLDER}/{INNER}"
    for inner in ("history", "deleted"):
        yield from (f"{FOLDER}/{inner}/{kind}" for kind in FOLDERS)


def _names(folder: Path) -> list[str]:
    try:
        with os.scandir(folder) as files:
            return sorted(
                file.name for file in files if of_name(file.name) and file.is_file(follow_symlinks=False)
            )
    except OSError:
        return []


def _leftover(folder: str, name: str) -> Leftover:
    record = (of_name(name) or "").removesuffix(".toml")
    kind = KINDS.get(folder, "")
    mine = bool(kind and ID_PATTERN.match(record) and f".{record}.toml." in name)
    return Leftover(f"{folder}/{name}", kind if mine else "", record if mine else "")


def settle(book: Book, *, keep: bool) -> list[Settled]:
    """Take away what saves left behind.

    Args:
        book: the book.
        keep: put what is whole and reads into its record's history first.

    Raises:
        SwarfbookError: the book is the demo, or the disk refuses.
    """
    book.refuse_demo()
    try:
        with locked(book.root):
            return [_settled(book, one, keep=keep) for one in _look(book.root)]
    except OSError as error:
        raise trouble(FOLDER, "written", error) from error


def _settled(book: Book, one: Leftover, *, keep: bool) -> Settled:
    path, state, outcome = book.root / one.where, None, "removed"
    if keep:
        try:
            state, outcome = _kept(book.history, one, path)
        except OSError as error:
            return Settled(one, None, f"left as it is: {(error.strerror or 'unknown trouble').lower()}")
    with suppress(FileNotFoundError):
        path.unlink()
    return Settled(one, state, outcome)


def _kept(history: History, one: Leftover, path: Path) -> tuple[int | None, str]:
    """Keep what is whole; give its state, or why there is none. Raises OSError, with nothing lost."""
    if not one.kind:
        return None, "removed: no record's file"
    try:
        data = read_bytes(path, where=one.where, most=MOST_BYTES)
        parse(one.kind, parse_toml(data, where=one.where), where=one.where)
    except SwarfbookError:
        return None, "removed: not whole"
    try:
        at = datetime.fromtimestamp(path.stat().st_mtime, UTC)
        state = history.keep_left(one.kind, one.id, data, at=at)
    except SwarfbookError as error:
        raise OSError(0, error.problems[0].remedy) from error
    return state, "kept" if state is not None else "removed: nothing new in it"
