"""What would keep a warm hold holding: a pause, a slower pace, another order, each worked out."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from swarfbook.decisions.jobs import heating, holding
from swarfbook.decisions.jobs.costing import Wait
from swarfbook.decisions.jobs.judging import JobReport, StepReport
from swarfbook.decisions.jobs.loading import Cutting
from swarfbook.decisions.jobs.planning import holds_on, spells
from swarfbook.decisions.jobs.rungs import push

Kind = Literal["pause", "stops", "pace", "order", "hold"]
LONGEST_PAUSE = 4 * 3600.0
STOP = 600.0
"""Length of a stop in the middle of a step [s]."""
MOST_STOPS = 12
SLOWEST = 6.0
CLOSE = 1e-3


@dataclass(frozen=True, slots=True)
class Cure:
    """One thing that would do.

    Attributes:
        kind: "pause" before the step, "stops" of ten minutes within it, "pace" of the cuts up to it, "order",
            or "hold", which changes what holds.
        step: number of the step it helps.
        amount: length of a pause [s], number of stops, time over time for a pace, number of the step to go
            before; 0 for a hold.
        temperature: of the stock at its warmest in that step then [K].
        seconds: what it costs in time on one piece [s].
        text: the change of a hold in words; empty for the others.
    """

    kind: Kind
    step: int
    amount: float
    temperature: float
    seconds: float
    text: str = ""


@dataclass(frozen=True, slots=True)
class Trouble:
    """A step whose hold is not well inside what it stands.

    Attributes:
        report: the step.
        index: its place in the job, from 0.
        cool: temperature at which the hold is well inside again [K]; None where it is not even when cold.
    """

    report: StepReport
    index: int
    cool: float | None


def troubles(report: JobReport) -> tuple[Trouble, ...]:
    """Give the steps whose hold is tight or over, the worst first."""
    tight = report.case.settings.thresholds.tight
    found = [
        Trouble(step, index, _cool_enough(report, step, tight))
        for index, step in enumerate(report.steps)
        if (step.holding.use or 0.0) > tight
    ]
    return tuple(sorted(found, key=lambda one: -(one.report.holding.use or 0.0)))


def cures(report: JobReport) -> tuple[Cure, ...]:
    """Work out what would help the step whose hold is worst; empty where every hold is well inside."""
    worst = next(iter(troubles(report)), None)
    if worst is None:
        return ()
    found: list[Cure] = []
    if worst.cool is not None and worst.cool < worst.report.temperature.value:
        found += filter(None, (_pause(report, worst), _pace(report, worst)))
        found += _orders(report, worst)
    number = worst.report.cutting.number
    warm = worst.report.temperature.value
    found += (Cure("hold", number, 0.0, warm, 0.0, text) for text in worst.report.holding.remedies)
    return tuple(found)


def _cool_enough(report: JobReport, step: StepReport, tight: float) -> float | None:
    """Bisect for the temperature at which the hold's use is the threshold."""
    ambient = report.warmth.body.ambient
    if _use_at(report, step, ambient) > tight:
        return None
    return _bisect(lambda warm: _use_at(report, step, warm) <= tight, ambient, step.temperature.value)


def _use_at(report: JobReport, step: StepReport, temperature: float) -> float:
    case = report.case
    piece = replace(step.piece, temperature=replace(step.temperature, value=temperature, centre=None))
    holds = holds_on(case, step.cutting.step.side)
    return holding.judge(holds, push(step.cutting, step.left), piece, case.settings).use or math.inf


def _bisect(good: Callable[[float], bool], low: float, high: float) -> float:
    """Give the last value, from one that is good towards one that is not, that is still good."""
    while abs(high - low) > CLOSE * max(abs(low), 1.0) * 0.01:
        middle = (low + high) / 2
        low, high = (middle, high) if good(middle) else (low, middle)
    return low


def _peak(
    report: JobReport,
    index: int,
    *,
    waits: Sequence[Wait] | None = None,
    pace: float = 1.0,
    order: Sequence[int] = (),
) -> float:
    """Temperature of a step at its warmest under other waits, another pace or another order [K]."""
    cuttings = report.case.cuttings
    order = order or range(len(cuttings))
    waits = waits or report.time.waits
    warmth = heating.warm_up(
        report.warmth.body,
        spells(report.case, [waits[i] for i in order], [cuttings[i] for i in order], pace=pace),
    )
    return warmth.peak(list(order).index(index))


def _pause(report: JobReport, trouble: Trouble) -> Cure | None:
    """Give the pause before a step that keeps it cool enough; stops within it where one pause cannot."""
    cool = trouble.cool or 0.0

    def peak(pause: float) -> float:
        return _peak(report, trouble.index, waits=_longer(report.time.waits, trouble.index, pause))

    if peak(LONGEST_PAUSE) > cool:
        return _stops(report, trouble)
    pause = _bisect(lambda seconds: peak(seconds) <= cool, LONGEST_PAUSE, 0.0)
    return Cure("pause", trouble.report.cutting.number, pause, peak(pause), pause)


def _longer(waits: Sequence[Wait], index: int, pause: float) -> list[Wait]:
    return [replace(wait, pause=wait.pause + pause) if i == index else wait for i, wait in enumerate(waits)]


def _stops(report: JobReport, trouble: Trouble) -> Cure | None:
    for stops in range(1, MOST_STOPS + 1):
        peak = _stopped(report, trouble.index, stops)
        if peak <= (trouble.cool or 0.0):
            return Cure("stops", trouble.report.cutting.number, stops, peak, stops * STOP)
    return None


def _stopped(report: JobReport, index: int, stops: int) -> float:
    """Temperature of a step at its warmest with stops before it and spread over it [K]."""
    whole: list[heating.Spell] = []
    for spell in report.warmth.spells:
        if spell.step != index or spell.what != "cut":
            whole.append(spell)
            continue
        still = heating.conductance(report.case.job, holds_on(report.case, _side(report, index)), "dry")
        part = replace(spell, duration=spell.duration / stops, volume_lost=spell.volume_lost / stops)
        for _ in range(stops):
            whole += [heating.Spell(index, "pause", STOP, 0.0, still, 0.0), part]
    return heating.warm_up(report.warmth.body, whole).peak(index)


def _side(report: JobReport, index: int) -> str:
    return report.case.cuttings[index].step.side


def _pace(report: JobReport, trouble: Trouble) -> Cure | None:
    """Give the pace of all cuts up to a step that keeps it cool enough."""
    cool = trouble.cool or 0.0
    if _peak(report, trouble.index, pace=SLOWEST) > cool:
        return None
    pace = _bisect(lambda times: _peak(report, trouble.index, pace=times) <= cool, SLOWEST, 1.0)
    cutting = sum(one.time.seconds for one in report.case.cuttings[: trouble.index + 1])
    peak = _peak(report, trouble.index, pace=pace)
    return Cure("pace", trouble.report.cutting.number, pace, peak, cutting * (pace - 1))


def _orders(report: JobReport, trouble: Trouble) -> Iterator[Cure]:
    """Yield the earliest place before which the step could be cut while the stock is still cool enough."""
    cuttings = report.case.cuttings
    for before in range(trouble.index):
        if not _may_go_before(cuttings, trouble.index, before):
            continue
        order = list(range(len(cuttings)))
        order.insert(before, order.pop(trouble.index))
        peak = _peak(report, trouble.index, order=order)
        if peak <= (trouble.cool or 0.0):
            number = trouble.report.cutting.number
            yield Cure("order", number, float(cuttings[before].number), peak, 0.0)
            return


def _may_go_before(cuttings: Sequence[Cutting], index: int, before: int) -> bool:
    """Say whether a step may be cut before another: not past its own feature, nor where it frees the part."""
    moved, passed = cuttings[index], cuttings[before:index]
    same_side = all(one.step.side == moved.step.side for one in passed)
    return (
        same_side
        and moved.feature.kind != "outside"
        and all(one.feature.id != moved.feature.id for one in passed)
    )
