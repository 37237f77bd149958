"""Long run logs, invented: the demo's own lines over and over, by month, with other names and times."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from swarfbook import resources


def demo_lines() -> list[dict[str, Any]]:
    """Give the lines of the demo's log."""
    months = sorted((resources.demo_book_dir() / "runs").glob("*.jsonl"))
    texts = [month.read_text(encoding="utf-8") for month in months]
    return [json.loads(line) for text in texts for line in text.splitlines()]


def lines(runs: int, months: int) -> Iterator[tuple[str, str]]:
    """Yield month and line of so many runs, each with a name of its own, over so many months from 2020."""
    known = demo_lines()
    for number in range(runs):
        month = f"{2020 + number % months // 12}-{1 + number % months % 12:02d}"
        at = f"{month}-{1 + number % 28:02d}T{number % 24:02d}:00:00+00:00"
        yield month, json.dumps(known[number % len(known)] | {"id": f"run-{number}", "at": at})


def long_book(folder: Path, runs: int, months: int = 2) -> Path:
    """Write a copy of the demo with so many runs in its log."""
    shutil.copytree(resources.demo_book_dir(), folder)
    for old in (folder / "runs").glob("*.jsonl"):
        old.unlink()
    for month, line in lines(runs, months):
        with (folder / f"runs/{month}.jsonl").open("a", encoding="utf-8") as file:
            file.write(line + "\n")
    return folder
