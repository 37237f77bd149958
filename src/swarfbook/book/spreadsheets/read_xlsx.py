"""XLSX files as sheets: what a person sees in a cell as text, and a line for what is no plain value.

A file is looked at before openpyxl has it: how large it unpacks, and whether it declares entities, which no
program of tables writes. The unpacking itself never gives more than was declared.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING, Any

from swarfbook.book.reading import fail
from swarfbook.book.spreadsheets.sheet import MOST_COLUMNS, MOST_ROWS, Bad, Cell, Row, Sheet, sheet_of
from swarfbook.errors import did_you_mean

if TYPE_CHECKING:
    from openpyxl.cell.cell import Cell as XlsxCell
    from openpyxl.worksheet.worksheet import Worksheet

NEEDS = "it needs more: pip install 'swarfbook[spreadsheets]'"
MOST_UNPACKED = 64 * 1024 * 1024
MOST_MEMBERS = 1000
MOST_CELLS = 500_000


def xlsx_sheet(data: bytes, *, where: str, sheet: str | None = None) -> Sheet:
    """Read a sheet of an XLSX file.

    Args:
        data: the file.
        where: the file as messages name it.
        sheet: name of the sheet; needed where the file has several.

    Raises:
        SwarfbookError: it is no XLSX file, too large, has no such sheet, or openpyxl is not installed.
    """
    _look_inside(data, where=where)
    shown, typed = (_opened(data, where=where, values=values) for values in (True, False))
    name = _chosen(shown.sheetnames, sheet, where=where)
    page, formulas = shown[name], typed[name]
    place = f"{where}, sheet {name}"
    if not hasattr(page, "iter_rows") or not hasattr(page, "merged_cells"):
        raise fail(place, "this sheet holds a chart, not a table")
    if page.max_row > 2 * MOST_ROWS or page.max_column > 4 * MOST_COLUMNS:
        found = f"{page.max_row} rows and {page.max_column} columns"
        raise fail(place, f"at most {MOST_ROWS} rows and {MOST_COLUMNS} columns are read", found=found)
    if page.max_row * page.max_column > MOST_CELLS:
        raise fail(place, f"at most {MOST_CELLS} cells are read", found=f"down to row {page.max_row}")
    if page.merged_cells.ranges:
        merged = ", ".join(sorted(str(one) for one in page.merged_cells.ranges)[:5])
        raise fail(
            place, "unmerge these cells, so that each row and column has its own", found=f"merged {merged}"
        )
    return sheet_of(place, list(_rows(page, formulas)), "")


def _look_inside(data: bytes, *, where: str) -> None:
    try:
        members, total, declares = _measured(data)
    except Exception as error:  # every method of packing raises what it likes
        raise fail(where, "not an XLSX file, or a broken or locked one; save it as .xlsx or .csv") from error
    if declares is None:
        most = f"more than {MOST_UNPACKED // 1024**2} MiB or {MOST_MEMBERS} parts are not read"
        raise fail(where, most, found=f"{total // 1024**2} MiB in {members} parts")
    if declares:
        raise fail(where, "it declares entities, which no spreadsheet needs; save it anew as .xlsx")


def _measured(data: bytes) -> tuple[int, int, bool | None]:
    """Give how many parts a file has, their bytes, and whether one declares entities; None for too many."""
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        members = packed.infolist()
        total = sum(member.file_size for member in members)
        if len(members) > MOST_MEMBERS or total > MOST_UNPACKED:
            return len(members), total, None
        return len(members), total, any(_declares(packed.read(member)) for member in members)


def _declares(part: bytes) -> bool:
    plain = part.replace(b"\0", b"")
    return b"<!DOCTYPE" in plain or b"<!ENTITY" in plain


def _opened(data: bytes, *, where: str, values: bool) -> Any:  # noqa: ANN401 - openpyxl is an extra
    try:
        from openpyxl import load_workbook  # noqa: PLC0415 - an extra, and slow to start
    except ModuleNotFoundError:
        raise fail(where, NEEDS) from None
    import warnings  # noqa: PLC0415

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of parts it does not keep: nothing is written back
            return load_workbook(io.BytesIO(data), data_only=values, keep_links=False)
    except Exception as error:  # a broken part raises whatever its reader met; none of it is ours
        raise fail(where, "this XLSX file cannot be read; save it anew, or as .csv") from error


def _chosen(names: list[str], sheet: str | None, *, where: str) -> str:
    if sheet is None and len(names) == 1:
        return names[0]
    if sheet in names:
        return str(sheet)
    if not names:
        raise fail(where, "there is no sheet in it")
    if sheet is None:
        raise fail(where, f"say which sheet: --sheet with one of {', '.join(names[:8])}")
    raise fail(where, f"no such sheet; {did_you_mean(sheet, names)}", found=f"'{sheet}'")


def _rows(page: Worksheet, formulas: Worksheet) -> Iterator[Row]:
    for shown, typed in zip(page.iter_rows(), formulas.iter_rows(), strict=True):
        cells = tuple(_cell(one, other) for one, other in zip(shown, typed, strict=True))
        yield Row(shown[0].row or 0, cells)


def _cell(shown: Any, typed: Any) -> Cell:  # noqa: ANN401 - cells of openpyxl
    value = shown.value
    if value is None and typed.data_type == "f":
        return Bad("a formula", "its value was not kept; open and save the file, or write the value")
    if shown.data_type == "e":
        return Bad(f"'{value}'", "the formula gives an error; write the value")
    if isinstance(value, datetime | date | time | timedelta):
        return Bad(
            f"a date or time, {value}", "write it as a text: format the cell as text and type it again"
        )
    return _text(shown, value)


def _text(cell: XlsxCell, value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int | float) and "%" in (cell.number_format or ""):
        return f"{float(f'{value * 100:.12g}'):g} %" if abs(value) < 1e9 else str(value)
    if isinstance(value, int | float):
        return str(value)
    return "" if value is None else str(value)
