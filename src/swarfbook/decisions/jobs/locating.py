"""Finding the piece again on its second side: what the location error costs, and what has to cover it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from swarfbook.decisions.jobs.loading import Cutting
from swarfbook.decisions.jobs.timing import default_si
from swarfbook.records.job import Flip, Job

Verdict = Literal["covered", "short", "step"]
FINISHES = ("finish", "face-finish")


@dataclass(frozen=True, slots=True)
class Relocation:
    """One feature that the location error of the second side reaches.

    Attributes:
        feature: its id.
        error: how far off the piece may be found again [m].
        assumed: whether the error is the table's.
        allowance: what the steps before left on the wall for the second side to take [m]; None where nothing
            is cut there before.
        tolerance: of the feature [m]; None without one.
        verdict: "covered" where the allowance is at least the error; "short" where it is less, so that the
            finishing cut misses or digs in; "step" where both sides finish the wall and an edge the height
            of the error stays between them.
    """

    feature: str
    error: float
    assumed: bool
    allowance: float | None
    tolerance: float | None
    verdict: Verdict

    @property
    def missing(self) -> float:
        """Allowance that is missing [m]; 0 where it is covered."""
        return max(self.error - (self.allowance or 0.0), 0.0)


def location_error(flip: Flip) -> tuple[float, bool]:
    """Give how far off a piece may be found again [m], and whether that is assumed."""
    if flip.error is not None:
        return flip.error, False
    return default_si(f"locate-error-{flip.locate}"), True


def relocations(job: Job, cuttings: Sequence[Cutting]) -> tuple[Relocation, ...]:
    """Judge every feature that is cut on the second side after the first has begun it, or has both done."""
    if job.flip is None:
        return ()
    return tuple(_relocations(job.flip, cuttings))


def _relocations(flip: Flip, cuttings: Sequence[Cutting]) -> Iterator[Relocation]:
    error, assumed = location_error(flip)
    for feature in {one.feature.id: one.feature for one in cuttings}.values():
        here = [one for one in cuttings if one.feature.id == feature.id]
        first = [one for one in here if one.step.side == "first"]
        if not first or len(first) == len(here):
            continue
        left = _left(first[-1])
        finished = first[-1].case.recipe.operation in FINISHES or left == 0
        verdict: Verdict = "step" if finished else "covered" if left >= error * (1 - 1e-9) else "short"
        yield Relocation(feature.id, error, assumed, None if finished else left, feature.tolerance, verdict)


def _left(one: Cutting) -> float:
    """What a step leaves on the wall [m]."""
    if one.step.allowance is not None:
        return one.step.allowance
    return one.case.recipe.allowance or 0.0
