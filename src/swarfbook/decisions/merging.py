"""Fits of several logs put together: sums by month with the names of their runs, each run counted once.

A file of sums says of each month (UTC) the sums over its runs and a hash of 64 bits of each run's name, and
which runs were corrected or withdrawn and by what. Of two files with runs in common the one counts that has
all runs of the other in that month. Where neither has, or one counts what the other has corrected, sums
cannot tell the runs apart: that is refused, and the logs themselves are to be merged, which tells every run.
Sums without names, of an earlier version, are added as they stand.
"""

from __future__ import annotations

import base64
import binascii
import json
import os
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import reduce
from itertools import combinations
from operator import add
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from swarfbook.book.columns import Columns, key_of
from swarfbook.book.jsonl import Lines, open_regular
from swarfbook.book.months import read_columns
from swarfbook.decisions.cuts import Whole
from swarfbook.decisions.evidence import Evidence, three_in
from swarfbook.decisions.powers import AllMetered, read_power
from swarfbook.decisions.sums import Sums
from swarfbook.errors import Problem, SwarfbookError

SCHEMA = "sums/1"
OWN = ""
"""In place of a file: the book's own log."""
MEND = "merge the logs themselves, or save both sums anew"
HEAD = 4096
MOST_SUMS = 256 * 1024 * 1024  # those of 20 million runs
SUMS = re.compile(rb'"schema"\s*:\s*"sums/1"')
Keys = NDArray[np.uint64]


@dataclass(frozen=True, slots=True)
class Block:
    """The runs of one month.

    Attributes:
        sums: theirs.
        keys: hashes of their names, sorted, none twice.
    """

    sums: Sums
    keys: Keys


@dataclass(frozen=True, slots=True)
class Share:
    """What a log adds to a fit.

    Attributes:
        months: its runs that teach something, by month: `2026-11`.
        replaced: the line in place of a run that was corrected or withdrawn, by hashes of names.
        loose: sums of runs that nobody named.
    """

    months: Mapping[str, Block] = field(default_factory=dict)
    replaced: Mapping[int, int] = field(default_factory=dict)
    loose: Sums = field(default_factory=Sums)

    @property
    def sums(self) -> Sums:
        """All sums together."""
        return reduce(add, (block.sums for block in self.months.values()), self.loose)


@dataclass(frozen=True, slots=True)
class Added:
    """A file that goes into a fit: sums, or a log.

    Attributes:
        where: the file, as messages name it.
        share: its sums; None for a log.
        columns: the lines of a log; None for sums.
    """

    where: str
    share: Share | None = None
    columns: Columns | None = None


def share_of(known: Evidence) -> Share:
    """Give what the runs of a book's evidence add to a fit."""
    return _share(known.table.columns, known.metered())


def share_of_lines(columns: Columns, rows: Whole) -> Share:
    """Give what some lines of a log add to a fit, by what their day made of them."""
    snapshots = columns.pools["snapshot"]
    threes = [three_in(snapshot) for snapshot in snapshots]
    metered = read_power(columns, rows)
    said = np.array([three is not None for three in threes], dtype=bool)
    good = ~np.isnan(metered[0])
    good[good] = said[columns.rows["snapshot"][rows[good]]]
    rows = rows[good]
    three = columns.rows["snapshot"][rows].astype(np.intp)
    return _share(
        columns, AllMetered(rows, [one or ("", "", "") for one in threes], three, *metered[:, good])
    )


def _share(columns: Columns, metered: AllMetered) -> Share:
    months = columns.rows["at"][metered.rows].astype("datetime64[us]").astype("datetime64[M]")
    some, which = np.unique(months, return_inverse=True)
    keys = columns.rows["key"][metered.rows]
    blocks = {}
    for place, month in enumerate(some):
        mine = np.flatnonzero(which == place)
        blocks[str(month)] = Block(metered.sums(mine), np.sort(keys[mine]))
    replaced = {key_of(old): int(columns.rows["key"][row]) for row, old in columns.replaces.items()}
    return Share(blocks, replaced)


def read_added(path: Path, *, where: str) -> Added:
    """Read a file that goes into a fit.

    Args:
        path: the file: sums, or a log of any length.
        where: the file, as messages name it.

    Raises:
        SwarfbookError: neither sums nor a log.
    """
    with open_regular(path, where=where) as file:
        head = file.read(HEAD)
        file.seek(0)
        if SUMS.search(head):
            if os.fstat(file.fileno()).st_size > MOST_SUMS:
                raise _error(
                    where, "", f"these sums are larger than {MOST_SUMS >> 20} MiB; merge the logs themselves"
                )
            return Added(where, share=read_share(file.read(), where=where))
        columns = read_columns(Lines(file), where)
    if not len(columns.rows):
        wrong = columns.problems[0].remedy if columns.problems else ""
        told = "not UTF-8; give" if wrong.startswith("not UTF-8") else "neither sums nor a log of runs; give"
        raise _error(where, "", f"{told} a file of fit --save, or a log")
    return Added(where, columns=columns)


def share_text(share: Share) -> str:
    """Write a file of sums; floats as `repr` has them, so that nothing of a sum is lost."""
    months = [
        {"month": month, "cells": block.sums.to_json(), "names": _written(block.keys)}
        for month, block in sorted(share.months.items())
    ]
    told: dict[str, Any] = {"schema": SCHEMA, "cells": share.sums.to_json(), "months": months}
    told["replaced"] = {f"{old:016x}": f"{new:016x}" for old, new in sorted(share.replaced.items())}
    if share.loose.cells:
        told["loose"] = share.loose.to_json()
    return json.dumps(told, indent=1) + "\n"


def _written(keys: Keys) -> str:
    return base64.b64encode(keys.astype("<u8").tobytes()).decode()


def read_share(data: bytes, *, where: str) -> Share:
    """Read a file of sums.

    Args:
        data: the file.
        where: the file, as messages name it.

    Raises:
        SwarfbookError: one line that says what will not do.
    """
    try:
        raw = json.loads(data.decode("utf-8-sig"))
    except (ValueError, RecursionError):
        raise _error(where, "", "broken JSON; save the sums anew") from None
    if not isinstance(raw, dict) or raw.get("schema") != SCHEMA:
        raise _error(where, "schema", f'write "{SCHEMA}"')
    whole = Sums.from_json(raw.get("cells"), where=where)
    if "months" not in raw:
        return Share(loose=whole)
    share = Share(
        _read_months(raw["months"], where=where),
        _read_replaced(raw.get("replaced"), where=where),
        Sums.from_json(raw.get("loose", []), where=where),
    )
    if share.sums.to_json() != whole.to_json():
        raise _error(where, "cells", "not the sums of its months; save the sums anew")
    return share


def _error(where: str, key: str, remedy: str) -> SwarfbookError:
    return SwarfbookError(Problem(where, key, "", remedy))


def _read_months(raw: object, *, where: str) -> dict[str, Block]:
    if not isinstance(raw, list):
        raise _error(where, "months", "write a list of months")
    found: dict[str, Block] = {}
    for number, item in enumerate(raw, start=1):
        place = f"months.{number}"
        month = item.get("month") if isinstance(item, dict) else None
        if not isinstance(month, str) or month in found:
            raise _error(where, place, "write an object with a month of its own")
        sums = Sums.from_json(item.get("cells"), where=f"{where}: {place}")
        keys = _read_keys(item.get("names"))
        if keys is None or len(keys) != sum(cell.runs for cell in sums.cells.values()):
            raise _error(where, f"{place}.names", "not the names of as many runs; save the sums anew")
        found[month] = Block(sums, keys)
    return found


def _read_keys(raw: object) -> Keys | None:
    try:
        keys = np.frombuffer(base64.b64decode(str(raw), validate=True), dtype="<u8")
    except (binascii.Error, ValueError):
        return None
    return keys if bool(np.all(keys[1:] > keys[:-1])) else None


def _read_replaced(raw: object, *, where: str) -> dict[int, int]:
    try:
        found = {int(old, 16): int(new, 16) for old, new in raw.items()}  # type: ignore[attr-defined]
        np.array([*found, *found.values()], dtype=np.uint64)  # names of 64 bits
    except (AttributeError, TypeError, ValueError, OverflowError):
        raise _error(where, "replaced", "write an object of names; save the sums anew") from None
    return found


def combined(shares: Sequence[tuple[str, Share]]) -> Share:
    """Put together what several logs add, each run counted once; the order of the logs changes no bit.

    Args:
        shares: each with the file it came from; `OWN` for the book itself, whose numbers come first.

    Raises:
        SwarfbookError: files have runs in common that their sums cannot tell apart.
    """
    months = sorted({month for _, share in shares for month in share.months})
    blocks = {
        month: _month(
            [(where, share.months[month]) for where, share in shares if month in share.months], month
        )
        for month in months
    }
    replaced = _replaced(shares)
    gone = np.array(sorted(replaced), dtype=np.uint64)
    for where, share in shares:
        for month, block in share.months.items():
            if np.isin(block.keys, gone).any() and np.isin(blocks[month].keys, gone).any():
                raise _error(where or "--merge", "", f"a run of {month} is corrected in another log; {MEND}")
    return Share(blocks, replaced, reduce(add, (share.loose for _, share in shares), Sums()))


def _month(blocks: Sequence[tuple[str, Block]], month: str) -> Block:
    """Put the blocks of one month together: those that another one has all runs of left out."""
    kept: list[tuple[str, Block]] = []
    # The largest first; of equal ones the book's own.
    for where, block in sorted(blocks, key=lambda told: (-len(told[1].keys), told[0] != OWN)):
        same = next((one for one in kept if np.isin(block.keys, one[1].keys).all()), None)
        if same is None:
            kept.append((where, block))
        elif _other_numbers(same, block):
            raise _error(where, "", f"the same runs of {month} as in {same[0]} have other sums; {MEND}")
    for (where, one), (other, another) in combinations(kept, 2):
        if np.isin(one.keys, another.keys).any():
            beside = other or where
            raise _error(beside, "", f"it has some of the runs of {month} that count already; {MEND}")
    keys = np.sort(np.concatenate([block.keys for _, block in kept]))
    return Block(reduce(add, (block.sums for _, block in kept)), keys)


def _other_numbers(known: tuple[str, Block], block: Block) -> bool:
    where, one = known
    alike = len(one.keys) == len(block.keys)
    return where != OWN and alike and one.sums.to_json() != block.sums.to_json()


def _replaced(shares: Iterable[tuple[str, Share]]) -> dict[int, int]:
    found: dict[int, int] = {}
    for where, share in shares:
        for old, new in share.replaced.items():
            if found.setdefault(old, new) != new:
                raise _error(where or "--merge", "", f"a run was corrected otherwise in another log; {MEND}")
    return dict(sorted(found.items()))
