"""A recipe of a book backed off by a margin or to a risk, and for a job's hold where one is named."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from swarfbook.book import Book
from swarfbook.decisions.derate import Derating, derate
from swarfbook.decisions.evidence import load_case
from swarfbook.decisions.risk import Risk, derate_to_risk
from swarfbook.frozen import frozen

# ruff: noqa: PLC0415 - a derating without a job does without all that a job takes

if TYPE_CHECKING:
    from swarfbook.decisions.jobs.backing_off import HoldUse
    from swarfbook.decisions.jobs.loading import JobCase


@frozen
class BackedOff:
    """A child, and what it was made for.

    Attributes:
        recipe: id of the parent.
        derating: the child and how it stands to its parent.
        risk: the chance it was made for; None where a margin was asked for.
        work: the job whose hold is promised as much; None without one.
    """

    recipe: str
    derating: Derating
    risk: Risk | None
    work: JobCase | None

    def holds(self) -> tuple[HoldUse, HoldUse] | None:
        """Give the job's worst hold before and after; None without a job."""
        if self.work is None:
            return None
        from swarfbook.decisions.jobs.backing_off import hold_use, with_recipe

        child = with_recipe(self.work, self.recipe, self.derating.check.case)
        return hold_use(self.work, self.recipe), hold_use(child, self.recipe)


def back_off(
    book: Book, recipe: str, *, share: float, to_risk: bool, method: str, job: str | None
) -> BackedOff:
    """Back a recipe of a book off.

    Args:
        book: the book.
        recipe: id of the parent.
        share: the margin, or the risk.
        to_risk: whether it is the risk.
        method: which knobs move, as in `derate`.
        job: id of a job whose hold is promised as much; None for none.

    Raises:
        SwarfbookError: as `derate`, `derate_to_risk` and `load_case`, or no step of the job uses the recipe.
    """
    case = load_case(book, recipe)
    work = None if job is None else _load(book, job)
    top = None if work is None else _stock_top(work, recipe)
    if not to_risk:
        return BackedOff(recipe, derate(case, margin=share, method=method, stock_top=top), None, work)
    found = derate_to_risk(case, risk=share, method=method, stock_top=top, **_chances(work, recipe))
    return BackedOff(recipe, found.derating, found, work)


def _load(book: Book, job: str) -> JobCase:
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
