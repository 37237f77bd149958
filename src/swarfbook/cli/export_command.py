"""`swarfbook export WHAT FILE`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import common_options, example, open_book, print_json
from swarfbook.errors import printable

if TYPE_CHECKING:
    from swarfbook.book import Book
    from swarfbook.errors import Problem

RECORDS = ("tools", "recipes", "machines", "materials", "jobs")


@click.command("export", epilog=example("swarfbook export tools drawer.xlsx"))
@click.argument("what", type=click.Choice([*RECORDS, "runs", "book"]))
@click.argument("file", metavar="FILE")
@click.option("--si", is_flag=True, help="Numbers in SI units, the unit in the heading; else as typed.")
@common_options
def command(
    what: str,
    file: str,
    book_dir: str | None,
    units: str | None,
    *,
    si: bool,
    as_json: bool,
) -> int:
    """Export records, the runs that count, or a whole book, for other programs and for long keeping.

    FILE ends in .csv, .xlsx, .parquet or .json; a book goes to .json. `swarfbook import` takes
    back what it wrote. Of runs, powers are in W, times in the cut in minutes, moments in UTC. What does
    not read is left out and told, and then it leaves with 1.
    """
    del units
    if si and what not in RECORDS:
        raise click.UsageError("--si is for records; runs are in W and minutes, a book as typed")
    count, problems = _exported(open_book(book_dir), what, file, si=si)
    if as_json:
        print_json({"file": file, "records" if what == "book" else what: count})
    else:
        click.echo(printable(f"{count} {'records' if what == 'book' else what} written to {file}"))
    for problem in problems:
        click.echo(f"swarfbook: not written: {problem}", err=True)
    return Exit.OVER if problems else Exit.DONE


def _exported(book: Book, what: str, file: str, *, si: bool) -> tuple[int, list[Problem]]:
    from swarfbook.decisions import exporting

    if what == "runs":
        return exporting.export_run_rows(book, file), []
    if what == "book":
        return exporting.export_book(book, file)
    return exporting.export_records(book, what, file, si=si)
