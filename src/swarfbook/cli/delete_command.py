"""`swarfbook delete RECORD`."""

from __future__ import annotations

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import book_option, example, open_book, record_named


@click.command("delete", epilog=example("swarfbook delete bench-3mm-brass-letters"))
@click.argument("record")
@book_option
def command(record: str, book_dir: str | None) -> int:
    """Take RECORD out of the book; `swarfbook restore` brings it back.

    RECORD is a recipe's id, or a kind and an id: `machine:long-bed-router`. One that a recipe
    or a job names is kept.
    """
    kind, name = record_named(record)
    open_book(book_dir).delete(kind, name)
    click.echo(f"{kind} {name} is deleted; `swarfbook restore {kind}:{name}` brings it back", err=True)
    return Exit.DONE
