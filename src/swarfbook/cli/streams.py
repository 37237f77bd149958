"""What stands where the program prints: a closed stream, a full disk, a terminal without some letters.

The first is not `None`, the second is one line on stderr, the third gets letters it has. Only the program
itself dresses its streams; whoever calls commands from Python keeps their own.
"""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Iterable
from contextlib import suppress
from typing import Any, TextIO

from swarfbook.errors import Problem, SwarfbookError


class ReaderLeft(Exception):  # noqa: N818 - no mistake; click would make a broken pipe one
    """Whoever read what is printed has seen enough, as `head` has."""


class Dressed:
    """A stream to print on, in place of the one it wraps.

    Attributes:
        encoding, errors: what click is told; which letters there are is the wrapped stream's affair.
    """

    encoding, errors = "utf-8", "strict"

    def __init__(self, stream: TextIO, name: str) -> None:
        self._stream, self._name = stream, name

    def __getattr__(self, name: str) -> Any:  # noqa: ANN401 - whatever the stream has
        return getattr(self._stream, name)

    def takes(self, text: str) -> bool:
        """Say whether the stream has all letters of a text."""
        try:
            text.encode(self._stream.encoding or "ascii", "strict")
        except UnicodeEncodeError:
            return False
        return True

    def write(self, text: str) -> int:
        """Print a text, in ASCII where the stream lacks a letter of it; raises SwarfbookError."""
        if not isinstance(text, str):  # click tries this first, and writes texts where it is refused
            raise TypeError("a text is needed")
        if not text:
            return 0
        try:
            return self._stream.write(text if self.takes(text) else _plain(text))
        except (OSError, ValueError) as error:
            self._failed(error)
            return 0

    def writelines(self, lines: Iterable[str]) -> None:
        """Print texts one after the other."""
        for line in lines:
            self.write(line)

    def flush(self) -> None:
        """Hand on what was printed; raises SwarfbookError."""
        try:
            self._stream.flush()
        except (OSError, ValueError) as error:
            self._failed(error)

    def _failed(self, error: OSError | ValueError) -> None:
        """Tell of what could not be printed, unless it is that which would tell it."""
        if self._name == "stderr":
            return
        _forget(self._stream)
        if isinstance(error, BrokenPipeError):
            raise ReaderLeft from error
        reason = (getattr(error, "strerror", None) or "it is closed").lower()
        raise SwarfbookError(Problem(self._name, "", "", f"this cannot be written: {reason}")) from error


class _Closed:
    """What a closed stream is as a file: nothing goes in, nothing comes out."""

    encoding, errors, closed = "utf-8", "strict", False

    def write(self, _: str) -> int:
        """Refuse, as a closed file does; raises OSError."""
        raise OSError(errno.EBADF, "it is closed")

    def flush(self) -> None:
        """Do nothing: there is nothing to hand on."""

    def isatty(self) -> bool:
        """Say that nobody watches."""
        return False

    def read(self, size: int = -1) -> str:  # noqa: ARG002 - as of a file
        """Give nothing."""
        return ""

    readline = read


def dress() -> None:
    """Dress stdout and stderr of this process, and put something where a stream is closed."""
    if None in (sys.stdin, sys.stdout, sys.stderr):
        _occupy()
    sys.stdin = sys.stdin or _Closed()
    sys.stdout = Dressed(sys.stdout or _Closed(), "stdout")  # type: ignore[arg-type]
    sys.stderr = Dressed(sys.stderr or _Closed(), "stderr")  # type: ignore[arg-type]


def _occupy() -> None:
    """Take the numbers of closed streams, so that no file of a book gets one of them."""
    while (handle := os.open(os.devnull, os.O_RDWR)) <= 2:
        os.set_inheritable(handle, True)
    os.close(handle)


def _forget(stream: TextIO) -> None:
    """Let what is still to be printed go nowhere, so that leaving does not fail of it once more."""
    with suppress(OSError, ValueError, AttributeError):
        handle = os.open(os.devnull, os.O_WRONLY)
        os.dup2(handle, stream.fileno())
        os.close(handle)


def _plain(text: str) -> str:
    from swarfbook.reports.plain import plain

    return plain(text)


def takes(text: str) -> bool:
    """Say whether stdout has all letters of a text."""
    return not isinstance(sys.stdout, Dressed) or sys.stdout.takes(text)
