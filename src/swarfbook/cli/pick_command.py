"""`swarfbook pick --material ID --operation WORD ...`."""

from __future__ import annotations

from typing import get_args

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import common_options, example, open_book, plain_option, print_json, say
from swarfbook.cli.wish_options import finish_option, margin_option, tolerance_option
from swarfbook.records.recipe import Operation


@click.command("pick", epilog=example('swarfbook pick --material 6082-t6 --operation rough --wall "14 mm"'))
@click.option("--material", required=True, metavar="ID", help="What is to be cut.")
@click.option(
    "--operation", required=True, type=click.Choice(get_args(Operation)), help="What is to be done."
)
@click.option("--machine", metavar="ID", help="On this machine; else on any.")
@click.option("--wall", metavar="LENGTH", help="Height of the wall: a cutter has to reach that deep.")
@click.option("--inside-corner", metavar="LENGTH", help="Smallest inside corner in plan, its radius.")
@click.option("--slot", metavar="LENGTH", help="Width of the narrowest slot.")
@tolerance_option
@finish_option
@click.option("--minutes", metavar="TIME", help="How long it will run at a stretch.")
@click.option(
    "--hands-off",
    is_flag=True,
    help="No hand on the controls, someone within reach of the stop: asks for a chance of 1 % at most.",
)
@margin_option
@plain_option
@common_options
def command(
    book_dir: str | None,
    units: str | None,
    *,
    hands_off: bool,
    plain: bool,
    as_json: bool,
    **told: str | None,
) -> int:
    """Rank the book's recipes for a job: what has run clean first, then by time.

    Leaves with 1 when none may be run as it stands; the nearest are adapted then, as trials.
    """
    from swarfbook.decisions.asking import asked_told
    from swarfbook.decisions.pick import pick, pick_json

    asked = asked_told(told, hands_off=hands_off)
    book = open_book(book_dir)
    candidates = pick(book, asked)
    if as_json:
        print_json(pick_json(asked, candidates))
    else:
        from swarfbook.cli.text import page_width
        from swarfbook.reports.pick_page import pick_lines

        lines = pick_lines(asked, candidates, width=page_width(), system=units or book.settings.units)
        say("\n".join(lines), plain=plain)
    return Exit.DONE if any(one.usable and not one.adapted for one in candidates) else Exit.OVER
