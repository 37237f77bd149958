"""CSV files as sheets: every cell stays the text it is."""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Iterator

from swarfbook.book.reading import fail
from swarfbook.book.spreadsheets.sheet import MOST_COLUMNS, MOST_ROWS, Row, Sheet, sheet_of

ENCODINGS = ("utf-8", "utf-16", "latin-1", "cp1252")
SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs"}
LONGEST_CELL = 128 * 1024


def csv_sheet(data: bytes, *, where: str, encoding: str | None = None) -> Sheet:
    """Read a CSV file.

    Args:
        data: the file: UTF-8 with or without a byte order mark, or UTF-16 with one.
        where: the file as messages name it.
        encoding: another encoding, where it is known.

    Raises:
        SwarfbookError: it is no text, has quotes that do not close, or no headings.
    """
    text = _decoded(data, encoding, where=where)
    if "\0" in text:
        raise fail(where, "this is no text: it holds NUL characters; save it as CSV in UTF-8")
    first, _, rest = text.partition("\n")
    told = first.strip().strip('"').lower()
    skipped = told.startswith("sep=") and told[4:] in (*SEPARATORS, "")
    separator = (told[4:] or "\t") if skipped else _separator(first)
    rows = list(_rows(rest if skipped else text, separator, 1 + skipped, where=where))
    return sheet_of(where, rows, f"separated by {SEPARATORS[separator]}")


def _decoded(data: bytes, encoding: str | None, *, where: str) -> str:
    marked = data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    chosen = encoding or ("utf-16" if marked else "utf-8")
    try:
        return data.decode("utf-8-sig" if chosen == "utf-8" else chosen)
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        others = ", ".join(f"--encoding {one}" for one in ENCODINGS if one != chosen)
        told = f"not {chosen.upper()} (line {line}); save it as CSV in UTF-8, or say what it is: {others}"
        raise fail(where, told) from error


def _separator(first: str) -> str:
    """Give what parts the headings best; commas where nothing does."""
    plain = re.sub(r'"[^"]*"', "", first)
    return max(SEPARATORS, key=plain.count)


def _rows(text: str, separator: str, number: int, *, where: str) -> Iterator[Row]:
    """Yield rows, numbered as a program of tables shows them: a cell of several lines is one row."""
    csv.field_size_limit(LONGEST_CELL)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        for at, cells in enumerate(reader, start=number):
            # Twice what is taken, so that rows and columns without anything in them do not count.
            if at > 2 * MOST_ROWS:
                raise fail(
                    where, f"at most {MOST_ROWS} rows are read at once", found=f"more than {at - 1} rows"
                )
            if len(cells) > 4 * MOST_COLUMNS:
                told = f"at most {MOST_COLUMNS} columns are read"
                raise fail(f"{where}, row {at}", told, found=f"{len(cells)} columns")
            yield Row(at, tuple(cells))
    except csv.Error as error:
        told = f"this is broken CSV near line {reader.line_num}: {error}"
        raise fail(where, told) from error
