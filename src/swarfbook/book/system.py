"""What systems do differently, each behind one function: locks, modes and owners, reading at a place."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from contextlib import suppress
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import asyncio

OPEN = getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)
"""Flags to open a file with: not handed to other programs, its bytes as they are."""
NO_LINK = getattr(os, "O_NOFOLLOW", 0)
"""Flag to open a file with that may be no link."""
NO_WAIT = getattr(os, "O_NONBLOCK", 0)
"""Flag to open a file with that may be no pipe without a reader."""


def hold(handle: int) -> None:
    """Wait until an open file is locked for this process alone; raises OSError."""
    try:
        import fcntl  # noqa: PLC0415 - not every system has it
    except ImportError:
        _hold_byte(handle)
    else:
        fcntl.flock(handle, fcntl.LOCK_EX)


def _hold_byte(handle: int) -> None:
    """Lock the first byte, as Windows does; it gives up after ten seconds, and is asked again."""
    msvcrt = import_module("msvcrt")
    while True:
        os.lseek(handle, 0, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_LOCK, 1)
        except OSError as error:
            if error.errno != GAVE_UP:
                raise
        else:
            return


GAVE_UP = 36
"""Windows' number of the error that a lock was not to be had in time, EDEADLOCK there."""


def let_go(handle: int) -> None:
    """Free a lock before its file is closed, where the system takes its time over that."""
    with suppress(ImportError, OSError):
        msvcrt = import_module("msvcrt")
        os.lseek(handle, 0, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_UNLCK, 1)


def take_after(handle: int, model: os.stat_result) -> None:
    """Give an open file the owner, where that is permitted, and the mode of another; raises OSError.

    Owner first: a change of owner may take bits out of the mode.
    """
    now = os.fstat(handle)
    if hasattr(os, "fchown") and (now.st_uid, now.st_gid) != (model.st_uid, model.st_gid):
        with suppress(OSError):
            os.fchown(handle, -1, model.st_gid)
        with suppress(OSError):
            os.fchown(handle, model.st_uid, -1)
    if hasattr(os, "fchmod"):
        os.fchmod(handle, stat.S_IMODE(model.st_mode))


def others_may_use(mode: int) -> bool:
    """Say whether a file's mode lets others use it; where modes do not tell (Windows), they say nothing."""
    return os.name == "posix" and bool(stat.S_IMODE(mode) & 0o077)


def when_told_to_end(loop: asyncio.AbstractEventLoop, act: Callable[[], object]) -> None:
    """Call something in an event loop when the system, or somebody at the keyboard, ends the process."""
    import signal  # noqa: PLC0415 - only who stays needs it

    for name in ENDS:
        if (one := getattr(signal, name, None)) is None:
            continue
        try:
            loop.add_signal_handler(one, act)
        except NotImplementedError:  # Windows
            signal.signal(one, lambda *_: loop.call_soon_threadsafe(act))


ENDS = ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK")
"""Signals that tell a process to end; no system has all of them."""


def command_words(command: str, *, windows: bool = os.name == "nt") -> list[str]:
    """Take a command apart as the shell of the system would; raises ValueError for an open quote.

    Args:
        command: the command, with its options.
        windows: backslashes stand for themselves.
    """
    import shlex  # noqa: PLC0415 - only who edits on screen needs it

    words = shlex.split(command, posix=not windows)
    return [word[1:-1] if windows and word[:1] == word[-1:] == '"' else word for word in words]


def byte_at(handle: int, place: int) -> bytes:
    """Read one byte of an open file; where it stands afterwards is not said. Raises OSError."""
    if hasattr(os, "pread"):
        return os.pread(handle, 1, place)
    os.lseek(handle, place, os.SEEK_SET)
    return os.read(handle, 1)
