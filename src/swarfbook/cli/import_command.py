"""`swarfbook import WHAT FILE`."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import book_option, example, json_option, open_book, print_json
from swarfbook.cli.text import page_width
from swarfbook.errors import printable

if TYPE_CHECKING:
    from swarfbook.book import Book
    from swarfbook.decisions.importing.planning import Import
    from swarfbook.errors import Problem

KINDS = {"tools": "tool", "recipes": "recipe", "machines": "machine", "materials": "material", "jobs": "job"}


@click.command("import", epilog=example("swarfbook import tools drawer.xlsx --set substrate=carbide"))
@click.argument("what", type=click.Choice([*KINDS, "book"]))
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

    A whole book comes from the .json file of `swarfbook export book`: records, runs, each once, and the
    settings that this book has none of.

    Nothing is written before you say yes, and nothing at all while anything is wrong: all problems
    are told, each with its row and column. Rows are new, the same, or differ from what the book holds;
    rows that differ are written with --replace only. Leaves with 1 when there is something to
    write and it was not.
    """
    from swarfbook.decisions.importing.columns import Wish
    from swarfbook.decisions.importing.planning import Asked, plan

    if what == "book":
        if sheet or maps or said_units or fixed or encoding:
            raise click.UsageError("a whole book has no sheets and columns; give --replace or --yes at most")
        book = open_book(book_dir)
        return _done(book, _whole(book, file, replace=replace), yes=yes, as_json=as_json)
    wish = Wish(_parted("--map", maps), _parted("--unit", said_units))
    asked = Asked(file, sheet, encoding, wish, _parted("--set", fixed))
    book = open_book(book_dir)
    asking = _table(book, plan(book, KINDS[what], asked), replace=replace)
    return _done(book, asking, yes=yes, as_json=as_json)


def _parted(option: str, texts: Sequence[str]) -> dict[str, str]:
    """Take `COLUMN=KEY` apart; a heading may hold a sign of equality, a key does not."""
    parted: dict[str, str] = {}
    for text in texts:
        name, sign, value = text.partition("=") if option == "--set" else text.rpartition("=")
        if not sign or not name:
            raise click.UsageError(f"{option}: write two words with = between them, not {text!r}")
        parted[name.strip()] = value.strip()
    return parted


class _Asking(NamedTuple):
    """An import before anybody said yes: what it would do, and how to do it."""

    text: str
    as_json: Mapping[str, Any]
    where: str
    problems: Sequence[Problem]
    in_the_way: bool
    what: str
    write: Callable[[], object]


def _table(book: Book, found: Import, *, replace: bool) -> _Asking:
    from swarfbook.decisions.importing.planning import DIFFERS, carry_out
    from swarfbook.reports.import_page import import_json, import_text, what_to_write

    return _Asking(
        import_text(found, page_width()),
        import_json(found),
        found.where,
        found.problems,
        bool(found.of(DIFFERS)) and not replace,
        what_to_write(found, replace=replace),
        lambda: carry_out(book, found, replace=replace),
    )


def _whole(book: Book, file: str, *, replace: bool) -> _Asking:
    from swarfbook.decisions.importing.planning import DIFFERS
    from swarfbook.decisions.importing.whole import carry_out_whole, plan_whole
    from swarfbook.reports.import_whole_page import whole_json, whole_text, whole_to_write

    found = plan_whole(book, file)
    return _Asking(
        whole_text(found, page_width()),
        whole_json(found),
        found.where,
        found.problems,
        bool(found.of(DIFFERS)) and not replace,
        whole_to_write(found, replace=replace),
        lambda: carry_out_whole(book, found, replace=replace),
    )


def _done(book: Book, asking: _Asking, *, yes: bool, as_json: bool) -> int:
    from swarfbook.reports.import_page import problem_lines

    if as_json:
        print_json(asking.as_json)
    else:
        click.echo(asking.text)
    for line in problem_lines(asking.where, asking.problems):
        click.echo(f"swarfbook: {line}", err=True)
    if asking.problems:
        click.echo("swarfbook: nothing is written", err=True)
        return Exit.BAD_INPUT
    if asking.in_the_way:
        click.echo(
            "swarfbook: some rows differ from the book, so nothing is written; --replace takes them", err=True
        )
        return Exit.OVER
    if not asking.what:
        click.echo("nothing to write: the book holds all of it", err=True)
        return Exit.DONE
    return _written(book, asking, yes=yes, ask=not as_json)


def _written(book: Book, asking: _Asking, *, yes: bool, ask: bool) -> int:
    """Write once somebody has said yes, here or by --yes."""
    book.refuse_demo()
    if not yes and not (ask and sys.stdin.isatty() and sys.stdout.isatty()):
        click.echo(
            f"swarfbook: {asking.what} to write; nothing is written without --yes where nobody can be asked",
            err=True,
        )
        return Exit.OVER
    if not yes and not click.confirm(f"write {asking.what}?"):
        click.echo("nothing is written", err=True)
        return Exit.OVER
    asking.write()
    click.echo(printable(f"{asking.what} written"), err=True)
    return Exit.DONE
