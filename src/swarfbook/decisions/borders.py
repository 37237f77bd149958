"""Borders on a map: where the use of a limit passes 1, and which limits bound the region that holds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from swarfbook.decisions.limits import Severity

Floats: TypeAlias = NDArray[np.float64]
Flags: TypeAlias = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Reach:
    """The first limit that is met when one knob is turned from where the recipe has it.

    Attributes:
        knob: the knob.
        more: whether it is turned up.
        limit: the limit that is passed there; None where none is as far as the map goes.
        severity: of that limit.
        at: where the knob then stands, or where the map ends [SI].
    """

    knob: str
    more: bool
    limit: str | None
    severity: Severity | None
    at: float


@dataclass(frozen=True, slots=True)
class Outline:
    """What the limits are to a map; each judged limit stands in one of the lists.

    Attributes:
        bounding: those whose line bounds the region where all hard limits hold, the longest border first.
        behind: those that are passed on the map, but nowhere first.
        everywhere: those that are over at every point.
        nowhere: those that are passed nowhere.
    """

    bounding: tuple[str, ...]
    behind: tuple[str, ...]
    everywhere: tuple[str, ...]
    nowhere: tuple[str, ...]


def outline(uses: Mapping[str, Floats], severity: Mapping[str, Severity]) -> Outline:
    """Sort limits by what they are to a map.

    Where a hard limit is over at every point, or two leave no point between them, no region holds: the first
    is set aside, and without a region every line that is passed counts as bounding.

    Args:
        uses: share of each limit that is used, shape (rows, columns); nan where it is not judged.
        severity: of each limit.
    """
    over = {name: use > 1 for name, use in uses.items()}
    everywhere = [name for name, flags in over.items() if flags.all()]
    nowhere = [name for name, flags in over.items() if not flags.any()]
    passed = [name for name in uses if name not in {*everywhere, *nowhere}]
    hard = [name for name in uses if severity[name] == "hard" and name not in everywhere]
    region = np.logical_and.reduce([uses[name] <= 1 for name in hard]) if hard else np.array([])
    lengths = {name: _border(region if region.any() else ~over[name], uses[name]) for name in passed}
    bounding = sorted((name for name in passed if lengths[name]), key=lambda name: -lengths[name])
    behind = [name for name in passed if not lengths[name]]
    return Outline(tuple(bounding), tuple(behind), tuple(everywhere), tuple(nowhere))


def _border(region: Flags, use: Floats) -> int:
    """Count the neighbours of which one lies in the region and the other is over."""
    inside, over = region & (use <= 1), use > 1
    pairs = (
        (inside[1:], over[:-1]),
        (inside[:-1], over[1:]),
        (inside[:, 1:], over[:, :-1]),
        (inside[:, :-1], over[:, 1:]),
    )
    return sum(int(np.count_nonzero(one & other)) for one, other in pairs)


def crossings(x: Floats, y: Floats, use: Floats) -> Floats:
    """Give the points on the lines of a grid at which a use passes 1.

    Between two points the use goes as a power of the knob, which most loads nearly do.

    Args:
        x: of the columns, positive and rising, shape (columns,).
        y: of the rows, likewise, shape (rows,).
        use: shape (rows, columns); where one is nan, infinite or 0 nothing passes.

    Returns:
        x and y of each point, shape (points, 2).
    """
    along = [(x_at, y[row]) for row in range(y.size) for x_at in passes(x, use[row])]
    upward = [(x[column], y_at) for column in range(x.size) for y_at in passes(y, use[:, column])]
    return np.array([*along, *upward], dtype=float).reshape(-1, 2)


def passes(values: Floats, use: Floats) -> Floats:
    """Give where along a row a use passes 1, either way.

    Args:
        values: of the knob, positive and rising, shape (n,).
        use: shape (n,).
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        level, place = np.log(use), np.log(values)
    before, after = level[:-1], level[1:]
    both = np.isfinite(before) & np.isfinite(after) & ((before > 0) != (after > 0))
    start, end = place[:-1][both], place[1:][both]
    share = before[both] / (before[both] - after[both])
    passed: Floats = np.exp(start + share * (end - start))
    return passed


def nearest(
    knob: str, values: Floats, now: float, uses: Mapping[str, Floats], severity: Mapping[str, Severity]
) -> Iterator[Reach]:
    """Yield the first hard limit met each way, and the first advice before it.

    Limits that are passed already where the knob stands now are left out: turning it further tells nothing.

    Args:
        knob: name of the knob that is turned.
        values: where it stands [SI], rising, the recipe's own place among them, shape (n,).
        now: that place.
        uses: along them, by the limit's name, shape (n,).
        severity: of each limit.
    """
    here = int(np.searchsorted(values, now))
    for more in (True, False):
        part = slice(here, None) if more else slice(0, here + 1)
        found: list[Reach] = []
        for name, use in uses.items():
            at = passes(values[part], use[part]) if use[here] <= 1 else np.array([])
            if at.size:
                first = float(at[0] if more else at[-1])
                found.append(Reach(knob, more, name, severity[name], first))
        found.sort(key=lambda one: abs(one.at - now))
        end = Reach(knob, more, None, None, float(values[-1 if more else 0]))
        hard = next((one for one in found if one.severity == "hard"), end)
        advice = next((one for one in found if one.severity == "advice"), None)
        if advice is not None and (hard is end or abs(advice.at - now) < abs(hard.at - now)):
            yield advice
        yield hard
