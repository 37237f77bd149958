"""One writer at a time, and files that are never half written."""

from __future__ import annotations

import fcntl
import os
import secrets
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

LOCK = ".lock"


@contextmanager
def locked(root: Path) -> Iterator[None]:
    """Hold the book's lock; it is freed with the process, and its file stays behind on purpose."""
    handle = os.open(root / LOCK, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o666)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def write_atomically(path: Path, data: bytes, *, like: Path | None = None, lasting: bool = True) -> None:
    """Put `data` in place of a file in one step that survives a power cut.

    The bytes go to a hidden file in the same folder, are flushed to the disk and take the name; the mode
    of the file before stays, or is that of the file `like`. Raises OSError, with the file as it was.
    What need not last is not flushed: after a power cut it may be cut short.
    """
    temporary = path.parent / f".{path.name}.{secrets.token_hex(4)}.tmp"
    try:
        with temporary.open("xb") as file:
            _keep_mode(like or path, file.fileno())
            file.write(data)
            file.flush()
            if lasting:
                os.fsync(file.fileno())
        temporary.replace(path)
    finally:
        temporary.unlink(missing_ok=True)
    if lasting:
        flush_folder(path.parent)


def _keep_mode(path: Path, handle: int) -> None:
    """Give the new file the mode of the one it replaces, so that a shared record stays shared."""
    with suppress(FileNotFoundError):
        os.fchmod(handle, stat.S_IMODE(path.stat().st_mode))


def flush_folder(folder: Path) -> None:
    """Flush the new name to the disk, where the file system lets folders be flushed."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        with suppress(OSError):
            os.fsync(handle)
    finally:
        os.close(handle)
