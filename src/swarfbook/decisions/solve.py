"""A first recipe from tables and physics: the most removal rate that every limit allows.

Depth, width, feed and speed are looked at over their whole ranges, coarse first; loads do not depend on the
speed, so that one set of loads serves all speeds. Between the best of these the search narrows, the feed
solved for at each point: no limit but the thin chip's eases as the feed grows.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from swarfbook import quantities
from swarfbook.book import Book
from swarfbook.decisions import case as cases
from swarfbook.decisions.as_json import check_json
from swarfbook.decisions.case import Case
from swarfbook.decisions.check import Check, check
from swarfbook.decisions.evidence import PastOf, past_of
from swarfbook.decisions.first_values import FREE, First, Wishes, first_values, tool_wide
from swarfbook.decisions.numbers import Knobs, Numbers, evaluate
from swarfbook.decisions.past import NOTHING, Past
from swarfbook.decisions.room import Room
from swarfbook.decisions.settable import (
    HAIR,
    INCH,
    METRIC,
    in_inches,
    is_exact,
    is_imperial,
    rounded,
    text_of,
)
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.records import BookSettings, Machine, Material, Tool

Parts = tuple[Machine, Tool, Material]
Floats = NDArray[np.float64]
LEAST = 0.02  # no depth or width is looked at below this share of its largest
COARSE = {0: 1, 1: 48, 2: 14}  # points along each of depth and width, by how many of them may be chosen
FEEDS, SPEEDS = 12, 14
LEAST_FEED, MOST_FEED = 1e-6, 5e-3  # m, below and above what any cutter is fed
STARTS = 3  # of the best coarse points that are followed
ROUNDS, FINE = 8, 5
FEED_STEPS = 5
LOOKS = STARTS * (1 + ROUNDS) * FEED_STEPS + 12
"""About how often `watch` is called in one search, at most."""
MORE = 0.1  # one more step of a knob, for saying what it would cost
NAME = "first-try"
SIDES = ("axial_depth", "radial_width", "spindle_speed")
RANGE = "range"
"""In place of a limit: the knob is at its end, the flutes or the diameter."""
FULL = 0.98  # use from which a limit counts as what limits
NONE = "no feed keeps every limit at any speed: {} stands in the way"


@dataclass(frozen=True, slots=True)
class Step:
    """What a tenth more of one knob would do.

    Attributes:
        knob: the knob.
        limit: the limit that is fullest then.
        use: its use then, 1 for all that may be used.
    """

    knob: str
    limit: str
    use: float


@dataclass(frozen=True, slots=True)
class Solution:
    """A first recipe.

    Attributes:
        values: its record as it would be written; on trial.
        check: it checked.
        removal_rate: [m^3/s].
        best: the knobs before they were rounded.
        best_rate: removal rate of these [m^3/s].
        limited_by: limits whose room is used up, the fullest first.
        steps: what a tenth more of each knob that may move would do.
        evaluations: sets of knobs whose loads were worked out.
    """

    values: Mapping[str, Any]
    check: Check
    removal_rate: float
    best: Knobs
    best_rate: float
    limited_by: tuple[str, ...]
    steps: tuple[Step, ...]
    evaluations: int


def solve(
    parts: Parts,
    ids: tuple[str, str, str],
    operation: str,
    *,
    settings: BookSettings,
    wishes: Wishes | None = None,
    past: Past = NOTHING,
    watch: Callable[[], object] | None = None,
    inch: bool = False,
) -> Solution:
    """Find the most removal rate that every limit allows, on numbers that the machine can be set to.

    Args:
        parts: machine, cutter and material.
        ids: of these.
        operation: the operation's word.
        settings: the book's.
        wishes: what the job says; None asks for nothing.
        past: what the run log says of them; forces are as it has taught.
        watch: called between stretches of the search; what it raises ends it.
        inch: write lengths in inches.

    Raises:
        SwarfbookError: the cutter is not made for it, or nothing keeps every limit.
    """
    wishes = wishes or Wishes()
    first = first_values(parts[1], ids, operation, wishes)
    if inch:
        first = _inches_first(first, operation, wishes)
    case = cases.with_past(cases.of_parts(NAME, first.values, parts, settings), past)
    search = Search(Room(case, wishes.margin, wishes.roughness), first, FREE[operation], watch or _unwatched)
    best, rate = search.best()
    values = {**first.values, **_written(search, best, inch=inch)}
    judged = check(cases.with_past(cases.of_parts(NAME, values, parts, settings), past))
    return Solution(
        values=values,
        check=judged,
        removal_rate=float(judged.numbers.material_removal_rate),
        best=best,
        best_rate=rate,
        limited_by=_limited_by(search.room, best),
        steps=tuple(_steps(search, best)),
        evaluations=search.evaluations,
    )


def solve_in_book(
    book: Book,
    ids: tuple[str, str, str],
    operation: str,
    wishes: Wishes | None = None,
    *,
    past: PastOf | None = None,
    watch: Callable[[], object] | None = None,
) -> Solution:
    """Solve for a machine, cutter and material of a book, with what its log teaches; as `solve`.

    `past` gives what is known of runs; None takes it from the log.
    """
    machine, tool, material = ids
    inch = is_imperial(book.settings.units, book.get("tool", tool).raw["diameter"])
    parts = (
        book.get("machine", machine).record,
        book.get("tool", tool).record,
        book.get("material", material).record,
    )
    known = past(ids, parts) if past else past_of(book, ids, parts)
    return solve(
        parts, ids, operation, settings=book.settings, wishes=wishes, past=known, watch=watch, inch=inch
    )


def _inches_first(first: First, operation: str, wishes: Wishes) -> First:
    """Write what a recipe begins with in inches; ends that may be chosen up to stay where they are."""
    values = in_inches(first.values, _chosen(operation, wishes))
    ends = {"deepest": "axial_depth", "widest": "radial_width"}
    fixed = {
        end: quantities.parse(values[key], "length")
        for end, key in ends.items()
        if key not in FREE[operation]
    }
    return replace(first, values=values, **fixed)


def _chosen(operation: str, wishes: Wishes) -> frozenset[str]:
    """Give the lengths of a first recipe that nobody asked for and that the search leaves alone."""
    asked = {
        "stickout": wishes.stickout,
        "allowance": wishes.allowance,
        "axial_depth": wishes.depth,
        "radial_width": tool_wide(operation) or wishes.width,
    }
    return frozenset(key for key, value in asked.items() if not value and key not in FREE[operation])


def _unwatched() -> None:
    """Nobody looks on."""


@dataclass(frozen=True, slots=True)
class _Points:
    """Sets of depth, width and speed with the largest feed that keeps every limit, all of shape (n,)."""

    depth: Floats
    width: Floats
    speed: Floats
    feed: Floats
    rate: Floats

    def best(self) -> int:
        """Index of the most removal rate."""
        return int(np.argmax(self.rate))


class Search:
    """One search.

    Attributes:
        room: what has to be kept.
        free: depth and width that may be chosen.
        largest: up to where these may go [m].
        evaluations: sets of knobs whose loads were worked out.
    """

    def __init__(self, room: Room, first: First, free: Sequence[str], watch: Callable[[], object]) -> None:
        self.room, self.free, self.evaluations = room, free, 0
        self.largest = {"axial_depth": first.deepest, "radial_width": first.widest}
        self._watch = watch
        self.speeds = _speeds(room.case)

    def best(self) -> tuple[Knobs, float]:
        """Give the best knobs and their removal rate; raises SwarfbookError where none keep every limit."""
        if not self.speeds.size:
            raise SwarfbookError(
                Problem("solve", "", "", "no speed suits machine, cutter and material at once")
            )
        found = [self._narrowed(start) for start in self._starts()]
        best = max(found, key=lambda one: one[1], default=None)
        if best is None or best[1] <= 0:
            raise SwarfbookError(Problem("solve", "", "", NONE.format(self._in_the_way())))
        return best

    def uses(self, knobs: Knobs) -> tuple[dict[str, Any], Numbers]:
        """Work out knobs of any shape: every limit's use, and the numbers."""
        self._watch()
        self.evaluations += np.broadcast(knobs.axial_depth, knobs.radial_width, knobs.feed_per_tooth).size
        numbers = evaluate(self.room.case, knobs)
        return self.room.uses(numbers), numbers

    def _grid(self) -> tuple[Floats, Floats]:
        count = COARSE[len(self.free)]
        sides = [
            np.geomspace(LEAST * size, size, count) if name in self.free else np.array([size])
            for name, size in self.largest.items()
        ]
        depth, width = (mesh.ravel() for mesh in np.meshgrid(*sides, indexing="ij"))
        return depth, width

    def _starts(self) -> Iterator[_Points]:
        """Look at the whole range; give the best points that do not stand next to a better one."""
        depth, width = self._grid()
        feeds = np.geomspace(LEAST_FEED, MOST_FEED, FEEDS)
        rates, best_feeds = self._coarse(depth, width, feeds)
        taken: list[tuple[float, float, float]] = []
        for flat in np.argsort(rates, axis=None)[::-1]:
            pair, at = np.unravel_index(flat, rates.shape)
            here = (float(depth[pair]), float(width[pair]), float(self.speeds[at]))
            if len(taken) == STARTS or not rates[pair, at] > 0:
                return
            if all(_apart(here, there) for there in taken):
                taken.append(here)
                one = [np.array([value]) for value in (*here, best_feeds[pair, at], rates[pair, at])]
                yield _Points(*one)

    def _coarse(self, depth: Floats, width: Floats, feeds: Floats) -> tuple[Floats, Floats]:
        """Estimate rate and largest feed of each pair of depth and width at each speed: (pairs, speeds).

        Between two feeds of the grid a use goes as a power of the feed, nearly: good enough to choose by.
        """
        knobs = Knobs(
            np.repeat(depth, feeds.size)[:, None],
            np.repeat(width, feeds.size)[:, None],
            np.tile(feeds, depth.size)[:, None],
            self.speeds[None, :],
        )
        uses, numbers = self.uses(knobs)
        shape = (depth.size, feeds.size, self.speeds.size)
        fed = np.log(
            np.broadcast_to(self.room.strain_of_feed(uses), (depth.size * feeds.size, self.speeds.size))
        )
        strain = fed.reshape(shape)
        under = (strain <= 0).sum(axis=1) - 1  # the largest feed of the grid that does; -1 for none
        at, above = np.maximum(under, 0), np.minimum(under + 1, feeds.size - 1)
        low, high = (np.take_along_axis(strain, index[:, None, :], axis=1)[:, 0, :] for index in (at, above))
        step = np.log(feeds[1] / feeds[0])
        with np.errstate(divide="ignore", invalid="ignore"):
            share = np.where(above > at, np.clip(-low / (high - low), 0, 1), 0.0)
        feed = feeds[at] * np.exp(share * step)
        rate = (
            np.broadcast_to(numbers.material_removal_rate, fed.shape).reshape(shape)[:, 0, :]
            / feeds[0]
            * feed
        )
        thin = np.broadcast_to(uses["chip-thin"], fed.shape).reshape(shape)[:, 0, :] * feeds[0] / feed
        return np.where((under >= 0) & (thin <= 1), rate, 0.0), feed

    def _narrowed(self, start: _Points) -> tuple[Knobs, float]:
        """Look again between the neighbours of a point, closer each time."""
        best = self.fed(start.depth, start.width, start.speed, start.feed)
        steps = dict.fromkeys(("axial_depth", "radial_width"), self._step())
        pace = float(self.speeds[-1] / self.speeds[0]) ** (1 / max(self.speeds.size - 1, 1))
        for _ in range(ROUNDS):
            points = self._around(best, steps, pace)
            if best.rate[0] >= points.rate.max():
                points = _joined(best, points)
            index = points.best()
            best = _Points(*(getattr(points, one.name)[[index]] for one in fields(points)))
            steps = {name: step**0.5 for name, step in steps.items()}
            pace = pace**0.5
        knobs = Knobs(*(float(one[0]) for one in (best.depth, best.width, best.feed, best.speed)))
        return knobs, float(best.rate[0])

    def _step(self) -> float:
        count = COARSE[len(self.free)]
        return float((1 / LEAST) ** (1 / (count - 1))) if count > 1 else 1.0

    def _around(self, best: _Points, steps: Mapping[str, float], pace: float) -> _Points:
        places = {"axial_depth": best.depth[0], "radial_width": best.width[0]}
        sides = [
            np.minimum(place * np.geomspace(1 / steps[name], steps[name], FINE), self.largest[name])
            if name in self.free
            else np.array([place])
            for name, place in places.items()
        ]
        depth, width, speed = (
            mesh.ravel() for mesh in np.meshgrid(*map(np.unique, sides), self._paces(best.speed[0], pace))
        )
        return self.fed(depth, width, speed, np.full(depth.shape, best.feed[0]))

    def _paces(self, speed: float, pace: float) -> Floats:
        if self.room.case.machine.spindle.speeds:
            at = int(np.argmin(np.abs(self.speeds - speed)))
            return self.speeds[max(at - 1, 0) : at + 2]
        return np.unique(np.clip(speed * np.array([1 / pace, 1.0, pace]), self.speeds[0], self.speeds[-1]))

    def fed(self, depth: Floats, width: Floats, speed: Floats, guess: Floats) -> _Points:
        """Solve for the largest feed at each point: secants in the logarithms."""
        feed, low, high = np.maximum(guess, LEAST_FEED), np.zeros(guess.shape), np.full(guess.shape, np.inf)
        rate, before = np.zeros(guess.shape), None
        for _ in range(FEED_STEPS):
            uses, numbers = self.uses(Knobs(depth, width, feed, speed))
            log_strain = np.log(np.broadcast_to(self.room.strain_of_feed(uses), feed.shape))
            kept = np.broadcast_to(self.room.strain(uses), feed.shape) <= 1
            better = kept & (feed > low)
            rate = np.where(better, numbers.material_removal_rate, rate)
            low, high = np.where(better, feed, low), np.where(log_strain > 0, np.minimum(feed, high), high)
            power = _power(before, np.log(feed), log_strain)
            before = np.log(feed), log_strain
            feed = _between(feed * np.exp(-log_strain / power) * (1 - 1e-9), low, high)
        return _Points(depth, width, speed, low, rate)

    def _in_the_way(self) -> str:
        """Name the limit that the gentlest cut is furthest over."""
        depth, width = self._grid()
        knobs = Knobs(depth[:, None], width[:, None], np.full((depth.size, 1), 2e-5), self.speeds[None, :])
        uses, _ = self.uses(knobs)
        strain = self.room.strain(uses)
        place = np.unravel_index(int(np.argmin(strain)), strain.shape)
        worst = max(uses, key=lambda name: float(np.broadcast_to(uses[name], strain.shape)[place]))
        return worst.replace("-", " ")


def _apart(one: Sequence[float], other: Sequence[float]) -> bool:
    return any(abs(np.log(a / b)) > np.log(2) for a, b in zip(one, other, strict=True))


def _joined(one: _Points, other: _Points) -> _Points:
    return _Points(*(np.append(getattr(one, each.name), getattr(other, each.name)) for each in fields(one)))


def _power(before: tuple[Floats, Floats] | None, log_feed: Floats, log_strain: Floats) -> Floats:
    """Give by what power the strain goes with the feed, from the last two looks; 1 at first."""
    if before is None:
        return np.ones(log_feed.shape)
    with np.errstate(divide="ignore", invalid="ignore"):
        power = (log_strain - before[1]) / (log_feed - before[0])
    return np.clip(np.where(np.isfinite(power), power, 1.0), 0.3, 2.0)


def _between(feed: Floats, low: Floats, high: Floats) -> Floats:
    """Keep a feed between the largest that did and the smallest that did not."""
    outside = (feed <= low) | (feed >= high)
    with np.errstate(invalid="ignore"):
        middle = np.where(np.isfinite(high) & (low > 0), np.sqrt(low * high), feed)
    return np.clip(np.where(outside, middle, feed), LEAST_FEED, MOST_FEED)


def _speeds(case: Case) -> Floats:
    """Give the speeds that may be set and that no limit rules out by itself [rev/s], rising."""
    motor = case.machine.spindle
    edge = case.optional("speed_high")
    fastest = np.inf if edge is None else edge / (np.pi * case["diameter"])
    most = min(motor.max_speed, case.optional("tool_max_speed") or np.inf, fastest)
    if motor.speeds:
        dial = np.array(sorted(motor.speeds))
        return dial[(dial >= motor.min_speed * (1 - 1e-9)) & (dial <= most * (1 + 1e-9))]
    if most < motor.min_speed:
        return np.array([])
    # Speeds at which a limit has a corner: the rated one, and where ringing begins and is full.
    teeth = [case[name] / case["flutes"] for name in ("dynamic_low_frequency", "dynamic_high_frequency")]
    corners = np.array([case["rated_speed"], *teeth])
    inside = corners[(corners > motor.min_speed) & (corners < most)]
    return np.unique(np.append(np.geomspace(motor.min_speed, most, SPEEDS), inside))


def _limited_by(room: Room, knobs: Knobs) -> tuple[str, ...]:
    uses = {name: float(use) for name, use in room.uses(evaluate(room.case, knobs)).items()}
    full = [
        name for name, use in uses.items() if use >= FULL and name not in ("chip-thin", "spindle-speed-low")
    ]
    return tuple(sorted(full, key=lambda name: uses[name], reverse=True))


def _steps(search: Search, best: Knobs) -> Iterator[Step]:
    for knob in (*search.free, "feed_per_tooth", "spindle_speed"):
        more = getattr(best, knob) * (1 + MORE)
        if more > search.largest.get(knob, math.inf):
            yield Step(knob, RANGE, more / search.largest[knob])
            continue
        uses, _ = search.uses(replace(best, **{knob: more}))
        fullest = max(uses, key=lambda name: float(uses[name]))
        yield Step(knob, fullest, float(uses[fullest]))


def _written(search: Search, best: Knobs, *, inch: bool) -> dict[str, str]:
    """Round the knobs to what a person would type, and give them as typed."""
    if inch:
        told, kept = _picked(search, best, INCH, plain=True)
        if kept:
            return told
    return _picked(search, best, INCH if inch else METRIC, plain=False)[0]


def _picked(
    search: Search, best: Knobs, units: Mapping[str, str], *, plain: bool
) -> tuple[dict[str, str], bool]:
    """Round the knobs, the neighbours tried too; give them as typed, and whether every limit is kept."""
    case = search.room.case
    free = (*search.free, *(() if case.machine.spindle.speeds else ("spindle_speed",)))
    # What is not to be chosen stays as it is, in mm where it is no plain number of inches.
    movable = (*free, "feed_per_tooth")
    units = {
        key: unit if key in movable or is_exact(getattr(best, key)) else METRIC[key]
        for key, unit in units.items()
    }
    choices = [_choices(case, best, key, units[key], free=key in free, plain=plain) for key in SIDES]
    depth, width, speed = (np.array(column) for column in zip(*product(*choices), strict=True))
    points = search.fed(depth, width, speed, np.full(depth.shape, best.feed_per_tooth))
    feed = np.array(
        [_feed(one, units["feed_per_tooth"], lower, plain=plain) for lower in (0, 1) for one in points.feed]
    )
    depth, width, speed = (np.tile(one, 2) for one in (depth, width, speed))
    uses, numbers = search.uses(Knobs(depth, width, feed, speed))
    strain = search.room.strain(uses)
    # What is over by a rounding of the last place reads "over"; it serves only where nothing else does.
    kept = strain <= 1 if (strain <= 1).any() else strain <= 1 + HAIR
    index = int(np.argmax(np.where(kept, numbers.material_removal_rate, -1.0)))
    knobs = {"axial_depth": depth, "radial_width": width, "spindle_speed": speed, "feed_per_tooth": feed}
    told = {key: text_of(float(values[index]), key, units[key]) for key, values in knobs.items()}
    return told, bool((strain <= 1).any())


def _feed(si: float, unit: str, lower: int, *, plain: bool) -> float:
    if si <= 0:
        return LEAST_FEED
    return max(rounded(si, "feed_per_tooth", unit, lower=lower, plain=plain), LEAST_FEED)


def _choices(case: Case, best: Knobs, key: str, unit: str, *, free: bool, plain: bool) -> list[float]:
    value = getattr(best, key)
    at_end = value >= case[key] * (1 - HAIR) and key != "spindle_speed"
    if not free or (at_end and (unit != "in" or is_exact(value))):
        return [value]
    return [rounded(value, key, unit, lower=lower, plain=plain) for lower in (0, 1)]


def solution_json(found: Solution) -> dict[str, Any]:
    """Give a solution as one object."""
    rate = found.check.figures["material_removal_rate"]
    return {
        "recipe": dict(found.values),
        "tightest": found.check.tightest.name,
        "limited_by": list(found.limited_by),
        "removal_rate": rate.in_unit(found.removal_rate),
        "removal_rate_unit": rate.unit,
        "steps": [{"knob": one.knob, "limit": one.limit, "use": one.use} for one in found.steps],
        "evaluations": found.evaluations,
        "check": check_json(found.check),
    }
