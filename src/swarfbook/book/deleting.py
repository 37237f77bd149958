"""Delete a record with a way back: its file moves backstage of the book, and back again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from swarfbook.book.backstage import FOLDER, backstage
from swarfbook.book.history import BROUGHT_BACK, DELETED
from swarfbook.book.ids import FOLDERS, file_name
from swarfbook.book.inside import to_write
from swarfbook.book.locking import flush_folder, locked, write_atomically
from swarfbook.book.mentions import PARTS
from swarfbook.book.reading import MOST_BYTES, fail, parse_toml, read_bytes, stamp, trouble
from swarfbook.book.renames import read_renames
from swarfbook.book.saving import edited, merged, seen_bytes
from swarfbook.book.users import told, users_of
from swarfbook.errors import did_you_mean
from swarfbook.records.fields import ID_PATTERN

if TYPE_CHECKING:
    from swarfbook.book.store import Book

STORE = "deleted"
MOMENT = "%Y%m%dT%H%M%S%f"
MOST_NAMED = 5


@dataclass(frozen=True, slots=True)
class Deleted:
    """A record that was deleted and can be brought back.

    Attributes:
        kind, id: the record.
        at: when it was deleted.
        path: its file backstage.
    """

    kind: str
    id: str
    at: datetime
    path: Path


def delete(book: Book, kind: str, record: str, *, seen: str | None) -> Deleted:
    """Move a record's file backstage as `Book.delete` says."""
    where = file_name(kind, record)
    try:
        with locked(book.root):
            path = book.path(kind, record)
            data = seen_bytes(path, seen, where=where)
            _refuse_used(book, kind, record)
            book.history.found(kind, record, data)
            gone = _moved(book.root, path, kind, record)
            book.history.add(kind, record, DELETED, data)
            return gone
    except OSError as error:
        raise trouble(where, "deleted", error) from error


def _refuse_used(book: Book, kind: str, record: str) -> None:
    how = {"recipe": "recipes came from it" if kind == "recipe" else "recipes name it", "job": "jobs name it"}
    said = [f"{how[user]}: {ids}" for user, ids in told(users_of(book, kind, record), MOST_NAMED)]
    if said:
        instead = "set its standing to retired instead, or delete those first"
        remedy = instead if kind == "recipe" else "delete those first, or give them another"
        raise fail(file_name(kind, record), "; ".join([*said, remedy]))


def _moved(root: Path, path: Path, kind: str, record: str) -> Deleted:
    folder, at = backstage(root, STORE, kind), datetime.now(UTC)
    while stamp(to := folder / f"{record}.{at.strftime(MOMENT)}.toml") is not None:
        at += timedelta(microseconds=1)
    path.rename(to)
    flush_folder(folder)
    flush_folder(path.parent)
    return Deleted(kind, record, at, to)


def deleted(root: Path) -> list[Deleted]:
    """Give the records that were deleted, the latest first."""
    found = [one for kind in FOLDERS for one in _of_kind(root, kind)]
    return sorted(found, key=lambda one: one.at, reverse=True)


def _of_kind(root: Path, kind: str) -> Iterator[Deleted]:
    for path in (root / FOLDER / STORE / kind).glob("*.toml"):
        record, _, moment = path.stem.partition(".")
        try:
            at = datetime.strptime(moment, MOMENT).replace(tzinfo=UTC)
        except ValueError:
            continue
        if ID_PATTERN.match(record):
            yield Deleted(kind, record, at, path)


def restore(book: Book, kind: str, record: str) -> Deleted:
    """Bring the latest of a deleted record back as `Book.restore` says."""
    where = file_name(kind, record)
    try:
        with locked(book.root):
            latest = _latest(book.root, kind, record)
            path = to_write(book.root, where)
            if stamp(path) is not None:
                raise fail(where, "there is one of that id now; rename that one first")
            _bring_back(book.root, latest, path)
            book.history.add(kind, record, BROUGHT_BACK, path.read_bytes())
            return latest
    except OSError as error:
        raise trouble(where, "brought back", error) from error


def _latest(root: Path, kind: str, record: str) -> Deleted:
    known = [one for one in deleted(root) if one.kind == kind]
    for one in known:
        if one.id == record:
            return one
    hint = did_you_mean(record, {one.id for one in known}) if known else "none was"
    raise fail(kind, f"no {kind} of that id was deleted; {hint}", found=f"'{record}'")


def _bring_back(root: Path, one: Deleted, path: Path) -> None:
    """Put the file back; a recipe or a job names other records as they are called now."""
    path.parent.mkdir(exist_ok=True)
    where = file_name(one.kind, one.id)
    if one.kind in PARTS:
        before = read_bytes(one.path, where=where, most=MOST_BYTES)
        data = named_as_now(root, one.kind, before, one.at, where=where)
        if data != before:
            write_atomically(one.path, data)
    one.path.rename(path)
    flush_folder(path.parent)
    flush_folder(one.path.parent)


def named_as_now(root: Path, kind: str, data: bytes, at: datetime, *, where: str) -> bytes:
    """Give a recipe's or a job's file with other records named as they are called now.

    Args:
        root: folder of the book.
        kind: recipe or job.
        data: the file.
        at: when it stood.
        where: the file as messages name it.

    Raises:
        SwarfbookError: it does not read, or cannot be edited.
    """
    raw = parse_toml(data, where=where)
    changes = read_renames(root)[0].of(kind, raw, at)
    return edited(kind, data, changes, merged(raw, changes), where=where).encode() if changes else data
