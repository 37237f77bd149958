"""`swarfbook init [DIR]`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from swarfbook.book.starting import create, refuse_filled
from swarfbook.cli.exits import Exit
from swarfbook.cli.options import example, plain_option, say
from swarfbook.errors import Problem, SwarfbookError, printable

if TYPE_CHECKING:
    from swarfbook.decisions.first.book import Answers, FirstBook

NEEDED = {
    "machine": 'say what sort of machine it is, such as "trim router"',
    "tool": 'say which cutter comes first, such as "6 mm two-flute carbide"',
    "material": 'say which material comes first, such as "6082"',
}
HOW = (
    "to begin with a machine and a recipe, run `swarfbook init` at a terminal, or see `swarfbook init --help`"
)


@click.command(
    "init",
    epilog=example(
        'swarfbook init my-workshop --machine "trim router" --spindle "800 W 10000-30000 rpm" '
        '--rating input --tool "6 mm one-flute carbide" --material 6082'
    ),
)
@click.argument("directory", metavar="[DIR]", default=".")
@click.option("--demo", is_flag=True, help="Copy the demo workshop, to try things on.")
@click.option("--empty", is_flag=True, help="Ask nothing and start an empty book.")
@click.option("--machine", metavar="SORT", help="trim router, air-cooled, water-cooled or small mill.")
@click.option("--spindle", metavar="RATING", help='What its plate says: "800 W", or "1 hp 6000-24000 rpm".')
@click.option(
    "--rating",
    type=click.Choice(["shaft", "input", "unknown"]),
    help="What that power is: shaft output, electrical input, or the plate does not say.",
)
@click.option(
    "--tool", metavar="WORDS", help='The first cutter: "6 mm one-flute carbide", "1/4 in ball HSS".'
)
@click.option("--material", metavar="WORDS", help='The first material: "6082", "birch ply", "brass".')
@plain_option
def command(directory: str, *, demo: bool, empty: bool, plain: bool, **told: str | None) -> int:
    """Start a book in DIR (here if left out), with a first machine, cutter, material and recipe.

    At a terminal it asks what the options below do not say. Without a terminal and without options the book
    is empty. Nothing is written before the last answer. Leaves with 1 where no first recipe was found.
    """
    said = {name: text for name, text in told.items() if text is not None}
    if (demo or empty) and (said or demo is empty):
        raise click.UsageError("--demo, --empty and answers do not go together: keep one of them")
    root = Path(directory)
    refuse_filled(root)
    if demo or empty or not (said or _at_terminal()):
        return _made(create(root, demo=demo), "" if demo or empty else HOW)
    answers = _answers(told)
    return _begun(root, answers, plain=plain)


def _at_terminal() -> bool:
    return sys.stdin.isatty() and sys.stderr.isatty()


def _made(root: Path, how: str) -> int:
    click.echo(printable(f"a book is in {root}; `swarfbook open --book {root}` opens it"), err=True)
    if how:
        click.echo(f"it is empty; {how}", err=True)
    return Exit.DONE


def _answers(told: dict[str, str | None]) -> Answers:
    """Take the answers from options, and ask for the rest where somebody sits at a terminal."""
    from swarfbook.cli import init_questions

    if _at_terminal():
        return init_questions.asked(told)
    missing = [Problem(f"--{name}", "", "", remedy) for name, remedy in NEEDED.items() if not told[name]]
    if missing:
        raise SwarfbookError(*missing)
    return init_questions.read(told)


def _begun(root: Path, answers: Answers, *, plain: bool) -> int:
    from swarfbook.decisions.first.book import first_book

    first = first_book(answers)
    create(root, demo=False, records=first.records, settings=first.settings)
    say(_page(root, first, plain=plain), plain=plain)
    return Exit.DONE if first.recipe else Exit.OVER


def _page(root: Path, first: FirstBook, *, plain: bool) -> str:
    """Write the first recipe as `check` does, from the files that were written, and what comes next."""
    from swarfbook.book import Book
    from swarfbook.cli.text import page_width
    from swarfbook.reports.first_page import assumed_lines, next_lines, none_lines

    named, width = "" if root.resolve() == Path.cwd() else str(root), page_width()
    parts = [printable(f"A book is in {root}.")]
    if first.recipe:
        from swarfbook.cli.check_text import check_text
        from swarfbook.decisions.check import check
        from swarfbook.decisions.evidence import load_case
        from swarfbook.decisions.sensitivity import sensitivity

        book = Book.open(root)
        case = load_case(book, first.recipe)
        after = next_lines(first.recipe, sensitivity(case), named, width=width)
        parts.append(check_text(check(case), book.settings.units, plain=plain))
    else:
        after = none_lines(first, named, width=width)
    parts += ["\n".join(lines) for lines in (assumed_lines(first.records, width=width), after)]
    return "\n\n".join(parts)
