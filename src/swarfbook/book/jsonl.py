"""Files of one JSON object a line: added to at the end, read in order; a bad line costs nobody the others."""

from __future__ import annotations

import errno
import json
import os
import stat
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any, BinaryIO, NoReturn, TypeVar

from swarfbook.book import system
from swarfbook.book.reading import fail, trouble
from swarfbook.errors import Problem, SwarfbookError

MOST_LINE = 64 * 1024
MARK = b"\xef\xbb\xbf"  # some editors begin a file with it

RecordT = TypeVar("RecordT")


def read_lines(
    path: Path,
    *,
    where: str,
    what: str,
    read: Callable[[dict[str, Any], str], RecordT],
    last: int | None = None,
) -> tuple[list[RecordT], list[Problem]]:
    """Read every line of a file: what reads, and the problems of what does not.

    Args:
        path: the file.
        where: the file as messages name it.
        what: what a line holds, in words.
        read: makes a record of a line's object and the line's place; raises SwarfbookError.
        last: read only the whole lines in so many bytes at the end; None reads all. Places are then counted
            from there.
    """
    records: list[RecordT] = []
    problems: list[Problem] = []
    try:
        with path.open("rb") as file:
            if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
                raise fail(where, "this is not a file")
            if last is not None:
                _skip_to(file, last)
            for place, line in _lines(file, where):
                try:
                    records.append(read(_object(line, where=place, what=what), place))
                except SwarfbookError as error:
                    problems += error.problems
    except IsADirectoryError:
        problems += fail(where, "this is not a file").problems
    except OSError as error:
        problems += trouble(where, "read", error).problems
    except SwarfbookError as error:
        problems += error.problems
    return records, problems


def _lines(file: BinaryIO, where: str) -> Iterator[tuple[str, bytes]]:
    """Yield each line that is not blank with the place a message names; an endless one is cut."""
    number, inside = 0, False
    while line := file.readline(MOST_LINE + 2):
        ends = line.endswith(b"\n")
        if not inside:
            number += 1
            line = line.removeprefix(MARK) if number == 1 else line
            if line.strip():
                yield f"{where} line {number}", line
        inside = not ends


def _skip_to(file: BinaryIO, last: int) -> None:
    """Go to the first whole line of the last so many bytes."""
    size = os.fstat(file.fileno()).st_size
    if size > last:
        file.seek(size - last - 1)
        file.readline(last)


def append_line(path: Path, value: Mapping[str, Any], *, where: str) -> None:
    """Add one object at the end, on the disk before this returns; nothing that stands there is touched.

    A last line that was cut off before is left as it is, and the new one does not join it. Reads one byte,
    however long the file. To be called under the book's lock.

    Raises:
        OSError: with the file as it was.
        SwarfbookError: a line longer than any reader takes.
    """
    line = json.dumps(value, ensure_ascii=False, allow_nan=False).encode() + b"\n"
    if len(line) > MOST_LINE:
        raise fail(
            where, f"this would be a line of more than {MOST_LINE // 1024} KiB; write less in the note"
        )
    handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_APPEND | system.OPEN, 0o666)
    try:
        size = os.fstat(handle).st_size
        torn = size > 0 and system.byte_at(handle, size - 1) != b"\n"
        _write_whole(handle, b"\n" + line if torn else line, size)
    finally:
        os.close(handle)


def _write_whole(handle: int, data: bytes, size: int) -> None:
    """Write all of the bytes to the disk at the end, or none; raises OSError."""
    try:
        written = os.write(handle, data)
        os.fsync(handle)
    except OSError:
        os.ftruncate(handle, size)
        raise
    if written < len(data):
        os.ftruncate(handle, size)
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def _object(line: bytes, *, where: str, what: str) -> dict[str, Any]:
    """Read the JSON object of a line; raises SwarfbookError."""
    if len(line) > MOST_LINE:
        raise fail(where, f"this line is longer than {MOST_LINE // 1024} KiB, which no {what} needs")
    try:
        text = line.decode()
    except UnicodeDecodeError as error:
        raise fail(where, "not UTF-8; save the file as UTF-8") from error
    try:
        value = json.loads(text, parse_constant=_no_constant)
    except (ValueError, RecursionError) as error:
        raise fail(
            where, "broken JSON; a line that was cut off may be taken out", found=f"'{text.strip()}'"
        ) from error
    if not isinstance(value, dict):
        raise fail(where, f"a {what} is a JSON object", found=f"'{text.strip()}'")
    return value


def _no_constant(name: str) -> NoReturn:
    raise ValueError(name)
