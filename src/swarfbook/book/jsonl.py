"""Files of one JSON object a line: added to at the end, read in order; a bad line costs nobody the others."""

from __future__ import annotations

import errno
import json
import os
import stat
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any, BinaryIO, NoReturn, Protocol, TypeVar

from swarfbook.book import system
from swarfbook.book.reading import fail, trouble
from swarfbook.errors import Problem, SwarfbookError

MOST_LINE = 64 * 1024
MARK = b"\xef\xbb\xbf"  # some editors begin a file with it

RecordT = TypeVar("RecordT")


class Hash(Protocol):
    """A hash of `hashlib`."""

    def update(self, data: bytes, /) -> None:
        """Take in more bytes."""

    def hexdigest(self) -> str:
        """Give it in hexadecimal."""

    def copy(self) -> Hash:
        """Give another that goes on from here."""


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

    def keep(raw: dict[str, Any], place: str, _start: int, _length: int) -> None:
        records.append(read(raw, place))

    try:
        with open_regular(path, where=where) as file:
            if last is not None:
                _skip_to(file, last)
            problems += read_on(Lines(file), where=where, what=what, read=keep)
    except SwarfbookError as error:
        problems += error.problems
    return records, problems


@contextmanager
def open_regular(path: Path, *, where: str) -> Iterator[BinaryIO]:
    """Open a file to read; raises SwarfbookError for what is no file, and for what the system refuses."""
    try:
        if not stat.S_ISREG(path.stat().st_mode):  # before it is opened: a pipe would wait for a writer
            raise fail(where, "this is not a file")
        with path.open("rb") as file:
            yield file
    except OSError as error:
        raise trouble(where, "read", error) from error


class Lines:
    """The lines of an open file, from a place in it on.

    Attributes:
        whole: bytes from the beginning of the file to the end of the last whole line that was passed.
        number: how many lines those are.
    """

    def __init__(
        self, file: BinaryIO, *, whole: int = 0, number: int = 0, sha: Hash | None = None, torn: bool = True
    ) -> None:
        """Begin where the file stands.

        Args:
            file: the file.
            whole: bytes before that, of lines that are whole.
            number: how many lines those are.
            sha: a hash of those bytes, to be carried on to the end of the last whole line; None for none.
            torn: a last line without an end is a line, too.
        """
        self.whole, self.number = whole, number
        self._file, self._sha, self._torn = file, sha, torn

    def __iter__(self) -> Iterator[tuple[int, int, bytes]]:
        """Yield number, place in the file and bytes of each line that is not blank; an endless one is cut."""
        while line := self._file.readline(MOST_LINE + 2):
            start, number = self.whole, self.number + 1
            if not self._passed(line) and not self._torn:
                return
            if start == 0 and line.startswith(MARK):
                start, line = len(MARK), line[len(MARK) :]
            if line.strip():
                yield number, start, line

    def _passed(self, line: bytes) -> bool:
        """Go to the end of a line and take it in; say whether it has one."""
        length, sha = len(line), self._sha
        if sha is not None and not line.endswith(b"\n"):
            sha = sha.copy()  # the line may have no end
        while line:
            if sha is not None:
                sha.update(line)
            if line.endswith(b"\n"):
                self.whole, self.number, self._sha = self.whole + length, self.number + 1, sha
                return True
            line = self._file.readline(MOST_LINE + 2)
            length += len(line)
        return False

    @property
    def sha(self) -> str:
        """The hash of the whole lines that were passed, in hexadecimal."""
        return "" if self._sha is None else self._sha.hexdigest()


def read_on(
    lines: Lines, *, where: str, what: str, read: Callable[[dict[str, Any], str, int, int], object]
) -> list[Problem]:
    """Hand on the object of each line, with its place in words and in bytes, and how many bytes it has.

    Returns:
        The problems of the lines that do not read, `read`'s own among them.
    """
    problems: list[Problem] = []
    for number, start, line in lines:
        place = f"{where} line {number}"
        try:
            read(_object(line, where=place, what=what), place, start, len(line))
        except SwarfbookError as error:
            problems += error.problems
    return problems


def line_at(file: BinaryIO, start: int, length: int, *, where: str, what: str) -> dict[str, Any]:
    """Read the object of one line of an open file again, by its place and bytes; raises SwarfbookError."""
    file.seek(start)
    return _object(file.read(length), where=where, what=what)


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
    append_lines(path, [value], where=where)


def append_lines(path: Path, values: Iterable[Mapping[str, Any]], *, where: str) -> None:
    """Add objects at the end, a line each, as `append_line` does; all of them or none."""
    lines = b"".join(_line(value, where=where) for value in values)
    handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_APPEND | system.OPEN, 0o666)
    try:
        size = os.fstat(handle).st_size
        torn = size > 0 and system.byte_at(handle, size - 1) != b"\n"
        _write_whole(handle, b"\n" + lines if torn else lines, size)
    finally:
        os.close(handle)


def _line(value: Mapping[str, Any], *, where: str) -> bytes:
    line = json.dumps(value, ensure_ascii=False, allow_nan=False).encode() + b"\n"
    if len(line) > MOST_LINE:
        raise fail(
            where, f"this would be a line of more than {MOST_LINE // 1024} KiB; write less in the note"
        )
    return line


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
