"""A file of a table, by its ending."""

from __future__ import annotations

from pathlib import Path

from swarfbook.book.outside import typed_path
from swarfbook.book.reading import fail, read_bytes
from swarfbook.book.spreadsheets.read_json import Given, GivenBook, json_book, json_records
from swarfbook.book.spreadsheets.sheet import MOST_FILE, Sheet
from swarfbook.errors import SwarfbookError

ENDINGS = (".csv", ".xlsx", ".json")
LARGEST_BOOK = 256 * 1024 * 1024
"""Bytes of a whole book: a run takes some thousand."""


def read_file(
    name: str, kind: str, *, sheet: str | None = None, encoding: str | None = None
) -> Sheet | list[Given]:
    """Read a file of records from outside the book.

    Args:
        name: the file as typed; its ending says what it is, `.txt` and `.tsv` are CSV.
        kind: kind of record, for a JSON file.
        sheet: name of a sheet of an XLSX file.
        encoding: encoding of a CSV file, where it is known.

    Raises:
        SwarfbookError: it cannot be read, or is another sort of file.
    """
    path = typed_path(name)
    ending = path.suffix.lower()
    if ending in (".xls", ".xlsm", ".xlsb", ".ods", ".numbers"):
        raise fail(name, "save it as .xlsx or .csv; this sort is not read")
    if ending not in (".csv", ".tsv", ".txt", ".xlsx", ".json"):
        raise fail(name, f"give a file that ends in {', '.join(ENDINGS[:-1])} or {ENDINGS[-1]}")
    data = _bytes(path, name)
    if ending == ".json":
        return json_records(data, kind, where=name)
    if ending == ".xlsx":
        from swarfbook.book.spreadsheets.read_xlsx import xlsx_sheet  # noqa: PLC0415 - CSV takes none of it

        return xlsx_sheet(data, where=name, sheet=sheet)
    from swarfbook.book.spreadsheets.read_csv import csv_sheet  # noqa: PLC0415 - as above

    return csv_sheet(data, where=name, encoding=encoding)


def read_book(name: str) -> GivenBook:
    """Read a file of `swarfbook export book` from outside the book; raises SwarfbookError."""
    path = typed_path(name)
    if path.suffix.lower() != ".json":
        raise fail(name, "a whole book is read from a file that ends in .json, of swarfbook export book")
    return json_book(_bytes(path, name, LARGEST_BOOK), where=name)


def _bytes(path: Path, name: str, most: int = MOST_FILE) -> bytes:
    try:
        size = path.stat().st_size
    except (OSError, ValueError):  # told by what reads it
        size = 0
    if size > most:
        raise fail(name, f"at most {most // 1024**2} MiB are read", found=f"{size // 1024**2} MiB")
    try:
        return read_bytes(path, where=name, most=most)
    except ValueError as error:
        if isinstance(error, SwarfbookError):
            raise
        raise fail(name, "no file can have that name") from error
