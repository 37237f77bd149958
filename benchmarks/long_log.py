"""Long run logs: commands as ratios to reading every line as JSON, by the number of runs, all in one run.

python benchmarks/long_log.py [ROUNDS [RUNS ...]]
"""

from __future__ import annotations

import json
import shutil
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from measure import BIN, least_seconds

from swarfbook import resources

SWARFBOOK = str(BIN / "swarfbook")
RECIPE = "long-bed-6mm-6082-rough"
SIZES = (1_000, 10_000, 100_000)
MONTHS = 60
TIMED = ("runs", "check", "fit", "log")
BARE = """
import json, pathlib, sys
for month in pathlib.Path(sys.argv[1]).glob("*.jsonl"):
    for line in month.open():
        json.loads(line)
"""


def long_book(folder: Path, runs: int) -> Path:
    """Write a copy of the demo whose log is its own runs over and over, spread over five years."""
    shutil.copytree(resources.demo_book_dir(), folder)
    lines = [
        json.loads(line)
        for month in sorted((folder / "runs").glob("*.jsonl"))
        for line in month.read_text(encoding="utf-8").splitlines()
    ]
    months: dict[str, list[str]] = {}
    for number in range(runs):
        month = f"{2020 + number % MONTHS // 12}-{1 + number % 12:02d}"
        at = f"{month}-{1 + number % 28:02d}T{number % 24:02d}:00:00+00:00"
        line = lines[number % len(lines)] | {"id": f"run-{number}", "at": at}
        months.setdefault(month, []).append(json.dumps(line))
    for old in (folder / "runs").glob("*.jsonl"):
        old.unlink()
    for month, written in months.items():
        (folder / "runs" / f"{month}.jsonl").write_text("\n".join(written) + "\n", encoding="utf-8")
    return folder


def main(rounds: int, sizes: tuple[int, ...]) -> None:
    print(f"ratio to `json.loads` of every line of the log, interpreter included, least of {rounds} rounds")
    print(f"{'runs':>9}{'bare':>10}{'runs':>8}{'check':>8}{'fit':>8}{'log':>8}")
    with TemporaryDirectory() as folder:
        for size in sizes:
            book = str(long_book(Path(folder) / str(size), size))
            least = least_seconds(_commands(book), rounds=rounds)
            bare = least["bare"]
            ratios = "".join(f"{least[name] / bare:8.2f}" for name in TIMED)
            print(f"{size:>9}{bare * 1000:>7.0f} ms{ratios}")


def _commands(book: str) -> dict[str, list[str]]:
    logged = ["log", RECIPE, "--minutes", "10", "--outcome", "clean"]
    return {
        "bare": [sys.executable, "-c", BARE, f"{book}/runs"],
        "runs": [SWARFBOOK, "runs", "--last", "3", "--book", book],
        "check": [SWARFBOOK, "check", RECIPE, "--book", book],
        "fit": [SWARFBOOK, "fit", "--json", "--book", book],
        "log": [SWARFBOOK, *logged, "--book", book],
    }


if __name__ == "__main__":
    words = [int(word) for word in sys.argv[1:]]
    main(words[0] if words else 3, tuple(words[1:]) or SIZES)
