"""The index of a book as bytes: one line that says what it is, then everything in columns.

A word that thousands of recipes share stands there once, which makes it quick to read.
"""

from __future__ import annotations

import base64
import gc
import json
import struct
import sys
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any, NamedTuple

from swarfbook.book.ids import file_name
from swarfbook.book.reading import sha256
from swarfbook.errors import Problem

SCHEMA = "recipe-index/1"
"""To be raised whenever what is kept, or what the reader of files makes of one, is no longer the same."""
PYTHON = ".".join(map(str, sys.version_info[:2]))  # whose TOML reader words the problems
STAMP = struct.Struct("<4Q")
SHARED = ("machine", "tool", "material", "operation", "standing", "parent")
"""Columns in which the same words come over and over."""


class Brief(NamedTuple):
    """A recipe in brief: what its file says of it as typed, checked by nobody.

    Attributes:
        id: its id.
        name, machine, tool, material, operation, standing: what stands there, as text; None for nothing.
        parent: id of the recipe it came from; None for none.
        problems: why its file is no TOML; empty where it is.
    """

    id: str
    name: str | None = None
    machine: str | None = None
    tool: str | None = None
    material: str | None = None
    operation: str | None = None
    standing: str | None = None
    parent: str | None = None
    problems: tuple[Problem, ...] = ()

    @property
    def values(self) -> dict[str, str]:
        """The keys it has, as its file would give them were they all text."""
        return {key: value for key, value in zip(SAID, self[1:7], strict=True) if value is not None}


SAID = Brief._fields[1:7]
Kept = tuple[bytes, Brief]
"""A file's stamp, and what stands in it."""


def dump(known: Mapping[str, Kept]) -> bytes:
    """Write an index."""
    with _undisturbed():
        briefs = [brief for _, brief in known.values()]
        columns: dict[str, Any] = {
            "stamp": base64.b64encode(b"".join(stamp for stamp, _ in known.values())).decode(),
            "id": [brief.id for brief in briefs],
            "name": [brief.name for brief in briefs],
            **{key: _coded(getattr(brief, key) for brief in briefs) for key in SHARED},
            "problems": {
                one.id: [_written(problem) for problem in one.problems] for one in briefs if one.problems
            },
        }
        body = json.dumps(columns, separators=(",", ":")).encode()
    return _head(body) + b"\n" + body


def load(data: bytes) -> dict[str, Kept]:
    """Read an index; empty for whatever is not one that this program wrote whole."""
    head, _, body = data.partition(b"\n")
    if head != _head(body):
        return {}
    try:
        with _undisturbed():
            return _read(json.loads(body))
    except (ValueError, TypeError, LookupError, AttributeError, RecursionError, struct.error):
        return {}


def _head(body: bytes) -> bytes:
    return json.dumps({"schema": SCHEMA, "python": PYTHON, "sha256": sha256(body)}).encode()


def _read(columns: dict[str, Any]) -> dict[str, Kept]:
    ids, names = _texts(columns["id"]), _texts(columns["name"])
    stamps = [one[0] for one in struct.iter_unpack(f"{STAMP.size}s", base64.b64decode(columns["stamp"]))]
    shared = [_decoded(*columns[key]) for key in SHARED]
    broken = {key: tuple(_problem(key, *one) for one in told) for key, told in columns["problems"].items()}
    told = [broken.get(key, ()) for key in ids]
    return dict(zip(ids, zip(stamps, map(Brief, ids, names, *shared, told), strict=True), strict=True))


def _texts(column: list[Any]) -> list[Any]:
    if not set(map(type, column)) <= {str, type(None)}:
        raise TypeError
    return column


def _coded(column: Iterable[str | None]) -> tuple[list[str | None], list[int]]:
    """Give the words of a column, each once, and for each row the place of its own among them."""
    places: dict[str | None, int] = {}
    rows = [places.setdefault(word, len(places)) for word in column]
    return list(places), rows


def _decoded(words: list[Any], rows: list[int]) -> list[Any]:
    return list(map(_texts(words).__getitem__, rows))


def _written(problem: Problem) -> tuple[str, str, str]:
    return problem.key, problem.found, problem.remedy


def _problem(recipe: str, *told: str) -> Problem:
    key, found, remedy = _texts(list(told))
    return Problem(file_name("recipe", recipe), key, found, remedy)


@contextmanager
def _undisturbed() -> Iterator[None]:
    """Keep the collector of garbage away: it would look through all rows again and again as they are made."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()
