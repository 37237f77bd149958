"""One writer at a time, and files that are never half written."""

from __future__ import annotations

import errno
import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

from swarfbook.book import system

LOCK = ".lock"
TEMPORARY = ".tmp"


@contextmanager
def locked(root: Path) -> Iterator[None]:
    """Hold the book's lock; it is freed with the process, and its file stays behind on purpose."""
    handle = os.open(root / LOCK, os.O_RDWR | os.O_CREAT | system.OPEN | system.NO_LINK, 0o666)
    try:
        system.hold(handle)
        yield
    finally:
        system.let_go(handle)
        os.close(handle)


def write_atomically(path: Path, data: bytes, *, like: Path | None = None, lasting: bool = True) -> None:
    """Put `data` in place of a file in one step that survives a power cut.

    The bytes go to a hidden file in the same folder, are flushed to the disk, read back and compared, and
    take the name; the mode of the file before stays, or is that of the file `like`, and so does its owner
    where that is permitted. Raises OSError, with the file as it was and nothing left beside it. What need not
    last is neither flushed nor read back: after a power cut it may be cut short.
    """
    temporary = path.parent / f".{path.name}.{secrets.token_hex(4)}{TEMPORARY}"
    try:
        with temporary.open("x+b") as file:
            _take_after(like or path, file.fileno())
            file.write(data)
            file.flush()
            if lasting:
                os.fsync(file.fileno())
                _read_back(file, data)
        temporary.replace(path)
    finally:
        with suppress(OSError):  # what went wrong before is what is told
            temporary.unlink(missing_ok=True)
    if lasting:
        flush_folder(path.parent)


def _take_after(path: Path, handle: int) -> None:
    """Give a new file the mode and owner of the one it replaces, so that a shared record stays shared."""
    with suppress(FileNotFoundError):
        system.take_after(handle, path.stat())


def _read_back(file: BinaryIO, data: bytes) -> None:
    """Read what was written; raises OSError where it is something else."""
    file.seek(0)
    if file.read() != data:
        raise OSError(errno.EIO, "what was read back is not what was written")


def flush_folder(folder: Path) -> None:
    """Flush the new name to the disk, where the system lets folders be opened and flushed."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
