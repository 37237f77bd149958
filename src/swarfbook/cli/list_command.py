"""`swarfbook list`."""

from __future__ import annotations

import click

from swarfbook.book import Book
from swarfbook.cli.exits import Exit
from swarfbook.cli.options import common_options, example, open_book, print_json, report
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import Check, check
from swarfbook.errors import SwarfbookError


@click.command("list", epilog=example("swarfbook list 6082 rough"))
@click.argument("words", nargs=-1)
@common_options
def command(words: tuple[str, ...], book_dir: str | None, units: str | None, *, as_json: bool) -> int:  # noqa: ARG001
    """List the recipes, each judged; with WORDS, those that have all of them, in any order.

    A word is looked for in id, name, machine, tool, material, operation and standing.
    """
    book = open_book(book_dir)
    checks, broken = _judged(book, [word.lower() for word in words])
    if as_json:
        print_json([_row(one) for one in checks])
    else:
        from swarfbook.cli.text import list_text

        click.echo(list_text(book.settings.title, checks))
    if broken:
        return Exit.BAD_INPUT
    return Exit.OVER if any(one.over for one in checks) else Exit.DONE


def _judged(book: Book, words: list[str]) -> tuple[list[Check], bool]:
    checks, broken = [], False
    for recipe in book.ids("recipe"):
        try:
            case = load_case(book, recipe)
        except SwarfbookError as error:
            report(error)
            broken = True
            continue
        one = case.recipe
        said = " ".join((recipe, one.name, one.machine, one.tool, one.material, one.operation, one.standing))
        if all(word in said.lower() for word in words):
            checks.append(check(case))
    return checks, broken


def _row(one: Check) -> dict[str, object]:
    recipe = one.case.recipe
    return {
        "recipe": one.case.recipe_id,
        "name": recipe.name,
        "machine": recipe.machine,
        "tool": recipe.tool,
        "material": recipe.material,
        "operation": recipe.operation,
        "standing": recipe.standing,
        "tightest": one.tightest.name,
        "use": one.tightest.use,
        "verdict": one.verdict,
    }
