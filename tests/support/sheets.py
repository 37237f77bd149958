"""Spreadsheets as other programs write them."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

DRAWER = (
    ("Name", "Shape", "DC [mm]", "ZEFP", "FHA", "APMX", "DMM", "OAL", "Cutter material", "Maker"),
    ("6 mm two-flute", "Flat", 6, 2, 30, 22, 6, 57, "Carbide", "Anyone"),
    ("8 mm ball", "ball nose", 8.5, 2, 30, 20, 8, 63, "HSS", ""),
)
"""A drawer of two tools, the first row its headings."""


def xlsx(
    path: Path, rows: Any = DRAWER, *, title: str = "Drawer", change: Callable[[Any], object] = lambda _: None
) -> Path:
    """Write an XLSX file by openpyxl."""
    from openpyxl import Workbook

    book = Workbook()
    sheet = book.active
    sheet.title = title
    for row in rows:
        sheet.append(list(row))
    change(sheet)
    book.save(path)
    return path


def other_part(path: Path, parts: Mapping[str, bytes]) -> Path:
    """Put other bytes in place of parts of an XLSX file."""
    data = io.BytesIO()
    with zipfile.ZipFile(path) as before, zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as after:
        for name in before.namelist():
            after.writestr(name, parts.get(name, before.read(name)))
    path.write_bytes(data.getvalue())
    return path
