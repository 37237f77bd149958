"""The course of one piece through a job: what is left of it, and when it is heated, step by step."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from swarfbook.decisions.jobs.costing import Wait
from swarfbook.decisions.jobs.heating import Spell, conductance, heat_share
from swarfbook.decisions.jobs.loading import Cutting, JobCase
from swarfbook.records.job import Hold

HAIR = 1e-9


@dataclass(frozen=True, slots=True)
class Left:
    """What stands on the machine while a step cuts [m].

    Attributes:
        length, width: of the stock, or of the part where it is cut free.
        thickness: when the step begins.
        free: the part is cut out of its stock, or this step cuts it out.
        frees: this is the step that does.
    """

    length: float
    width: float
    thickness: float
    free: bool
    frees: bool


def is_through(case: JobCase, one: Cutting) -> bool:
    """Say whether a step cuts right through the part."""
    return one.feature.depth >= case.job.part.thickness * (1 - HAIR) and not one.step.floor


def course(case: JobCase) -> tuple[Left, ...]:
    """Give what stands on the machine at each step."""
    return tuple(_course(case))


def _course(case: JobCase) -> Iterator[Left]:
    job, free = case.job, False
    thickness = job.stock.thickness
    for one in case.cuttings:
        frees = not free and one.feature.kind == "outside" and is_through(case, one)
        free = free or frees
        whole = (job.stock.length, job.stock.width or job.stock.thickness)
        length, width = (job.part.length, job.part.width) if free else whole
        yield Left(length, width, thickness, free, frees)
        if one.feature.kind == "face":
            thickness = max(thickness - one.feature.depth, HAIR)


def holds_on(case: JobCase, side: str) -> tuple[Hold, ...]:
    """Give what holds the piece on a side."""
    return tuple(hold for hold in case.job.holds if hold.side == side)


def spells(
    case: JobCase, waits: Sequence[Wait], cuttings: Sequence[Cutting], *, pace: float = 1.0
) -> tuple[Spell, ...]:
    """Give the stretches of heat and rest of one piece.

    Args:
        case: the job.
        waits: what comes before each step.
        cuttings: its steps, in the order in which they are cut.
        pace: by which cutting times are stretched, 1 for as they are [1].
    """
    found: list[Spell] = []
    for index, (one, wait) in enumerate(zip(cuttings, waits, strict=True)):
        found += _resting(case, index, one, wait)
        found.append(_cutting(case, index, one, pace))
    return tuple(found)


def _resting(case: JobCase, index: int, one: Cutting, wait: Wait) -> Iterator[Spell]:
    still = conductance(case.job, holds_on(case, one.step.side), "dry")
    rests = {"setup": wait.setup, "tool change": wait.tool_change, "pause": wait.pause}
    for what, duration in rests.items():
        if duration:
            yield Spell(index, what, duration, 0.0, still, 0.0)


def _cutting(case: JobCase, index: int, one: Cutting, pace: float) -> Spell:
    cooling = one.case.recipe.cooling
    seconds = one.time.seconds * pace
    energy = one.time.mean_power * one.time.seconds * heat_share(case.family, cooling)
    return Spell(
        step=index,
        what="cut",
        duration=seconds,
        heat=energy / seconds,
        conductance=conductance(case.job, holds_on(case, one.step.side), cooling),
        volume_lost=one.time.way.volume,
        force_sd=one.case.choice.sd,
    )
