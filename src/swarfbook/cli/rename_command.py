"""`swarfbook rename RECORD NEW`."""

from __future__ import annotations

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import book_option, example, open_book, record_named


@click.command("rename", epilog=example("swarfbook rename machine:small-mill bench-mill"))
@click.argument("record")
@click.argument("new")
@book_option
def command(record: str, new: str, book_dir: str | None) -> int:
    """Give RECORD the id NEW; the recipes and jobs that name it and the run log follow.

    RECORD is a recipe's id, or a kind and an id: `machine:long-bed-router`.
    """
    kind, old = record_named(record)
    renamed = open_book(book_dir).rename(kind, old, new)
    users = ", ".join(user.called for user in renamed.followed)
    followed = f"; followed by {users}" if users else ""
    click.echo(f"{kind} {old} is {new} now{followed}", err=True)
    return Exit.DONE
