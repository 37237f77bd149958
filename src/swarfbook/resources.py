"""Where the reference tables and the demo book lie: inside the wheel, or in the checkout."""

from __future__ import annotations

from pathlib import Path

PACKAGE = Path(__file__).resolve().parent


def _folder(name: str) -> Path:
    packaged = PACKAGE / "_data" / name
    return packaged if packaged.is_dir() else PACKAGE.parent.parent / name


def tables_dir() -> Path:
    """Give the folder of the reference tables."""
    return _folder("reference_tables")


def demo_book_dir() -> Path:
    """Give the folder of the demo workshop's book."""
    return _folder("recipes") / "saltmarsh"
