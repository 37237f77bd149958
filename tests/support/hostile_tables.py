"""Tables of records that nobody meant well by, and what reads them."""

from __future__ import annotations

import random
import tempfile
from collections.abc import Callable
from pathlib import Path

from support.hostile import in_zip, other_json, spoilt
from swarfbook import resources
from swarfbook.book import Book
from swarfbook.book.spreadsheets.cell_text import nested
from swarfbook.book.spreadsheets.read_csv import csv_sheet
from swarfbook.book.spreadsheets.read_json import json_records
from swarfbook.book.spreadsheets.read_xlsx import xlsx_sheet
from swarfbook.book.spreadsheets.sheet import Sheet
from swarfbook.decisions.exporting import export_records
from swarfbook.decisions.importing.columns import Wish, columns_of
from swarfbook.decisions.importing.planning import taken_objects
from swarfbook.decisions.importing.rows import same_ids, taken_rows
from swarfbook.errors import SwarfbookError
from swarfbook.records import parse

DEMO = resources.demo_book_dir()
ISO = (
    b"Name;Shape;DC;ZEFP;FHA;APMX;DMM;OAL;substrate\n"
    b"6 mm;Flat;6;2;30;22;6;57;Carbide\n8 mm;ball nose;5/16 in;2;30;20;8;63;HSS\n",
)


def _table(kind: str, sheet: Sheet) -> None:
    columns = columns_of(kind, sheet, Wish({}, {}))
    taken, problems = taken_rows(kind, sheet, columns, {})
    problems += same_ids(taken)
    for row in taken:
        parse(
            kind,
            {"schema": f"{kind}/1", **nested({k: v for k, v in row.flat.items() if v is not None})},
            where="x",
        )
    if problems:
        raise SwarfbookError(*problems)


def _objects(data: bytes) -> None:
    taken, problems = taken_objects("recipe", json_records(data, "recipe", where="x.json"), {})
    problems += same_ids(taken)
    for one in taken:
        parse("recipe", {"schema": "recipe/1", **nested(one.flat)}, where="x")
    if problems:
        raise SwarfbookError(*problems)


def exported(what: str, ending: str) -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        export_records(Book.open(DEMO), what, f"{folder}/x{ending}")
        return Path(f"{folder}/x{ending}").read_bytes()


def _in_xlsx(good: bytes, draw: random.Random) -> bytes:
    """Spoil a sheet or another part within the file, which is packed well then, or the file itself."""
    return in_zip(good, draw) if draw.random() < 0.8 else spoilt(good, draw)


TABLES: dict[str, tuple[list[bytes], Callable[[bytes, random.Random], bytes], Callable[[bytes], object]]] = {
    "CSV of tools": (
        [exported("tools", ".csv"), *ISO],
        spoilt,
        lambda data: _table("tool", csv_sheet(data, where="x.csv")),
    ),
    "CSV of recipes": (
        [exported("recipes", ".csv")],
        spoilt,
        lambda data: _table("recipe", csv_sheet(data, where="x.csv")),
    ),
    "JSON of recipes": ([exported("recipes", ".json")], other_json, _objects),
    "XLSX of tools": (
        [exported("tools", ".xlsx")],
        _in_xlsx,
        lambda data: _table("tool", xlsx_sheet(data, where="x.xlsx")),
    ),
}
