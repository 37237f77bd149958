"""`swarfbook check RECIPE`."""

from __future__ import annotations

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import common_options, example, open_book, plain_option, print_json, say


@click.command("check", epilog=example("swarfbook check long-bed-6mm-6082-rough --json"))
@click.argument("recipe")
@plain_option
@common_options
def command(recipe: str, book_dir: str | None, units: str | None, *, plain: bool, as_json: bool) -> int:
    """Judge RECIPE against every limit; leaves with 1 when a hard limit is over."""
    from swarfbook.decisions.check import check
    from swarfbook.decisions.evidence import load_case

    book = open_book(book_dir)
    judged = check(load_case(book, recipe))
    if as_json:
        from swarfbook.decisions.as_json import check_json

        print_json(check_json(judged))
    else:
        from swarfbook.cli.check_text import check_text

        say(check_text(judged, units or book.settings.units, plain=plain), plain=plain)
    return Exit.OVER if judged.over else Exit.DONE
