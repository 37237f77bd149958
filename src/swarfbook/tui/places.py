"""Places of values in a record as typed: dotted keys, entries of a list of tables by number, from 1.

`steps[2].path` is the path of the second step.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from swarfbook import records
from swarfbook.records.keys import find, keys_of

Values = dict[str, Any]
_ENTRY = re.compile(r"(?P<name>.+)\[(?P<number>\d+)\]")


def any_entry(place: str) -> str:
    """Give the key of a place, whichever entry it is of: `steps.path` for `steps[2].path`."""
    return re.sub(r"\[\d+\]", "", place)


def value_at(values: Any, place: str) -> Any:  # noqa: ANN401 - whatever the file holds
    """Give the value at a place; None where there is none."""
    found = values
    for part in place.split("."):
        entry = _ENTRY.fullmatch(part)
        found = found.get(entry["name"] if entry else part) if isinstance(found, Mapping) else None
        if entry:
            at = int(entry["number"]) - 1
            found = found[at] if isinstance(found, list) and at < len(found) else None
    return found


def put(values: Mapping[str, Any], place: str, value: object) -> Values:
    """Give values with one at a place; None takes it out, and a table that it leaves empty with it."""
    head, _, rest = place.partition(".")
    entry = _ENTRY.fullmatch(head)
    if entry:
        return {
            **values,
            entry["name"]: _put_in(values.get(entry["name"]), int(entry["number"]), rest, value),
        }
    after = {key: kept for key, kept in values.items() if key != head}
    new = (put(values.get(head) or {}, rest, value) or None) if rest else value
    return after if new is None else {**values, head: new}


def _put_in(entries: Any, number: int, rest: str, value: object) -> Any:  # noqa: ANN401 - as above
    """Give a list with a value in one entry; an entry that is no longer there stays away."""
    if not isinstance(entries, list):
        return entries
    return [put(one, rest, value) if at == number else one for at, one in enumerate(entries, start=1)]


def places(kind: str, values: Mapping[str, Any]) -> Iterator[str]:
    """Yield the places of a record, in the order in which they are written: a job's lists entry by entry."""
    for key in records.record_keys(kind):
        found = find(kind, key)
        entries = value_at(values, key)
        if kind == "job" and found and found.many and found.table and isinstance(entries, list):
            for at in range(1, len(entries) + 1):
                yield from (f"{key}[{at}].{inner}" for inner in keys_of(found.table))
        else:
            yield key
