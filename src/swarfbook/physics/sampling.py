"""Where to look at a course over a turn so that no peak is missed, and the peak found there."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Numbers: TypeAlias = NDArray[np.float64]
Indices: TypeAlias = NDArray[np.intp]

CHUNK = 1 << 16
"""Edge ends worked on together, so that a chunk's arrays stay in the processor's cache."""


def knots(*, events: Numbers, span: Numbers) -> Numbers:
    """Order the leads between which a course is smooth.

    Args:
        events: leads at which an edge's end meets entry or exit [rad], shape (cuts, k).
        span: lead up to which to look [rad], shape (cuts, 1).

    Returns:
        nought, the events and the span in order, shape (cuts, k + 2); events past the span stand at it.
    """
    return np.sort(np.hstack((0 * span, np.minimum(events, span), span)), axis=1)


def sampled(knots: Numbers, *, samples: int) -> Numbers:
    """Lay `samples` equal steps over each smooth stretch: shape (cuts, k) to (cuts, (k - 1)(samples + 1))."""
    ends = knots[:, :, None]
    steps = ends[:, :-1] + np.diff(ends, axis=1) * np.linspace(0, 1, samples + 1)
    return steps.reshape(len(steps), -1)


def peak(course: Numbers, *, samples: int) -> Numbers:
    """Largest magnitude of a course sampled by `sampled` along its last axis, which goes.

    Within each smooth stretch the tops of the parabolas through three neighbours count as well.
    """
    height = np.abs(course).reshape(*course.shape[:-1], -1, samples + 1)
    before, middle, after = height[..., :-2], height[..., 1:-1], height[..., 2:]
    bend, slope = 2 * middle - before - after, after - before
    has_top = (bend > 0) & (np.abs(slope) <= 2 * bend)
    top = middle + np.square(slope) / (8 * np.where(has_top, bend, np.inf))
    highest: Numbers = np.maximum(height.max(axis=(-2, -1)), top.max(axis=(-2, -1)))
    return highest


def ordered(values: Numbers) -> Numbers:
    """Give the different values in order; for `np.unique`, see `distinct`."""
    every = np.sort(values, axis=None)
    return every[np.append(True, np.diff(every) > 0)] if every.size else every


def distinct(counts: Numbers | Indices) -> list[int]:
    """Give the different whole numbers among counts, in order.

    `np.unique` would load masked arrays at its first call, an eighth of the time a check takes in all.
    """
    return sorted(map(int, set(counts.ravel().tolist())))


def lots(passes: Indices, *, ends: int) -> list[Indices]:
    """Rows that need as many passes as each other, in lots that fit the cache.

    Args:
        passes: neighbouring teeth a cut needs, shape (cuts,).
        ends: edge ends a cut has for each pass.

    Returns:
        row numbers of each lot; every row is in one of them.
    """
    found = []
    for count in distinct(passes):
        rows = np.flatnonzero(passes == count)
        size = max(1, CHUNK // (count * ends))
        found += [rows[start : start + size] for start in range(0, len(rows), size)]
    return found
