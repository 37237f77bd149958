"""`swarfbook open`."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import book_folder, book_option, example
from swarfbook.errors import Problem, SwarfbookError


@click.command("open", epilog=example("swarfbook open --book my-workshop"))
@click.argument("recipe", required=False)
@book_option
def command(recipe: str | None, book_dir: str | None) -> int:
    """Open the book on screen, at RECIPE if one is named."""
    root = book_folder(book_dir)
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        _refuse_what_is_wrong(root, recipe)
        raise SwarfbookError(
            Problem("open", "", "no terminal", "the screen needs one; `swarfbook list` prints")
        )
    if os.environ.get("TERM") == "dumb":
        raise SwarfbookError(
            Problem("open", "TERM", "dumb", "the screen needs a terminal that moves a cursor")
        )
    from swarfbook.tui.app import run

    run(root, recipe)
    return Exit.DONE


def _refuse_what_is_wrong(root: Path, recipe: str | None) -> None:
    from swarfbook.book import Book

    book = Book.open(root)
    if recipe is not None:
        book.get("recipe", recipe)
