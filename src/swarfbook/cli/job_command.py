"""`swarfbook job JOB`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import common_options, example, open_book, plain_option, print_json, say

if TYPE_CHECKING:
    from swarfbook.decisions.jobs.judging import JobReport


@click.command("job", epilog=example("swarfbook job mast-clamps --sheet sheet.pdf"))
@click.argument("job")
@click.option("--reply", is_flag=True, help="Write the points for the customer instead.")
@click.option("--sheet", metavar="FILE", help="Write the sheet for the machine: .pdf, .html or .txt.")
@click.option("--png", metavar="FILE", help="Draw the stock's temperature as a picture.")
@plain_option
@common_options
def command(
    job: str,
    book_dir: str | None,
    units: str | None,
    sheet: str | None,
    png: str | None,
    *,
    reply: bool,
    plain: bool,
    as_json: bool,
) -> int:
    """Judge a whole JOB: can it be made, will it hold, how warm, how long, what does it cost.

    Leaves with 1 when a step is over a limit, or the part cannot be made as drawn.
    """
    from swarfbook.decisions.jobs.judging import judge_job
    from swarfbook.decisions.jobs.loading import in_units, load_job

    book = open_book(book_dir)
    system = units or book.settings.units or "metric"
    report = judge_job(in_units(load_job(book, job), system))
    if sheet is not None:
        _write_sheet(report, sheet, system)
    if png is not None:
        from swarfbook.reports.heat_picture import heat_picture

        heat_picture(report, Path(png), system=system)
    if as_json:
        from swarfbook.decisions.jobs.as_json import job_json

        print_json(job_json(report))
    else:
        say(_reply(report, system) if reply else _page(report, system, plain=plain), plain=plain)
    return Exit.DONE if report.verdict in ("holds", "tight") else Exit.OVER


def _page(report: JobReport, system: str, *, plain: bool) -> str:
    from swarfbook.cli.text import page_width
    from swarfbook.reports.job_page import job_lines

    return "\n".join(job_lines(report, width=page_width(), system=system, plain=plain))


def _reply(report: JobReport, system: str) -> str:
    from swarfbook.reports.reply import reply

    return reply(report.case.job, report.features, report.stock, system=system)


def _write_sheet(report: JobReport, name: str, system: str) -> None:
    from swarfbook.book.outside import write_outside
    from swarfbook.reports.job_card import sheet_bytes

    write_outside(name, sheet_bytes(report, Path(name).suffix, system=system), where="--sheet")
