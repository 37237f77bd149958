"""`swarfbook correct RUN`."""

from __future__ import annotations

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import common_options, example, open_book, plain_option, print_json, say
from swarfbook.cli.run_options import run_options
from swarfbook.decisions.telling import read_minutes, read_outcome, report_values
from swarfbook.errors import Problem, SwarfbookError, printable


@click.command("correct", epilog=example("swarfbook correct 2026-11-02-143000-3f9c --outcome chatter"))
@click.argument("run")
@click.option("--minutes", metavar="TIME", help="Time in the cut: 42, or 1.5 h.")
@click.option("--outcome", metavar="WORD", help="How it went: clean, chatter, stalled ...")
@run_options
@click.option("--withdraw", is_flag=True, help="The run never was: it counts no more.")
@plain_option
@common_options
def command(
    run: str,
    minutes: str | None,
    outcome: str | None,
    book_dir: str | None,
    units: str | None,
    *,
    plain: bool,
    withdraw: bool,
    as_json: bool,
    **told: str | None,
) -> int:
    """Say otherwise what RUN was: a line is added that replaces its own, and nothing is edited.

    What is not said stays as it was. Of a run that did not go clean it says what to make of it, as `log`
    does. RUN is the name that `log` and `runs` print, or its last letters.
    """
    from swarfbook.decisions.running import case_of_snapshot, corrected_line, report_of, withdrawn_line
    from swarfbook.decisions.runs import run_named
    from swarfbook.reports.run_page import doubt_text

    changes = report_values(told)
    if minutes is not None:
        changes["minutes"] = read_minutes(minutes)
    if outcome is not None:
        changes["outcome"] = read_outcome(outcome)
    if bool(changes) == withdraw:
        raise SwarfbookError(Problem("correct", "", "", "say what was otherwise, or --withdraw"))
    book = open_book(book_dir)
    table = book.light_log().table
    before = run_named(table, table.counts, run)
    line = withdrawn_line(before) if withdraw else corrected_line(book, before, report_of(before, changes))
    now = book.log(line)
    if as_json:
        print_json(line)
    else:
        from swarfbook.cli.aftermath_text import aftermath_text

        done = "withdrawn" if withdraw else f"replaced by {line['id']}"
        after = [] if withdraw else aftermath_text(book, now, units)
        say("\n".join([f"{before.id} is {done}; its own line stays in the log", *after]), plain=plain)
    case = None if withdraw else case_of_snapshot(book, now.recipe, now.snapshot)
    if case is not None and (doubt := doubt_text(case, now)):
        click.echo(f"swarfbook: {printable(doubt)}", err=True)
    return Exit.DONE
