"""What a power meter or a spindle drive wrote down: a CSV file read into time and power.

Whatever the bytes, the outcome is a `Trace` or one clear line that names the row and the column.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

import numpy as np
from numpy.typing import NDArray

from swarfbook.decisions.trace_header import (
    MOST_PREAMBLE,
    POWER,
    TIME,
    UNITS,
    Column,
    Header,
    cells_of,
    find_header,
)
from swarfbook.errors import Problem, SwarfbookError

Numbers = NDArray[np.float64]

MOST_BYTES: Final = 16 * 1024 * 1024
MOST_ROWS: Final = 1_000_000
LONGEST_LINE: Final = 4096
"""Characters; a judgement: a meter of three phases that writes all it knows needs a tenth of it."""
MOST_POWER: Final = 1e6
"""[W]; a judgement: far above any spindle, so that a number beyond it is in another unit or broken."""
MOST_TIME: Final = 1e11
"""[s]; a judgement: stamps counted from 1970 are near 2e9, and a double still tells microseconds there."""
NOISE_BELOW: Final = 0.02
"""Share of the largest value that one may lie below 0; a judgement: the offset of a cheap meter."""

NUMBER_HELP: Final = "write a plain number such as 1234.5, without unit"
TIME_HELP: Final = "write seconds (12.5), hh:mm:ss (00:01:30.5) or a date (2026-01-31 09:30:00)"
POWER_HELP: Final = "power, or of amps and volts"
COLUMNS_HELP: Final = "a first line such as 'time (s),power (W)' or 'time (s),current (A),voltage (V)'"

_BREAK: Final = re.compile(r"\r\n|\r|\n")
_CONTROL: Final = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")
_NUMBER: Final = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,2})?")
_CLOCK: Final = re.compile(r"([0-9]{1,4}):([0-5][0-9]):([0-5][0-9](?:\.[0-9]*)?)")
_DATE: Final = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}(?::[0-9]{2}(?:\.[0-9]{1,9})?)?"
    r"(?:Z|[+-][0-9]{2}:[0-9]{2})?"
)


@dataclass(frozen=True, slots=True, eq=False)
class Trace:
    """Power over time.

    Attributes:
        where: the file, as messages name it.
        time: [s] from 0 at the first sample, every one later than the one before; shape (n,), n at least 2.
        power: [W] at each time, at least 0; shape (n,).
        apparent: whether power is amps times volts, which reads high, above all at light load.
    """

    where: str
    time: Numbers
    power: Numbers
    apparent: bool


@dataclass(frozen=True, slots=True)
class _Cells:
    """The texts of one column, the row of the file each stands in, and whether a comma may be decimal."""

    where: str
    column: Column
    rows: list[int]
    texts: list[str]
    commas: bool

    def error(self, index: int, remedy: str) -> SwarfbookError:
        """Give the error of one cell."""
        key = f"row {self.rows[index]}, {self.column.title}"
        return SwarfbookError(Problem(self.where, key, repr(self.texts[index]), remedy))


def read_trace(data: bytes, *, where: str) -> Trace:
    """Read the CSV file of a meter: a time and a power, or a time, amps and volts.

    Cells stand apart by tab, semicolon or comma; the header line tells by which. A decimal comma is read
    where cells do not stand apart by commas. Rows are lines of the file, counted from 1. Of
    several times the first column is read. Samples that share
    a time stamp, as of a clock that shows whole seconds, are spread evenly up to the next stamp, no further
    than the usual step.

    Args:
        data: the bytes of the file.
        where: the file, as messages name it.

    Raises:
        SwarfbookError: when the file is empty, too large or no text; when no line names a time and a power;
            when a cell does not hold what its column should, time runs backwards or stands still, or power
            lies below 0 by more than noise.
    """
    lines = _lines(data, where=where)
    header = _header(lines, where=where)
    columns = [_only(found, header, where=where) for found in header.values()]
    time_column = header.having(TIME)[0]
    rows = _rows(lines, header, where=where)
    clock, *values = _columns(rows, header, [time_column, *columns], where=where)
    time = _times(clock)
    amounts = [_amounts(cells) for cells in values]
    power = np.prod(amounts, axis=0)
    _refuse_power(values[-1], power)
    return Trace(where, time, power, columns[0].role != POWER)


def _fail(where: str, key: str, remedy: str, found: str = "") -> SwarfbookError:
    return SwarfbookError(Problem(where, key, found, remedy))


def _lines(data: bytes, *, where: str) -> list[str]:
    """Split the bytes of a file into lines of text that hold nothing but text."""
    if len(data) > MOST_BYTES:
        raise _fail(where, "", f"this file is larger than {MOST_BYTES >> 20} MiB; give only the run itself")
    text = _decoded(data, where=where)
    if not text.strip():
        raise _fail(where, "", f"the file is empty; it needs {COLUMNS_HELP} and rows of numbers")
    if max(text.count("\n"), text.count("\r")) > MOST_ROWS + MOST_PREAMBLE:
        raise _fail(where, "", f"there are more than {MOST_ROWS} rows; give only the run itself")
    lines = _BREAK.split(text)
    if control := _CONTROL.search(text):
        row = len(_BREAK.findall(text, 0, control.start())) + 1
        raise _fail(
            where,
            f"row {row}",
            "a control character is no part of a table; save as CSV in UTF-8",
            repr(control[0]),
        )
    for row, line in enumerate(lines, start=1):
        if len(line) > LONGEST_LINE:
            raise _fail(
                where,
                f"row {row}",
                f"this line has more than {LONGEST_LINE} characters; put every sample on a line of its own",
            )
    return lines


def _decoded(data: bytes, *, where: str) -> str:
    """Decode by the byte order mark; without one as UTF-8, and what is not that as Latin-1."""
    try:
        if data.startswith((b"\xff\xfe", b"\xfe\xff")):
            return data.decode("utf-16")
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        if "16" in error.encoding:
            raise _fail(where, "", "this is broken UTF-16; save the file as CSV in UTF-8") from error
        return data.decode("latin-1")


def _header(lines: list[str], *, where: str) -> Header:
    """Give the header line, or say what is missing in it."""
    header = find_header(lines)
    if header is None:
        for row, line in enumerate(lines[:MOST_PREAMBLE], start=1):
            if cells_of(line, ",") is None:
                raise _fail(where, f"row {row}", "the quotes are not closed on this line")
        raise _fail(
            where, "", f"none of the first {MOST_PREAMBLE} lines names the columns; give {COLUMNS_HELP}"
        )
    missing = ([] if header.having(TIME) else ["time"]) + ([] if all(header.values()) else [POWER_HELP])
    if missing:
        raise _fail(
            where,
            f"row {header.row}",
            f"there is no column of {' and none of '.join(missing)}; give {COLUMNS_HELP}",
            ", ".join(repr(column.title) for column in header.columns),
        )
    return header


def _only(columns: list[Column], header: Header, *, where: str) -> Column:
    """Give the one column of a kind; two, as of two phases, leave open which is meant."""
    if len(columns) > 1:
        titles = ", ".join(repr(column.title) for column in columns)
        raise _fail(where, f"row {header.row}", f"leave one column of {columns[0].role}", titles)
    return columns[0]


def _rows(lines: list[str], header: Header, *, where: str) -> list[tuple[int, list[str]]]:
    """Split the lines below the header into cells; empty lines and those of comment are left out."""
    rows = []
    for row, line in enumerate(lines[header.row :], start=header.row + 1):
        if not line.strip() or line.startswith("#"):
            continue
        cells = cells_of(line, header.delimiter)
        if cells is None:
            raise _fail(where, f"row {row}", "the quotes are not closed on this line")
        rows.append((row, cells))
    if len(rows) > MOST_ROWS:
        raise _fail(where, "", f"there are more than {MOST_ROWS} rows; give only the run itself")
    if len(rows) < 2:
        key = f"row {rows[0][0]}" if rows else f"row {header.row}"
        raise _fail(where, key, "the file ends here; at least two rows of numbers are needed")
    return rows


def _columns(
    rows: list[tuple[int, list[str]]], header: Header, columns: list[Column], *, where: str
) -> list[_Cells]:
    """Take the columns that are needed out of the rows."""
    last = max(columns, key=lambda column: column.index)
    for row, cells in rows:
        if len(cells) <= last.index:
            raise _fail(
                where,
                f"row {row}",
                f"this row ends before the column '{last.title}'; "
                "give every row as many cells as the header has",
            )
    numbers = [row for row, _ in rows]
    return [
        _Cells(
            where,
            column,
            numbers,
            [cells[column.index].strip() for _, cells in rows],
            header.delimiter != ",",
        )
        for column in columns
    ]


def _parsed(cells: _Cells, texts: list[str], parse: Callable[[str], float | None], remedy: str) -> Numbers:
    """Parse every cell of a column, or name the first that cannot be."""
    values = np.empty(len(texts))
    for index, text in enumerate(texts):
        value = parse(text)
        if value is None:
            raise cells.error(index, remedy)
        values[index] = value
    return values


def _numbers(cells: _Cells, *, most: float, remedy: str) -> Numbers:
    """Read a column of numbers in s, W, VA, A or V, none larger than `most` either way."""
    if cells.column.factor is None:
        known = ", ".join(UNITS[cells.column.role])
        raise _fail(cells.where, cells.column.title, f"write one of {known}", repr(cells.column.unit))
    values = _parsed(cells, _with_points(cells), _number, remedy) * cells.column.factor
    beyond = np.flatnonzero(np.abs(values) > most)
    if beyond.size:
        raise cells.error(
            int(beyond[0]), "this number is too large for any spindle; check the unit in the header"
        )
    return values


def _with_points(cells: _Cells) -> list[str]:
    """Write decimal commas as points; a column that has both may mean thousands by one, and is refused.

    Where cells stand apart by commas none is decimal: between quotes it may as well part thousands.
    """
    texts = cells.texts
    if not cells.commas or not any("," in text for text in texts):
        return texts
    points = next((index for index, text in enumerate(texts) if "." in text), None)
    if points is not None:
        raise cells.error(points, "some numbers here have a decimal comma and some a point; write all alike")
    return [text.replace(",", ".") for text in texts]


def _number(text: str) -> float | None:
    return float(text) if _NUMBER.fullmatch(text) else None


def _amounts(cells: _Cells) -> Numbers:
    """Read a column of power, amps or volts; what lies below 0 by noise alone is 0."""
    values = _numbers(cells, most=MOST_POWER, remedy=NUMBER_HELP)
    below = np.flatnonzero(values < -NOISE_BELOW * max(float(values.max()), 0.0))
    if below.size:
        raise cells.error(
            int(below[0]),
            f"{cells.column.role} runs from 0 up; turn the meter's clamp "
            "round, or leave rows out where the drive brakes",
        )
    return np.maximum(values, 0.0)


def _refuse_power(cells: _Cells, power: Numbers) -> None:
    """Refuse amps times volts beyond any spindle."""
    beyond = np.flatnonzero(power > MOST_POWER)
    if beyond.size:
        raise cells.error(
            int(beyond[0]), "amps times volts is too large for any spindle; check the units in the header"
        )


def _times(cells: _Cells) -> Numbers:
    """Read the column of time [s], from 0 at the first row."""
    first = cells.texts[0]
    if _CLOCK.fullmatch(first.replace(",", ".")):
        stamps = _parsed(cells, _with_points(cells), _clock, TIME_HELP)
    elif _DATE.fullmatch(first.replace(",", ".")):
        aware = _has_zone(first)
        stamps = _parsed(
            cells,
            [text.replace(",", ".") for text in cells.texts],
            lambda text: _date(text, aware=aware),
            TIME_HELP,
        )
    else:
        stamps = _numbers(cells, most=MOST_TIME, remedy=TIME_HELP)
    steps = np.diff(stamps)
    back = np.flatnonzero(steps < 0.0)
    if back.size:
        raise cells.error(
            int(back[0]) + 1,
            f"time runs backwards here, after {cells.texts[back[0]]!r}; sort the rows, and give one run only",
        )
    if stamps[-1] <= stamps[0]:
        raise cells.error(0, "time stands still in this column; every row needs the time of its sample")
    time = _spread(stamps - stamps[0])
    close = np.flatnonzero(np.diff(time) <= 0.0)
    if close.size:
        raise cells.error(int(close[0]) + 1, "this time cannot be told from the one before; check the column")
    return time


def _clock(text: str) -> float | None:
    """Read hh:mm:ss; hours may run past 24, as of a stop watch."""
    match = _CLOCK.fullmatch(text)
    return int(match[1]) * 3600.0 + int(match[2]) * 60.0 + float(match[3]) if match else None


def _date(text: str, *, aware: bool) -> float | None:
    """Read an ISO date and time [s]; all of a column have a time zone or none has."""
    if not _DATE.fullmatch(text) or _has_zone(text) != aware:
        return None
    try:
        found = datetime.fromisoformat(text)
    except ValueError:  # the thirtieth of February
        return None
    # Local time without a zone is read as if it were UTC: only differences count.
    start = datetime(1970, 1, 1, tzinfo=UTC)
    return ((found if aware else found.replace(tzinfo=UTC)) - start).total_seconds()


def _has_zone(text: str) -> bool:
    return text.endswith("Z") or text[-6:-5] in ("+", "-")


def _spread(time: Numbers) -> Numbers:
    """Spread samples that share a stamp evenly up to the next stamp, by the usual step at most [s]."""
    stamps, first, counts = np.unique(time, return_index=True, return_counts=True)
    if stamps.size == time.size:
        return time
    steps = np.diff(stamps)
    usual = float(np.median(steps))
    room = np.minimum(np.append(steps, usual), usual)
    order = np.arange(time.size) - np.repeat(first, counts)
    spread: Numbers = time + order * np.repeat(room / counts, counts)
    return spread
