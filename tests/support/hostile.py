"""Inputs that nobody meant well by: good bytes spoilt at random, and what every reader owes for them."""

from __future__ import annotations

# ruff: noqa: E501, PT017 - lists of what is tried; an error need not be raised, and if it is it is looked at
import io
import json
import os
import random
import sys
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType
from typing import Any

from swarfbook.errors import SwarfbookError

MOST_CALLS = 1_000_000
"""Calls of Python functions that reading one input of at most 64 KiB may take: counted, so that no clock is."""
LARGEST = 64 * 1024

TERMINAL = (
    "\x1b[2J", "\x1b]0;owned\x07", "\x1b]8;;http://x.invalid\x1b\\", "\x07", "\x9b31m", "\x9d0;x\x9c",
    "\u202eevil", "\u2066x", "\u2028", "\r", "\x7f", "\x00",
)  # fmt: skip
"""What drives a terminal: CSI, OSC, OSC 8, BEL, C1, directions, breaks."""

PIECES: tuple[bytes, ...] = (
    *(text.encode() for text in TERMINAL),
    b"", b"=", b"\n", b"[", b"]", b"{", b"}", b"[[", b'"', b"'", b'"""', b"'''", b"\\", b"#", b",", b";", b"\t",
    b".", b"..", b"../../x", b"/etc/passwd", b"C:\\x", b"con", b"-", b"-1", b"0", b"1e999", b"nan", b"inf",
    b"NaN", b"Infinity", b"-0", b"9" * 400, b"9" * 5000, b"[" * 300, b"{" * 300, b'{"a":' * 300, b"a." * 20,
    b"true", b"null", b"[]", b"{}", b'""', b"1/0 mm", b"1e-400 mm", b"3 furlong", b"1979-05-27", b"07:32:00",
    b"\xff", b"\xfe\xff", b"\xef\xbb\xbf", b"\xed\xa0\x80", b"\\ud800", b"\\u0000", b"0x10", b"1_0", b"__class__",
    b"\xc2\xbd", b"\xe2\x88\x9e mm", b"schema", b"[a]\n", b"[[a]]\n", b"[spindle]\n", b"x = 1\n",
)  # fmt: skip

ODD: tuple[Any, ...] = (
    None, True, False, 0, -1, 1, 10**20, 10**400, -(10**19), 1e308, 5e-324, 0.5, "", " ", "a", "..", "con", "nan",
    "1 mm", "-1 mm", "1e14 mm", "1/0 mm", "50 %", "2026-11-28T00:00:00+00:00", "0001-01-01", "9999-12-31T23:59:59-23:59",
    [], [[]], [1], ["a"], [None], [{}], {}, {"a": {}}, {"": ""}, "\ud800", "x" * 300, "9" * 5000, *TERMINAL,
)  # fmt: skip


def spoilt(good: bytes, draw: random.Random) -> bytes:
    """Give bytes with up to six things done to them."""
    data = bytearray(good)
    for _ in range(draw.randint(1, 6)):
        start = draw.randint(0, len(data))
        end = min(len(data), start + int(draw.expovariate(0.1)))
        kind = draw.randrange(6)
        if kind == 0:
            data[start:end] = b""
        elif kind == 1:
            data[start:end] = data[start:end] * draw.randint(2, 5)
        elif kind == 2:
            data[start : start + draw.randint(0, 3)] = draw.choice(PIECES)
        elif kind == 3:
            data[start:end] = draw.randbytes(end - start)
        elif kind == 4 and data:
            data[min(start, len(data) - 1)] ^= 1 << draw.randrange(8)
        else:
            _other_value(data, start, draw)
    return bytes(data[:LARGEST])


def _other_value(data: bytearray, start: int, draw: random.Random) -> None:
    """Put something else after the next sign that a value follows, up to the end of the line."""
    place = min((at for sign in b"=:," if (at := data.find(sign, start)) >= 0), default=-1)
    if place >= 0:
        end = data.find(b"\n", place)
        data[place + 1 : end if end >= 0 else len(data)] = draw.choice(PIECES)


def other_json(good: bytes, draw: random.Random) -> bytes:
    """Give a JSON text with some of its values replaced, so that it still is JSON."""
    value = json.loads(good)
    for _ in range(draw.randint(1, 3)):
        value = _replaced(value, draw, draw.randint(0, 5))
    return json.dumps(value, ensure_ascii=True).encode()


def in_zip(good: bytes, draw: random.Random) -> bytes:
    """Spoil a member of a ZIP file, with a checksum that fits."""
    data = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(good)) as before, zipfile.ZipFile(data, "w") as after:
        chosen = draw.choice(before.namelist())
        for name in before.namelist():
            member = before.read(name)
            spoil = other_json if name.endswith(".json") and draw.random() < 0.8 else spoilt
            after.writestr(name, spoil(member, draw) if name == chosen else member)
    return data.getvalue()


def _replaced(value: Any, draw: random.Random, depth: int) -> Any:
    if depth == 0 or not isinstance(value, dict | list) or not value:
        return draw.choice(ODD)
    if isinstance(value, list):
        at = draw.randrange(len(value))
        return [_replaced(one, draw, depth - 1) if place == at else one for place, one in enumerate(value)]
    key = draw.choice(list(value))
    if draw.random() < 0.1:
        return {name: one for name, one in value.items() if name != key}
    return value | {key: _replaced(value[key], draw, depth - 1)}


def refused_or_read(read: Callable[[bytes], object], data: bytes, *, counted: bool = True) -> bool:
    """Say whether an input reads; what it raises otherwise has to be problems of one plain line each."""
    try:
        with at_most(MOST_CALLS) if counted else _uncounted():
            read(data)
    except SwarfbookError as error:
        assert error.problems
        for problem in error.problems:
            assert is_plain(str(problem)), problem
        return False
    return True


def is_plain(line: str) -> bool:
    """Say whether a line holds nothing but what can be seen."""
    return bool(line) and line.isprintable()


@contextmanager
def _uncounted() -> Iterator[None]:
    yield


class TooMuchError(AssertionError):
    """More work than an input of that size is worth."""


@contextmanager
def at_most(most: int) -> Iterator[None]:
    """Count the calls of Python functions, and raise where there are too many."""
    calls = 0

    def count(_frame: FrameType, event: str, _what: object) -> None:
        nonlocal calls
        if event == "call":
            calls += 1
            if calls > most:
                raise TooMuchError(f"more than {most} calls")

    before = sys.getprofile()
    sys.setprofile(count)
    try:
        yield
    finally:
        sys.setprofile(before)


_watching: list[tuple[Path, list[str]]] = []


def _note(event: str, words: tuple[Any, ...]) -> None:
    if not _watching:
        return
    root, found = _watching[-1]
    follows = event == "open" and isinstance(words[2], int) and not words[2] & os.O_NOFOLLOW
    if event == "open" and isinstance(words[2], int) and words[2] & (os.O_WRONLY | os.O_RDWR | os.O_CREAT):
        names = [words[0]]
    elif event in CHANGES:
        names = list(words[:2])
    else:
        return
    for name in names:
        # A rename puts another thing in place of a link; what is opened may be what the link leads to.
        path = Path(name) if isinstance(name, str) else root / "x"
        if name != os.devnull and not (path if follows else path.parent / "x").resolve().is_relative_to(root):
            found.append(f"{event} {name}")


CHANGES = ("os.rename", "os.link", "os.symlink", "os.mkdir", "os.remove", "os.rmdir", "os.truncate")
sys.addaudithook(_note)


@contextmanager
def writes_only_in(root: Path) -> Iterator[None]:
    """Watch what is opened to write, renamed and made; raises where that lies anywhere else."""
    found: list[str] = []
    _watching.append((root.resolve(), found))
    try:
        yield
    finally:
        _watching.pop()
    assert found == []
