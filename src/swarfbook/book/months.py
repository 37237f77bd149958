"""The months of a log as columns: read line by line, or given back from what is kept of them."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

from swarfbook import resources
from swarfbook.book.columns import Builder, Columns, Joiner, joined
from swarfbook.book.jsonl import Hash, Lines, open_regular, read_on
from swarfbook.book.renames import Renames
from swarfbook.book.table import Source, Table
from swarfbook.errors import Problem, SwarfbookError

if TYPE_CHECKING:
    from swarfbook.book.kept_columns import Keeper, Kept, Seen
    from swarfbook.book.runlog import RunLog

FOLDER = "runs"
LEAST = 256 * 1024
"""Bytes of a month from which its columns are kept; a shorter one is as quickly read."""
MORE = 256 * 1024
"""Bytes of lines after the kept ones from which all are kept anew."""
CHUNK = 1 << 20
Watch = Callable[[], object]


@dataclass(frozen=True, slots=True)
class Read:
    """A month as it was read: what told of its state before, its columns, the kept lines it begins with."""

    seen: Seen | None
    columns: Columns
    kept: Kept | None = None


def read_table(
    root: Path, paths: Iterable[Path], renames: Renames, before: RunLog | None, watch: Watch | None
) -> Table:
    """Read the files of a log as one table.

    Args:
        root: folder of the book.
        paths: the files, in order.
        renames: the book's.
        before: the log as it was read before under the same names; files that have not changed since are
            not read again.
        watch: called before every line that is read; what it raises ends the reading.
    """
    known = _known(before)
    months = _Months(root, watch)
    joiner = Joiner()
    sources: list[Source] = []
    first = 0
    for path in paths:
        read = known(path) or months.read(path)
        joiner.add(read.columns)
        last = first + len(read.columns.rows)
        where = f"{FOLDER}/{path.name}"
        sources.append(Source(path, where, first, last, read.columns.problems, read.seen))
        first = last
    months.note()
    return Table(joiner.columns(), sources, renames)


def _known(before: RunLog | None) -> Callable[[Path], Read | None]:
    """Give what finds the columns of a file that has not changed since the log was read before."""
    table = before.table if before is not None and before.light else None
    places = {source.path: place for place, source in enumerate(table.sources)} if table else {}

    def find(path: Path) -> Read | None:
        if table is None or path not in places:
            return None
        source = table.sources[places[path]]
        now = seen_of(path)
        return Read(now, table.part(places[path])) if now is not None and now == source.seen else None

    return find


def seen_of(path: Path) -> Seen | None:
    """Give what tells whether a file was changed, see `kept_columns`; None where there is none."""
    try:
        return _seen(path.stat())
    except OSError:
        return None


def _seen(found: os.stat_result) -> Seen:
    # The time of the last change shows a program that puts the time of the last writing back.
    return found.st_mtime_ns, found.st_size, found.st_ino, found.st_ctime_ns


class _Months:
    """Reads months, and keeps what was read of long ones."""

    def __init__(self, root: Path, watch: Watch | None) -> None:
        self._root, self._watch = root, watch
        self._keeper: Keeper | None = None
        self._clock: int | None = None
        self._sure: dict[str, tuple[Seen, Kept]] = {}

    def read(self, path: Path) -> Read:
        """Read a month; what cannot be read is a problem of its columns."""
        now, where = seen_of(path), f"{FOLDER}/{path.name}"
        try:
            if now is None or now[1] < LEAST or self._nowhere():
                with open_regular(path, where=where) as file:
                    return Read(now, read_columns(Lines(file), where, self._watch))
            return self._long(path, where, now)
        except SwarfbookError as error:
            return Read(now, Builder().columns(error.problems))

    def _nowhere(self) -> bool:
        return self._root.resolve() == resources.demo_book_dir().resolve()

    def _long(self, path: Path, where: str, now: Seen) -> Read:
        keeper = self._kept_of()
        kept = keeper.of(path.name)
        if kept is not None and keeper.trusts(path.name, now, kept):
            if kept.whole == now[1]:
                return Read(now, kept.columns, kept)
            with open_regular(path, where=where) as file:
                file.seek(kept.whole)
                rest = read_columns(Lines(file, whole=kept.whole, number=kept.lines), where, self._watch)
            return Read(now, joined([kept.columns, rest]), kept)
        self._clock = keeper.clock() if self._clock is None else self._clock
        with open_regular(path, where=where) as file:
            now = _seen(os.fstat(file.fileno()))
            columns, kept = self._checked(file, path.name, where, kept)
            if kept is not None and _seen(os.fstat(file.fileno())) == now:
                self._sure[path.name] = now, kept
        return Read(now, columns, kept)

    def _checked(
        self, file: BinaryIO, name: str, where: str, kept: Kept | None
    ) -> tuple[Columns, Kept | None]:
        """Read an open month, after its kept lines if it begins with them; keep it anew where it grew."""
        from swarfbook.book.kept_columns import Kept  # noqa: PLC0415 - only long months are kept

        sha = None if kept is None else begins_with(file, kept.whole, kept.sha)
        if sha is None:
            kept, sha = None, hashlib.sha256()
            file.seek(0)
        whole = (
            Lines(file, whole=kept.whole, number=kept.lines, sha=sha, torn=False)
            if kept
            else (Lines(file, sha=sha, torn=False))
        )
        begun = whole.whole
        parts = [kept.columns] if kept else []
        parts.append(read_columns(whole, where, self._watch))
        if kept is None or whole.whole - begun >= MORE:
            kept = Kept(joined(parts), whole.whole, whole.number, whole.sha)
            self._kept_of().keep(name, kept)
            parts = [kept.columns]
        file.seek(whole.whole)
        parts.append(read_columns(Lines(file, whole=whole.whole, number=whole.number), where, self._watch))
        return joined(parts), kept

    def _kept_of(self) -> Keeper:
        if self._keeper is None:
            from swarfbook.book.kept_columns import Keeper  # noqa: PLC0415 - as above

            self._keeper = Keeper(self._root)
        return self._keeper

    def note(self) -> None:
        """Note which months are as they are known, so that they need not be opened next time."""
        if self._sure and self._clock is not None:
            self._kept_of().trust(self._sure, self._clock)


def begins_with(file: BinaryIO, whole: int, expected: str) -> Hash | None:
    """Give the sha256 of the first bytes of an open file, to be carried on, if it is the expected; None else.

    The file then stands behind them.
    """
    sha, left = hashlib.sha256(), whole
    while left and (data := file.read(min(CHUNK, left))):
        sha.update(data)
        left -= len(data)
    return sha if not left and sha.hexdigest() == expected else None


def read_columns(lines: Lines, where: str, watch: Watch | None = None) -> Columns:
    """Read the lines of an open file as columns; `watch` as of `read_table`."""
    builder = Builder()

    def add(raw: dict[str, Any], place: str, start: int, length: int) -> None:
        if watch is not None:
            watch()
        builder.read(raw, place, start, length)

    problems: Sequence[Problem] = read_on(lines, where=where, what="run", read=add)
    return builder.columns(problems)
