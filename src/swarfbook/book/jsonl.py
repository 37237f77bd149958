"""Files of one JSON object a line, read in order; a bad line costs nobody the others."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NoReturn, TypeVar

from swarfbook.book.reading import decode, fail, read_bytes
from swarfbook.errors import Problem, SwarfbookError

MOST_BYTES = 64 * 1024 * 1024
MOST_LINE = 64 * 1024

RecordT = TypeVar("RecordT")


def read_lines(
    path: Path, *, where: str, what: str, read: Callable[[dict[str, Any], str], RecordT]
) -> tuple[list[RecordT], list[Problem]]:
    """Read every line of a file: what reads, and the problems of what does not.

    Args:
        path: the file.
        where: the file as messages name it.
        what: what a line holds, in words.
        read: makes a record of a line's object and the line's place; raises SwarfbookError.
    """
    records: list[RecordT] = []
    problems: list[Problem] = []
    try:
        for place, line in _lines(path, where):
            try:
                records.append(read(_object(line, where=place, what=what), place))
            except SwarfbookError as error:
                problems += error.problems
    except SwarfbookError as error:
        problems += error.problems
    return records, problems


def _lines(path: Path, where: str) -> Iterator[tuple[str, str]]:
    """Yield each line that is not blank with the place a message names."""
    text = decode(read_bytes(path, where=where, most=MOST_BYTES), where=where)
    for number, line in enumerate(text.split("\n"), start=1):
        if line.strip():
            yield f"{where} line {number}", line


def _object(text: str, *, where: str, what: str) -> dict[str, Any]:
    """Read the JSON object of a line; raises SwarfbookError."""
    if len(text) > MOST_LINE:
        raise fail(where, f"this line is longer than {MOST_LINE // 1024} KiB, which no {what} needs")
    try:
        value = json.loads(text, parse_constant=_no_constant)
    except (ValueError, RecursionError) as error:
        raise fail(
            where, "broken JSON; a line that was cut off may be taken out", found=f"'{text}'"
        ) from error
    if not isinstance(value, dict):
        raise fail(where, f"a {what} is a JSON object", found=f"'{text}'")
    return value


def _no_constant(name: str) -> NoReturn:
    raise ValueError(name)
