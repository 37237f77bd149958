"""Where the reference tables and the demo book lie: inside the wheel, or in the checkout."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date

PACKAGE = Path(__file__).resolve().parent
REVISED = "revised.toml"


def _folder(name: str) -> Path:
    packaged = PACKAGE / "_data" / name
    return packaged if packaged.is_dir() else PACKAGE.parent.parent / name


def tables_dir() -> Path:
    """Give the folder of the reference tables."""
    return _folder("reference_tables")


def demo_book_dir() -> Path:
    """Give the folder of the demo workshop's book."""
    return _folder("recipes") / "saltmarsh"


def revised() -> dict[str, date]:
    """Give the day on which each reference table was last changed, by the table's name."""
    import tomllib  # noqa: PLC0415 - most commands ask for no dates

    told = tomllib.loads((tables_dir() / REVISED).read_text(encoding="utf-8"))
    return {name: one["date"] for name, one in told.items()}
