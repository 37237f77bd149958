"""Growth: what a thing costs at ten times the size, over what it costs at the size before, in one run.

python benchmarks/growth.py [ROUNDS [SIZES ...]]

`check all` judges every recipe of a book, `map` draws so many points, `solve` finds a first recipe beside
so many others, `fit` learns from so many runs. 10 is in proportion, 1 is the same at any size. Opening and
finding stand in `books.py`, the run log beside reading it in `long_log.py`.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

import large_book
import long_log
from measure import noted

from swarfbook.book import Book
from swarfbook.decisions.case import Gives
from swarfbook.decisions.check import check
from swarfbook.decisions.cutmap import chosen_axes, cut_map
from swarfbook.decisions.evidence import load_case, past_once
from swarfbook.decisions.fit import fit
from swarfbook.decisions.solve import solve

SIZES = (100, 1_000, 10_000, 100_000)
SLOW = 10_000  # larger ones are measured once
RECIPE = "long-bed-6mm-6082-rough"
IDS = {"machine": "long-bed-router", "tool": "em-6mm-1f", "material": "6082-t6"}
Work = Callable[[], object]


def check_all(root: Path) -> None:
    """Judge every recipe of a book."""
    book, gives = Book.open(root), Gives()
    past = past_once(book)
    for recipe in book.ids("recipe"):
        check(load_case(book, recipe, gives, past))


def drawn(points: int) -> Work:
    """Give the drawing of a map of about so many points."""
    case = load_case(Book.open(large_book.resources.demo_book_dir()), RECIPE)
    axes, side = chosen_axes(case), max(round(points**0.5), 10)
    return lambda: cut_map(case, *axes, side)


def first_recipe(root: Path) -> None:
    """Find a first recipe in a book."""
    book = Book.open(root)
    parts = tuple(book.get(kind, record).record for kind, record in IDS.items())
    solve(parts, tuple(IDS.values()), "rough", settings=book.settings)


def works(folder: Path, size: int) -> dict[str, Work]:
    """Give what is timed at a size."""
    book = large_book.write(folder / f"book{size}", size)
    log = long_log.long_book(folder / f"log{size}", size)
    return {
        "check all": lambda: check_all(book),
        "map": drawn(size),
        "solve": lambda: first_recipe(book),
        "fit": lambda: fit(Book.open(log)),
    }


def seconds(work: Work) -> float:
    """Time a work [s]."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def main(rounds: int, sizes: tuple[int, ...]) -> None:
    with TemporaryDirectory() as folder:
        timed: dict[int, dict[str, float]] = {}
        for size in sizes:
            found = works(Path(folder), size)
            many = 1 if size > SLOW else rounds
            timed[size] = {name: median(seconds(work) for _ in range(many)) for name, work in found.items()}
    names = list(timed[sizes[0]])
    print(f"cost at ten times the size over the cost before, medians of {rounds}, one above {SLOW}")
    print(f"{'size':>9}" + "".join(f"{name:>12}" for name in names))
    for less, more in pairwise(sizes):
        growth = {name: timed[more][name] / timed[less][name] for name in names}
        print(f"{more:>9}" + "".join(f"{growth[name]:>12.2f}" for name in names))
        for name, ratio in growth.items():
            noted(f"{name}, {more} over {less}", ratio)


if __name__ == "__main__":
    given = list(map(int, sys.argv[1:]))
    main(given[0] if given else 3, tuple(given[1:]) or SIZES)
