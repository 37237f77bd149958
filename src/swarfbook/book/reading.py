"""From a file to what stands in it: bounded work, and one clear line for whatever is wrong."""

from __future__ import annotations

import hashlib
import re
import stat
import tomllib
from pathlib import Path
from typing import Any

from swarfbook.errors import Problem, SwarfbookError
from swarfbook.frozen import frozen

MOST_BYTES = 256 * 1024
MOST_KEYS = 1000
MOST_DOTS = 16
LONGEST_SHOWN = 120

_PART = r"""(?:[A-Za-z0-9_-]++|"[^"\n]*+"|'[^'\n]*+')"""
# Compiled where they are needed: hardly any file has that many dots, and few are broken.
_CHAIN = rf"{_PART}(?:[ \t]*+\.[ \t]*+{_PART})*+"
_PLACE = r"(?s:(?P<what>.*)) \(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)\Z"
_BARE_UNIT = r"\s*([A-Za-z0-9_.-]+)\s*=\s*([-+0-9./ ]*[0-9][ ]?[A-Za-z\"%][^#]*?)\s*(?:#.*)?\Z"
NO_CLOSE = r"illegal character '\n'"

Stamp = tuple[int, int, int]
NO_STAMP: Stamp = (0, 0, 0)


@frozen
class Read:
    """A file as read: what the TOML reader gives, the sha256 of its bytes and its stamp on disk."""

    raw: dict[str, Any]
    sha: str
    stamp: Stamp


def fail(where: str, remedy: str, found: str = "") -> SwarfbookError:
    """Give the error of a whole file."""
    return SwarfbookError(Problem(where, "", found, remedy))


def trouble(where: str, done: str, error: OSError) -> SwarfbookError:
    """Give the error of a file the system refuses to have read or written."""
    return fail(where, f"this cannot be {done}: {(error.strerror or 'unknown trouble').lower()}")


def stamp(path: Path) -> Stamp | None:
    """Give what tells a changed file cheaply: time, size and inode; None where there is no file."""
    try:
        found = path.stat()
    except (OSError, ValueError):  # ValueError: a name no file can have
        return None
    return found.st_mtime_ns, found.st_size, found.st_ino


def is_folder(path: Path) -> bool:
    """Say whether there is a folder of that name that can be looked at."""
    try:
        return path.is_dir()
    except OSError:
        return False


def sha256(data: bytes) -> str:
    """Give the sha256 of bytes, in hex."""
    return hashlib.sha256(data).hexdigest()


def read_toml(path: Path, *, where: str) -> Read:
    """Read a TOML file.

    Args:
        path: the file.
        where: the file as messages name it.

    Raises:
        SwarfbookError: when it is missing, not a file, not readable, too large, empty, not UTF-8, not TOML
            or has more or deeper keys than any record.
    """
    before = stamp(path)
    data = read_bytes(path, where=where, most=MOST_BYTES)
    raw = parse_toml(data, where=where)
    return Read(raw, sha256(data), before or NO_STAMP)


def read_bytes(path: Path, *, where: str, most: int) -> bytes:
    """Read a regular file of at most `most` bytes; raises SwarfbookError."""
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise fail(where, "this is not a file")
        with path.open("rb") as file:
            data = file.read(most + 1)
    except OSError as error:
        raise trouble(where, "read", error) from error
    if len(data) > most:
        raise fail(where, f"this file is larger than {most // 1024} KiB, which no record needs")
    return data


def parse_toml(data: bytes, *, where: str) -> dict[str, Any]:
    """Parse the bytes of a TOML file; raises SwarfbookError as `read_toml` says."""
    text = decode(data, where=where)
    if not text.strip():
        raise fail(where, "the file is empty")
    if text.count(".") > MOST_DOTS and any(
        chain.group().count(".") > MOST_DOTS for chain in re.finditer(_CHAIN, text)
    ):
        raise fail(where, f"a key has more than {MOST_DOTS} dots, which no record needs")
    try:
        raw = tomllib.loads(text)
    except RecursionError as error:
        raise fail(where, "values are nested deeper than in any record") from error
    except tomllib.TOMLDecodeError as error:
        raise _broken(text, str(error), where=where) from error
    except ValueError as error:
        raise fail(where, "a number has more digits than any record needs") from error
    if _count(raw) > MOST_KEYS:
        raise fail(where, f"this file has more than {MOST_KEYS} keys, which no record needs")
    return raw


def reads_as(text: str, meant: dict[str, Any]) -> bool:
    """Say whether a text is TOML that holds exactly what is meant."""
    try:
        return tomllib.loads(text) == meant
    except ValueError:
        return False


def decode(data: bytes, *, where: str) -> str:
    """Decode UTF-8 with or without a byte order mark; raises SwarfbookError."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise fail(where, f"not UTF-8 (line {line}); save the file as UTF-8") from error


def _broken(text: str, message: str, *, where: str) -> SwarfbookError:
    """Say where TOML is broken and show the line; a bare value with a unit gets its quotes."""
    place = re.match(_PLACE, message[0].lower() + message[1:])
    if not place or not place["line"]:
        return fail(where, "broken TOML: the file ends in the middle of something")
    line = text.split("\n")[int(place["line"]) - 1]
    bare = re.match(_BARE_UNIT, line[:LONGEST_SHOWN])
    what = "the quotes are not closed on this line" if place["what"] == NO_CLOSE else place["what"]
    if bare and '"' not in bare[2]:
        what = f'write {bare[1]} = "{bare[2]}"'
    told = f"broken TOML at line {place['line']}, column {place['column']}: {what}"
    return fail(where, told, found=f"'{line[:LONGEST_SHOWN].strip()}'")


def _count(value: object) -> int:
    """Count the keys of a file, all the way down."""
    if isinstance(value, dict):
        return len(value) + sum(map(_count, value.values()))
    return sum(map(_count, value)) if isinstance(value, list) else 0
