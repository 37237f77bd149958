"""Options and small services that the commands share."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from swarfbook.book import find_book
from swarfbook.book.ids import FOLDERS
from swarfbook.cli.streams import takes
from swarfbook.errors import SwarfbookError, drives, undriven

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

    click.echo(_undriving(json.dumps(value, indent=2, ensure_ascii=False)))


def _undriving(text: str) -> str:
    """Escape what JSON lets stand and a terminal acts on, or lacks; within quotes it reads the same."""
    if text.isascii() and "\x7f" not in text:
        return text
    kept = (char == "\n" or not drives(char) for char in text)
    told = "".join(char if one else f"\\u{ord(char):04x}" for char, one in zip(text, kept, strict=True))
    return told if takes(told) else "".join(char if takes(char) else _escaped(char) for char in told)


def _escaped(char: str) -> str:
    import json

    return json.dumps(char)[1:-1]


def print_json_with(value: dict[str, object], name: str, items: Iterable[object]) -> None:
    """Print a JSON object on stdout as `print_json`, one of its lists item by item, however many there are.

    Args:
        value: the object, with an empty list in that place.
        name: key of the list.
        items: what goes into it.
    """
    import json

    text = _undriving(json.dumps(value, indent=2, ensure_ascii=False))
    before, _, after = text.partition(f'\n  "{name}": []')
    click.echo(f'{before}\n  "{name}": [', nl=False)
    # What indents in the library leaves a ring of functions for every object, and no garbage is collected.
    encode, comma = json.JSONEncoder(ensure_ascii=False).encode, ""
    for item in items:
        sys.stdout.write(f"{comma}\n    {_undriving(_set_in(item, encode, chr(10) + 4 * ' '))}")
        comma = ","
    click.echo(f"\n  ]{after}" if comma else f"]{after}")


def _set_in(value: object, encode: Callable[[object], str], margin: str) -> str:
    """Write a value of JSON with two spaces an indent; the margin begins with the line break."""
    inner = f"{margin}  "
    if isinstance(value, dict) and value:
        told = (f"{encode(key)}: {_set_in(one, encode, inner)}" for key, one in value.items())
        return "{" + inner + f",{inner}".join(told) + margin + "}"
    if isinstance(value, list | tuple) and value:
        told = (_set_in(one, encode, inner) for one in value)
        return "[" + inner + f",{inner}".join(told) + margin + "]"
    return encode(value)


def say(text: str, *, plain: bool) -> None:
    """Print a text on stdout, in ASCII where `--plain` asks for it."""
    if plain:
        from swarfbook.reports import plain as ascii_only

        text = ascii_only.plain(text)
    click.echo(undriven(text))


def say_lines(lines: Iterable[str], *, plain: bool) -> None:
    """Print lines on stdout as `say` does, some thousand at a time, however many there are."""
    rest = iter(lines)
    while some := list(islice(rest, 4096)):
        say("\n".join(some), plain=plain)


def report(error: SwarfbookError) -> None:
    """Print each problem on stderr and carry on."""
    for problem in error.problems:
        click.echo(f"swarfbook: {problem}", err=True)
