"""`swarfbook export runs FILE`."""

from __future__ import annotations

from pathlib import Path

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import common_options, example, open_book, print_json
from swarfbook.errors import printable


@click.command("export", epilog=example("swarfbook export runs runs.parquet"))
@click.argument("what", type=click.Choice(["runs"]))
@click.argument("file", metavar="FILE")
@common_options
def command(
    what: str,
    file: str,
    book_dir: str | None,
    units: str | None,
    *,
    as_json: bool,
) -> int:
    """Export the runs that count as a table, a row a run: FILE ends in .parquet or .csv.

    Powers are in W, times in the cut in minutes, moments in UTC.
    """
    del units
    from swarfbook.decisions.archive import export_runs

    count = export_runs(open_book(book_dir), Path(file))
    if as_json:
        print_json({"file": file, what: count})
    else:
        click.echo(printable(f"{count} {what} written to {file}"))
    return Exit.DONE
