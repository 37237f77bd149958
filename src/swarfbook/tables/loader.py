"""Reading the reference tables: one CSV file a topic, every row with its source.

Only the file that is asked for is read, once. Look-up is exact; a miss lists the nearest names.
"""

from __future__ import annotations

import csv
import tomllib
from dataclasses import dataclass
from functools import cache
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Any

from swarfbook.errors import Problem, SwarfbookError, did_you_mean
from swarfbook.frozen import frozen
from swarfbook.quantities import QuantityError, to_si
from swarfbook.resources import tables_dir
from swarfbook.tables.columns import PROVENANCE, TABLE_UNITS, VALUE, Measure, is_number, measure

if TYPE_CHECKING:
    import pandas as pd

SOURCES = "sources.toml"
CONTENTS = "contents.toml"
UNSOURCED_KINDS = frozenset({"common-practice", "assumption"})
SOURCE_KINDS = frozenset({"standard", "published", "memory"}) | UNSOURCED_KINDS


class TableError(SwarfbookError):
    """A reference table, row or source that is not there or cannot be read."""


def table_error(table: str, key: str, found: str, remedy: str) -> TableError:
    """Build the error for one place in a table (`key` is a row's id, or empty for the whole file)."""
    return TableError(Problem(f"reference_tables/{table}.csv", key, found, remedy))


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a reference table.

    Attributes:
        table: the table's name, which is the file's stem.
        id: the row's key, unique in its table.
        values: every other column as printed, text by column name; blank where nothing is known.
        source: key of `sources.toml`; empty where the source kind has none.
        locator: page, table or row in that source.
        source_kind: one of `SOURCE_KINDS`.
    """

    table: str
    id: str
    values: dict[str, str]
    source: str
    locator: str
    source_kind: str

    @property
    def assumed(self) -> bool:
        """Whether the numbers have no source and so carry the flag `assumed` and a wide spread."""
        return self.source_kind in UNSOURCED_KINDS

    def text(self, column: str) -> str:
        """Give a column as printed; raises `TableError` for a column the table does not have."""
        if column not in self.values:
            remedy = f"no such column; {did_you_mean(column, self.values)}"
            raise table_error(self.table, self.id, column, remedy)
        return self.values[column]

    def number(self, column: str) -> float | None:
        """Give a column's number in the column's own unit; `None` where it is blank."""
        printed = self.text(column)
        if not printed:
            return None
        try:
            number = float(printed)
        except ValueError:
            raise self._not_a_number(column) from None
        if not isfinite(number):
            raise self._not_a_number(column)
        return number

    def si(self, column: str) -> float | None:
        """Give a column's number in SI, by the unit its name or the row states; `None` where blank."""
        number = self.number(column)
        if number is None:
            return None
        unit = self._measure(column)
        if unit in TABLE_UNITS:
            return number * TABLE_UNITS[unit]
        try:
            return to_si(number, unit.dimension, unit.unit)
        except (QuantityError, KeyError):
            found = f"{unit.dimension} in {unit.unit}"
            raise table_error(self.table, self.id, found, "no such unit") from None

    def needed(self, column: str) -> float:
        """Give a column's number in SI; raises `TableError` where it is blank."""
        number = self.si(column)
        if number is None:
            raise table_error(self.table, f"{self.id}.{column}", "", "a number is needed here")
        return number

    def provenance(self) -> dict[str, str]:
        """Give which row of which table this is, and where it comes from."""
        return {
            "table": self.table,
            "id": self.id,
            "source": self.source,
            "locator": self.locator,
            "source_kind": self.source_kind,
        }

    def stored(self) -> dict[str, str]:
        """Give every column as printed, with the id and where the row comes from."""
        provenance = {"source": self.source, "locator": self.locator, "source_kind": self.source_kind}
        return {"id": self.id, **self.values, **provenance}

    def cells(self) -> dict[str, str | float | None]:
        """Give every column, numbers as numbers in the column's own unit, `None` where one is blank."""
        return {
            column: self.number(column) if is_number(column) else text
            for column, text in self.stored().items()
        }

    def _measure(self, column: str) -> Measure:
        if column == VALUE:
            return Measure(self.text("dimension"), self.text("unit"))
        found = measure(column)
        if found is None:
            raise table_error(self.table, self.id, column, "the column's name states no unit")
        return found

    def _not_a_number(self, column: str) -> TableError:
        remedy = "write a plain number or leave it blank"
        return table_error(self.table, f"{self.id}.{column}", self.values[column], remedy)


@frozen
class Table:
    """One reference table: its name, the names of its columns and its rows in the file's order."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]

    def ids(self) -> tuple[str, ...]:
        """Give the keys of all rows."""
        return tuple(row.id for row in self.rows)

    def get(self, key: str) -> Row:
        """Give the row with exactly this id; raises `TableError` with the nearest ids."""
        row = self.find(key)
        if row is None:
            raise table_error(self.name, "", key, f"no such row; {did_you_mean(key, self.ids())}")
        return row

    def find(self, key: str) -> Row | None:
        """Give the row with exactly this id, or `None` where the table has none."""
        return next((row for row in self.rows if row.id == key), None)


@cache
def names() -> tuple[str, ...]:
    """Give the names of all tables."""
    return tuple(sorted(path.stem for path in tables_dir().glob("*.csv")))


@cache
def load(name: str) -> Table:
    """Read a table, once; raises `TableError` for an unknown name or a broken file."""
    if name not in names():
        raise table_error(name, "", "", f"no such table; {did_you_mean(name, names())}")
    return read_table(tables_dir() / f"{name}.csv")


def read_table(path: Path) -> Table:
    """Read the table in one CSV file, anew; raises `TableError` naming the file and the row."""
    try:
        with path.open(encoding="utf-8", newline="") as lines:
            reader = csv.reader(lines, strict=True)
            columns = tuple(next(reader, ()))
            _refuse_header(path.stem, columns)
            rows = tuple(_row(path.stem, columns, fields) for fields in reader if fields)
    except (UnicodeDecodeError, csv.Error) as error:
        raise table_error(path.stem, "", str(error), "write the table as UTF-8 text with commas") from None
    _refuse_duplicates(path.stem, rows)
    return Table(path.stem, columns, rows)


def _refuse_header(table: str, columns: tuple[str, ...]) -> None:
    missing = [column for column in ("id", *PROVENANCE) if column not in columns]
    if missing:
        raise table_error(table, "", ",".join(columns), f"the first line must name {', '.join(missing)}")
    if len(set(columns)) < len(columns):
        raise table_error(table, "", ",".join(columns), "name each column once")


def _row(table: str, columns: tuple[str, ...], fields: list[str]) -> Row:
    printed = {column: text.strip() for column, text in zip(columns, fields, strict=False)}
    if len(fields) != len(columns):
        key = printed.get("id") or "a row without id"
        raise table_error(table, key, "", f"write {len(columns)} fields, one for each column")
    key, source, locator, source_kind = (printed.pop(column) for column in ("id", *PROVENANCE))
    return Row(table, key, printed, source, locator, source_kind)


def _refuse_duplicates(table: str, rows: tuple[Row, ...]) -> None:
    seen: set[str] = set()
    for row in rows:
        if row.id in seen:
            raise table_error(table, row.id, "the id twice", "give every row an id of its own")
        seen.add(row.id)


def read_sources(folder: Path) -> dict[str, dict[str, str | int]]:
    """Read every source named in a folder of tables, anew; raises `TableError` for broken TOML."""
    return _toml(folder / SOURCES, "write one [key] with its fields for each source")


def read_contents(folder: Path) -> dict[str, str]:
    """Read what each table of a folder holds, a line each, anew; raises `TableError` for broken TOML."""
    return _toml(folder / CONTENTS, 'write one line for each table: name = "what it holds"')


def _toml(path: Path, remedy: str) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise TableError(Problem(f"reference_tables/{path.name}", "", str(error), remedy)) from None


@cache
def _sources() -> dict[str, dict[str, str | int]]:
    return read_sources(tables_dir())


def source(key: str) -> dict[str, str | int]:
    """Give author, title, edition, year and so on of a source; raises `TableError` for an unknown key."""
    if key not in _sources():
        remedy = f"no such source; {did_you_mean(key, _sources())}"
        raise TableError(Problem(f"reference_tables/{SOURCES}", "", key, remedy))
    return dict(_sources()[key])


@cache
def contents() -> dict[str, str]:
    """Give what each table holds, in a line, by the table's name."""
    return read_contents(tables_dir())


def frame(name: str) -> pd.DataFrame:
    """Give a table as a pandas DataFrame indexed by id, numbers as floats in the columns' own units."""
    import pandas as pd  # noqa: PLC0415 - slow to load and needed by few

    table = load(name)
    columns = list(table.columns)
    return pd.DataFrame.from_records([row.cells() for row in table.rows], columns=columns).set_index("id")
