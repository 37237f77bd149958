"""JSON files of `swarfbook export` as records, their values as typed."""

from __future__ import annotations

import json
from typing import Any, NamedTuple

from swarfbook.book.ids import FOLDERS
from swarfbook.book.reading import decode, fail
from swarfbook.book.spreadsheets.sheet import MOST_ROWS

SCHEMA = "export/1"
DEEPEST = 8


class Given(NamedTuple):
    """A record of a JSON file: its place as messages name it, its id, and its values as typed."""

    place: str
    id: object
    raw: dict[str, Any]


def json_records(data: bytes, kind: str, *, where: str) -> list[Given]:
    """Read the records of a kind.

    Args:
        data: the file.
        kind: kind of record.
        where: the file as messages name it.

    Raises:
        SwarfbookError: it is no JSON, or none that `swarfbook export` writes.
    """
    name = FOLDERS[kind]
    try:
        told = json.loads(decode(data, where=where), parse_constant=_refuse)
    except (ValueError, RecursionError) as error:
        raise fail(where, f"this is no JSON: {str(error)[:80].lower()}") from error
    records = told.get(name) if isinstance(told, dict) else None
    if not isinstance(records, list) or told.get("schema") != SCHEMA:
        raise fail(where, f"no list of {name} in it; give a file of swarfbook export {name} or export book")
    if len(records) > MOST_ROWS:
        raise fail(where, f"at most {MOST_ROWS} are read at once", found=f"{len(records)} {name}")
    return [_given(one, f"{where}, {name}[{at}]") for at, one in enumerate(records, start=1)]


def _given(one: object, place: str) -> Given:
    if not isinstance(one, dict):
        raise fail(place, "write an object with the keys of the record")
    if _depth(one, DEEPEST) > DEEPEST:
        raise fail(place, "values are nested deeper than in any record")
    return Given(place, one.get("id"), {key: value for key, value in one.items() if key != "id"})


def _depth(value: object, most: int) -> int:
    """Give how deep lists and objects are nested, or something above `most`."""
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return 1 + max((_depth(one, most - 1) for one in inner), default=0) if most >= 0 else 1


def _refuse(constant: str) -> None:
    raise ValueError(f"{constant} is no number")
