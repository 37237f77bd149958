"""What the run log says of a machine, a cutter and a material: high-water marks and what a recipe has earned.

A demand is compared with what ran clean by the same formulas and the same knowledge of today, so that an
assumption that turns out wrong is wrong on both sides.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from itertools import accumulate
from typing import Literal, Protocol, runtime_checkable

from swarfbook.frozen import frozen

LOADS = frozenset(
    (
        "cutting_power",
        "cutting_torque_mean",
        "cutting_torque_peak",
        "thrust_demand",
        "bending_demand",
        "deflection_total",
    )
)
"""Demands that grow with the cutting force; the others are settings, such as speed and depth."""
HAIR = 1e-9  # relative: the same cut worked out twice is the same cut

Sense = Literal["maximum", "minimum"]
Earned = Literal["trial", "proven"]
Rank = Callable[[float], float]


@frozen
class Learnt:
    """What measured power says of the cutting force of one material and cutter.

    Attributes:
        factor: measured over predicted force, median [1].
        sd: log standard deviation of a cut's force that is left, run-to-run scatter in it.
        base_sd: log standard deviation before anything was measured, inside the law's fitted range.
        runs: runs that say something of the material or of the cutter.
    """

    factor: float
    sd: float
    base_sd: float
    runs: int


@frozen
class Cut:
    """One run, as far as it is evidence.

    Attributes:
        run: its name in the log.
        recipe: id of the recipe.
        numbers: digest of the recipe's numbers as programmed.
        as_programmed: whether no override was on.
        at: when it ended.
        outcome: the outcome's word.
        minutes: time in the cut [min].
        stickout: cutter out of the collet [m].
        demands: what it asked [SI], by the name of the demand, by the law as it is tabulated.
    """

    run: str
    recipe: str
    numbers: str
    as_programmed: bool
    at: datetime
    outcome: str
    minutes: float
    stickout: float
    demands: Mapping[str, float]

    @property
    def clean(self) -> bool:
        """Whether it ran clean, for however long."""
        return self.outcome == "clean"


@frozen
class Tracked:
    """The cuts of one recipe, as far as they tell of its standing.

    Attributes:
        named: how many there are.
        own: how many of them at its own numbers, as programmed.
        trouble: the latest bad one of these; None where none was bad.
        minutes: of those of its own that were clean for long enough and after it, in order of time [min].
        last_clean: when the latest of these ended; None where there are none.
    """

    named: int
    own: int
    trouble: Cut | None
    minutes: list[float]
    last_clean: datetime | None


@runtime_checkable
class Picked(Protocol):
    """Cuts that are quicker picked from columns than looked through; see `decisions.cuts`."""

    def has(self, recipe: str) -> bool:
        """Say whether there is a cut of a recipe."""

    def tracked(self, recipe: str, numbers: str, clean_time: float) -> Tracked:
        """Give what tells of a recipe's standing."""

    def telling(self, clean_time: float) -> tuple[list[Cut], list[Cut]]:
        """Give the cuts clean for so long [s], and the bad ones, without those that no mark depends on."""


@frozen
class Past:
    """The runs of one machine, cutter and material.

    Attributes:
        cuts: every run that counts, in order of time; of a log `decisions.cuts.Cuts`.
        learnt: what measured power says of the force; None where nothing was measured.
    """

    cuts: Sequence[Cut] = ()
    learnt: Learnt | None = None

    def has(self, recipe: str) -> bool:
        """Say whether there is a run of a recipe."""
        if isinstance(self.cuts, Picked):
            return self.cuts.has(recipe)
        return any(cut.recipe == recipe for cut in self.cuts)

    def tracked(self, recipe: str, numbers: str, clean_time: float) -> Tracked:
        """Give what tells of a recipe's standing at its numbers; arguments as of `track_record`."""
        if isinstance(self.cuts, Picked):
            return self.cuts.tracked(recipe, numbers, clean_time)
        named = [cut for cut in self.cuts if cut.recipe == recipe]
        own = [cut for cut in named if cut.as_programmed and cut.numbers == numbers]
        bad = [cut for cut in own if not cut.clean]
        since = [cut for cut in own if not bad or cut.at > bad[-1].at]
        clean = [cut for cut in since if _counts(cut, clean_time)]
        return Tracked(
            named=len(named),
            own=len(own),
            trouble=bad[-1] if bad else None,
            minutes=[cut.minutes for cut in clean],
            last_clean=clean[-1].at if clean else None,
        )

    def sorted(self, clean_time: float, *, every: bool) -> tuple[list[Cut], list[Cut]]:
        """Give the runs clean for so long [s], and the bad ones; all, or without those no mark depends on."""
        if isinstance(self.cuts, Picked) and not every:
            return self.cuts.telling(clean_time)
        clean = [cut for cut in self.cuts if _counts(cut, clean_time)]
        return clean, [cut for cut in self.cuts if not cut.clean]


NOTHING = Past()


@frozen
class Mark:
    """The high-water mark of one demand.

    Attributes:
        value: the highest that ran clean, for a minimum the lowest [SI].
        run: the run that set it.
        at: when.
        disputed_by: a later run that went wrong at or under it; empty where none did.
        covers: the highest that ran clean and that no later run speaks against [SI]; None without one.
    """

    value: float
    run: str
    at: datetime
    disputed_by: str
    covers: float | None


@frozen
class Ground:
    """The clean and the bad cuts that marks are taken from.

    Attributes:
        clean: cuts clean for long enough, with a stickout at least the recipe's.
        bad: cuts that did not run clean, whatever their stickout and time.
        beyond: those of the bad ones that asked for more load than had run clean until then: they say
            nothing against the speeds, feeds and depths they had in common with what runs.
        factor: by which loads are multiplied, to what has been learnt of the force.
    """

    clean: tuple[Cut, ...]
    bad: tuple[Cut, ...]
    beyond: frozenset[str]
    factor: float


def ground(past: Past, *, stickout: float, clean_time: float, every: bool = True) -> Ground:
    """Sort the cuts of a past.

    Args:
        past: the runs of a machine, cutter and material.
        stickout: of the recipe that is to be covered [m]; a cut with a shorter one covers nothing of it.
        clean_time: time that a run must be clean to count [s].
        every: all cuts, those that no mark depends on as well.
    """
    long_enough, bad = past.sorted(clean_time, every=every)
    return Ground(
        clean=tuple(cut for cut in long_enough if cut.stickout >= stickout * (1 - HAIR)),
        bad=tuple(bad),
        beyond=frozenset(_beyond(bad, long_enough)),
        factor=past.learnt.factor if past.learnt else 1.0,
    )


def _counts(cut: Cut, clean_time: float) -> bool:
    return cut.clean and cut.minutes * 60 >= clean_time * (1 - HAIR)


def _beyond(bad: Sequence[Cut], clean: Sequence[Cut]) -> Iterator[str]:
    """Name the bad cuts that asked for more of some load than had run clean before; both in order of time."""
    highest: dict[str, float] = {}
    waiting = deque(clean)
    for cut in bad:
        while waiting and waiting[0].at < cut.at:
            for name, value in waiting.popleft().demands.items():
                highest[name] = max(value, highest.get(name, 0.0))
        loads = LOADS & cut.demands.keys()
        if any(cut.demands[name] > (1 + HAIR) * highest.get(name, 0.0) for name in loads):
            yield cut.run


def mark(found: Ground, demand: str, sense: Sense) -> Mark | None:
    """Give the high-water mark of one demand; None where nothing has run clean.

    A clean run never lowers it and a bad one never raises it. A later bad run at or under it disputes it.
    """
    rank = _rank(sense)
    clean = [(rank(cut.demands[demand]), cut) for cut in found.clean if cut.demands.get(demand)]
    if not clean:
        return None
    scale = found.factor if demand in LOADS else 1.0
    clean.sort(key=lambda ranked: (ranked[0], ranked[1].at), reverse=True)
    top, highest = clean[0]
    setter = max((cut for level, cut in clean if level >= _under(top)), key=lambda cut: cut.at)
    disputes = _Disputes(found, demand, rank)
    covering = next((cut for level, cut in clean if not disputes.of(level, cut.at)), None)
    return Mark(
        value=highest.demands[demand] * scale,
        run=setter.run,
        at=setter.at,
        disputed_by=disputes.of(top, setter.at),
        covers=None if covering is None else covering.demands[demand] * scale,
    )


def _rank(sense: Sense) -> Rank:
    # The higher, the more was asked; a minimum is asked more of by a lower number.
    return (lambda value: -value) if sense == "minimum" else (lambda value: value)


def _under(level: float) -> float:
    return level - abs(level) * HAIR


class _Disputes:
    """Which later bad run speaks against a level of one demand; sorted once, so that asking is quick."""

    def __init__(self, found: Ground, demand: str, rank: Rank) -> None:
        against = sorted(
            (_under(rank(cut.demands[demand])), cut.at, cut.run)
            for cut in found.bad
            if cut.demands.get(demand) and (demand in LOADS or cut.run not in found.beyond)
        )
        self._levels = [level for level, _, _ in against]
        self._latest = list(accumulate(((at, run) for _, at, run in against), max))

    def of(self, level: float, at: datetime) -> str:
        """Name the latest run that went wrong at or under a level after a moment; empty where none did."""
        under = bisect_right(self._levels, level)
        if not under or self._latest[under - 1][0] <= at:
            return ""
        return self._latest[under - 1][1]


class Marks:
    """The high-water marks of a past at one stickout, each worked out once."""

    def __init__(self, found: Ground) -> None:
        self._found = found
        self._known: dict[tuple[str, Sense], Mark | None] = {}

    def of(self, demand: str, sense: Sense) -> Mark | None:
        """Give the mark of one demand; see `mark`."""
        if (demand, sense) not in self._known:
            self._known[demand, sense] = mark(self._found, demand, sense)
        return self._known[demand, sense]


def marks(past: Past, *, stickout: float, clean_time: float) -> Marks:
    """Give the marks of a past; arguments as of `ground`.

    They do not depend on the numbers that are judged: each key that types those asks for the same marks.
    """
    return _marks(_Same(past), stickout, clean_time)


@dataclass(frozen=True, slots=True, eq=False)
class _Same:
    """A past that is equal to itself alone: to compare thousands of cuts would take as long as the marks."""

    past: Past

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.past is self.past

    def __hash__(self) -> int:
        return id(self.past)


@lru_cache(maxsize=16)
def _marks(same: _Same, stickout: float, clean_time: float) -> Marks:
    return Marks(ground(same.past, stickout=stickout, clean_time=clean_time, every=False))


def excess(value: float, covered_to: float, sense: Sense) -> float:
    """Say by what share a demand goes beyond what is covered; 0 where it does not."""
    asked, ran = (covered_to, value) if sense == "minimum" else (value, covered_to)
    return 0.0 if asked <= ran * (1 + HAIR) else asked / ran - 1


def excess_text(share: float) -> str:
    """Say how far beyond: `12 %`, `under 1 %`, or from twice on `a factor of 3.4`."""
    if share >= 1:
        return f"a factor of {share + 1:.2g}"
    return f"{100 * share:.0f} %" if share >= 0.01 else "under 1 %"


@frozen
class TrackRecord:
    """What the log says of one recipe at its own numbers, as programmed.

    Attributes:
        runs: how many runs there are.
        clean_runs: runs clean for long enough since the last bad one.
        clean_minutes: minutes of these [min].
        last_clean: when the latest clean one ended; None without one.
        trouble: the latest bad run; None where the latest run was clean for long enough, or none was bad.
        elsewhere: runs of this recipe at other numbers or with overrides, which count for nothing here.
        earned: the standing these runs have earned.
    """

    runs: int
    clean_runs: int
    clean_minutes: float
    last_clean: datetime | None
    trouble: Cut | None
    elsewhere: int
    earned: Earned


def track_record(past: Past, recipe: str, numbers: str, *, clean_time: float, clean_runs: int) -> TrackRecord:
    """Say what a recipe has earned.

    Args:
        past: the runs of its machine, cutter and material.
        recipe: its id.
        numbers: digest of its numbers; runs at other numbers count for nothing.
        clean_time: time that a run must be clean to count [s].
        clean_runs: runs of that time that make it proven.
    """
    found = past.tracked(recipe, numbers, clean_time)
    return TrackRecord(
        runs=found.own,
        clean_runs=len(found.minutes),
        clean_minutes=sum(found.minutes),
        last_clean=found.last_clean,
        trouble=None if found.minutes else found.trouble,
        elsewhere=found.named - found.own,
        earned="proven" if len(found.minutes) >= clean_runs else "trial",
    )
