"""`swarfbook log RECIPE --minutes N --outcome WORD`."""

from __future__ import annotations

from datetime import datetime

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import common_options, example, open_book, plain_option, print_json, say
from swarfbook.cli.run_options import run_options
from swarfbook.errors import printable


@click.command(
    "log",
    epilog=example("swarfbook log long-bed-6mm-6082-rough --minutes 42 --outcome clean"),
)
@click.argument("recipe")
@click.option("--minutes", metavar="TIME", help="Time in the cut: 42, or 1.5 h; else as --meter tells.")
@click.option("--outcome", required=True, metavar="WORD", help="How it went: clean, chatter, stalled ...")
@run_options
@click.option(
    "--meter",
    metavar="FILE",
    help="CSV of a power meter or drive; power while cutting is found in it.",
)
@click.option("--at", metavar="TIME", help="When it ended: 2026-11-02T14:30. Else now.")
@plain_option
@common_options
def command(
    recipe: str,
    minutes: str | None,
    outcome: str,
    meter: str | None,
    at: str | None,
    book_dir: str | None,
    units: str | None,
    *,
    plain: bool,
    as_json: bool,
    **told: str | None,
) -> int:
    """Write down a run of RECIPE: only clean ones raise a high-water mark."""
    from swarfbook.decisions.running import log_run
    from swarfbook.decisions.telling import read_moment, read_outcome, report_told
    from swarfbook.reports.metering import read_meter
    from swarfbook.reports.run_page import doubt_text

    read_outcome(outcome)  # before a long file is read for nothing
    metering = None if meter is None else read_meter(meter, told["idle_power"])
    report = report_told(outcome, minutes, told, metering)
    moment = datetime.now().astimezone() if at is None else read_moment("--at", at)
    book = open_book(book_dir)
    logged = log_run(book, recipe, report, at=moment)
    if as_json:
        print_json(logged.line)
    else:
        from swarfbook.cli.aftermath_text import aftermath_text
        from swarfbook.reports.run_page import logged_lines

        say("\n".join([*logged_lines(logged), *aftermath_text(book, logged.run, units)]), plain=plain)
    if doubt := doubt_text(logged.case, logged.run):
        click.echo(f"swarfbook: {printable(doubt)}", err=True)
    if logged.trouble:
        click.echo(f"swarfbook: {logged.trouble}", err=True)
    return Exit.DONE
