"""The names a book knows, listed without reading its records: for a shell that completes what is typed."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

from swarfbook.book.ids import FOLDERS
from swarfbook.records.fields import ID_LENGTH, ID_PATTERN

MOST_RUNS = 50
TAIL = 1 << 20
"""Bytes read of the end of a month's log: a run with all its snapshots takes some thousand."""
# Only names that no shell takes for anything else.
_RUN = re.compile(rb'"id": ?"([A-Za-z0-9][A-Za-z0-9._-]*)"', re.ASCII)
_MONTH = re.compile(r"[0-9]{4}-[0-9]{2}\.jsonl", re.ASCII)


def known_ids(root: Path, kind: str) -> list[str]:
    """Give the ids of a kind of record, sorted; a file whose name is no id is passed over."""
    stems = (name.removesuffix(".toml") for name in _names(root / FOLDERS[kind]) if name.endswith(".toml"))
    return sorted(stem for stem in stems if ID_PATTERN.match(stem) and len(stem) <= ID_LENGTH)


def known_deleted(root: Path) -> list[str]:
    """Give the records that can be brought back, as commands call them."""
    from swarfbook.book.deleting import deleted  # noqa: PLC0415 - what else is listed takes none of it
    from swarfbook.book.ids import called  # noqa: PLC0415

    return list(dict.fromkeys(called(one.kind, one.id) for one in deleted(root)))


def latest_runs(root: Path) -> list[str]:
    """Give the ids of the latest runs, the last line first, at most 50."""
    return list(islice(dict.fromkeys(_runs(root / "runs")), MOST_RUNS))


def _runs(folder: Path) -> Iterator[str]:
    for name in sorted(filter(_MONTH.fullmatch, _names(folder)), reverse=True):
        with (folder / name).open("rb") as file:
            size = file.seek(0, os.SEEK_END)
            file.seek(max(size - TAIL, 0))
            lines = file.read(TAIL).splitlines()
        for line in reversed(lines):
            # A line begins with the run's own id; others are further in.
            if line.startswith(b"{") and (found := _RUN.search(line)):
                yield found[1].decode()


def _names(folder: Path) -> list[str]:
    try:
        return os.listdir(folder)  # noqa: PTH208 - a Path for each would cost four times as much
    except OSError:
        return []
