"""A first recipe for people: the sentence, what limits it, and what one more step would cost."""

from __future__ import annotations

from collections.abc import Iterator

from swarfbook import quantities
from swarfbook.decisions.derate import percent_text
from swarfbook.decisions.first_values import Wishes
from swarfbook.decisions.solve import RANGE, Solution, Step
from swarfbook.decisions.titles import said, title
from swarfbook.reports.ladder import ladder_text
from swarfbook.reports.sentence import sentence_of, sentence_text
from swarfbook.reports.words import wrapped

TRIAL = (
    "A trial from tables and physics: come up to it in steps, a half first, and log what happens. "
    "Makers' limits come first; every figure is an estimate."
)


def solve_lines(
    found: Solution, wishes: Wishes, *, width: int, system: str | None, plain: bool = False
) -> list[str]:
    """Write a solution.

    Args:
        found: the solution.
        wishes: what was asked.
        width: columns there are.
        system: units shown; None shows values as typed.
        plain: draw with ASCII only.
    """
    check = found.check
    rate = check.figures["material_removal_rate"]
    unit = None if system == "imperial" else rate.unit
    shown = quantities.show(found.removal_rate, rate.dimension, unit=unit, system=system or "metric")
    told = [f"{shown} come off. {_limits(found)}", *_steps(found), "", TRIAL, *_cautions(found)]
    return [
        solve_title(wishes),
        "",
        sentence_text(sentence_of(check.case, system=system), width=width),
        "",
        ladder_text(check, width=width, plain=plain, system=system or "metric"),
        "",
        *wrapped(told, width=width),
    ]


def solve_title(wishes: Wishes) -> str:
    """Say what a solution is."""
    return f"A first recipe, {percent_text(wishes.margin)} of every limit on a load left free"


def _limits(found: Solution) -> str:
    if not found.limited_by:
        return "What the job fixes leaves nothing to gain."
    return f"What it may use is used up by {', '.join(title(name) for name in found.limited_by)}."


def _steps(found: Solution) -> Iterator[str]:
    yield "A tenth more of"
    for step in found.steps:
        yield f"  {said(step.knob)}: {_cost(step)}"


def _cost(step: Step) -> str:
    if step.limit == RANGE:
        return "there is no more of it"
    return f"{title(step.limit)} at {step.use:.2f} of what it may use"


def _cautions(found: Solution) -> Iterator[str]:
    for line in found.check.cautions:
        yield f"Mind: {line}"
