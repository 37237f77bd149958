"""Save one record: edit its text in place, prove the result, and put it there in one step."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from swarfbook.book.editing import CLUMSY, edit, new_document
from swarfbook.book.history import SAVED, History
from swarfbook.book.ids import file_name
from swarfbook.book.inside import to_write
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


def save(
    root: Path, kind: str, record: str, values: Mapping[str, Any], *, seen: str | None, history: History
) -> Read:
    """Write a record as `Book.save` says and give what stands there now.

    Raises SwarfbookError, with the file as it was.
    """
    where = file_name(kind, record)
    path = to_write(root, where)
    try:
        with locked(root):
            before = _before(path, seen, where=where)
            meant, data = _text(kind, before, _as_read(values), where=where)
            path.parent.mkdir(exist_ok=True)
            history.found(kind, record, before)
            write_atomically(path, data)
            history.add(kind, record, SAVED, data)
            return Read(meant, sha256(data), stamp(path) or NO_STAMP)
    except OSError as error:
        raise trouble(where, "written", error) from error


def duplicate(
    root: Path, kind: str, record: str, new: str, values: Mapping[str, Any], *, history: History
) -> Read:
    """Write a record's text under another id as `Book.duplicate` says; give what stands there."""
    where = file_name(kind, new)
    path = to_write(root, where)
    on_trial = {"standing": "trial", "derived": None} if kind == "recipe" else {}
    try:
        with locked(root):
            _before(path, None, where=where)
            before = seen_bytes(root / file_name(kind, record), None, where=file_name(kind, record))
            meant, data = _text(kind, before, _as_read({**on_trial, **values}), where=where)
            write_atomically(path, data)
            history.add(kind, new, SAVED, data)
            return Read(meant, sha256(data), stamp(path) or NO_STAMP)
    except OSError as error:
        raise trouble(where, "written", error) from error


def proved_change(kind: str, path: Path, values: Mapping[str, Any], seen: str | None, *, where: str) -> bytes:
    """Give the bytes that `save` would write; raises as it does."""
    return _text(kind, _before(path, seen, where=where), _as_read(values), where=where)[1]


def _before(path: Path, seen: str | None, *, where: str) -> bytes | None:
    """Give what stands on disk, None for nothing; raises if it is not what was seen."""
    if seen is None:
        if path.exists():
            raise fail(where, "there is one of that id already; choose another id")
        return None
    return seen_bytes(path, seen, where=where)


def seen_bytes(path: Path, seen: str | None, *, where: str) -> bytes:
    """Give a file's bytes; raises ConflictError if it went or is not what was seen, None for whatever."""
    if not path.exists():
        raise ConflictError(
            Problem(where, "", "", "the file was taken away since it was read; save under another id")
        )
    data = read_bytes(path, where=where, most=MOST_BYTES)
    if seen is not None and sha256(data) != seen:
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
    if before is not None:
        return meant, edited(kind, before, values, meant, where=where).encode()
    return meant, _proved([new_document(kind, meant)], meant, where=where).encode()


def edited(kind: str, before: bytes, values: Mapping[str, Any], meant: dict[str, Any], *, where: str) -> str:
    """Set values in a file's text.

    Args:
        kind: kind of record.
        before: the file.
        values: what to set, nested; see `edit`.
        meant: what the file is to hold then, as the TOML reader gives it.
        where: the file as messages name it.

    Returns:
        the text, proved to hold exactly what is meant, the rest of it as typed.

    Raises:
        SwarfbookError: when the file is written in a way that cannot be edited.
    """
    text = decode(before, where=where)
    tries = (edit(kind, text, values, where=where, tidy=tidy) for tidy in (True, False))
    return _proved(tries, meant, where=where)


def _proved(texts: Iterable[str], meant: dict[str, Any], *, where: str) -> str:
    """Give the first text that holds what is meant."""
    for text in texts:
        if reads_as(text, meant):
            return text
    raise fail(where, CLUMSY)


def _as_read(values: Mapping[str, Any]) -> dict[str, Any]:
    """Give values as the TOML reader would: lists for tuples, in an entry of a list no keys without value."""
    return {key: _one_as_read(value) for key, value in values.items()}


def _one_as_read(value: object) -> object:
    if isinstance(value, Mapping):
        return _as_read(value)
    return [_entry_as_read(one) for one in value] if isinstance(value, list | tuple) else value


def _entry_as_read(value: object) -> object:
    plain = _one_as_read(value)
    return {key: one for key, one in plain.items() if one is not None} if isinstance(plain, dict) else plain


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
