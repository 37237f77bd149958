"""`swarfbook import WHAT FILE`."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import book_option, example, json_option, open_book, print_json
from swarfbook.cli.text import page_width
from swarfbook.errors import printable

if TYPE_CHECKING:
    from swarfbook.book import Book
    from swarfbook.decisions.importing.planning import Import

KINDS = {"tools": "tool", "recipes": "recipe", "machines": "machine", "materials": "material", "jobs": "job"}


@click.command("import", epilog=example("swarfbook import tools drawer.xlsx --set substrate=carbide"))
@click.argument("what", type=click.Choice(list(KINDS)))
@click.argument("file", metavar="FILE")
@click.option("--sheet", metavar="NAME", help="Sheet of an .xlsx file that has several.")
@click.option(
    "--map", "maps", multiple=True, metavar="COLUMN=KEY", help="Where a column goes; no KEY: left out."
)
@click.option(
    "--unit", "said_units", multiple=True, metavar="COLUMN=UNIT", help="Unit of a column's bare numbers."
)
@click.option(
    "--set", "fixed", multiple=True, metavar="KEY=VALUE", help="A value for rows that have none there."
)
@click.option(
    "--encoding", type=click.Choice(["utf-8", "utf-16", "latin-1", "cp1252"]), help="Of a .csv file."
)
@click.option("--replace", is_flag=True, help="Take rows that differ from what the book holds.")
@click.option("--yes", is_flag=True, help="Write without asking.")
@json_option
@book_option
def command(
    what: str,
    file: str,
    sheet: str | None,
    maps: Sequence[str],
    said_units: Sequence[str],
    fixed: Sequence[str],
    encoding: str | None,
    book_dir: str | None,
    *,
    replace: bool,
    yes: bool,
    as_json: bool,
) -> int:
    """Import records from a .csv, .xlsx or .json file; first it shows where each column goes.

    Nothing is written before you say yes, and nothing at all while anything is wrong: all problems
    are told, each with its row and column. Rows are new, the same, or differ from what the book holds;
    rows that differ are written with --replace only. Leaves with 1 when there is something to
    write and it was not.
    """
    from swarfbook.decisions.importing.columns import Wish
    from swarfbook.decisions.importing.planning import Asked, plan

    wish = Wish(_parted("--map", maps), _parted("--unit", said_units))
    book = open_book(book_dir)
    found = plan(book, KINDS[what], Asked(file, sheet, encoding, wish, _parted("--set", fixed)))
    return _done(book, found, replace=replace, yes=yes, as_json=as_json)


def _parted(option: str, texts: Sequence[str]) -> dict[str, str]:
    """Take `COLUMN=KEY` apart; a heading may hold a sign of equality, a key does not."""
    parted: dict[str, str] = {}
    for text in texts:
        name, sign, value = text.partition("=") if option == "--set" else text.rpartition("=")
        if not sign or not name:
            raise click.UsageError(f"{option}: write two words with = between them, not {text!r}")
        parted[name.strip()] = value.strip()
    return parted


def _done(book: Book, found: Import, *, replace: bool, yes: bool, as_json: bool) -> int:
    from swarfbook.reports.import_page import import_json, import_text, problem_lines, what_to_write

    if as_json:
        print_json(import_json(found))
    else:
        click.echo(import_text(found, page_width()))
    for line in problem_lines(found):
        click.echo(f"swarfbook: {line}", err=True)
    if found.problems:
        click.echo("swarfbook: nothing is written", err=True)
        return Exit.BAD_INPUT
    if found.of("differs") and not replace:
        click.echo(
            "swarfbook: some rows differ from the book, so nothing is written; --replace takes them", err=True
        )
        return Exit.OVER
    what = what_to_write(found, replace=replace)
    if not what:
        click.echo("nothing to write: the book holds all of it", err=True)
        return Exit.DONE
    return _written(book, found, what, replace=replace, yes=yes, ask=not as_json)


def _written(book: Book, found: Import, what: str, *, replace: bool, yes: bool, ask: bool) -> int:
    """Write once somebody has said yes, here or by --yes."""
    from swarfbook.decisions.importing.planning import carry_out

    book.refuse_demo()
    if not yes and not (ask and sys.stdin.isatty() and sys.stdout.isatty()):
        click.echo(
            f"swarfbook: {what} to write; nothing is written without --yes where nobody can be asked",
            err=True,
        )
        return Exit.OVER
    if not yes and not click.confirm(f"write {what}?"):
        click.echo("nothing is written", err=True)
        return Exit.OVER
    carry_out(book, found, replace=replace)
    click.echo(printable(f"{what} written"), err=True)
    return Exit.DONE
