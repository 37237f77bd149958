"""Finding the knobs that keep a promise and lose the least removal rate.

Load is not monotone in depth (the load's arm grows as depth falls), so depth and width are searched over
their whole range, coarse and then fine; for each pair the largest feed that keeps the promise is solved for,
since less feed never raises a load.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from swarfbook.decisions.cutting import thickest_chip
from swarfbook.decisions.numbers import Knobs, Numbers, evaluate, nominal_knobs
from swarfbook.decisions.promise import Promise
from swarfbook.physics import chip

SMALLEST_SHARE = 0.02  # no knob is backed off to less than this share of the parent's
COARSE = {1: 120, 2: 12}  # points along each axis of the first look, by number of axes
FINE = 7
ROUNDS = 4
FEED_STEPS = 12
FEED_CLOSE = 1e-6  # share of the promise that may be left unused
FEED_SCALE = 1e-5  # m: any feed would do, the chip being proportional to it


def best_knobs(promise: Promise, free: Sequence[str], speeds: NDArray[np.float64]) -> tuple[Knobs, bool]:
    """Find the knobs that keep the promise and remove the most.

    Args:
        promise: what has to be kept.
        free: knobs that may move, of axial_depth, radial_width and feed_per_tooth.
        speeds: spindle speeds to try [rev/s], shape (n,).

    Returns:
        The best knobs and True; or the knobs that meet the most loads and False.
    """
    axes = {name: np.array([1.0]) for name in ("axial_depth", "radial_width")}
    moving = [name for name in axes if name in free]
    for name in moving:
        axes[name] = np.geomspace(1.0, SMALLEST_SHARE, COARSE[len(moving)])
    tried, numbers = _try(promise, _grid(promise, axes, speeds), feed_free="feed_per_tooth" in free)
    kept = promise.kept(numbers)
    if not kept.any():
        return tried.take(_closest(promise, numbers)), False
    best = tried.take(_most(numbers, kept))
    for _ in range(ROUNDS if moving else 0):
        best = _closer(promise, best, axes, moving, feed_free="feed_per_tooth" in free)
    return best, True


def largest_feed(promise: Promise, knobs: Knobs) -> NDArray[np.float64]:
    """Largest feed per tooth up to the parent's that keeps the promise; where none does, the rubbing floor's.

    Args:
        promise: what has to be kept.
        knobs: depth, width and speed, shape (n,); the feed in them is not used.

    Returns:
        Feed per tooth [m], shape (n,).
    """
    parent = nominal_knobs(promise.case).feed_per_tooth
    high = np.full(np.shape(knobs.axial_depth), parent, dtype=float)
    low = np.minimum(feed_floor(promise, knobs), high)
    strain_high = _strain(promise, knobs, high) - 1
    if np.all(strain_high <= 0):
        return high
    strain_low = _strain(promise, knobs, low) - 1
    inside = (strain_low <= 0) & (strain_high > 0)
    found = np.where(strain_high <= 0, high, low)
    found[inside] = _illinois(
        promise,
        knobs.take(np.flatnonzero(inside)),
        (low[inside], strain_low[inside]),
        (high[inside], strain_high[inside]),
    )
    return found


def feed_floor(promise: Promise, knobs: Knobs) -> NDArray[np.float64]:
    """Feed per tooth at which the thickest chip stands at the rubbing floor [m], of the knobs' shape."""
    case = promise.case
    floor = chip.minimum_chip_thickness(
        min_chip_ratio=case["min_chip_ratio"], edge_radius=case["edge_radius"]
    )
    # The chip is proportional to the feed, whatever the cutter's shape.
    per_feed = replace(knobs, feed_per_tooth=np.full(np.shape(knobs.axial_depth), FEED_SCALE))
    thickest = thickest_chip(case, per_feed) / FEED_SCALE
    with np.errstate(divide="ignore"):
        return np.asarray(np.divide(floor, thickest) * (1 + 1e-12))


def _strain(promise: Promise, knobs: Knobs, feed: NDArray[np.float64]) -> NDArray[np.float64]:
    return promise.strain(evaluate(promise.case, replace(knobs, feed_per_tooth=feed)))


def _illinois(
    promise: Promise,
    knobs: Knobs,
    low: tuple[NDArray[np.float64], NDArray[np.float64]],
    high: tuple[NDArray[np.float64], NDArray[np.float64]],
) -> NDArray[np.float64]:
    # Regula falsi with the Illinois mend: an end that stays put twice running counts half from then on. The
    # low end always keeps the promise, so it is the answer.
    (at, left), (end, above) = low, high
    weight_low, weight_high = left, above
    moved_low: NDArray[np.bool_] | None = None
    for _ in range(FEED_STEPS):
        if np.all(left >= -FEED_CLOSE):
            break
        middle = (at * weight_high - end * weight_low) / (weight_high - weight_low)
        strain = _strain(promise, knobs, middle) - 1
        ok = strain <= 0
        half = np.where(moved_low == ok, 0.5, 1.0)
        weight_high = np.where(ok, half * weight_high, strain)
        weight_low = np.where(ok, np.minimum(strain, -1e-15), half * weight_low)
        at, end, left = np.where(ok, middle, at), np.where(ok, end, middle), np.where(ok, strain, left)
        moved_low = ok
    return at


def _grid(promise: Promise, shares: dict[str, NDArray[np.float64]], speeds: NDArray[np.float64]) -> Knobs:
    parent = nominal_knobs(promise.case)
    depth, width, speed = (
        mesh.ravel()
        for mesh in np.meshgrid(
            shares["axial_depth"] * parent.axial_depth, shares["radial_width"] * parent.radial_width, speeds
        )
    )
    return Knobs(depth, width, np.full(depth.shape, parent.feed_per_tooth), speed)


def _try(promise: Promise, knobs: Knobs, *, feed_free: bool) -> tuple[Knobs, Numbers]:
    if feed_free:
        knobs = replace(knobs, feed_per_tooth=largest_feed(promise, knobs))
    return knobs, evaluate(promise.case, knobs)


def _closer(
    promise: Promise, best: Knobs, axes: dict[str, NDArray[np.float64]], moving: list[str], *, feed_free: bool
) -> Knobs:
    # Looks again between the neighbours of the best point, and narrows `axes` for the next round.
    parent = nominal_knobs(promise.case)
    for name in moving:
        share = getattr(best, name) / getattr(parent, name)
        step = axes[name][0] / axes[name][1]
        axes[name] = np.geomspace(min(1.0, share * step), max(SMALLEST_SHARE, share / step), FINE)
    speeds = np.array([best.spindle_speed])
    tried, numbers = _try(promise, _grid(promise, axes, speeds), feed_free=feed_free)
    kept = promise.kept(numbers)
    if not kept.any():
        return best
    better = tried.take(_most(numbers, kept))
    return max(best, better, key=_removal)


def _removal(knobs: Knobs) -> float:
    return float(knobs.axial_depth * knobs.radial_width * knobs.feed_per_tooth * knobs.spindle_speed)


def _most(numbers: Numbers, kept: NDArray[np.bool_]) -> int:
    return int(np.argmax(np.where(kept, numbers.material_removal_rate, -1.0)))


def _closest(promise: Promise, numbers: Numbers) -> int:
    met = promise.loads_met(numbers)
    return int(np.argmax(np.where(met == met.max(), numbers.material_removal_rate, -1.0)))
