"""`swarfbook schema [KIND]`."""

from __future__ import annotations

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import book_option, example, open_book
from swarfbook.errors import Problem, SwarfbookError

KINDS = ("machine", "tool", "material", "recipe", "job", "run", "book")


@click.command("schema", epilog=example("swarfbook schema tool"))
@click.argument("kind", metavar="[KIND]", type=click.Choice(KINDS), required=False)
@click.option("--editors", is_flag=True, help="Write all of them into the book, where editors find them.")
@book_option
def command(kind: str | None, book_dir: str | None, *, editors: bool) -> int:
    """Print the JSON Schema of a file of KIND, by which an editor checks it while it is typed.

    KIND is machine, tool, material, recipe, job, run or book; without one, they are listed. Leaves
    with 1 when the book's .taplo.toml is somebody's own and lacks lines, which are printed.
    """
    from swarfbook.reports.schema_page import schema_text

    if editors:
        return _write(book_dir)
    click.echo(schema_text(kind) if kind else "\n".join(KINDS), nl=kind is None)
    return Exit.DONE


def _write(book_dir: str | None) -> int:
    from swarfbook.book.editors import FILE, FOLDER, RULES, write_schemas
    from swarfbook.reports.schema_page import schema_text

    book = open_book(book_dir)
    if book.built_in:
        raise SwarfbookError(
            Problem("--editors", "", "", "the built-in demo is never written; name --book DIR")
        )
    lacking = write_schemas(book.root, {kind: schema_text(kind) for kind in RULES})
    click.echo(f"{len(RULES)} schemas are in {FOLDER}/ of the book", err=True)
    if not lacking:
        return Exit.DONE
    click.echo(f"swarfbook: {FILE}: this file is not the program's; add these lines to it", err=True)
    click.echo(lacking, nl=False)
    return Exit.OVER
