"""`swarfbook open`."""

from __future__ import annotations

import gc
import sys

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import book_option, example, open_book
from swarfbook.errors import Problem, SwarfbookError


@click.command("open", epilog=example("swarfbook open --book my-workshop"))
@click.argument("recipe", required=False)
@book_option
def command(recipe: str | None, book_dir: str | None) -> int:
    """Open the book on screen, at RECIPE if one is named."""
    book = open_book(book_dir)
    if recipe is not None:
        book.get("recipe", recipe)
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise SwarfbookError(
            Problem("open", "", "no terminal", "the screen needs one; `swarfbook list` prints")
        )
    from swarfbook.tui.app import run

    # What was loaded stays to the end: no collection need look through it again.
    gc.freeze()
    gc.enable()
    run(book, recipe)
    return Exit.DONE
