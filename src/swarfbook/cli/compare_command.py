"""`swarfbook compare RECIPE RECIPE ...`."""

from __future__ import annotations

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import common_options, example, open_book, plain_option, print_json, say
from swarfbook.errors import Problem, SwarfbookError


@click.command("compare", epilog=example("swarfbook compare long-bed-6mm-6082-max long-bed-6mm-6082-rough"))
@click.argument("recipes", nargs=-1, required=True)
@plain_option
@common_options
def command(
    recipes: tuple[str, ...],
    book_dir: str | None,
    units: str | None,
    *,
    plain: bool,
    as_json: bool,
) -> int:
    """Set two or more RECIPES side by side, what differs first; leaves with 1 when one is over a limit."""
    from swarfbook.decisions.check import check
    from swarfbook.decisions.compare import compare, load_cases

    if len(recipes) < 2:
        raise SwarfbookError(Problem("compare", "", "one recipe", "name two or more"))
    book = open_book(book_dir)
    comparison = compare([check(case) for case in load_cases(book, recipes)])
    if as_json:
        from swarfbook.decisions.as_json import compare_json

        print_json(compare_json(comparison))
    else:
        from swarfbook.cli.text import page_width
        from swarfbook.reports.side_by_side import side_by_side

        say("\n".join(side_by_side(comparison, width=page_width(), system=units)), plain=plain)
    return Exit.OVER if any(one.over for one in comparison.checks) else Exit.DONE
