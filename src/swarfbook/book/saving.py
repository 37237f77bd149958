"""Save one record: edit its text in place, prove the result, and put it there in one step."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from swarfbook.book.editing import CLUMSY, edit, new_document
from swarfbook.book.ids import file_name
from swarfbook.book.locking import locked, write_atomically
from swarfbook.book.reading import (
    MOST_BYTES,
    NO_STAMP,
    Read,
    decode,
    fail,
    parse_toml,
    read_bytes,
    reads_as,
    sha256,
    stamp,
    trouble,
)
from swarfbook.errors import ConflictError, Problem
from swarfbook.records import parse


def save(root: Path, kind: str, record: str, values: Mapping[str, Any], *, seen: str | None) -> Read:
    """Write a record as `Book.save` says and give what stands there now.

    Raises SwarfbookError, with the file as it was.
    """
    where = file_name(kind, record)
    path = (root / where).resolve()
    try:
        with locked(root):
            before = _before(path, seen, where=where)
            meant, data = _text(kind, before, _as_read(values), where=where)
            path.parent.mkdir(exist_ok=True)
            write_atomically(path, data)
            return Read(meant, sha256(data), stamp(path) or NO_STAMP)
    except OSError as error:
        raise trouble(where, "written", error) from error


def _before(path: Path, seen: str | None, *, where: str) -> bytes | None:
    """Give what stands on disk, None for nothing; raises if it is not what was seen."""
    if seen is None:
        if path.exists():
            raise fail(where, "there is one of that id already; choose another id")
        return None
    if not path.exists():
        raise ConflictError(
            Problem(where, "", "", "the file was taken away since it was read; save under another id")
        )
    data = read_bytes(path, where=where, most=MOST_BYTES)
    if sha256(data) != seen:
        raise ConflictError(
            Problem(where, "", "", "the file changed on disk since it was read; read it again first")
        )
    return data


def _text(
    kind: str, before: bytes | None, values: Mapping[str, Any], *, where: str
) -> tuple[dict[str, Any], bytes]:
    """Give what a file is to hold and the bytes that are proved to hold exactly that."""
    schema = {"schema": f"{kind}/1"}
    meant = merged(schema if before is None else parse_toml(before, where=where), values)
    parse(kind, meant, where=where)
    for text in _candidates(kind, before, meant if before is None else values, where=where):
        if reads_as(text, meant):
            return meant, text.encode()
    raise fail(where, CLUMSY)


def _candidates(kind: str, before: bytes | None, values: Mapping[str, Any], *, where: str) -> Iterator[str]:
    """Yield texts that should hold what is meant, the tidiest first."""
    if before is None:
        yield new_document(kind, values)
        return
    text = decode(before, where=where)
    yield edit(kind, text, values, where=where, tidy=True)
    yield edit(kind, text, values, where=where, tidy=False)


def _as_read(values: Mapping[str, Any]) -> dict[str, Any]:
    """Give values as the TOML reader would: lists for tuples."""
    return {
        key: _as_read(value)
        if isinstance(value, Mapping)
        else list(value)
        if isinstance(value, tuple)
        else value
        for key, value in values.items()
    }


def merged(raw: Mapping[str, Any], values: Mapping[str, Any]) -> dict[str, Any]:
    """Give `raw` with `values` set: tables key by key, lists whole, None takes a key out."""
    result = dict(raw)
    for key, value in values.items():
        before = result.get(key)
        if value is None:
            result.pop(key, None)
        elif isinstance(value, Mapping):
            result[key] = merged(before if isinstance(before, Mapping) else {}, value)
        else:
            result[key] = value
    return result
