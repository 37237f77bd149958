"""A map of 200 x 200 points against the bulk kernel on the same points, in turn in one run.

python benchmarks/map.py [ROUNDS]
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from functools import partial

import numpy as np
from measure import ratio_line

from swarfbook import resources
from swarfbook.book import Book
from swarfbook.decisions.case import Case
from swarfbook.decisions.cutmap import KNOBS, chosen_axes, cut_map
from swarfbook.decisions.evidence import load_case
from swarfbook.decisions.numbers import Knobs, evaluate

POINTS = 200
AT_MOST = 1.5
CASES = {
    "one flute": ("long-bed-6mm-6082-rough", None),
    "three flutes, modes": ("mill-8mm-6082-rough", None),
    "three flutes, modes, over speed": ("mill-8mm-6082-rough", "spindle_speed"),
}
"""Recipe and knob upwards; the last one has stable depth to work out anew at every point."""


def bulk(case: Case, x: str, y: str) -> Callable[[], object]:
    """Give the kernel's work on the points of the map, all in one call."""
    found = cut_map(case, x, y, POINTS)
    across, up = np.meshgrid(found.x.values, found.y.values)
    turned = {x: across, y: up}
    knobs = Knobs(**{name: turned.get(name, np.full(across.shape, case[name])) for name in KNOBS})
    return lambda: evaluate(case, knobs)


def main(rounds: int) -> None:
    print(f"{POINTS} x {POINTS} points, ratio to the kernel in one call, least of {rounds} rounds")
    book = Book.open(resources.demo_book_dir())
    for title, (recipe, up) in CASES.items():
        case = load_case(book, recipe)
        x, y = chosen_axes(case, y=up)
        works = {"bulk": bulk(case, x, y), "map": partial(cut_map, case, x, y, POINTS)}
        least = dict.fromkeys(works, float("inf"))
        for _ in range(rounds):
            for name, work in works.items():
                start = time.perf_counter()
                work()
                least[name] = min(least[name], time.perf_counter() - start)
        print(ratio_line(title, least["map"], least["bulk"], at_most=AT_MOST), flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if sys.argv[1:] else 5)
