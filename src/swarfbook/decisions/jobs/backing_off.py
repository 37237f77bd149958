"""A recipe backed off for a job: what its hold is promised, and how it stands with the child in place."""

from __future__ import annotations

from dataclasses import dataclass, replace

from swarfbook.decisions.case import Case
from swarfbook.decisions.check import check
from swarfbook.decisions.derate import Derating
from swarfbook.decisions.jobs.judging import judge_job
from swarfbook.decisions.jobs.loading import Cutting, JobCase
from swarfbook.decisions.jobs.planning import course
from swarfbook.decisions.jobs.timing import StepPlace, step_time
from swarfbook.decisions.risk import load_chances
from swarfbook.errors import Problem, SwarfbookError


@dataclass(frozen=True, slots=True)
class HoldUse:
    """The worst hold among the steps that use a recipe; use and chance None where it is not judged.

    Attributes:
        step: its number.
        use: share of what the hold bears.
        chance_over: chance that it gives.
    """

    step: int
    use: float | None
    chance_over: float | None


def stock_top(case: JobCase, recipe: str) -> float:
    """Give the lowest height of the stock over its hold among the steps that use a recipe [m].

    Raises:
        SwarfbookError: no step does.
    """
    tops = [
        left.thickness
        for one, left in zip(case.cuttings, course(case), strict=True)
        if one.step.recipe == recipe
    ]
    if not tops:
        used = dict.fromkeys(one.step.recipe for one in case.cuttings)
        remedy = f"no step of {case.job_id} uses it; its recipes are {', '.join(used)}"
        raise SwarfbookError(Problem("derate --job", "", f"recipe {recipe}", remedy))
    return min(tops)


def with_recipe(case: JobCase, recipe: str, child: Case) -> JobCase:
    """Put a backed-off recipe in the place of its parent in every step that uses it."""
    cuttings = tuple(_cut_by(case, one, child) if one.step.recipe == recipe else one for one in case.cuttings)
    return replace(case, cuttings=cuttings)


def _cut_by(case: JobCase, one: Cutting, child: Case) -> Cutting:
    place = StepPlace(f"jobs/{case.job_id}.toml", one.number)
    # The volume stays; a path of the parent's shallower or narrower passes would be too short for it.
    step = one.step.replaced(path=None, volume=one.time.way.volume, air=one.time.way.air)
    time = step_time(case.job, step, one.feature, child, place=place, parent=one.case)
    return replace(one, case=child, check=check(child), time=time)


def hold_use(case: JobCase, recipe: str) -> HoldUse:
    """Give the worst hold among the steps that use a recipe."""
    steps = [one for one in judge_job(case).steps if one.cutting.step.recipe == recipe]
    worst = max(steps, key=lambda one: float("inf") if one.holding.use is None else one.holding.use)
    chance = worst.holding.weakest.chance_over if worst.holding.weakest else None
    return HoldUse(worst.cutting.number, worst.holding.use, chance)


def chances_in(case: JobCase, recipe: str, derating: Derating) -> dict[str, float]:
    """Give the chances of a child's limits on loads, its hold's in a job among them."""
    found = hold_use(with_recipe(case, recipe, derating.check.case), recipe)
    hold = {} if found.chance_over is None else {"hold": found.chance_over}
    return load_chances(derating.check) | hold
