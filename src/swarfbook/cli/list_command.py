"""`swarfbook list`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import (
    common_options,
    example,
    open_book,
    plain_option,
    print_json,
    report,
    say,
)
from swarfbook.errors import SwarfbookError

if TYPE_CHECKING:
    from swarfbook.book import Book
    from swarfbook.decisions.check import Check
    from swarfbook.reports.part_list import Part

EMPTY = "no recipe yet: `swarfbook open` begins the first machine, cutter, material and recipe"


@click.command("list", epilog=example("swarfbook list 6082 rough"))
@click.argument("words", nargs=-1)
@click.option(
    "--kind",
    type=click.Choice(["recipe", "machine", "tool", "material", "job"]),
    default="recipe",
    help="What to list: recipes unless named.",
)
@click.option("--problems", is_flag=True, help="Everything in the book that does not read or fit together.")
@plain_option
@common_options
def command(
    words: tuple[str, ...],
    kind: str,
    book_dir: str | None,
    units: str | None,  # noqa: ARG001
    *,
    problems: bool,
    plain: bool,
    as_json: bool,
) -> int:
    """List the recipes, each judged; with WORDS, those that have all of them, in any order.

    A word is looked for at the beginnings of the words of id, name, machine, tool, material, operation and
    standing, by id and by name, as in the list on screen. With --kind, the
    machines, cutters or materials, and how many recipes and jobs use each, or the jobs. With --problems,
    every bad file and key of the book instead, what was found there and what would do.

    Leaves with 1 when a recipe is over a limit, with 2 when a file does not read; with --problems, with 1
    when there are any.
    """
    book = open_book(book_dir)
    if problems:
        return _print_problems(book, plain=plain, as_json=as_json)
    if kind != "recipe":
        return _print_parts(book, kind, " ".join(words), plain=plain, as_json=as_json)
    checks, broken = _judged(book, " ".join(words))
    if as_json:
        print_json([_row(one) for one in checks])
    else:
        from swarfbook.cli.text import list_text

        say(list_text(book.settings.title, checks), plain=plain)
        if not (checks or broken or words):
            click.echo(EMPTY, err=True)
    if broken:
        return Exit.BAD_INPUT
    return Exit.OVER if any(one.over for one in checks) else Exit.DONE


def _print_problems(book: Book, *, plain: bool, as_json: bool) -> int:
    from dataclasses import asdict

    from swarfbook.cli.text import page_width
    from swarfbook.decisions.troubles import troubles
    from swarfbook.reports.trouble_page import trouble_lines

    found = list(troubles(book))
    if as_json:
        print_json([asdict(problem) for problem in found])
    else:
        say("\n".join(trouble_lines(book.settings.title, found, width=page_width())), plain=plain)
    return Exit.OVER if found else Exit.DONE


def _print_parts(book: Book, kind: str, words: str, *, plain: bool, as_json: bool) -> int:
    from swarfbook.cli.text import page_width
    from swarfbook.reports.part_list import parts, parts_lines, uses, with_uses

    every = parts(book, kind)
    counted = every if kind == "job" else with_uses(every, uses(book, kind))  # nothing uses a job
    listed = [one for one in counted if one.has(words)]
    if as_json:
        print_json([_part_row(one) for one in listed])
    else:
        say("\n".join(parts_lines(book.settings.title, kind, listed, width=page_width())), plain=plain)
    _, broken = book.entries(kind)
    if broken:
        report(SwarfbookError(*broken))
    return Exit.BAD_INPUT if broken else Exit.DONE


def _part_row(one: Part) -> dict[str, object]:
    used = {} if one.uses is None else {"recipes": one.uses, "jobs": one.jobs}
    return {"id": one.id, "name": one.name, **used}


def _judged(book: Book, words: str) -> tuple[list[Check], bool]:
    from swarfbook.decisions.case import Gives
    from swarfbook.decisions.check import check
    from swarfbook.decisions.evidence import load_case, past_once
    from swarfbook.reports.listing import has_all, recipe_words, wanted

    beginnings = wanted(words)
    checks: list[Check] = []
    broken, gives, past = False, Gives(), past_once(book)
    for recipe in book.ids("recipe"):
        try:
            case = load_case(book, recipe, gives, past)
        except SwarfbookError as error:
            report(error)
            broken = True
            continue
        names = (case.machine.name, case.tool.name, case.material.name)
        if has_all(recipe_words(recipe, case.values, names), beginnings):
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
