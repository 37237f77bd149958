"""`swarfbook show RECIPE`."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple

import click

from swarfbook import quantities
from swarfbook.cli.exits import Exit
from swarfbook.cli.options import (
    common_options,
    example,
    open_book,
    plain_option,
    print_json,
    record_named,
    say,
)
from swarfbook.errors import Problem, SwarfbookError

if TYPE_CHECKING:
    from swarfbook.book import Book
    from swarfbook.decisions.check import Check


class Shown(NamedTuple):
    """What is asked for, in both its forms; only the one that is printed is worked out."""

    text: Callable[[], str]
    as_json: Callable[[], object]


DRAWN_ROWS = 34  # of both drawings


@click.command("show", epilog=example("swarfbook show long-bed-6mm-6082-rough --units imperial"))
@click.argument("name", metavar="RECIPE")
@click.option("--why", metavar="NAME", help="One quantity or limit: formula, inputs, rows and sources.")
@click.option("--corner", "radius", metavar="LENGTH", help="Radius of an inside corner: load and feed there.")
@click.option("--outside", is_flag=True, help="With --corner: an arc round the outside instead.")
@click.option("--turn", is_flag=True, help="The force over one turn and the chip through the cut, drawn.")
@click.option("--chatter", is_flag=True, help="Where it begins to chatter; a guess where no modes are known.")
@click.option("--cautions", is_flag=True, help="What to mind before running it, and where that comes from.")
@plain_option
@common_options
def command(
    name: str,
    why: str | None,
    radius: str | None,
    book_dir: str | None,
    units: str | None,
    *,
    outside: bool,
    chatter: bool,
    turn: bool,
    cautions: bool,
    plain: bool,
    as_json: bool,
) -> int:
    """Show RECIPE: its sentence, all it asks with bands, and where every input came from.

    `machine:ID`, `tool:ID` and `material:ID` show one of those: every key, what was typed, and what
    stands in where nothing was. `job:ID` shows a job as typed; `swarfbook job ID` judges it.

    With --why, what stands behind one number, by its name in JSON or as it is printed: `--why force_peak`,
    `--why axis-thrust`, `--why "peak side force"`. With --corner,
    what an inside corner of that radius does to the load, and what feed the cutter's centre needs there;
    --corner LENGTH --outside asks that of an outside arc.
    """
    if outside and radius is None:
        raise SwarfbookError(
            Problem("--outside", "", "", "give the arc's radius too, for example --corner 10mm")
        )
    book = open_book(book_dir)
    system = units or book.settings.units
    kind, record = record_named(name)
    if kind == "job":
        shown = _job(book, record)
    elif kind != "recipe":
        shown = _part(book, kind, record, system or "metric")
    else:
        judged = _judged(book, record)
        if why is not None:
            shown = _why(judged, why, system or "metric")
        elif radius is not None:
            shown = _corner(judged, radius, system or "metric", inside=not outside)
        elif turn:
            shown = _turn(judged, system or "metric", plain=plain)
        elif chatter:
            shown = _chatter(judged, system or "metric")
        else:
            shown = _cautions(judged) if cautions else _all(judged, system)
    if as_json:
        print_json(shown.as_json())
    else:
        say(shown.text(), plain=plain)
    return Exit.DONE


def _judged(book: Book, recipe: str) -> Check:
    from swarfbook.decisions.check import check
    from swarfbook.decisions.evidence import load_case

    return check(load_case(book, recipe))


def _part(book: Book, kind: str, record: str, system: str) -> Shown:
    from swarfbook.cli import show_part

    page = show_part.read_part(book, kind, record, system=system)
    return Shown(lambda: show_part.part_text(page), lambda: show_part.part_json(page))


def _job(book: Book, record: str) -> Shown:
    from swarfbook.cli import show_job

    entry = book.get("job", record)
    return Shown(lambda: show_job.job_text(entry), lambda: show_job.job_json(entry))


def _all(judged: Check, system: str | None) -> Shown:
    def text() -> str:
        from swarfbook.cli.show_text import show_text

        return show_text(judged, system)

    def as_json() -> object:
        from swarfbook.decisions.as_json import check_json, inputs_json

        values, inputs = dict(judged.case.values), inputs_json(judged.case)
        return {"record": values, "inputs": inputs, **check_json(judged)}

    return Shown(text, as_json)


def _cautions(judged: Check) -> Shown:
    from swarfbook.reports.caution_page import caution_json, caution_lines

    return Shown(lambda: _page(caution_lines(judged)), lambda: caution_json(judged))


def _page(lines: list[str]) -> str:
    from swarfbook.cli.text import page_width
    from swarfbook.reports.words import wrapped

    return "\n".join(wrapped(lines, width=page_width()))


def _why(judged: Check, name: str, system: str) -> Shown:
    from swarfbook.cli.text import page_width
    from swarfbook.decisions.as_json import why_json
    from swarfbook.decisions.why import why
    from swarfbook.reports.why import why_lines

    found = why(judged, name, system=system)
    return Shown(lambda: "\n".join(why_lines(found, width=page_width())), lambda: why_json(found))


def _corner(judged: Check, radius: str, system: str, *, inside: bool) -> Shown:
    from swarfbook.decisions.as_json import corner_json
    from swarfbook.decisions.corner import corner
    from swarfbook.reports.corner_page import corner_lines

    try:
        wall = quantities.parse(radius, "length")
    except quantities.QuantityError as error:
        raise SwarfbookError(Problem("--corner", "", radius, str(error))) from None
    found = corner(judged.case, radius=wall, inside=inside)
    return Shown(lambda: _page(corner_lines(found, system=system)), lambda: corner_json(found))


def _turn(judged: Check, system: str, *, plain: bool) -> Shown:
    from swarfbook.cli.text import page_width
    from swarfbook.decisions.course import course, course_json
    from swarfbook.reports.course_page import course_lines

    found = course(judged.case)

    def text() -> str:
        lines = course_lines(found, width=page_width(), height=DRAWN_ROWS, system=system, plain=plain)
        return "\n".join(lines)

    return Shown(text, lambda: course_json(found))


def _chatter(judged: Check, system: str) -> Shown:
    from swarfbook.decisions.as_json import stability_json
    from swarfbook.decisions.dynamics import stability
    from swarfbook.reports.chatter_page import chatter_lines

    found = stability(judged.case, estimate=True)
    return Shown(
        lambda: _page(chatter_lines(judged.case, found, system=system)), lambda: stability_json(found)
    )
