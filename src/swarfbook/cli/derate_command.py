"""`swarfbook derate RECIPE --margin M` or `--risk R`."""

from __future__ import annotations

from typing import get_args

import click

from swarfbook import quantities
from swarfbook.cli.exits import Exit
from swarfbook.cli.new_recipe import refuse_taken, save_new
from swarfbook.cli.options import common_options, example, open_book, plain_option, print_json, say
from swarfbook.decisions.asking import read_margin
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.records.recipe import Method


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
    from swarfbook.decisions.backed_off import back_off

    wanted = _wanted(margin, risk)
    book = open_book(book_dir)
    if save_id is not None:
        refuse_taken(book, save_id)
    found = back_off(book, recipe, share=wanted, to_risk=risk is not None, method=method, job=job)
    derating = found.derating
    if as_json:
        from swarfbook.decisions.as_json import derate_json, risk_json

        print_json(derate_json(derating) if found.risk is None else risk_json(found.risk))
    else:
        from swarfbook.cli.derate_text import derate_text, hold_text

        held = hold_text(found)
        say(derate_text(derating, units or book.settings.units, risk=found.risk, in_job=held), plain=plain)
    return save_new(book, derating.values, save_id) if derating.reached else Exit.OVER


def _wanted(margin: str | None, risk: str | None) -> float:
    """Read the margin or the risk, whichever was given; raises SwarfbookError for both and for neither."""
    if margin is not None and risk is not None:
        raise SwarfbookError(Problem("--risk", "", risk, "give a margin or a risk, not both"))
    if risk is not None:
        return read_risk(risk)
    if margin is None:
        raise SwarfbookError(Problem("--margin", "", "", "missing; write --margin 25%, or --risk 1%"))
    return read_margin(margin)
