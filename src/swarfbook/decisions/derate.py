"""Derating: back a recipe off by a margin and keep the promise on the numbers as they will be written.

The promise of a margin m: every load-type demand is at most (1 - m) of the parent's, no hard limit that
held is broken, no knob stands above the parent's, and the thickest chip stays above the rubbing floor.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from swarfbook.decisions.case import Case, with_values
from swarfbook.decisions.check import Check, check
from swarfbook.decisions.numbers import Knobs, evaluate, nominal_knobs
from swarfbook.decisions.promise import PROMISED, Demand, Promise
from swarfbook.decisions.rounding import Written, as_typed, rounded_down, rounded_up
from swarfbook.decisions.search import best_knobs, feed_floor, largest_feed
from swarfbook.decisions.titles import title
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.frozen import frozen

Method = Literal["least-time", "engagement", "depth", "speed", "feed"]
MOVES: Mapping[str, tuple[str, ...]] = {
    "least-time": ("axial_depth", "radial_width", "feed_per_tooth", "spindle_speed"),
    "engagement": ("radial_width",),
    "depth": ("axial_depth",),
    "speed": ("spindle_speed",),
    "feed": ("feed_per_tooth",),
}
LARGEST_MARGIN = 0.95
SPEED_POINTS = 400
LITTLE = 0.01  # share of the removal rate given up for a feed that stays as it is
OTHER_LOADS = {
    "bending_demand": ("stress", "N/mm^2"),
    "hold_side_force": ("force", "N"),
    "hold_lift": ("force", "N"),
    "hold_moment": ("torque", "N*m"),
}
"""Promised loads that are no quantity of a check: dimension and unit."""
HOLD_LOADS = ("hold_side_force", "hold_lift", "hold_moment")
"""Promised loads on a hold."""


@frozen
class Derating:
    """A child recipe and how it stands to its parent.

    Attributes:
        parent: id of the recipe that was backed off.
        method: which knobs moved.
        margin: share promised off every load.
        reached: whether the promise is kept by the child as written.
        values: the child's record as it would be written.
        removal_rate_ratio: child's removal rate over the parent's.
        demands: promised loads, before and after [SI].
        limits_broken: hard limits that held for the parent and do not for the child.
        note: what could not be reached, or what stays over; empty when all is well.
        check: the child checked.
    """

    parent: str
    method: str
    margin: float
    reached: bool
    values: Mapping[str, Any]
    removal_rate_ratio: float
    demands: tuple[Demand, ...]
    limits_broken: tuple[str, ...]
    note: str
    check: Check

    def measure(self, load: str) -> tuple[str, str]:
        """Give the dimension and the unit of JSON of a promised load."""
        figure = self.check.figures.get(load)
        return (figure.dimension, figure.unit) if figure else OTHER_LOADS[load]

    @property
    def chance_over(self) -> float:
        """Largest chance, over the child's hard limits, that one is not kept."""
        return max(
            (
                limit.chance_over
                for limit in self.check.limits
                if limit.severity == "hard" and limit.chance_over is not None
            ),
            default=0.0,
        )


def derate(
    case: Case, *, margin: float, method: str = "least-time", stock_top: float | None = None
) -> Derating:
    """Back a recipe off.

    Args:
        case: the parent, resolved.
        margin: share to take off every load, 0 to 0.95.
        method: `least-time`, or the one knob to move: engagement, depth, speed or feed.
        stock_top: height of the stock over its hold, to promise as much of what the hold bears [m].

    Returns:
        The child and whether it keeps the promise.

    Raises:
        SwarfbookError: a margin outside 0 to 95 %, or no such method.
    """
    _refuse(margin, method)
    promise = Promise(case, margin, stock_top)
    typed = dict(_typed_knobs(case))
    if not promise.cuts(promise.parent):
        return _result(promise, method, typed, "the parent already stands under the rubbing floor")
    free = [knob for knob in MOVES[method] if knob not in (case.recipe.keep or ())]
    if not free:
        return _result(promise, method, typed, f"the recipe keeps {', '.join(MOVES[method])}")
    best, found = best_knobs(promise, free, _speeds(case, method, free))
    written = _write_best(promise, free, best)
    return _result(promise, method, written, "" if found else _short_of(promise, method, best))


def percent_text(share: float) -> str:
    """Write a share as people say it: `25 %`, `12.5 %`."""
    return f"{100 * share:.4g} %"


def _refuse(margin: float, method: str) -> None:
    if not 0 <= margin <= LARGEST_MARGIN:
        raise SwarfbookError(Problem("margin", "", f"{margin:g}", "a margin lies between 0 % and 95 %"))
    if method not in MOVES:
        raise SwarfbookError(Problem("method", "", method, f"choose one of {', '.join(MOVES)}"))


def _speeds(case: Case, method: str, free: list[str]) -> NDArray[np.float64]:
    # Force and torque do not fall with speed, and power falls with torque: only the speed method has to look
    # below the parent's speed, or a machine that has no such dial position.
    parent = case["spindle_speed"]
    dial = case.machine.spindle.speeds
    if "spindle_speed" not in free:
        return np.array([parent])
    if dial:
        lower = np.array([speed for speed in sorted(dial, reverse=True) if speed <= parent * (1 + 1e-9)])
        return lower if lower.size else np.array([parent])
    return np.geomspace(parent, parent * 0.05, SPEED_POINTS) if method == "speed" else np.array([parent])


def _typed_knobs(case: Case) -> Iterator[tuple[str, Written]]:
    for key in ("axial_depth", "radial_width", "spindle_speed", _feed_key(case)):
        yield key, as_typed(case.values, key)


def _typed_feed(case: Case) -> str:
    return as_typed(case.values, _feed_key(case)).text


def _feed_key(case: Case) -> str:
    return "feed_per_tooth" if case.recipe.feed_per_tooth is not None else "feed_rate"


def _write_best(promise: Promise, free: list[str], best: Knobs) -> dict[str, Written]:
    # Rounding each knob down may cost the feed or gain it, so the neighbours are tried too, best first.
    places = list(_roundings(promise.case, free, best))
    feeds = _feeds(promise, free, places)
    tried = [_with_feed(promise, knobs, feed) for knobs, feed in zip(places, feeds, strict=True)]
    numbers = evaluate(promise.case, _stack([_knobs(promise.case, written) for written in tried]))
    kept = promise.kept(numbers)
    # A feed a hair under the parent's is a number nobody would type: the parent's own is worth a little rate.
    typed = np.array(
        [written[_feed_key(promise.case)].text == _typed_feed(promise.case) for written in tried]
    )
    worth = numbers.material_removal_rate * np.where(typed, 1 + LITTLE, 1.0)
    rate = np.where(kept | ~kept.any(), worth, -1.0)
    return tried[int(np.argmax(rate))]


def _roundings(case: Case, free: list[str], best: Knobs) -> Iterator[dict[str, Written]]:
    choices = []
    for key in ("axial_depth", "radial_width", "spindle_speed"):
        typed, value = as_typed(case.values, key), getattr(best, key)
        if key not in free or value >= typed.si * (1 - 1e-9):
            choices.append([(key, typed)])
        else:
            lower = (0,) if key == "spindle_speed" else (0, 1, 2)
            choices.append([(key, rounded_down(value, case.values, key, steps_lower=n)) for n in lower])
    yield from (dict(choice) for choice in product(*choices) if all(knob.si > 0 for _, knob in choice))


def _feeds(promise: Promise, free: list[str], places: list[dict[str, Written]]) -> list[float]:
    feed = promise.case["feed_per_tooth"]
    if "feed_per_tooth" not in free:
        return [feed] * len(places)
    knobs = [
        Knobs(at["axial_depth"].si, at["radial_width"].si, feed, at["spindle_speed"].si) for at in places
    ]
    return [float(one) for one in largest_feed(promise, _stack(knobs))]


def _with_feed(promise: Promise, written: dict[str, Written], feed: float) -> dict[str, Written]:
    case = promise.case
    key, values = _feed_key(case), case.values
    to_rate = 1.0 if key == "feed_per_tooth" else case["flutes"] * written["spindle_speed"].si
    typed = as_typed(values, key)
    if feed * to_rate >= typed.si * (1 - 1e-12):
        return {**written, key: typed}
    down = rounded_down(feed * to_rate, values, key)
    floor = (
        float(feed_floor(promise, Knobs(written["axial_depth"].si, written["radial_width"].si, feed, 1.0)))
        * to_rate
    )
    return {**written, key: down if down.si >= floor else rounded_up(floor, values, key)}


def _knobs(case: Case, written: Mapping[str, Written]) -> Knobs:
    speed = written["spindle_speed"].si
    key = _feed_key(case)
    feed = written[key].si / (1.0 if key == "feed_per_tooth" else case["flutes"] * speed)
    return Knobs(written["axial_depth"].si, written["radial_width"].si, feed, speed)


def _stack(knobs: list[Knobs]) -> Knobs:
    return Knobs(
        axial_depth=np.array([one.axial_depth for one in knobs]),
        radial_width=np.array([one.radial_width for one in knobs]),
        feed_per_tooth=np.array([one.feed_per_tooth for one in knobs]),
        spindle_speed=np.array([one.spindle_speed for one in knobs]),
    )


def _result(promise: Promise, method: str, written: Mapping[str, Written], note: str) -> Derating:
    case = promise.case
    values = _child_values(promise, method, written)
    child = with_values(case, values)
    numbers = evaluate(child, nominal_knobs(child))
    broken = promise.broken(numbers)
    reached = bool(promise.kept(numbers)) and not broken
    if not reached and not note:
        note = "the numbers as they would be written do not keep the promise"
    return Derating(
        parent=case.recipe_id,
        method=method,
        margin=promise.margin,
        reached=reached,
        values=values,
        removal_rate_ratio=float(numbers.material_removal_rate / promise.parent.material_removal_rate),
        demands=tuple(promise.demands(numbers)),
        limits_broken=tuple(broken),
        note=note if not reached else _still_over(promise),
        check=check(child),
    )


def _child_values(promise: Promise, method: str, written: Mapping[str, Written]) -> dict[str, Any]:
    case = promise.case
    values = {key: value for key, value in case.values.items() if key != "derived"}
    values.update({key: knob.text for key, knob in written.items()})
    values["standing"] = "trial"
    values["name"] = f"{case.recipe.name}, backed off {percent_text(promise.margin)}"
    values["derived"] = {
        "from": case.recipe_id,
        "parent_digest": case.digest,
        "method": method,
        "margin": promise.margin,
    }
    return values


def _short_of(promise: Promise, method: str, best: Knobs) -> str:
    numbers = evaluate(promise.case, best)
    left = [
        title(demand.name)
        for demand in promise.demands(numbers)
        if demand.name in (*PROMISED, *HOLD_LOADS) and demand.ratio > promise.share
    ]
    margin = percent_text(promise.margin)
    if not promise.cuts(numbers) or not left:
        return f"{method} cannot reach {margin} and keep every hard limit that held"
    kept = " and ".join(map(title, promise.case.recipe.keep or ()))
    with_kept = f" while {kept} stay as they are" if kept else ""
    return f"{method} cannot reach {margin} off {', '.join(left)}{with_kept}"


def _still_over(promise: Promise) -> str:
    over = [
        limit.name
        for limit in check(promise.case).limits
        if limit.severity == "hard" and limit.verdict == "over" and limit.name not in promise.held
    ]
    if not over:
        return ""
    words = ", ".join(map(title, over))
    return f"the parent is over in {words}; backing off does not promise to mend that: see the child"
