"""Saving a recipe that a command worked out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import click

from swarfbook.book import Book
from swarfbook.book.ids import require_new_id
from swarfbook.cli.exits import Exit
from swarfbook.errors import Problem, SwarfbookError, printable


def refuse_taken(book: Book, save_id: str) -> None:
    """Refuse a name that will not do, before the work and not after it; raises SwarfbookError."""
    require_new_id(save_id, where="--save")
    if save_id in book.ids("recipe"):
        raise SwarfbookError(Problem("--save", "", save_id, "a recipe of that id exists; choose another"))


def save_new(book: Book, values: Mapping[str, Any], save_id: str | None) -> int:
    """Write a new recipe where a name for it was given, and leave as done; raises SwarfbookError."""
    if save_id is not None:
        entry = book.save("recipe", save_id, values, seen=None)
        click.echo(printable(f"saved {entry.where}"), err=True)
    return Exit.DONE
