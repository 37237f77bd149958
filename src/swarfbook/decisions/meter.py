"""What a trace of power says of a run: the idle level, when it cut, and how much power that took.

Levels are found by splitting the time a trace spends at each power in two (Otsu's method), the lower part
again, and so on down: the lowest split between two clear levels parts idle from the lightest cutting. An
idle spindle therefore stays apart from light and heavy cutting, which one split would mix. Before that the
spindle standing still is left out, and so is its start, which may draw several times what cutting does.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from swarfbook.decisions.trace import Trace
from swarfbook.errors import Problem, SwarfbookError

Numbers = NDArray[np.float64]
Flags = NDArray[np.bool_]

OFF_SHARE: Final = 0.05
"""Of the power not exceeded in `OFF_OF` of the time above the step: less is a spindle that stands still; a
judgement: drives at rest take some 10 W, a turning spindle seldom less than a tenth of cutting."""
OFF_OF: Final = 0.9
"""A judgement: cutting takes more than a tenth of the time above the step, its spikes less."""
OFF_AT_FIRST: Final = 0.01
"""Of the largest power, before any level is known; a judgement: that may be a start of ten times idle, and
less than a tenth of that is no spindle that turns."""
LEAST_STEP: Final = 1.1
"""Cutting over idle; a judgement: a smaller step cannot be told from the drift of a spindle warming up."""
CLEAR_STEP: Final = 2.2
"""Distance of two levels over the sum of their spreads from which they are two; a judgement. Halves of one
level reach 1.1 under normal noise, 1.5 along a ramp and 2.0 on a sine."""
FEW_SAMPLES: Final = 4
"""Samples in a level at which the step must be twice as clear; a judgement: few tell little of the spread."""
IDLE_HELD: Final = 2.0
"""[s] at a stretch; a judgement: a ramp passes through a power faster, an idle spindle stays."""
CUT_SHARE: Final = 0.1
"""Of the time above idle that the lightest cutting lasts at least; a judgement: ramps last less."""
NEAR: Final = 3.0
"""Spreads from the median within which samples make a level; a judgement: 99.7 % of normal noise."""
MOST_SPLITS: Final = 6
"""Levels looked for below each other; a judgement: off, idle and a few depths of cut."""
SHORTEST: Final = 0.7
"""[s]; shorter gaps are joined, then shorter spans dropped; a judgement: one sample counts in a trace at
1 Hz and does not at 2 Hz."""
START_RISE: Final = 3.0
"""[s] from standing still to above the step that make it a start and no cut; a judgement."""
START_LASTS: Final = 10.0
"""[s]; a judgement: drives take up to that long to bring a spindle to speed, and nobody cuts meanwhile."""
FIRST_START: Final = 3.0
"""[s]; a judgement: where the trace itself begins above the step, a shorter span is a start."""
MOST_ROUNDS: Final = 12
"""Rounds of leaving out and splitting again; a judgement: three settle nearly every trace."""

IDLE_HELP: Final = "give the idle reading: the power while the spindle turns and does not cut"


@dataclass(frozen=True, slots=True)
class Cutting:
    """When a run cut, and the power that took.

    Attributes:
        idle: power while the spindle turns without cutting [W].
        idle_given: whether `idle` was given and not found.
        step: half way between idle and (the lightest) cutting; above it counts as cutting [W].
        spans: start and end of each cut [s], by the trace's time.
        time: total of the spans [s].
        mean: mean power while cutting, idle in it [W].
        peak: largest power while cutting, idle in it [W].
        high: power not exceeded in 99 % of the cutting time, idle in it [W]; a lone sample does not move it.
        apparent: whether all this is amps times volts.
    """

    idle: float
    idle_given: bool
    step: float
    spans: tuple[tuple[float, float], ...]
    time: float
    mean: float
    peak: float
    high: float
    apparent: bool

    @property
    def net_mean(self) -> float:
        """Mean power while cutting above idle [W]."""
        return self.mean - self.idle

    @property
    def net_peak(self) -> float:
        """Largest power while cutting above idle [W]."""
        return self.peak - self.idle


@dataclass(frozen=True, slots=True)
class _Levels:
    """Idle [W] and the step above which it cuts [W]."""

    idle: float
    step: float


def cutting(trace: Trace, *, idle: float | None = None) -> Cutting:
    """Find when a run cut and the power it took.

    Each sample stands for half the way to its neighbours: inside a span that is the trapezoidal rule, and
    at its ends the power holds for the half step to the sample outside, so that a slow meter does not bring
    the mean down at each end. Starts are told from cuts by what comes before: a span that begins within
    `START_RISE` of the spindle standing still is one, for at most `START_LASTS`, as is a shorter one than
    `FIRST_START` at the very beginning.

    Args:
        trace: the power over time.
        idle: power while the spindle turns without cutting [W]; found when left out.

    Raises:
        SwarfbookError: when the idle given is no power, when no step can be told between idle and cutting,
            or when nothing lies above the idle given.
    """
    if idle is not None and not (math.isfinite(idle) and idle >= 0.0):
        raise _fail(trace, "an idle reading is a power from 0 W up", f"{idle} W")
    weights = _weights(trace.time)
    levels, starting = _settled(trace, weights, idle)
    cuts = [
        run
        for run in _joined(trace.time, (trace.power > levels.step) & ~starting)
        if _lasts(trace.time, run) >= SHORTEST
    ]
    if not cuts:
        raise _fail(trace, f"no cut in it lasts {SHORTEST} s; {IDLE_HELP}, or a longer run")
    inside = _flags(trace.time.size, cuts)
    power, share = trace.power[inside], weights[inside]
    spans = tuple(_span(trace.time, run) for run in cuts)
    return Cutting(
        idle=levels.idle,
        idle_given=idle is not None,
        step=levels.step,
        spans=spans,
        time=math.fsum(end - start for start, end in spans),
        mean=float(np.average(power, weights=share)),
        peak=float(power.max()),
        high=_quantile(power, share, 0.99),
        apparent=trace.apparent,
    )


def _fail(trace: Trace, remedy: str, found: str = "") -> SwarfbookError:
    return SwarfbookError(Problem(trace.where, "", found, remedy))


def _settled(trace: Trace, weights: Numbers, idle: float | None) -> tuple[_Levels, Flags]:
    """Find levels and starts in rounds: what is off and what is a start follow from the levels and back."""
    starting = np.zeros(trace.time.size, dtype=bool)
    levels = _levels(trace, weights, trace.power >= OFF_AT_FIRST * trace.power.max(), idle)
    for _ in range(MOST_ROUNDS):
        before, still = levels, _still(trace, weights, levels, starting)
        off = trace.power < still
        # Where idle itself is that low, idle and cutting are one span yet, which begins from standing still.
        starting = np.zeros_like(off) if levels.idle < still else _starts(trace, levels, off)
        levels = _levels(trace, weights, ~(off | starting), idle)
        if levels == before:
            break
    return levels, starting


def _levels(trace: Trace, weights: Numbers, kept: Flags, idle: float | None) -> _Levels:
    return _found(trace, weights, kept) if idle is None else _above(trace, weights, kept, idle)


def _still(trace: Trace, weights: Numbers, levels: _Levels, starting: Flags) -> float:
    """Give the power below which the spindle stands still [W].

    Spans as short as a start do not count; where there are no others, what lies below them is idle, since
    no spindle is switched on for so short a time.
    """
    running = (trace.power > levels.step) & ~starting
    if not running.any():
        return 0.0
    runs = _joined(trace.time, running)
    long = [run for run in runs if _lasts(trace.time, run) >= FIRST_START]
    counted = running & _flags(trace.time.size, long or runs)
    still = OFF_SHARE * _quantile(trace.power[counted], weights[counted], OFF_OF)
    return still if long else min(still, levels.idle / 2)


def _found(trace: Trace, weights: Numbers, kept: Flags) -> _Levels:
    """Find the lowest split between two clear levels, from the whole down; refuse a trace without any."""
    lowest, part = None, kept
    for _ in range(MOST_SPLITS):
        bound = _split(trace.power[part], weights[part])
        if bound is None:
            break
        low, high = part & (trace.power <= bound), part & (trace.power > bound)
        if _is_clear(trace, weights, low, high, kept & (trace.power > bound)):
            lowest = low, high
        part = low
    if lowest is None:
        raise _fail(
            trace,
            "no step between an idle spindle and cutting can be told; let the trace begin with the spindle "
            f"turning free for some seconds, or {IDLE_HELP}",
        )
    level, cut = (_level(trace.power[side], weights[side]) for side in lowest)
    return _Levels(level, (level + cut) / 2)


def _split(power: Numbers, weights: Numbers) -> float | None:
    """Split time by power so that the means of both parts lie apart the most (Otsu).

    Gives the largest power of the lower part [W]; None where all are alike.
    """
    if not power.size or power.min() == power.max():
        return None
    order = np.argsort(power, kind="stable")
    ordered, time = power[order], np.cumsum(weights[order])
    energy = np.cumsum(weights[order] * ordered)
    ends = np.flatnonzero((np.diff(ordered) > 0) & (time[:-1] > 0) & (time[:-1] < time[-1]))
    if not ends.size:
        return None
    share = time[ends] / time[-1]
    apart = (energy[-1] * share - energy[ends]) ** 2 / (share * (1 - share))
    return float(ordered[ends[np.argmax(apart)]])


def _is_clear(trace: Trace, weights: Numbers, low: Flags, high: Flags, above: Flags) -> bool:
    """Say whether two parts are two levels: apart, steady, and each kept up long enough to be one.

    Middle and spread are a median and quantiles, which neither ramps nor a start's few samples move.
    """
    (bottom, below), (top, spread) = (_middle(trace.power[side], weights[side]) for side in (low, high))
    clear = CLEAR_STEP * (1 + FEW_SAMPLES / min(int(low.sum()), int(high.sum())))
    if top < LEAST_STEP * bottom or top - bottom < clear * (below + spread):
        return False
    held = max(_lasts(trace.time, run) for run in _runs(low))
    return held >= IDLE_HELD and weights[high].sum() >= CUT_SHARE * weights[above].sum()


def _above(trace: Trace, weights: Numbers, kept: Flags, idle: float) -> _Levels:
    """Find the step above an idle that was given: half way to the mean of all above the step itself."""
    step = idle * LEAST_STEP
    for _ in range(MOST_ROUNDS):
        above = kept & (trace.power > step)
        if not above.any():
            raise _fail(
                trace,
                f"nothing lies above {step:.4g} W, where a cut could be told; give the idle reading of this "
                "spindle at this speed",
                f"idle {idle:.4g} W",
            )
        cut = float(np.average(trace.power[above], weights=weights[above]))
        step, last = max((idle + cut) / 2, idle * LEAST_STEP), step
        if step == last:
            break
    return _Levels(idle, step)


def _starts(trace: Trace, levels: _Levels, off: Flags) -> Flags:
    """Flag the samples in which the spindle starts and draws more than the step."""
    starting = np.zeros(trace.time.size, dtype=bool)
    still = np.flatnonzero(off)
    for first, end in _joined(trace.time, trace.power > levels.step):
        if first == 0:
            starting[:end] = _lasts(trace.time, (first, end)) < FIRST_START
            continue
        place = int(np.searchsorted(still, first)) - 1
        last_still = int(still[place]) if place >= 0 else -1
        if last_still == first - 1 or (
            last_still >= 0 and trace.time[first] - trace.time[last_still] <= START_RISE
        ):
            starting[first:end] = trace.time[first:end] < trace.time[first] + START_LASTS
    return starting


def _weights(time: Numbers) -> Numbers:
    """Give the time each sample stands for [s]: half the way to each neighbour."""
    edges = _edges(time)
    weights: Numbers = np.diff(edges)
    return weights


def _edges(time: Numbers) -> Numbers:
    """Give the ends of the time each sample stands for [s]; shape (n + 1,)."""
    edges: Numbers = np.concatenate((time[:1], (time[:-1] + time[1:]) / 2, time[-1:]))
    return edges


def _span(time: Numbers, run: tuple[int, int]) -> tuple[float, float]:
    """Give start and end [s] of samples from one to before another."""
    first, end = run
    start = time[0] if first == 0 else (time[first - 1] + time[first]) / 2
    stop = time[-1] if end == time.size else (time[end - 1] + time[end]) / 2
    return float(start), float(stop)


def _lasts(time: Numbers, run: tuple[int, int]) -> float:
    start, end = _span(time, run)
    return end - start


def _runs(flags: Flags) -> list[tuple[int, int]]:
    """Give each stretch of flags: its first place and the one after its last."""
    padded = np.concatenate(([False], flags, [False]))
    changes = np.flatnonzero(padded[1:] != padded[:-1])
    return list(zip(changes[::2].tolist(), changes[1::2].tolist(), strict=True))


def _joined(time: Numbers, flags: Flags) -> list[tuple[int, int]]:
    """Give the stretches of flags, those joined with less than `SHORTEST` between them."""
    runs = _runs(flags)
    if not runs:
        return []
    apart = [_lasts(time, (before[1], after[0])) >= SHORTEST for before, after in pairwise(runs)]
    firsts = [runs[0][0], *(run[0] for run, new in zip(runs[1:], apart, strict=True) if new)]
    ends = [*(run[1] for run, new in zip(runs[:-1], apart, strict=True) if new), runs[-1][1]]
    return list(zip(firsts, ends, strict=True))


def _flags(size: int, runs: list[tuple[int, int]]) -> Flags:
    """Flag the places inside of stretches."""
    flags = np.zeros(size, dtype=bool)
    for first, end in runs:
        flags[first:end] = True
    return flags


def _middle(power: Numbers, weights: Numbers) -> tuple[float, float]:
    """Give the median over time, and half the width of the middle 68 % (one sigma of normal noise) [W]."""
    low, middle, high = (_quantile(power, weights, share) for share in (0.16, 0.5, 0.84))
    return middle, (high - low) / 2


def _level(power: Numbers, weights: Numbers) -> float:
    """Give the mean over time of what lies near the median [W]: without ramps, with little noise."""
    middle, spread = _middle(power, weights)
    near = np.abs(power - middle) <= NEAR * spread
    return float(np.average(power[near], weights=weights[near]))


def _quantile(power: Numbers, weights: Numbers, share: float) -> float:
    """Give the power not exceeded in a share of the time [W]."""
    order = np.argsort(power, kind="stable")
    time = np.cumsum(weights[order])
    return float(power[order][min(int(np.searchsorted(time, share * time[-1])), power.size - 1)])
