"""Tables written as CSV, XLSX, Parquet and JSON, whole or not at all."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import closing
from itertools import islice
from pathlib import Path
from typing import Any

from swarfbook.book.cells import as_cell
from swarfbook.book.outside import write_outside
from swarfbook.book.reading import fail
from swarfbook.book.spreadsheets.read_xlsx import NEEDS
from swarfbook.frozen import frozen

LONGEST_CELL = 32_767
"""Letters that a cell of an XLSX file can hold."""
MOST_ROWS = 1_048_575
NARROWEST, WIDEST = 8, 60
LOOKED_AT = 500
"""Rows by which the columns of a sheet get their width."""
NEEDS_ARROW = "it needs more: pip install 'swarfbook[archive]'"


@frozen
class Table:
    """A table to write.

    Attributes:
        title: of its sheet.
        names: headings of the columns.
        rows: its rows: texts, numbers, None for an empty cell; lists of texts for Parquet alone.
        count: how many rows.
    """

    title: str
    names: tuple[str, ...]
    rows: Iterable[Sequence[Any]]
    count: int


def ending_of(name: str, endings: Iterable[str]) -> str:
    """Give the ending of a file's name; raises SwarfbookError where it is none of those."""
    ending, known = Path(name).suffix.lower(), list(endings)
    if ending not in known:
        raise fail(
            name,
            f"write a name that ends in {', '.join(known[:-1])} or {known[-1]}".replace(" in  or", " in"),
        )
    return ending


def write_table(name: str, table: Table) -> None:
    """Write a table to a file outside the book, by the file's ending.

    Raises:
        SwarfbookError: another ending, what the format needs is not installed, or the disk refuses.
    """
    write_outside(name, _WRITERS[ending_of(name, _WRITERS)](name, table))


def write_json(name: str, value: object) -> None:
    """Write a value as a JSON file outside the book; raises SwarfbookError."""
    write_outside(name, (json.dumps(value, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode())


def _csv(_name: str, table: Table) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(map(_csv_cell, table.names))
    writer.writerows([_csv_cell(cell) for cell in row] for row in table.rows)
    return text.getvalue().encode()


def _csv_cell(cell: object) -> str:
    return "" if cell is None else as_cell(cell) if isinstance(cell, str) else str(cell)


def _xlsx(name: str, table: Table) -> bytes:
    try:
        from openpyxl import Workbook  # noqa: PLC0415 - an extra, and slow to start
    except ModuleNotFoundError:
        raise fail(name, NEEDS) from None
    if table.count > MOST_ROWS:
        raise fail(
            name, "a sheet holds at most 1 048 575 rows; write .csv or .parquet", found=f"{table.count} rows"
        )
    book = Workbook(write_only=True)
    sheet: Any = book.create_sheet(table.title)
    rows = iter(table.rows)
    first = list(islice(rows, LOOKED_AT))
    for at, width in enumerate(_widths(table.names, first), start=1):
        sheet.column_dimensions[_letters(at)].width = width
    sheet.freeze_panes = "B2"
    with closing(sheet):
        sheet.append([_heading(sheet, one) for one in table.names])
        for row in (*first, *rows):
            sheet.append([_xlsx_cell(sheet, one, where=name) for one in row])
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


def _letters(at: int) -> str:
    from openpyxl.utils import get_column_letter  # noqa: PLC0415 - as above

    return get_column_letter(at)


def _widths(names: Sequence[str], rows: Sequence[Sequence[Any]]) -> list[int]:
    longest = [
        max(len(line) for cell in cells for line in (str("" if cell is None else cell).split("\n")))
        for cells in zip(names, *rows, strict=True)
    ]
    return [min(max(one + 2, NARROWEST), WIDEST) for one in longest]


def _heading(sheet: object, text: str) -> object:
    from openpyxl.styles import Font  # noqa: PLC0415 - as above

    cell = _xlsx_cell(sheet, text, where="")
    cell.font = Font(bold=True)
    return cell


def _xlsx_cell(sheet: object, value: object, *, where: str) -> Any:  # noqa: ANN401 - a cell of openpyxl
    from openpyxl.cell import WriteOnlyCell  # noqa: PLC0415 - as above
    from openpyxl.styles import Alignment  # noqa: PLC0415

    if isinstance(value, str) and len(value) > LONGEST_CELL:
        raise fail(
            where, f"a cell holds at most {LONGEST_CELL} letters; write .csv or .json", found=f"'{value}'"
        )
    cell: Any = WriteOnlyCell(sheet, value=None if isinstance(value, str) else value)  # type: ignore[arg-type]
    cell.alignment = Alignment(vertical="top", wrap_text=isinstance(value, str) and "\n" in value)
    if isinstance(value, str):
        # A text that looks like a formula, a number or a date stays a text, also when it is edited.
        cell._value, cell.data_type, cell.number_format, cell.quotePrefix = value, "s", "@", True
    return cell


def _parquet(name: str, table: Table) -> bytes:
    try:
        import pyarrow as pa  # noqa: PLC0415 - an extra, and slow to start
        from pyarrow import parquet  # noqa: PLC0415
    except ModuleNotFoundError:
        raise fail(name, NEEDS_ARROW) from None
    columns = list(zip(*table.rows, strict=True)) or [()] * len(table.names)
    made = pa.table(
        {one: pa.array(_of_one_type(cells)) for one, cells in zip(table.names, columns, strict=True)}
    )
    data = io.BytesIO()
    parquet.write_table(made, data)
    return data.getvalue()


def _of_one_type(cells: Sequence[Any]) -> Sequence[Any]:
    """Give a column's values where they are of one type, else as texts."""
    kinds = {type(cell) for cell in cells if cell is not None}
    if kinds == {int, float}:
        return [None if cell is None else float(cell) for cell in cells]
    if len(kinds) <= 1:
        return cells
    return [cell if cell is None or isinstance(cell, str) else json.dumps(cell) for cell in cells]


_WRITERS: Mapping[str, Callable[[str, Table], bytes]] = {".csv": _csv, ".xlsx": _xlsx, ".parquet": _parquet}
