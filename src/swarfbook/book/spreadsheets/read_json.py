"""JSON files of `swarfbook export` as records, their values as typed."""

from __future__ import annotations

import json
from typing import Any, NamedTuple

from swarfbook.book.ids import FOLDERS
from swarfbook.book.reading import decode, fail
from swarfbook.book.spreadsheets.sheet import MOST_ROWS

SCHEMA = "export/1"
DEEPEST = 8
BESIDE = ("id", "text")
"""What stands in an object beside the keys of the record."""


class Given(NamedTuple):
    """A record of a JSON file.

    Attributes:
        place: as messages name it.
        id: as it stands there.
        raw: its values as typed.
        text: of its file, where a whole book was exported.
    """

    place: str
    id: object
    raw: dict[str, Any]
    text: object = None


class GivenBook(NamedTuple):
    """A whole book of a JSON file.

    Attributes:
        settings: of `book.toml`.
        records: by kind.
        lists: what stands under `runs` and `renames`.
        meters: what stands under `meters`.
    """

    settings: Given
    records: dict[str, list[Given]]
    lists: dict[str, list[Any]]
    meters: dict[str, Any]


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
    told = _told(data, where=where)
    records = told.get(name) if isinstance(told, dict) else None
    if not isinstance(records, list) or told.get("schema") != SCHEMA:
        raise fail(where, f"no list of {name} in it; give a file of swarfbook export {name} or export book")
    if len(records) > MOST_ROWS:
        raise fail(where, f"at most {MOST_ROWS} are read at once", found=f"{len(records)} {name}")
    return [_given(one, f"{where}, {name}[{at}]") for at, one in enumerate(records, start=1)]


def json_book(data: bytes, *, where: str) -> GivenBook:
    """Read a whole book; raises SwarfbookError as `json_records` does."""
    told = _told(data, where=where)
    if not isinstance(told, dict) or told.get("schema") != SCHEMA or "book" not in told:
        raise fail(where, "no whole book in it; give a file of swarfbook export book")
    lists = {name: told.get(name, []) for name in (*FOLDERS.values(), "runs", "renames")}
    for name, one in lists.items():
        if not isinstance(one, list):
            raise fail(f"{where}, {name}", "write a list")
    records = {
        kind: [_given(one, f"{where}, {name}[{at}]") for at, one in enumerate(lists.pop(name), start=1)]
        for kind, name in FOLDERS.items()
    }
    meters = told.get("meters", {})
    if not isinstance(meters, dict):
        raise fail(f"{where}, meters", "write an object with the files by name")
    return GivenBook(_given(told["book"], f"{where}, book"), records, lists, meters)


def _told(data: bytes, *, where: str) -> Any:  # noqa: ANN401 - whatever stands there
    try:
        return json.loads(decode(data, where=where), parse_constant=_refuse)
    except (ValueError, RecursionError) as error:
        raise fail(where, f"this is no JSON: {str(error)[:80].lower()}") from error


def _given(one: object, place: str) -> Given:
    if not isinstance(one, dict):
        raise fail(place, "write an object with the keys of the record")
    if _depth(one, DEEPEST) > DEEPEST:
        raise fail(place, "values are nested deeper than in any record")
    raw = {key: value for key, value in one.items() if key not in BESIDE}
    return Given(place, one.get("id"), raw, one.get("text"))


def _depth(value: object, most: int) -> int:
    """Give how deep lists and objects are nested, or something above `most`."""
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return 1 + max((_depth(one, most - 1) for one in inner), default=0) if most >= 0 else 1


def _refuse(constant: str) -> None:
    raise ValueError(f"{constant} is no number")
