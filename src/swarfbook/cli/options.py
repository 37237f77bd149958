"""Options and small services that the commands share."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from swarfbook.book import find_book
from swarfbook.book.ids import FOLDERS
from swarfbook.errors import SwarfbookError

if TYPE_CHECKING:
    from swarfbook.book import Book

F = TypeVar("F", bound=Callable[..., Any])

book_option = click.option(
    "--book",
    "book_dir",
    metavar="DIR",
    help="Folder of the book. Else $SWARFBOOK_BOOK, else the nearest book upwards, else the demo.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print one JSON object, full precision.")
units_option = click.option(
    "--units", type=click.Choice(["metric", "imperial"]), help="Units shown; else the book's own choice."
)
plain_option = click.option(
    "--plain", is_flag=True, help="Print letters and ASCII signs only, nothing drawn."
)


def common_options(command: F) -> F:
    """Give a command --book, --json and --units."""
    for option in (units_option, json_option, book_option):
        command = option(command)
    return command


def example(text: str) -> str:
    """Word a command's example for its help."""
    return f"Example: {text}"


def open_book(book_dir: str | None) -> Book:
    """Open the book a command is meant for, and say on stderr when that is the demo.

    Raises:
        SwarfbookError: no such folder, or not a book.
    """
    from swarfbook.book import Book

    book = Book.open(book_folder(book_dir))
    context = click.get_current_context(silent=True)
    if context is not None:
        context.call_on_close(lambda: report_unkept(book))
    return book


def report_unkept(book: Book) -> None:
    """Say on stderr what was saved and could not be kept in the history."""
    for problem in book.unkept():
        click.echo(f"swarfbook: {problem}", err=True)


def book_folder(book_dir: str | None) -> Path:
    """Choose the folder of the book a command is meant for, and say on stderr when that is the demo."""
    root, note = find_book(book_dir, os.environ, Path.cwd())
    if note:
        click.echo(note, err=True)
    return root


def record_named(name: str) -> tuple[str, str]:
    """Take `machine:long-bed-router` apart into kind and id; a name without a kind is a recipe's id."""
    kind, colon, record = name.partition(":")
    return (kind, record) if colon and kind in FOLDERS else ("recipe", name)


def print_json(value: object) -> None:
    """Print a JSON object on stdout."""
    import json

    click.echo(json.dumps(value, indent=2, ensure_ascii=False))


def say(text: str, *, plain: bool) -> None:
    """Print a text on stdout, in ASCII where `--plain` asks for it."""
    if plain:
        from swarfbook.reports import plain as ascii_only

        text = ascii_only.plain(text)
    click.echo(text)


def report(error: SwarfbookError) -> None:
    """Print each problem on stderr and carry on."""
    for problem in error.problems:
        click.echo(f"swarfbook: {problem}", err=True)
