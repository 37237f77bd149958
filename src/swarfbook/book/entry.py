"""A record as it stands in a book."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Generic, TypeVar

from swarfbook.book.reading import Stamp
from swarfbook.frozen import frozen
from swarfbook.records import Record

RecordT_co = TypeVar("RecordT_co", bound=Record, covariant=True)


@frozen
class Entry(Generic[RecordT_co]):
    """A record and the file it was read from.

    Attributes:
        kind: kind of record.
        id: stem of its file.
        path: its file.
        where: its file relative to the book, as messages name it.
        raw: the file as the TOML reader gives it, values as typed.
        record: the values, in SI units.
        sha: sha256 of the file's bytes as read, to notice a change before writing.
        stamp: time, size and inode of the file as read, to notice a change cheaply.
    """

    kind: str
    id: str
    path: Path
    where: str
    raw: dict[str, Any]
    record: RecordT_co
    sha: str
    stamp: Stamp
