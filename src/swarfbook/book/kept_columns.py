"""What was read of long months, kept backstage: one that has not changed is not read line by line again.

A month's columns stand in `.swarfbook/log/2026-11.jsonl.npz` with the sha256 of the lines behind them, all
whole lines from the beginning of the file. They serve where the file still begins with those bytes. That is
so where its stamp is the one it had when that was last made sure of: with the time of the last change
(ctime), which no program can put back, and which lay far enough in the past then. Else the bytes are hashed,
which takes some 5 % of the time of reading them as JSON.

Everything here can be deleted at any time, and what does not read is as good as deleted. A file system that
keeps no time of the last change (FAT) shows no edit of equal length by a program that puts the time of the
last writing back as well.
"""

from __future__ import annotations

import hashlib
import io
import json
import os
import tokenize
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np

import swarfbook
from swarfbook.book import system
from swarfbook.book.backstage import FOLDER, backstage
from swarfbook.book.columns import POOLS, ROW, Columns, Rows
from swarfbook.book.reading import read_bytes
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.records import OUTCOMES

INNER = "log"
REVISION = 1
"""To be raised whenever other things are read from a line."""
FORMAT = (
    f"{REVISION}:{swarfbook.__version__}:" + hashlib.sha256(repr((OUTCOMES, ROW.descr)).encode()).hexdigest()
)
"""What was read of a line, and how."""
TRUST = "trust.json"
MOST_TRUST = 1024 * 1024
SETTLED = 2_000_000_000
"""Time in ns: file systems count in steps of up to 2 s; a second change in one step does not show."""
NO_GOOD = (
    OSError, ValueError, LookupError, TypeError, AttributeError, zipfile.BadZipFile, zlib.error,
    RuntimeError, EOFError, SyntaxError, MemoryError, OverflowError,
    tokenize.TokenError, SwarfbookError,
)  # fmt: skip
"""What comes of a damaged file."""

POOLED = {
    **dict.fromkeys(("recipe", "digest", "outcome", "unit", "idle_unit"), str),
    **dict.fromkeys(("snapshot", "model"), dict),
    "cutter": str | None,
    "zone": int,
}
"""What the values of a pool are."""

Seen = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class Kept:
    """The columns of the first lines of a month.

    Attributes:
        columns: of those lines.
        whole: how many bytes they are.
        lines: how many lines.
        sha: sha256 of the bytes, in hexadecimal.
    """

    columns: Columns
    whole: int
    lines: int
    sha: str


class Keeper:
    """Keeps and gives back the columns of a book's months.

    Nothing of it fails where the disk refuses: what cannot be kept is read again.
    """

    def __init__(self, root: Path) -> None:
        self._root = root
        self._folder = root / FOLDER / INNER
        self._trust: dict[str, Any] | None = None

    def of(self, month: str) -> Kept | None:
        """Give what is kept of a month; None where there is nothing that reads."""
        try:
            with zipfile.ZipFile(self._folder / f"{month}.npz") as file:
                if any(member.compress_type != zipfile.ZIP_STORED for member in file.infolist()):
                    return None  # nothing of ours, and of any size once unpacked
                # Read whole, a member's checksum is compared.
                head = json.loads(file.read("head.json"))
                rows, names = _array(file.read("rows.npy")), _array(file.read("names.npy"))
            return _kept(head, rows, names.tobytes())
        except NO_GOOD:
            return None

    def keep(self, month: str, kept: Kept) -> None:
        """Keep a month's columns in place of those before."""
        from swarfbook.book.locking import write_atomically  # noqa: PLC0415 - reading needs no locks

        columns = kept.columns
        head = {
            "format": FORMAT,
            "whole": kept.whole,
            "lines": kept.lines,
            "sha": kept.sha,
            "rows": len(columns.rows),
            "pools": dict(columns.pools),
            "replaces": list(columns.replaces.items()),
            "problems": [asdict(problem) for problem in columns.problems],
        }
        data = io.BytesIO()
        with zipfile.ZipFile(data, "w") as file:
            file.writestr("head.json", json.dumps(head))
            file.writestr("rows.npy", _bytes(columns.rows))
            file.writestr("names.npy", _bytes(np.frombuffer(columns.names, dtype=np.uint8)))
        try:
            write_atomically(backstage(self._root, INNER) / f"{month}.npz", data.getvalue())
        except OSError:
            return

    def trusts(self, month: str, found: Seen, kept: Kept) -> bool:
        """Say whether a file of this stamp is known to begin with the kept lines."""
        return self._trusted().get(month) == [*found, kept.whole, kept.sha]

    def trust(self, stamps: Mapping[str, tuple[Seen, Kept]], clock: int) -> None:
        """Note of which stamps months were that began with kept lines; those changed of late are not noted.

        Args:
            stamps: the stamp of each month from before it was read, and the lines it begins with.
            clock: the file system's own time before that [ns].
        """
        from swarfbook.book.locking import write_atomically  # noqa: PLC0415 - as above

        settled = {
            month: [*found, kept.whole, kept.sha]
            for month, (found, kept) in stamps.items()
            if found[3] + SETTLED < clock
        }
        if not settled:
            return
        self._trust = self._trusted() | settled
        try:
            write_atomically(self._folder / TRUST, json.dumps(self._trust).encode())
        except OSError:
            return

    def _trusted(self) -> dict[str, Any]:
        if self._trust is None:
            try:
                read = json.loads(read_bytes(self._folder / TRUST, where=TRUST, most=MOST_TRUST))
            except NO_GOOD:
                read = {}
            self._trust = read if isinstance(read, dict) else {}
        return self._trust

    def clock(self) -> int | None:
        """Give the time by the clock of the book's file system [ns]; None where nothing can be kept."""
        try:
            path = backstage(self._root, INNER) / "clock"
            handle = os.open(
                path, os.O_WRONLY | os.O_CREAT | system.OPEN | system.NO_LINK | system.NO_WAIT, 0o666
            )
            try:
                os.write(handle, b".")
            finally:
                os.close(handle)
            return path.stat().st_mtime_ns
        except OSError:
            return None


def _kept(head: Mapping[str, Any], rows: Rows, names: bytes) -> Kept | None:
    if head["format"] != FORMAT or rows.dtype != ROW or rows.shape != (head["rows"],):
        return None
    if (int(rows["name_end"][-1]) if rows.size else 0) != len(names):
        return None
    pools = {name: head["pools"][name] for name in POOLS}
    replaces = {int(row): str(name) for row, name in head["replaces"]}
    problems = tuple(_problem(**problem) for problem in head["problems"])
    if not _in_order(rows, pools, replaces) or not _counts(head["whole"], head["lines"]):
        return None
    return Kept(
        Columns(rows, names, pools, replaces, problems), head["whole"], head["lines"], str(head["sha"])
    )


def _problem(**texts: object) -> Problem:
    return Problem(**{name: str(text) for name, text in texts.items()})


def _counts(*numbers: object) -> bool:
    return all(type(number) is int and number >= 0 for number in numbers)


def _in_order(rows: Rows, pools: Mapping[str, Any], replaces: Mapping[int, str]) -> bool:
    """Say whether rows point at what there is: values of the pools, of their kind, and parts of the names."""
    for name, pool in pools.items():
        places = rows[name]
        if not isinstance(pool, list) or not all(isinstance(one, POOLED[name]) for one in pool):
            return False
        if places.size and not (places.min() >= 0 and places.max() < len(pool)):
            return False
    ends = rows["name_end"]
    return bool(np.all(ends[1:] >= ends[:-1])) and all(0 <= row < len(rows) for row in replaces)


def _array(data: bytes) -> Rows:
    return np.asarray(np.load(io.BytesIO(data), allow_pickle=False))


def _bytes(array: Rows) -> bytes:
    data = io.BytesIO()
    np.save(data, array, allow_pickle=False)
    return data.getvalue()
