"""Writes a book of many recipes: the demo's, over and over, their numbers varied within what they may be.

    python benchmarks/large_book.py DIR [COUNT]

The same count gives the same book. Ten thousand is what the list is measured with.
"""

from __future__ import annotations

import random
import re
import sys
from pathlib import Path

from swarfbook import resources
from swarfbook.book import create

SEED = 20
SMALLEST, LARGEST = 0.6, 1.0  # of the demo's own number: no recipe asks more than the one it is a copy of
VARIED = re.compile(
    r'^(?P<key>feed_per_tooth|feed_rate|axial_depth|radial_width) = "(?P<number>[0-9.]+) (?P<unit>[^"]+)"',
    re.M,
)


def write(target: Path, count: int) -> Path:
    """Write a book of `count` recipes into a new folder, and give the folder."""
    create(target, demo=True)
    folder = target / "recipes"
    originals = {path.stem: path.read_text(encoding="utf-8") for path in sorted(folder.glob("*.toml"))}
    chance = random.Random(SEED)
    for number in range(count - len(originals)):
        stem = list(originals)[number % len(originals)]
        text = varied(originals[stem], number, chance)
        (folder / f"{stem}-{number:05}.toml").write_text(text, encoding="utf-8")
    return target


def varied(text: str, number: int, chance: random.Random) -> str:
    """Give a recipe a number of its own in its name, and somewhat smaller figures."""

    def smaller(found: re.Match[str]) -> str:
        value = float(found["number"]) * chance.uniform(SMALLEST, LARGEST)
        return f'{found["key"]} = "{value:.3g} {found["unit"]}"'

    return re.sub(r'^name = "(.*)"', rf'name = "no. {number}, \1"', VARIED.sub(smaller, text), flags=re.M)


if __name__ == "__main__":
    if not resources.demo_book_dir().is_dir() or len(sys.argv) < 2 or sys.argv[1].startswith("-"):
        raise SystemExit(__doc__)
    write(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 10_000)
