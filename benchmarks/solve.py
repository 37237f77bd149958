"""Solve: its time as a share of a brute-force search as fine as its answer, in one run on one machine.

    python benchmarks/solve.py [STEP]

A brute-force search that is to come within a thousandth of the best removal rate has to step depth, width
and feed by about a thousandth each; here by STEP (0.002 unless told). Nobody waits for that: its time is
worked out from a sample of its points. Speeds cost it nothing, as they cost the search nothing: loads do not
depend on them.
"""

from __future__ import annotations

import sys
import time

import numpy as np
from measure import noted

from swarfbook import resources
from swarfbook.book import Book
from swarfbook.decisions import case as cases
from swarfbook.decisions.first_values import FREE, Wishes, first_values
from swarfbook.decisions.numbers import Knobs, evaluate
from swarfbook.decisions.room import Room
from swarfbook.decisions.solve import LEAST, LEAST_FEED, MOST_FEED, solve

CUTS = (
    ("long-bed-router", "em-6mm-1f", "6082-t6", "rough"),
    ("long-bed-router", "em-6mm-1f", "6082-t6", "slot"),
    ("small-mill", "em-8mm-3f", "6082-t6", "rough"),
    ("bench-router", "em-3mm-1f", "brass-plate", "rough"),
)
SAMPLE, BLOCK = 20_000, 2000


def point_seconds(case: cases.Case, first: tuple[float, float]) -> float:
    """Time [s] that one point of a grid takes, from a sample."""
    room, draw = Room(case), np.random.default_rng(1)
    start = time.perf_counter()
    for _ in range(SAMPLE // BLOCK):
        depth, width = (size * draw.uniform(LEAST, 1, (BLOCK, 1)) for size in first)
        feed = np.exp(draw.uniform(np.log(LEAST_FEED), np.log(MOST_FEED), (BLOCK, 1)))
        room.strain(room.uses(evaluate(case, Knobs(depth, width, feed, np.linspace(100, 350, 14)[None, :]))))
    return (time.perf_counter() - start) / SAMPLE


def main(step: float) -> None:
    book = Book.open(resources.demo_book_dir())
    print(f"share of the time of a brute-force search by steps of {100 * step:g} %")
    for machine, tool, material, operation in CUTS:
        ids = (machine, tool, material)
        kinds = ("machine", "tool", "material")
        parts = tuple(book.get(kind, one).record for kind, one in zip(kinds, ids, strict=True))
        start = time.perf_counter()
        found = solve(parts, ids, operation, settings=book.settings)
        seconds = time.perf_counter() - start
        first = first_values(parts[1], ids, operation, Wishes())
        case = cases.of_parts("x", first.values, parts, book.settings)
        side = int(np.log(1 / LEAST) / np.log1p(step))
        free = [side if name in FREE[operation] else 1 for name in ("axial_depth", "radial_width")]
        points = free[0] * free[1] * int(np.log(MOST_FEED / LEAST_FEED) / np.log1p(step))
        share = seconds / (points * point_seconds(case, (first.deepest, first.widest)))
        noted(f"{tool}, {operation}", share, "at most 0.01")
        print(f"{tool:<12}{operation:<8}{found.evaluations:>8} of {points:>12} points{share:>12.2g}")


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 0.002)
