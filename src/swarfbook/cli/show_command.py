"""`swarfbook show RECIPE`."""

from __future__ import annotations

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import common_options, example, open_book, print_json
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import check


@click.command("show", epilog=example("swarfbook show long-bed-6mm-6082-rough --units imperial"))
@click.argument("recipe")
@common_options
def command(recipe: str, book_dir: str | None, units: str | None, *, as_json: bool) -> int:
    """Show RECIPE: its sentence, all it asks with bands, and where every input came from."""
    book = open_book(book_dir)
    judged = check(load_case(book, recipe))
    if as_json:
        from swarfbook.decisions.as_json import check_json, inputs_json

        shown = {"record": dict(judged.case.values), "inputs": inputs_json(judged.case)}
        print_json({**shown, **check_json(judged)})
    else:
        from swarfbook.cli.text import show_text

        click.echo(show_text(judged, units or book.settings.units))
    return Exit.DONE
