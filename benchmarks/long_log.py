"""Long run logs: processor time over that of reading every line as JSON, and the most memory, by length.

python benchmarks/long_log.py [ROUNDS [RUNS ...]]

`first` is without what is kept backstage of a long log, as after a copy of the book; `again` is with it. The
memory is the high-water mark of the process itself (VmHWM), as Linux tells it when it ends.
"""

from __future__ import annotations

import json
import resource
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

from measure import CHECKOUT, ENVIRONMENT, noted

from swarfbook import resources

RECIPE = "long-bed-6mm-6082-rough"
SIZES = (1_000, 10_000, 100_000, 1_000_000)
MONTHS = 60
BARE = """
import json, pathlib, sys
for month in pathlib.Path(sys.argv[1]).glob("*.jsonl"):
    for line in month.open():
        json.loads(line)
"""
SWARFBOOK = """
import gc
from swarfbook.cli.main import run_words
gc.disable()
run_words()
"""
TOLD = """
import sys
sys.stderr.write(next(line for line in open("/proc/self/status") if line.startswith("VmHWM")))
"""
COMMANDS = {
    "log": ["log", RECIPE, "--minutes", "10", "--outcome", "clean"],
    "runs": ["runs", "--outcome", "bad", "--last", "3"],
    "runs all": ["runs"],
    "check": ["check", RECIPE],
    "list": ["list"],
    "fit": ["fit", "--json"],
}


def long_book(folder: Path, runs: int) -> Path:
    """Write a copy of the demo whose log is its own runs over and over, spread over five years."""
    shutil.copytree(resources.demo_book_dir(), folder)
    lines = [
        json.loads(line)
        for month in sorted((folder / "runs").glob("*.jsonl"))
        for line in month.read_text(encoding="utf-8").splitlines()
    ]
    for old in (folder / "runs").glob("*.jsonl"):
        old.unlink()
    for place in range(MONTHS):
        month = f"{2020 + place // 12}-{1 + place % 12:02d}"
        with (folder / f"runs/{month}.jsonl").open("w", encoding="utf-8") as file:
            file.writelines(f"{json.dumps(line)}\n" for line in month_lines(lines, month, place, runs))
    return folder


def month_lines(lines: list[dict], month: str, place: int, runs: int) -> Iterator[dict]:
    for number in range(place, runs, MONTHS):
        at = f"{month}-{1 + number % 28:02d}T{number % 24:02d}:00:00+00:00"
        yield lines[number % len(lines)] | {"id": f"run-{number}", "at": at}


def main(rounds: int, sizes: tuple[int, ...]) -> None:
    print(f"processor time over `json.loads` of every line, least of {rounds}; memory in MB")
    print(f"{'runs':>9}{'bare':>10}" + "".join(f"{name:>22}" for name in COMMANDS))
    print(f"{'':>19}" + f"{'first again    MB':>22}" * len(COMMANDS))
    with TemporaryDirectory() as folder:
        for size in sizes:
            book = long_book(Path(folder) / str(size), size)
            bare, _ = least([sys.executable, "-c", BARE, str(book / "runs")], rounds=rounds)
            print(f"{size:>9}{bare * 1000:>7.0f} ms", end="", flush=True)
            for name, words in COMMANDS.items():
                figures = row(words, book, bare, rounds)
                for what, figure in figures.items():
                    noted(f"{name}, {size} runs, {what}", figure)
                shown = f"{figures['first']:6.2f}{figures['again']:6.2f}{figures['MB']:6.0f}"
                print(f"{shown:>22}", end="", flush=True)
            print()
            shutil.rmtree(book)


def row(words: list[str], book: Path, bare: float, rounds: int) -> dict[str, float]:
    """Give the ratios of a command without what is kept and with it, and the most memory of both [MB]."""
    run = [sys.executable, "-c", SWARFBOOK + TOLD, *words, "--book", str(book)]
    shutil.rmtree(book / ".swarfbook", ignore_errors=True)
    first, most = least(run, rounds=1)
    again, later = least(run, rounds=rounds)
    return {"first": first / bare, "again": again / bare, "MB": max(most, later)}


def least(words: list[str], *, rounds: int) -> tuple[float, float]:
    """Give the least processor time [s] and the most memory [MB] of a command."""
    seconds, memory = float("inf"), 0.0  # of the processor: others may be at work beside
    for _ in range(rounds):
        start = spent()
        done = subprocess.run(
            words, env=ENVIRONMENT, check=False, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True,
            cwd=CHECKOUT,
        )  # fmt: skip
        seconds = min(seconds, spent() - start)
        told = [line.split()[1] for line in done.stderr.splitlines() if line.startswith("VmHWM")]
        memory = max([memory, *(int(kilobytes) / 1024 for kilobytes in told)])
    return seconds, memory


def spent() -> float:
    """Give the processor time of all commands that ended [s]."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


if __name__ == "__main__":
    counts = [int(word) for word in sys.argv[1:]]
    main(counts[0] if counts else 3, tuple(counts[1:]) or SIZES)
