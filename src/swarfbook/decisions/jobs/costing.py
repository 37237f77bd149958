"""Time and money of a whole job: setups, changes of cutter, pauses and cuts, piece after piece."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from swarfbook.decisions.jobs.loading import Cutting
from swarfbook.decisions.jobs.timing import default_si
from swarfbook.records.job import Job


@dataclass(frozen=True, slots=True)
class Wait:
    """What comes before a step [s]: fixing the piece, another cutter, a pause; what is not there is 0."""

    setup: float
    tool_change: float
    pause: float

    @property
    def seconds(self) -> float:
        """All of it [s]."""
        return self.setup + self.tool_change + self.pause


@dataclass(frozen=True, slots=True)
class JobTime:
    """Time of a job.

    Attributes:
        pieces_of_stock: pieces put on the machine.
        waits: what comes before each step of a piece.
        cutting: cutting time of a piece, short moves and returns in it [s].
        stretches: times the machine runs between two touches of a hand [s].
        derating: what backing recipes off costs a piece [s].
    """

    pieces_of_stock: int
    waits: tuple[Wait, ...]
    cutting: float
    stretches: tuple[float, ...]
    derating: float

    @property
    def piece(self) -> float:
        """Time of one piece of stock [s]."""
        return self.cutting + sum(wait.seconds for wait in self.waits)

    @property
    def total(self) -> float:
        """Time of the whole job [s]."""
        return self.piece * self.pieces_of_stock

    @property
    def hands_off(self) -> float:
        """Longest time the machine runs without a hand [s]."""
        return max(self.stretches, default=0.0)


@dataclass(frozen=True, slots=True)
class Bill:
    """Money of a job, in its currency; None where a rate or a price is not given.

    Attributes:
        machine: the machine's hours.
        material: the bars, plates or sheets bought.
        derating: part of `machine` that backing off costs.
    """

    machine: float | None
    material: float | None
    derating: float | None
    parts: int

    @property
    def total(self) -> float | None:
        """What is known of the two together; None where neither is."""
        known = [one for one in (self.machine, self.material) if one is not None]
        return sum(known) if known else None

    @property
    def each(self) -> float | None:
        """Of one part."""
        return None if self.total is None else self.total / self.parts


def job_time(job: Job, cuttings: Sequence[Cutting]) -> JobTime:
    """Add up the time of a job."""
    waits = tuple(_waits(job, cuttings))
    return JobTime(
        pieces_of_stock=math.ceil(job.quantity / job.pieces),
        waits=waits,
        cutting=sum(one.time.seconds for one in cuttings),
        stretches=tuple(_stretches(cuttings, waits)),
        derating=sum(_lost(one) for one in cuttings),
    )


def _waits(job: Job, cuttings: Sequence[Cutting]) -> Iterator[Wait]:
    fixing = job.setup_time if job.setup_time is not None else default_si("setup-time")
    changing = job.tool_change_time if job.tool_change_time is not None else default_si("tool-change-time")
    side = tool = None
    for one in cuttings:
        setup = fixing if one.step.side != side else 0.0
        # The first cutter goes in while the first piece is fixed; for the next piece it has to be put back.
        change = (
            changing if one.case.recipe.tool != tool and (tool is not None or _changes(cuttings)) else 0.0
        )
        yield Wait(setup, change, one.step.pause or 0.0)
        side, tool = one.step.side, one.case.recipe.tool


def _changes(cuttings: Sequence[Cutting]) -> bool:
    """Say whether a piece ends with another cutter than it begins with."""
    return cuttings[0].case.recipe.tool != cuttings[-1].case.recipe.tool


def _stretches(cuttings: Sequence[Cutting], waits: Sequence[Wait]) -> Iterator[float]:
    running = 0.0
    for one, wait in zip(cuttings, waits, strict=True):
        if wait.setup or wait.tool_change:
            if running:
                yield running
            running = 0.0
        running += one.time.seconds + wait.pause
    yield running


def _lost(one: Cutting) -> float:
    before = one.time.seconds_before_derating
    return 0.0 if before is None else max(one.time.seconds - before, 0.0)


def bill(job: Job, time: JobTime, bought: int | None) -> Bill:
    """Work out the money of a job.

    Args:
        job: the job.
        time: its time.
        bought: bars, plates or sheets that are bought; None where no part comes out of one.
    """
    rate = None if job.hourly_rate is None else job.hourly_rate / 3600
    return Bill(
        machine=None if rate is None else rate * time.total,
        material=None if job.material_price is None or bought is None else job.material_price * bought,
        derating=None if rate is None else rate * time.derating * time.pieces_of_stock,
        parts=job.quantity,
    )
