"""`swarfbook runs [RECIPE]`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import (
    common_options,
    example,
    open_book,
    plain_option,
    print_json,
    print_json_with,
    report,
    say,
    say_lines,
)
from swarfbook.decisions.telling import read_moment, read_outcome

if TYPE_CHECKING:
    from swarfbook.book import Book
    from swarfbook.records import Run


@click.command("runs", epilog=example("swarfbook runs long-bed-6mm-6082-rough --outcome clean"))
@click.argument("recipe", required=False)
@click.option("--machine", metavar="ID", help="Only runs on this machine.")
@click.option("--tool", metavar="ID", help="Only runs with this cutter.")
@click.option("--material", metavar="ID", help="Only runs in this material.")
@click.option("--outcome", metavar="WORD", help="Only runs that went so; `bad` is all that were not clean.")
@click.option("--cutter", metavar="TEXT", help="Only runs of cutters named so, or with this in their name.")
@click.option("--since", metavar="TIME", help="Only runs from then on: 2026-11-01.")
@click.option("--last", type=click.IntRange(min=1), metavar="N", help="Only the latest N.")
@click.option("--all", "every", is_flag=True, help="Runs that were corrected or withdrawn, too.")
@click.option("--cutters", is_flag=True, help="Print the minutes of each cutter in place of the runs.")
@click.option("--run", "one", metavar="RUN", help="Print one run in full; a bad one with what to make of it.")
@plain_option
@common_options
def command(
    recipe: str | None,
    machine: str | None,
    tool: str | None,
    material: str | None,
    outcome: str | None,
    cutter: str | None,
    since: str | None,
    last: int | None,
    one: str | None,
    book_dir: str | None,
    units: str | None,
    *,
    every: bool,
    cutters: bool,
    plain: bool,
    as_json: bool,
) -> int:
    """List the runs in the log, the latest first: all of them, or those of RECIPE."""
    from swarfbook.decisions.runs import Wanted, latest_first, run_json, run_named, wanted_rows
    from swarfbook.errors import SwarfbookError

    book = open_book(book_dir)
    log = book.light_log()
    if log.problems:
        report(SwarfbookError(*log.problems))
    table = log.table
    rows = table.every if every else table.counts
    if one is not None:
        return _one(book, run_named(table, rows, one), units, plain=plain, as_json=as_json)
    wanted = Wanted(
        recipe=recipe,
        machine=machine,
        tool=tool,
        material=material,
        outcome=outcome if outcome in (None, "bad") else read_outcome(outcome),
        cutter=cutter,
        since=None if since is None else read_moment("--since", since),
        last=last,
    )
    found = wanted_rows(book, table, rows, wanted)
    if as_json:
        print_json_with({"runs": []}, "runs", map(run_json, table.runs(found.tolist())))
    elif cutters:
        from swarfbook.reports.run_page import cutter_lines

        say_lines(cutter_lines(map(table.brief, found.tolist())), plain=plain)
    else:
        from swarfbook.cli.text import page_width
        from swarfbook.reports.run_page import log_lines

        say_lines(log_lines(map(table.brief, latest_first(table, found)), width=page_width()), plain=plain)
    return Exit.DONE


def _one(book: Book, run: Run, units: str | None, *, plain: bool, as_json: bool) -> int:
    from swarfbook.decisions.runs import run_json

    if as_json:
        from swarfbook.decisions.aftermath import after_run
        from swarfbook.reports.aftermath_json import aftermath_json

        found = after_run(book, run)
        print_json(run_json(run) | ({"aftermath": aftermath_json(found)} if found else {}))
    else:
        from swarfbook.cli.aftermath_text import aftermath_text
        from swarfbook.reports.run_page import run_lines

        lines = run_lines(run, system=units or book.settings.units or "metric")
        say("\n".join([*lines, *aftermath_text(book, run, units)]), plain=plain)
    return Exit.DONE
