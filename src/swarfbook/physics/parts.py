"""Many sets of arguments, worked through in parts: memory stays the same, and every processor has one."""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Callable, Iterator, Mapping
from contextvars import copy_context
from typing import Any

import numpy as np

from swarfbook.frozen import frozen
from swarfbook.physics.arrays import Array, Flags
from swarfbook.physics.laws import CuttingLaw
from swarfbook.physics.sampling import Numbers

PART = 1 << 15
"""Sets of a part: what is at hand for one is some 25 MB."""

Work = Callable[..., Numbers]


@frozen
class Sets:
    """A law and other arguments that broadcast against each other.

    Attributes:
        law: cutting law, coefficients floats or arrays.
        arguments: floats, flags or arrays, by name.
        shape: the common one.
    """

    law: CuttingLaw
    arguments: Mapping[str, Any]
    shape: tuple[int, ...]

    @property
    def size(self) -> int:
        """How many sets there are."""
        return int(np.prod(self.shape))

    def part(self, rows: slice) -> dict[str, Any]:
        """Some sets, counted along the last axis first; what is the same for all stays as it is."""
        if self.size <= PART:
            return {"law": self.law, **self.arguments}
        picked = {name: self._some(value, rows) for name, value in self.arguments.items()}
        return {"law": self.law.each(lambda value: self._some(value, rows)), **picked}

    def _some(self, value: Array, rows: slice) -> Array:
        if np.size(value) == 1:
            only: Array = np.ravel(value)[0]
            return only
        every = np.broadcast_to(value, self.shape)
        return every.reshape(-1)[rows] if every.flags.c_contiguous else every.flat[rows]


def sets_of(law: CuttingLaw, **arguments: Array | Flags) -> Sets:
    """Bring arguments together.

    Raises:
        ValueError: they do not broadcast.
    """
    shape = np.broadcast_shapes(*(np.shape(value) for value in (*arguments.values(), *law.coefficients())))
    return Sets(law, arguments, shape)


def in_parts(work: Work, sets: Sets, *, at_once: int | None = None) -> Iterator[tuple[slice, Numbers]]:
    """Work through sets part by part.

    Args:
        work: takes the law and the arguments of a part by name, and gives arrays of shape (..., sets).
        sets: what to work through.
        at_once: parts worked on at the same time; None for as many as there are processors.

    Yields:
        rows of the sets, counted along the last axis first, and what `work` found for them; in order, and
        never more than one part a processor ahead.
    """
    slices = [slice(start, min(start + PART, sets.size)) for start in range(0, sets.size, PART)]
    threads = min(processors() if at_once is None else at_once, len(slices))
    if threads < 2:
        yield from ((rows, work(**sets.part(rows))) for rows in slices)
        return
    yield from _side_by_side(lambda rows: work(**sets.part(rows)), slices, threads)


def processors() -> int:
    """Count the processors this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _side_by_side(
    work: Callable[[slice], Numbers], slices: list[slice], threads: int
) -> Iterator[tuple[slice, Numbers]]:
    """Work on slices in threads: numpy and the compiled kernel both let go of the interpreter."""
    from concurrent.futures import ThreadPoolExecutor  # noqa: PLC0415 - a check needs none of it

    pool, waiting = ThreadPoolExecutor(threads), deque[Any]()
    try:
        for rows in slices:
            waiting.append((rows, pool.submit(copy_context().run, work, rows)))
            if len(waiting) > threads:
                first, found = waiting.popleft()
                yield first, found.result()
        while waiting:
            first, found = waiting.popleft()
            yield first, found.result()
    finally:
        pool.shutdown(cancel_futures=True)
