"""The readings of what holds a piece: each thing alone, and together where they share the force."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import chain

from swarfbook.decisions.chance import chance_above
from swarfbook.decisions.jobs import holds_adhesive as adhesive
from swarfbook.decisions.jobs import holds_clamping as clamping
from swarfbook.decisions.jobs import holds_cutout as cutout
from swarfbook.decisions.jobs import holds_pressing as pressing
from swarfbook.decisions.jobs.holds_ways import Piece, Push, Way, scaled, through, worst
from swarfbook.records import BookSettings
from swarfbook.records.job import Hold

Ways = Callable[[Hold, Push, Piece, BookSettings], tuple[Way, ...]]
STIFF: dict[str, Ways] = {
    "clamps": clamping.clamp_ways,
    "side-clamps": clamping.jaw_ways,
    "vise": clamping.jaw_ways,
    "screws": pressing.screw_ways,
    "vacuum": pressing.vacuum_ways,
    "friction-fit": pressing.nest_ways,
}
CUTOUT: dict[str, Ways] = {"tabs": cutout.tab_ways, "floor": cutout.floor_ways}


@dataclass(frozen=True, slots=True)
class Reading:
    """Some of the holds, taken to bear everything, and the ways they can give."""

    holds: tuple[Hold, ...]
    ways: tuple[Way, ...]

    @property
    def use(self) -> float | None:
        """Use of the tightest way; None where one is not judged and none is over."""
        return worst(self.ways)

    @property
    def rank(self) -> float:
        """What the strongest reading has least of; one that is not judged comes last."""
        return math.inf if self.use is None else self.use


def best(holds: Sequence[Hold], push: Push, piece: Piece, settings: BookSettings) -> Reading | None:
    """The reading that bears the step best; None where nothing here holds the piece.

    Tape and clamps are never added: the stiffer of the two carries the force until it slips, so the piece
    stands on the stronger of them alone. Stiff holds share the force by what each can bear, so what they bear
    adds up; tapes of one kind likewise by their area, and of two kinds at the strength of the weaker. A part
    that has been cut free is held by its tabs and floor, and they by what holds the frame, or else by what
    lies under the part.
    """
    found = _all(holds, push, piece, settings)
    return min(found, key=lambda one: one.rank, default=None)


def _all(holds: Sequence[Hold], push: Push, piece: Piece, settings: BookSettings) -> list[Reading]:
    glued = [hold for hold in holds if hold.method in adhesive.ADHESIVES]
    taped = _taped(glued, push, piece)
    stiff = [hold for hold in holds if hold.method in STIFF]
    cut = [hold for hold in holds if hold.method in CUTOUT] if piece.free else []
    held = _shared(stiff, STIFF, push, piece, settings)
    if not cut:
        return taped + held
    # Tape counts under all of the frame, the part in it or not.
    frames = held or _taped(glued, push, replace(piece, free=False))
    frame = min(frames, key=lambda one: one.rank, default=None)
    tied = _shared(cut, CUTOUT, push, piece, settings) if frame else []
    hung = [
        Reading((*one.holds, *frame.holds), (*one.ways, *frame.ways)) for one in tied if frame is not None
    ]
    under = [hold for hold in stiff if hold.method == "vacuum"]
    return taped + hung + _shared(under, STIFF, push, piece, settings)


def _taped(holds: list[Hold], push: Push, piece: Piece) -> list[Reading]:
    kinds = [[hold for hold in holds if hold.method == method] for method in adhesive.ADHESIVES]
    groups = [group for group in kinds if group]
    if len(groups) > 1:
        groups.append(holds)
    return [Reading(tuple(group), adhesive.ways(group, push, piece)) for group in groups]


def _shared(
    holds: list[Hold], judges: dict[str, Ways], push: Push, piece: Piece, settings: BookSettings
) -> list[Reading]:
    alone = [Reading((hold,), judges[hold.method](hold, push, piece, settings)) for hold in holds]
    return alone if len(alone) < 2 else [*alone, _together(alone)]


def _together(readings: list[Reading]) -> Reading:
    names = dict.fromkeys(way.name for one in readings for way in one.ways)
    ways = tuple(_sum([way for one in readings for way in one.ways if way.name == name]) for name in names)
    return Reading(tuple(chain.from_iterable(one.holds for one in readings)), ways)


def _sum(ways: list[Way]) -> Way:
    """One way of several holds: each takes the share of the demand at which all are used alike."""
    first = next((way for way in ways if way.limit is None), ways[0])
    if first.limit is None or len(ways) == 1:
        return first
    limits = [
        scaled(way.limit, first.demand.value / way.demand.value if way.demand.value > 0 else 1.0)
        for way in ways
        if way.limit is not None
    ]
    limit = through(lambda *each: math.fsum(each), *limits)
    return replace(
        first,
        limit=limit,
        use=first.demand.value / limit.value,
        chance_over=chance_above(first.demand, limit),
        origin="; with ".join(way.origin for way in ways),
        assumed=tuple(dict.fromkeys(chain.from_iterable(way.assumed for way in ways))),
    )
