"""`swarfbook show RECIPE`."""

from __future__ import annotations

import click

from swarfbook import quantities
from swarfbook.cli.exits import Exit
from swarfbook.cli.options import common_options, example, open_book, print_json
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import Check, check
from swarfbook.errors import Problem, SwarfbookError


@click.command("show", epilog=example("swarfbook show long-bed-6mm-6082-rough --units imperial"))
@click.argument("recipe")
@click.option(
    "--why", "name", metavar="NAME", help="One quantity or limit: formula, inputs, rows and sources."
)
@click.option("--corner", "radius", metavar="LENGTH", help="Radius of an inside corner: load and feed there.")
@click.option("--chatter", is_flag=True, help="Where it begins to chatter; a guess where no modes are known.")
@common_options
def command(
    recipe: str,
    name: str | None,
    radius: str | None,
    book_dir: str | None,
    units: str | None,
    *,
    chatter: bool,
    as_json: bool,
) -> int:
    """Show RECIPE: its sentence, all it asks with bands, and where every input came from.

    With --why, what stands behind one number: `--why force_peak`, `--why axis-thrust`. With --corner,
    what an inside corner of that radius does to the load, and what feed the cutter's centre needs there.
    """
    book = open_book(book_dir)
    judged = check(load_case(book, recipe))
    if name is not None:
        _print_why(judged, name, units or book.settings.units or "metric", as_json=as_json)
    elif radius is not None:
        _print_corner(judged, radius, units, as_json=as_json)
    elif chatter:
        _print_chatter(judged, units, as_json=as_json)
    elif as_json:
        from swarfbook.decisions.as_json import check_json, inputs_json

        shown = {"record": dict(judged.case.values), "inputs": inputs_json(judged.case)}
        print_json({**shown, **check_json(judged)})
    else:
        from swarfbook.cli.text import show_text

        click.echo(show_text(judged, units or book.settings.units))
    return Exit.DONE


def _print_why(judged: Check, name: str, system: str, *, as_json: bool) -> None:
    from swarfbook.decisions.why import why

    found = why(judged, name, system=system)
    if as_json:
        from swarfbook.decisions.as_json import why_json

        print_json(why_json(found))
    else:
        from swarfbook.cli.text import page_width
        from swarfbook.reports.why import why_lines

        click.echo("\n".join(why_lines(found, width=page_width())))


def _print_corner(judged: Check, radius: str, units: str | None, *, as_json: bool) -> None:
    from swarfbook.decisions.corner import corner

    try:
        wall = quantities.parse(radius, "length")
    except quantities.QuantityError as error:
        raise SwarfbookError(Problem("--corner", "", radius, str(error))) from None
    found = corner(judged.case, radius=wall)
    if as_json:
        from swarfbook.decisions.as_json import corner_json

        print_json(corner_json(found))
    else:
        from swarfbook.cli.text import corner_text

        click.echo(corner_text(found, units or "metric"))


def _print_chatter(judged: Check, units: str | None, *, as_json: bool) -> None:
    from swarfbook.decisions.dynamics import stability

    found = stability(judged.case, estimate=True)
    if as_json:
        from swarfbook.decisions.as_json import stability_json

        print_json(stability_json(found))
    else:
        from swarfbook.cli.text import chatter_text

        click.echo(chatter_text(judged.case, found, units or "metric"))
