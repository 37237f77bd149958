"""Saving a recipe that was worked out, under a name of its own."""

from __future__ import annotations

import warnings
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from swarfbook.book import Book


def save_new(book: Book, values: Mapping[str, Any], new_id: str) -> Path:
    """Write a new recipe; what could not be kept in the history is a warning.

    Returns:
        Its file.

    Raises:
        SwarfbookError: the id is taken or none, the book is the built-in demo, or the disk refuses.
    """
    entry = book.save("recipe", new_id, values, seen=None)
    for problem in book.unkept():
        warnings.warn(str(problem), stacklevel=3)
    return entry.path
