"""Runs as columns: what marks, standings, learning and filters need of each line, and where it stands.

A run as a model takes some 3 kB and most of it is the same few snapshots over and over; a row here takes some
130 bytes, its name among them, and what many lines have in common stands once in a pool.
"""

from __future__ import annotations

import hashlib
import marshal
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from swarfbook.errors import Problem
from swarfbook.records import Reading, parse
from swarfbook.records.quick import QuickReader
from swarfbook.records.run import Side

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
MICROSECOND = timedelta(microseconds=1)
POOLS = ("recipe", "digest", "snapshot", "model", "cutter", "zone", "outcome", "unit", "idle_unit")
METERED = ("measured", "predicted", "weight")
ROW = np.dtype(
    [("at", "<i8"), ("start", "<i8"), ("length", "<i4"), ("key", "<u8"), ("name_end", "<u4")]
    + [(name, "<f8") for name in ("minutes", "power", "shown", "idle", "idle_shown", *METERED)]
    + [(name, "<i4") for name in POOLS]
    + [("flags", "<u2")]
)
"""A line: when it ended [us since 1970, UTC], its place in the file [bytes], a hash of its name and where the
name ends among the names, minutes, readings [W] and as the meter showed them, what its day made of them
[W, W, 1], places in the pools, flags."""

SIDES: tuple[Side | None, ...] = (None, "shaft", "input")
POWER, IDLE, WITHDRAWN, AS_PROGRAMMED, REPLACES = 1, 2, 4, 8, 16
POWER_SIDE, IDLE_SIDE, SIDE = 5, 7, 3  # where the two bits of a side begin, and the two bits
BATCH = 4096
NO_READING = Reading(si=0.0, number=0.0, unit="", side=None)

Rows = NDArray[Any]


@dataclass(frozen=True, slots=True)
class Columns:
    """The lines of a part of a log that read.

    Attributes:
        rows: one `ROW` a line, in order.
        names: the names of the runs one after the other, UTF-8.
        pools: the values that rows point to, by `POOLS`: texts, snapshots, what is left of models without
            `METERED`, offsets from UTC [us].
        replaces: the name of the run that a row corrects, by the row.
        problems: of the lines that do not read.
    """

    rows: Rows
    names: bytes
    pools: Mapping[str, list[Any]]
    replaces: Mapping[int, str]
    problems: tuple[Problem, ...]

    def name(self, row: int) -> str:
        """Give the name of a row's run."""
        first = int(self.rows["name_end"][row - 1]) if row else 0
        return self.names[first : int(self.rows["name_end"][row])].decode(errors="surrogatepass")


def key_of(name: str) -> int:
    """Give 64 bits of a hash of a name: other bits are another name, the same are to be compared in full."""
    return hash_of(name.encode(errors="surrogatepass"))


def hash_of(name: bytes) -> int:
    """Give the same of a name in UTF-8."""
    return int.from_bytes(hashlib.blake2b(name, digest_size=8).digest(), "little")


def moment(microseconds: int, offset: int) -> datetime:
    """Give the moment of a time [us since 1970, UTC] with its offset [us]."""
    zone = timezone(timedelta(microseconds=offset)) if offset else UTC
    there = EPOCH.replace(tzinfo=None) + timedelta(microseconds=microseconds + offset)
    return there.replace(tzinfo=zone)


def microseconds(at: datetime) -> int:
    """Give a moment as whole microseconds since 1970, UTC."""
    return (at - EPOCH) // MICROSECOND


class Pool:
    """Values that stand once, however many lines have them."""

    def __init__(self) -> None:
        self.values: list[Any] = []
        self._places: dict[object, int] = {}

    def place(self, value: object) -> int:
        """Give the place of a value, a new one where it was not seen before."""
        # A hash in place of the value itself: snapshots are long. Texts and numbers are their own keys.
        known = _hash(value) if isinstance(value, dict) else value
        place = self._places.get(known)
        if place is None:
            place = self._places[known] = len(self.values)
            self.values.append(value)
        return place


def _hash(value: object) -> bytes:
    # Version 2 writes equal values of JSON alike, whoever else holds them.
    return hashlib.blake2b(marshal.dumps(cast("dict[str, Any]", value), 2), digest_size=16).digest()


class Builder:
    """Makes columns of runs, one after the other."""

    def __init__(self) -> None:
        self._done: list[Rows] = []
        self._rows: list[tuple[Any, ...]] = []
        self._names = bytearray()
        self._pools = {name: Pool() for name in POOLS}
        self._places = [pool.place for pool in self._pools.values()]
        self._quick = QuickReader()
        self._replaces: dict[int, str] = {}

    def read(self, raw: Mapping[str, Any], where: str, start: int, length: int) -> None:
        """Add the run of a line's object; raises SwarfbookError for what is none.

        Args:
            raw: the object.
            where: the line, as messages name it.
            start: where it begins in its file [bytes].
            length: of the line [bytes].
        """
        values = self._quick.read(raw)
        self.add(dict(parse("run", raw, where=where)) if values is None else values, start, length)

    def add(self, run: Mapping[str, Any], start: int = -1, length: int = 0) -> None:
        """Add a run.

        Args:
            run: its values as of `records.Run`, under the names of its day.
            start: where its line begins in its file [bytes]; -1 where nobody will ask.
            length: of the line [bytes].
        """
        if run["replaces"] is not None:
            self._replaces[len(self._done) * BATCH + len(self._rows)] = run["replaces"]
        name = run["id"].encode(errors="surrogatepass")
        self._names += name
        at, model = run["at"], run["model"]
        power, idle = run["power"] or NO_READING, run["idle_power"] or NO_READING
        pooled = (
            run["recipe"], run["digest"], run["snapshot"],
            {key: value for key, value in model.items() if key not in METERED},
            run["cutter"], _offset(at), run["outcome"], power.unit, idle.unit,
        )  # fmt: skip
        self._rows.append(
            (
                microseconds(at),
                start,
                length,
                hash_of(name),
                len(self._names),
                run["minutes"],
                power.si,
                power.number,
                idle.si,
                idle.number,
                *[_number(model.get(key)) for key in METERED],
                *[place(one) for place, one in zip(self._places, pooled, strict=True)],
                _flags(run),
            )
        )
        if len(self._rows) == BATCH:
            self._flush()

    def _flush(self) -> None:
        self._done.append(np.array(self._rows, dtype=ROW))
        self._rows = []

    def columns(self, problems: Sequence[Problem]) -> Columns:
        """Give what was added."""
        self._flush()
        pools = {name: pool.values for name, pool in self._pools.items()}
        rows = np.concatenate(self._done)
        return Columns(rows, bytes(self._names), pools, self._replaces, tuple(problems))


def _offset(at: datetime) -> int:
    return (at.utcoffset() or timedelta()) // MICROSECOND


def _number(value: object) -> float:
    """Give a number of a model as a float; NaN for none, infinity for one that is too long."""
    if not isinstance(value, int | float):
        return np.nan
    try:
        return float(value)
    except OverflowError:
        return np.inf


def _flags(run: Mapping[str, Any]) -> int:
    flags = (WITHDRAWN if run["withdrawn"] else 0) | (0 if run["replaces"] is None else REPLACES)
    if run["feed_override"] == 1.0 and run["speed_override"] == 1.0:
        flags |= AS_PROGRAMMED
    if run["power"]:
        flags |= POWER | SIDES.index(run["power"].side) << POWER_SIDE
    if run["idle_power"]:
        flags |= IDLE | SIDES.index(run["idle_power"].side) << IDLE_SIDE
    return flags


class Joiner:
    """Puts columns one after the other, with pools in common; a part is let go when it was added."""

    def __init__(self) -> None:
        self._rows = np.empty(0, ROW)
        self._names = bytearray()
        self._pools = {name: Pool() for name in POOLS}
        self._replaces: dict[int, str] = {}
        self._problems: list[Problem] = []

    def add(self, part: Columns) -> None:
        """Add columns at the end."""
        first = len(self._rows)
        self._rows.resize(first + len(part.rows), refcheck=False)  # nobody else has it yet
        mine = self._rows[first:]
        mine[:] = part.rows
        mine["name_end"] += np.uint32(len(self._names))
        self._names += part.names
        for name, pool in self._pools.items():
            places = np.array([pool.place(value) for value in part.pools[name]], dtype=np.int32)
            if not np.array_equal(places, np.arange(places.size)):
                mine[name] = places[mine[name]]
        self._replaces |= {first + row: name for row, name in part.replaces.items()}
        self._problems += part.problems

    def columns(self) -> Columns:
        """Give what was added."""
        pools = {name: pool.values for name, pool in self._pools.items()}
        return Columns(self._rows, bytes(self._names), pools, self._replaces, tuple(self._problems))


def joined(parts: Iterable[Columns]) -> Columns:
    """Put columns one after the other, with pools in common."""
    joiner = Joiner()
    for part in parts:
        joiner.add(part)
    return joiner.columns()


def part_of(whole: Columns, first: int, last: int, problems: Sequence[Problem]) -> Columns:
    """Give some rows of joined columns as columns of their own."""
    rows = whole.rows[first:last].copy()
    begin = int(whole.rows["name_end"][first - 1]) if first else 0
    end = int(rows["name_end"][-1]) if rows.size else begin
    rows["name_end"] -= np.uint32(begin)
    replaces = {row - first: name for row, name in whole.replaces.items() if first <= row < last}
    return Columns(rows, whole.names[begin:end], whole.pools, replaces, tuple(problems))


def counted_in(columns: Columns) -> NDArray[np.intp]:
    """Give the rows that count, in order.

    A line with the name of an earlier one is that run again (two copies of a log came together). A corrected
    run does not count; of two corrections of one run the later line does.
    """
    once = _once(columns)
    latest = {columns.replaces[row]: row for row in sorted(columns.replaces) if once[row]}
    counts = once & (columns.rows["flags"] & WITHDRAWN == 0)
    keys = np.array([key_of(name) for name in latest], dtype=np.uint64)
    for row in np.flatnonzero(np.isin(columns.rows["key"], keys)).tolist():
        counts[row] &= columns.name(row) not in latest
    for row, replaced in columns.replaces.items():
        counts[row] &= latest.get(replaced) == row
    return np.flatnonzero(counts)


def _once(columns: Columns) -> NDArray[np.bool_]:
    """Tell the rows whose name no earlier row has."""
    keys = columns.rows["key"]
    once = np.ones(len(keys), dtype=bool)
    in_order = np.sort(keys)
    if not np.any(in_order[1:] == in_order[:-1]):
        return once
    order = np.argsort(keys, kind="stable")
    alike = np.flatnonzero(keys[order][1:] == keys[order][:-1])
    seen: set[str] = set()
    for row in sorted({*order[alike].tolist(), *order[alike + 1].tolist()}):
        name = columns.name(row)
        once[row] = name not in seen
        seen.add(name)
    return once
