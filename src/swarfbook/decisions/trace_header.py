"""The header of a meter's file: where it stands, what its columns are and the units they are in."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from typing import Final

DELIMITERS: Final = ("\t", ";", ",")
"""In the order they are tried: a comma may stand inside the name of a column, a tab never does."""
MOST_PREAMBLE: Final = 50
"""Lines looked through for the header; a judgement: makers write a dozen lines of settings, seldom more."""

TIME, POWER, APPARENT, CURRENT, VOLTAGE = "time", "power", "apparent power", "current", "voltage"

_NAMES: Final = {
    TIME: ("time", "t", "timestamp", "time stamp", "date time", "datetime", "date/time", "elapsed",
           "elapsed time"),
    POWER: ("power", "active power", "real power", "p"),
    APPARENT: ("apparent power",),
    CURRENT: ("current", "i", "amperage"),
    VOLTAGE: ("voltage", "u"),
}  # fmt: skip
# No spindle takes a megawatt: all in capitals, MW, MA and MV are a meter's thousandths.
UNITS: Final = {
    TIME: {"s": 1.0, "sec": 1.0, "secs": 1.0, "second": 1.0, "seconds": 1.0, "ms": 1e-3, "msec": 1e-3,
           "milliseconds": 1e-3, "min": 60.0, "minutes": 60.0, "h": 3600.0, "hours": 3600.0},
    POWER: {"w": 1.0, "watt": 1.0, "watts": 1.0, "kw": 1e3, "kilowatts": 1e3, "mw": 1e-3},
    APPARENT: {"va": 1.0, "kva": 1e3},
    CURRENT: {"a": 1.0, "amp": 1.0, "amps": 1.0, "ampere": 1.0, "amperes": 1.0, "ma": 1e-3},
    VOLTAGE: {"v": 1.0, "volt": 1.0, "volts": 1.0, "mv": 1e-3, "kv": 1e3},
}  # fmt: skip
"""Factors to s, W, VA, A and V, by the unit in small letters; a unit may be all the name a column has."""

_BRACKETED: Final = re.compile(r"([^(\[]*)[(\[]([^)\]]*)[)\]]")
_TRAILING: Final = re.compile(r"(.*[^ /,]) ?[ /,] ?([a-z]+)")


@dataclass(frozen=True, slots=True)
class Column:
    """One column that is understood.

    Attributes:
        index: its place in a row, from 0.
        role: what it holds: one of the keys of `UNITS`.
        title: its name as the file has it.
        unit: the unit named; empty where none is.
        factor: from that unit to s, W, VA, A or V; None when the unit is not known.
    """

    index: int
    role: str
    title: str
    unit: str
    factor: float | None


@dataclass(frozen=True, slots=True)
class Header:
    """A line that names columns: its row (from 1), what stands between cells, the columns understood."""

    row: int
    delimiter: str
    columns: tuple[Column, ...]

    def having(self, role: str) -> list[Column]:
        """Give the columns that hold one thing, from the left."""
        return [column for column in self.columns if column.role == role]

    def values(self) -> tuple[list[Column], ...]:
        """Give the columns that power is made of: of power, else of apparent power, else of both factors."""
        for role in (POWER, APPARENT):
            if found := self.having(role):
                return (found,)
        return (self.having(CURRENT), self.having(VOLTAGE))

    def is_complete(self) -> bool:
        """Say whether there are a time and all that power is made of."""
        return bool(self.having(TIME)) and all(self.values())


def cells_of(line: str, delimiter: str) -> list[str] | None:
    """Split one line into cells; None where quotes are not closed.

    A cell never runs over the end of its line, so that one quote cannot swallow the rest of a file.
    """
    if '"' not in line:
        return line.split(delimiter)
    try:
        return next(csv.reader([line], delimiter=delimiter, strict=True))
    except csv.Error:
        return None


def find_header(lines: list[str]) -> Header | None:
    """Find the first line that names a time and a power, else the one that names most; None without any.

    Lines before it are the preamble, whatever they hold. A `#` in front of the names is passed over.
    """
    best: Header | None = None
    for row, line in enumerate(lines[:MOST_PREAMBLE], start=1):
        for delimiter in DELIMITERS:
            header = _header(row, line.lstrip("# "), delimiter)
            if header.is_complete():
                return header
            if header.columns and (best is None or len(header.columns) > len(best.columns)):
                best = header
    return best


def _header(row: int, line: str, delimiter: str) -> Header:
    cells = cells_of(line, delimiter) or []
    found = (_column(index, cell) for index, cell in enumerate(cells))
    return Header(row, delimiter, tuple(column for column in found if column is not None))


def _column(index: int, cell: str) -> Column | None:
    """Understand the name of a column: `Power (W)`, `power_w`, `Current / mA`, `Watts`; None if it is not."""
    text = re.sub(r"[\s_]+", " ", cell).strip().casefold()
    name, unit = text, ""
    if match := _BRACKETED.fullmatch(text):
        name, unit = match[1].strip(), match[2].strip()
    elif (match := _TRAILING.fullmatch(text)) and _role(match[1]) and not _role(text):
        name, unit = match[1], match[2]
    role = _role(name)
    if role is None:
        return None
    if role == POWER and unit in UNITS[APPARENT]:
        role = APPARENT
    unit = unit or (name if name in UNITS[role] else "")
    return Column(index, role, cell.strip(), unit, UNITS[role].get(unit) if unit else 1.0)


def _role(name: str) -> str | None:
    """Say what a column of a name, or of nothing but a unit, holds."""
    return next((role for role in UNITS if name in _NAMES[role] or name in UNITS[role]), None)
