"""`swarfbook solve --machine ID --tool ID --material ID --operation WORD`."""

from __future__ import annotations

from typing import get_args

import click

from swarfbook.cli.new_recipe import refuse_taken, save_new
from swarfbook.cli.options import common_options, example, open_book, plain_option, print_json, say
from swarfbook.cli.wish_options import finish_option, margin_option, tolerance_option
from swarfbook.records.recipe import Cooling, Direction, Operation


@click.command(
    "solve",
    epilog=example(
        "swarfbook solve --machine small-mill --tool em-8mm-3f --material 6082-t6 --operation rough"
    ),
)
@click.option("--machine", required=True, metavar="ID", help="The machine.")
@click.option("--tool", required=True, metavar="ID", help="The cutter.")
@click.option("--material", required=True, metavar="ID", help="The material.")
@click.option("--operation", required=True, type=click.Choice(get_args(Operation)), help="What it is to do.")
@margin_option
@click.option("--depth", metavar="LENGTH", help="Wall, slot or step to be cut; else as the flutes allow.")
@click.option("--width", metavar="LENGTH", help="Stock to go sideways, for a pass along a wall or an edge.")
@tolerance_option
@finish_option
@click.option("--allowance", metavar="LENGTH", help="Stock to be left on the wall.")
@click.option("--hole", metavar="LENGTH", help="Diameter of the hole, for a bore.")
@click.option("--ramp-angle", metavar="ANGLE", help="How steeply it goes in, for a ramp; else 3 deg.")
@click.option("--stickout", metavar="LENGTH", help="Cutter out of the collet; else as short as it can be.")
@click.option(
    "--direction",
    type=click.Choice(get_args(Direction)),
    default="climb",
    show_default=True,
    help="Which way the teeth go through the work.",
)
@click.option(
    "--cooling",
    type=click.Choice(get_args(Cooling)),
    default="air-blast",
    show_default=True,
    help="What carries chips and heat off.",
)
@click.option("--save", "save_id", metavar="ID", help="Write it into the book under this id, on trial.")
@plain_option
@common_options
def command(
    machine: str,
    tool: str,
    material: str,
    operation: str,
    save_id: str | None,
    book_dir: str | None,
    units: str | None,
    *,
    plain: bool,
    as_json: bool,
    **told: str | None,
) -> int:
    """Find a first recipe to try: the most removal rate that every limit allows, with a margin on the loads.

    It rests on tables and physics and on no run of yours: it is a trial, to be come up to in steps.
    """
    from swarfbook.decisions.asking import wishes_told
    from swarfbook.decisions.solve import solve_in_book

    wishes = wishes_told(told)
    book = open_book(book_dir)
    if save_id is not None:
        refuse_taken(book, save_id)
    found = solve_in_book(book, (machine, tool, material), operation, wishes)
    if as_json:
        from swarfbook.decisions.solve import solution_json

        print_json(solution_json(found))
    else:
        from swarfbook.cli.text import page_width
        from swarfbook.reports.solve_page import solve_lines

        system = units or book.settings.units
        lines = solve_lines(found, wishes, width=page_width(), system=system, plain=plain)
        say("\n".join(lines), plain=plain)
    return save_new(book, found.values, save_id)
