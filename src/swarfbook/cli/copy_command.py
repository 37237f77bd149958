"""`swarfbook copy RECORD NEW`."""

from __future__ import annotations

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import book_option, example, open_book, record_named


@click.command("copy", epilog=example("swarfbook copy long-bed-6mm-6082-rough long-bed-6mm-6082-wall"))
@click.argument("record")
@click.argument("new")
@book_option
def command(record: str, new: str, book_dir: str | None) -> int:
    """Begin the record NEW with the text of RECORD; a recipe's copy stands on trial.

    RECORD is a recipe's id, or a kind and an id: `machine:long-bed-router`.
    """
    kind, old = record_named(record)
    entry = open_book(book_dir).duplicate(kind, old, new)
    click.echo(f"{entry.where} begun from {old}", err=True)
    return Exit.DONE
