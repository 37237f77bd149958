"""Records and runs as tables and JSON for other programs, and for coming back by `swarfbook import`."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from swarfbook import quantities
from swarfbook.book import Book
from swarfbook.book.entry import Entry
from swarfbook.book.ids import FOLDERS
from swarfbook.book.spreadsheets.cell_text import cell_text, flattened
from swarfbook.book.spreadsheets.read_json import SCHEMA
from swarfbook.book.spreadsheets.whole import log_lines, meter_files, rename_lines, settings_of, text_of
from swarfbook.book.spreadsheets.writing import Table, ending_of, write_json, write_table
from swarfbook.errors import Problem
from swarfbook.records import record_keys, required
from swarfbook.records.base import Record
from swarfbook.records.keys import find, keys_of

KINDS = {folder: kind for kind, folder in FOLDERS.items()}
"""Kind of record by what a person calls many of them."""
ENDINGS = (".csv", ".xlsx", ".parquet", ".json")
SMALLEST_SHOWN, LARGEST_SHOWN = 1e-4, 1e9


def export_records(book: Book, what: str, name: str, *, si: bool = False) -> tuple[int, list[Problem]]:
    """Write the records of a kind to a file, by its ending.

    Args:
        book: the book.
        what: `tools`, `recipes`, `machines`, `materials` or `jobs`.
        name: the file as typed: `.csv`, `.xlsx`, `.parquet` or `.json`.
        si: numbers in SI units, the unit in the heading, instead of values as typed.

    Returns:
        How many records, and the problems of those that do not read and are left out.

    Raises:
        SwarfbookError: another ending, what the format needs is not installed, or the disk refuses.
    """
    ending = ending_of(name, ENDINGS)
    entries, problems = book.entries(KINDS[what])
    if ending == ".json" and not si:
        write_json(name, {"schema": SCHEMA, what: [_given(one) for one in entries]})
    elif ending == ".json":
        write_json(name, {"schema": "export-si/1", what: [_in_si(what, one) for one in entries]})
    else:
        write_table(name, _table(what, entries, si=si, typed=ending == ".parquet"))
    return len(entries), problems


def export_book(book: Book, name: str) -> tuple[int, list[Problem]]:
    """Write a whole book to a JSON file: its settings, every record, and the lines of its run log.

    Settings and records stand as typed, and the text of each file beside them under `text`, so that comments
    are not lost either. With the runs go the renames, and the files of meters in base64. The history and what
    was deleted stay behind.

    Returns and raises as `export_records`; the runs that were corrected or withdrawn are among it.
    """
    ending_of(name, [".json"])
    told: dict[str, Any] = {"schema": SCHEMA, "book": settings_of(book)}
    count = 0
    problems: list[Problem] = []
    for kind, folder in FOLDERS.items():
        entries, wrong = book.entries(kind)
        told[folder] = [_given(one) | text_of(one) for one in entries]
        count, problems = count + len(entries), problems + wrong
    told |= {"runs": log_lines(book), "renames": rename_lines(book), "meters": meter_files(book)}
    write_json(name, told)
    return count, [*problems, *book.run_log().problems]


def _given(entry: Entry[Any]) -> dict[str, Any]:
    return {"id": entry.id, **entry.raw}


# As typed


def _table(what: str, entries: Sequence[Entry[Any]], *, si: bool, typed: bool) -> Table:
    kind = KINDS[what]
    flat = [(one.id, flattened(kind, one.raw)) for one in entries]
    keys = _columns(kind, [values for _, values in flat])
    if si:
        measured = [(one.id, _si_values(kind, one)) for one in entries]
        names = tuple(f"{key} [{unit}]" if (unit := si_unit(kind, key)) else key for key in keys)
        rows = [
            [record, *(_number(values.get(key), typed=typed) for key in keys)] for record, values in measured
        ]
    else:
        names = tuple(keys)
        cell = _typed_cell if typed else _cell
        rows = [[record, *(cell(kind, key, values.get(key)) for key in keys)] for record, values in flat]
    return Table(what, ("id", *names), rows, len(rows))


def _columns(kind: str, values: Sequence[Mapping[str, Any]]) -> list[str]:
    """Give the keys that are used or must stand, in the order of the files; empty tables last."""
    used = {key for one in values for key in one}
    order = [key for key in record_keys(kind) if key in used or required(kind, key)]
    return [*order, *sorted(used.difference(order))]


def _cell(kind: str, key: str, value: object) -> str | int | float | None:
    """Give a value for a cell: plain numbers as numbers, where a spreadsheet gives them back the same."""
    if value is None:
        return None
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) < 2**31:
        return value
    if isinstance(value, float) and not value.is_integer() and _is_short(value):
        return value
    return cell_text(kind, key, value)


def _is_short(value: float) -> bool:
    """Say whether a program of tables keeps all of a number: it has fifteen figures."""
    return SMALLEST_SHOWN <= abs(value) < LARGEST_SHOWN and float(f"{value:.15g}") == value


def _typed_cell(kind: str, key: str, value: object) -> object:
    """Give a value for a column with a type: numbers, flags and lists of texts as such."""
    if value is None or isinstance(value, bool | int | float):
        return value
    if isinstance(value, list) and value and all(isinstance(one, str) for one in value):
        return value
    return cell_text(kind, key, value) if isinstance(value, list | dict) else value


# In SI units


def si_unit(kind: str, dotted: str) -> str:
    """Give the SI unit of a key's numbers, empty for a ratio, a whole number or a text."""
    key = find(kind, dotted)
    dimension = key.leaf.dimension if key and key.leaf else None
    if dimension is None:
        return ""
    if dimension == "feed_per_tooth":
        return "m"
    return next(
        one
        for one in quantities.units(dimension)
        if quantities.to_si(1.0, dimension, one) == 1.0 and (dimension != "temperature" or one == "K")
    )


def _si_values(kind: str, entry: Entry[Any]) -> dict[str, Any]:
    """Give what a record holds by dotted key, in SI units, for the keys that stand in its file."""
    return {key: _held(entry.record, key.split(".")) for key in flattened(kind, entry.raw)}


def _held(held: Any, path: Sequence[str]) -> Any:  # noqa: ANN401 - a record's value
    for name in path:
        held = getattr(held, keys_of(type(held))[name].attribute) if isinstance(held, Record) else held[name]
    return _as_json(held)


def _as_json(value: Any) -> Any:  # noqa: ANN401 - as above
    if isinstance(value, Record):
        names = {key.attribute: key.name for key in keys_of(type(value)).values()}
        return {names[attribute]: _as_json(one) for attribute, one in value if one is not None}
    return [_as_json(one) for one in value] if isinstance(value, tuple) else value


def _number(value: object, *, typed: bool) -> object:
    if isinstance(value, list | dict):
        texts = isinstance(value, list) and value and all(isinstance(one, str) for one in value)
        return value if typed and texts else json.dumps(value, ensure_ascii=False)
    return value


def _in_si(what: str, entry: Entry[Any]) -> dict[str, Any]:
    return {"id": entry.id, **_si_values(KINDS[what], entry)}


# Runs


def export_run_rows(book: Book, name: str) -> int:
    """Write the runs that count as `archive.export_runs`, to an `.xlsx` or a `.json` file too.

    Returns:
        How many runs.

    Raises:
        SwarfbookError: as `export_records`.
    """
    from swarfbook.decisions.archive import COLUMNS, export_runs, run_months  # noqa: PLC0415 - slow to start

    ending = ending_of(name, (".parquet", *(one for one in ENDINGS if one != ".parquet")))
    if ending in (".csv", ".parquet"):
        return export_runs(book, Path(name))
    count, months = run_months(book)
    rows = (_plain_run(row) for month in months for row in month.itertuples(index=False))
    if ending == ".xlsx":
        write_table(name, Table("runs", COLUMNS, rows, count))
    else:
        write_json(name, {"schema": "export-runs/1", "runs": [_run(COLUMNS, row) for row in rows]})
    return count


def _plain_run(row: Sequence[Any]) -> list[Any]:
    """Give a run's values as plain ones: the moment in ISO 8601, None for what is not known."""
    return [one.isoformat() if hasattr(one, "isoformat") else _known(one) for one in row]


def _known(value: Any) -> Any:  # noqa: ANN401 - of a frame
    return None if isinstance(value, float) and math.isnan(value) else value


def _run(names: Sequence[str], row: Sequence[Any]) -> dict[str, Any]:
    return dict(zip(names, row, strict=True))
