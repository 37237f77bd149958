"""Large books: opening all recipes as ratios to listing the files and to reading them, all in one run.

python benchmarks/books.py [ROUNDS [JSON [RECIPES ...]]]

`listing` is `os.scandir` with a `stat` of each file, `reading` is reading and validating all of them. Cold is
without the index backstage, warm with it, and `one changed` after one file was written; that writes the index
anew. `rows` are the rows of the list on screen with the words they are found by, `find` two words looked
for in them. Every file counts as written long ago, as in any book that nobody edits just now. With a second
word the ratios are written there as JSON.
"""

from __future__ import annotations

import json
import os
import sys
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import Any

import large_book
from measure import machine, noted

from swarfbook.book import Book, index
from swarfbook.book.backstage import FOLDER
from swarfbook.tui.catalogue import Catalogue, Look
from swarfbook.tui.logbook import Logbook

SIZES = (100, 1_000, 10_000, 100_000)
LARGE, MANY = 10_000, 100_000  # below the first what a book costs by itself tells most
FEW = 3  # rounds of the largest books, which take minutes
LISTING, READING = "listing", "reading"
COLUMNS = {  # what is timed, what it is a ratio to, the target
    "cold": (READING, 2.0),
    "warm": (LISTING, 5.0),
    "one changed": (LISTING, None),
    "rows": (LISTING, None),
    "find": (LISTING, None),
}
GROWTH = 11.0  # ten times the recipes
WORDS = "router roughing"

Seconds = dict[str, float]


def listed(root: Path) -> list[os.stat_result]:
    """List the files of the recipes with their stat."""
    with os.scandir(root / "recipes") as files:
        return [file.stat() for file in files]


def opened(root: Path) -> int:
    """Open all recipes in brief."""
    return sum(1 for _ in Book.open(root).index.look())


def catalogue(root: Path) -> Catalogue:
    """Make the rows of the list on screen."""
    found = Catalogue(Logbook(Book.open(root)), {})
    found.shelf.take(row for step in Look(found).read() for row in step)
    return found


def find(root: Path) -> float:
    """Look for two words in all rows, and give the time of that alone [s]."""
    found = catalogue(root)
    start = time.perf_counter()
    found.shelf.find.text = WORDS
    found.shelf.arrange(None)
    return time.perf_counter() - start


def timed(work: Callable[[Path], object], root: Path) -> float:
    """Time a work in a process of its own [s], as a command has its memory from the system."""
    answer, told = os.pipe()
    if os.fork() == 0:
        start = time.perf_counter()
        own = work(root)
        seconds = time.perf_counter() - start
        os.write(told, str(own if isinstance(own, float) else seconds).encode())
        os._exit(0)
    os.wait()
    seconds = float(os.read(answer, 100))
    os.close(answer)
    os.close(told)
    return seconds


def one_round(root: Path) -> Seconds:
    """Time everything once [s]."""
    seconds = {LISTING: timed(listed, root), READING: timed(lambda at: Book.open(at).entries("recipe"), root)}
    (root / FOLDER / index.NAME).unlink(missing_ok=True)
    for name, work in {"cold": opened, "warm": opened, "rows": catalogue, "find": find}.items():
        seconds[name] = timed(work, root)
    first = next((root / "recipes").glob("*.toml"))
    first.write_bytes(first.read_bytes() + b"\n")
    return seconds | {"one changed": timed(opened, root)}


def measured(folder: Path, sizes: tuple[int, ...], rounds: int) -> dict[int, list[Seconds]]:
    """Time books of all sizes in turn."""
    books = {size: large_book.write(folder / str(size), size) for size in sizes}
    times: dict[int, list[Seconds]] = {size: [] for size in sizes}
    for number in range(rounds):
        for size, root in books.items():
            if size < MANY or number < FEW:
                times[size].append(one_round(root))
    return times


def table(times: dict[int, list[Seconds]]) -> list[dict[str, Any]]:
    """Print the medians of the ratios, size by size, and give them."""
    print(f"{'recipes':>9}{'rounds':>8}{LISTING:>12}" + "".join(f"{name:>13}" for name in COLUMNS))
    lines = []
    for size, rounds in times.items():
        ratios = {
            name: median(one[name] / one[base] for one in rounds) for name, (base, _) in COLUMNS.items()
        }
        listing = median(one[LISTING] for one in rounds)
        shown = "".join(f"{ratio:>13.2f}" for ratio in ratios.values())
        print(f"{size:>9}{len(rounds):>8}{listing * 1e3:>9.1f} ms{shown}")
        for name, ratio in ratios.items():
            noted(f"{name}, {size} recipes", ratio)
        lines.append({"recipes": size, "rounds": len(rounds), "listing_s": listing, **ratios})
    return lines


def targets(times: dict[int, list[Seconds]]) -> list[dict[str, Any]]:
    """Print what was aimed at and whether it is met, and give it."""
    found = []
    for name, (base, most) in COLUMNS.items():
        if most is not None:
            large = {size: rounds for size, rounds in times.items() if size >= LARGE}
            for size, rounds in large.items():
                ratio = median(one[name] / one[base] for one in rounds)
                found.append(target(f"{name} over {base}, {size} recipes", ratio, most))
    for less, more in zip(times, list(times)[1:], strict=False):
        if more == 10 * less and more >= MANY:
            for name in ("cold", "warm"):
                pairs = zip(times[less], times[more], strict=False)
                growth = median(large[name] / small[name] for small, large in pairs)
                found.append(target(f"{name}, {more} over {less} recipes", growth, GROWTH))
    return found


def target(name: str, ratio: float, most: float) -> dict[str, Any]:
    """Print one line of a target, and give it."""
    noted(name, ratio, f"at most {most:g}")
    print(f"{name:<40}{ratio:8.2f}   target {most:g} or less: {'met' if ratio <= most else 'MISSED'}")
    return {"name": name, "ratio": ratio, "most": most}


def main(rounds: int, where: str | None, sizes: tuple[int, ...]) -> None:
    index.GRAIN = -3_600_000_000_000  # as if every look were an hour later
    facts = machine()
    print(", ".join(f"{name} {value}" for name, value in facts.items()))
    print(f"medians of the ratios of {rounds} rounds, {FEW} of {MANY} recipes; page cache warm")
    with TemporaryDirectory() as folder:
        times = measured(Path(folder), sizes, rounds)
    found = {"machine": facts, "lines": table(times), "targets": targets(times)}
    if where:
        Path(where).write_text(json.dumps(found, indent=1), encoding="utf-8")


if __name__ == "__main__":
    words = sys.argv[1:]
    main(
        int(words[0]) if words else 7,
        words[1] if len(words) > 1 else None,
        tuple(map(int, words[2:])) or SIZES,
    )
