"""`swarfbook log RECIPE --minutes N --outcome WORD`."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import common_options, example, open_book, plain_option, print_json, say
from swarfbook.cli.run_options import (
    read_meter,
    read_minutes,
    read_moment,
    read_outcome,
    report_values,
    run_options,
    with_meter,
)
from swarfbook.errors import Problem, SwarfbookError

if TYPE_CHECKING:
    from swarfbook.decisions.running import Metering


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
    del units
    from swarfbook.decisions.running import Report, log_run

    word = read_outcome(outcome)
    metering = None if meter is None else read_meter(meter, told["idle_power"])
    if metering is not None:
        told = with_meter(told, metering)
    report = Report(minutes=_minutes(minutes, metering), outcome=word, meter=metering, **report_values(told))
    moment = datetime.now().astimezone() if at is None else read_moment("--at", at)
    book = open_book(book_dir)
    logged = log_run(book, recipe, report, at=moment)
    if as_json:
        print_json(logged.line)
    else:
        from swarfbook.reports.run_page import logged_lines

        say("\n".join(logged_lines(logged)), plain=plain)
    if logged.trouble:
        click.echo(f"swarfbook: {logged.trouble}", err=True)
    return Exit.DONE


def _minutes(text: str | None, metering: Metering | None) -> float:
    if text is not None:
        return read_minutes(text)
    if metering is None:
        raise SwarfbookError(Problem("--minutes", "", "", "missing; write the time in the cut: --minutes 42"))
    return metering.found.time / 60
