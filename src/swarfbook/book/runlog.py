"""The run log: `runs/*.jsonl`, one run a line, read in order."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NoReturn

from swarfbook.book.reading import decode, fail, read_bytes
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.records import Run, parse

MOST_BYTES = 64 * 1024 * 1024
MOST_LINE = 64 * 1024


def read_runs(root: Path) -> tuple[list[Run], list[Problem]]:
    """Read every run of a book: those that read, and the problems of the lines that do not."""
    runs: list[Run] = []
    problems: list[Problem] = []
    for path in sorted((root / "runs").glob("[!.]*.jsonl")):
        try:
            for line in _lines(path):
                _add(line, runs, problems)
        except SwarfbookError as error:
            problems += error.problems
    return runs, problems


def _lines(path: Path) -> Iterator[tuple[str, str]]:
    """Yield each line that is not blank with the place a message names."""
    where = f"runs/{path.name}"
    text = decode(read_bytes(path, where=where, most=MOST_BYTES), where=where)
    for number, line in enumerate(text.split("\n"), start=1):
        if line.strip():
            yield f"{where} line {number}", line


def _add(line: tuple[str, str], runs: list[Run], problems: list[Problem]) -> None:
    where, text = line
    try:
        runs.append(parse("run", _object(text, where=where), where=where))
    except SwarfbookError as error:
        problems += error.problems


def _object(text: str, *, where: str) -> dict[str, Any]:
    """Read the JSON object of a line; raises SwarfbookError."""
    if len(text) > MOST_LINE:
        raise fail(where, f"this line is longer than {MOST_LINE // 1024} KiB, which no run needs")
    try:
        value = json.loads(text, parse_constant=_no_constant)
    except (ValueError, RecursionError) as error:
        raise fail(
            where, "broken JSON; a line that was cut off may be taken out", found=f"'{text}'"
        ) from error
    if not isinstance(value, dict):
        raise fail(where, "a run is a JSON object", found=f"'{text}'")
    return value


def _no_constant(name: str) -> NoReturn:
    raise ValueError(name)
