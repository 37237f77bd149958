"""`swarfbook derate RECIPE --margin M` or `--risk R`."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any, get_args

import click

from swarfbook import quantities
from swarfbook.cli.exits import Exit
from swarfbook.cli.new_recipe import refuse_taken, save_new
from swarfbook.cli.options import common_options, example, open_book, plain_option, print_json, say
from swarfbook.decisions.asking import read_margin
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.records.recipe import Method

if TYPE_CHECKING:
    from swarfbook.book import Book
    from swarfbook.decisions.derate import Derating
    from swarfbook.decisions.jobs.loading import JobCase


def read_risk(text: str) -> float:
    """Read a risk as typed: `1%` or `0.01`.

    Raises:
        SwarfbookError: not a share above 0 and up to 50 %.
    """
    from swarfbook.decisions.risk import LARGEST_RISK

    try:
        risk = quantities.parse(text, "ratio")
    except quantities.QuantityError as error:
        raise SwarfbookError(Problem("--risk", "", text, str(error))) from None
    if not 0 < risk <= LARGEST_RISK:
        hint = f"; for {text.strip()} % write {text.strip()}%" if text.strip().isdigit() else ""
        raise SwarfbookError(Problem("--risk", "", text, f"a risk lies above 0 % and up to 50 %{hint}"))
    return risk


@click.command(
    "derate", epilog=example("swarfbook derate long-bed-6mm-6082-max --margin 25% --save my-first-run")
)
@click.argument("recipe")
@click.option("--margin", metavar="M", help="Share to take off every load, 0 % to 95 %: 25%.")
@click.option(
    "--risk", metavar="R", help="In its place, chance allowed of passing each load's limit, up to 50 %: 1%."
)
@click.option(
    "--by",
    "method",
    type=click.Choice(get_args(Method)),
    default="least-time",
    show_default=True,
    help="Which knobs move: all of them, or one.",
)
@click.option("--job", metavar="JOB", help="Promise as much of what the hold bears in this job.")
@click.option("--save", "save_id", metavar="ID", help="Write the child into the book under this id.")
@plain_option
@common_options
def command(
    recipe: str,
    margin: str | None,
    risk: str | None,
    method: str,
    job: str | None,
    save_id: str | None,
    book_dir: str | None,
    units: str | None,
    *,
    plain: bool,
    as_json: bool,
) -> int:
    """Back RECIPE off: every load at most (1 - M) of it, as the numbers will be written.

    No hard limit that held is broken, no knob rises, and the chip stays above the rubbing floor.
    Leaves with 1, and saves nothing, when that cannot be reached. Speed alone lowers power and no
    force, so `--by speed` shows what it does and reaches no margin by itself. `--risk` looks for the
    smallest margin at which no limit on a load is likelier to be passed than that.
    """
    from swarfbook.decisions.derate import derate
    from swarfbook.decisions.evidence import load_case
    from swarfbook.decisions.risk import derate_to_risk

    wanted = _wanted(margin, risk)
    book = open_book(book_dir)
    if save_id is not None:
        refuse_taken(book, save_id)
    case = load_case(book, recipe)
    work = None if job is None else _load_job(book, job)
    top = None if work is None else _stock_top(work, recipe)
    found = None
    if risk is not None:
        found = derate_to_risk(case, risk=wanted, method=method, stock_top=top, **_chances(work, recipe))
    derating = found.derating if found else derate(case, margin=wanted, method=method, stock_top=top)
    if as_json:
        from swarfbook.decisions.as_json import derate_json, risk_json

        print_json(derate_json(derating) if found is None else risk_json(found))
    else:
        from swarfbook.cli.derate_text import derate_text

        held = [] if work is None else _in_job(work, recipe, derating)
        say(derate_text(derating, units or book.settings.units, risk=found, in_job=held), plain=plain)
    return save_new(book, derating.values, save_id) if derating.reached else Exit.OVER


def _load_job(book: Book, job: str) -> JobCase:
    from swarfbook.decisions.jobs.loading import load_job

    return load_job(book, job)


def _stock_top(work: JobCase, recipe: str) -> float:
    from swarfbook.decisions.jobs.backing_off import stock_top

    return stock_top(work, recipe)


def _chances(work: JobCase | None, recipe: str) -> dict[str, Any]:
    """Give how a child's chances are found where a job is given: with its hold's among them."""
    if work is None:
        return {}
    from swarfbook.decisions.jobs.backing_off import chances_in

    return {"chances": partial(chances_in, work, recipe)}


def _in_job(work: JobCase, recipe: str, derating: Derating) -> list[str]:
    from swarfbook.decisions.jobs.backing_off import hold_use, with_recipe
    from swarfbook.reports.job_words import hold_change

    before, after = hold_use(work, recipe), hold_use(with_recipe(work, recipe, derating.check.case), recipe)
    return [hold_change(work.job_id, before, after), ""]


def _wanted(margin: str | None, risk: str | None) -> float:
    """Read the margin or the risk, whichever was given; raises SwarfbookError for both and for neither."""
    if margin is not None and risk is not None:
        raise SwarfbookError(Problem("--risk", "", risk, "give a margin or a risk, not both"))
    if risk is not None:
        return read_risk(risk)
    if margin is None:
        raise SwarfbookError(Problem("--margin", "", "", "missing; write --margin 25%, or --risk 1%"))
    return read_margin(margin)
