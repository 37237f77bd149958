"""`swarfbook restore [RECORD]`."""

from __future__ import annotations

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import book_option, example, json_option, open_book, print_json, record_named


@click.command("restore", epilog=example("swarfbook restore machine:small-mill"))
@click.argument("record", required=False)
@json_option
@book_option
def command(record: str | None, book_dir: str | None, *, as_json: bool) -> int:
    """Bring back the latest deleted RECORD; without one, list what was deleted.

    RECORD is a recipe's id, or a kind and an id: `machine:long-bed-router`.
    """
    book = open_book(book_dir)
    if record is not None:
        back = book.restore(*record_named(record))
        click.echo(f"{back.kind} {back.id} is back", err=True)
        return Exit.DONE
    gone = [{"kind": one.kind, "id": one.id, "deleted": one.at.isoformat()} for one in book.deleted()]
    if as_json:
        print_json({"deleted": gone})
    else:
        lines = [f"{one['deleted']:<26} {one['kind']}:{one['id']}" for one in gone]
        click.echo("\n".join(lines) or "nothing was deleted", err=not lines)
    return Exit.DONE
