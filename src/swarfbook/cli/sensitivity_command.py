"""`swarfbook sensitivity RECIPE`."""

from __future__ import annotations

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import common_options, example, open_book, plain_option, print_json, say


@click.command("sensitivity", epilog=example("swarfbook sensitivity long-bed-6mm-6082-rough"))
@click.argument("recipe")
@plain_option
@common_options
def command(recipe: str, book_dir: str | None, units: str | None, *, plain: bool, as_json: bool) -> int:
    """Show what a tenth more of each input does to RECIPE, and what is worth measuring."""
    from swarfbook.decisions.evidence import load_case
    from swarfbook.decisions.sensitivity import sensitivity, sensitivity_json

    del units
    found = sensitivity(load_case(open_book(book_dir), recipe))
    if as_json:
        print_json(sensitivity_json(found))
    else:
        from swarfbook.cli.text import page_width
        from swarfbook.reports.sensitivity_page import sensitivity_lines

        say("\n".join(sensitivity_lines(found, width=page_width())), plain=plain)
    return Exit.DONE
