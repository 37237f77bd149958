"""The run log: `runs/*.jsonl`, one run a line, read in order, under the names of today."""

from __future__ import annotations

from pathlib import Path

from swarfbook.book.jsonl import read_lines
from swarfbook.book.renames import read_renames
from swarfbook.errors import Problem
from swarfbook.records import Run, parse


def read_runs(root: Path) -> tuple[list[Run], list[Problem]]:
    """Read every run of a book: those that read, and the problems of the lines that do not.

    A run names recipe, machine, cutter and material as they are called now, whatever its line calls them;
    its digest is of the values under the names of its day.
    """
    runs: list[Run] = []
    renames, problems = read_renames(root)
    for path in sorted((root / "runs").glob("[!.]*.jsonl")):
        found, bad = read_lines(path, where=f"runs/{path.name}", what="run", read=_run)
        runs += map(renames.follow, found)
        problems += bad
    return runs, problems


def _run(raw: dict[str, object], where: str) -> Run:
    return parse("run", raw, where=where)
