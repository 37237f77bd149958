"""What differs between two states of a record, key by key as typed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from swarfbook.book.history import State, stands
from swarfbook.book.reading import parse_toml
from swarfbook.errors import SwarfbookError

Values = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Change:
    """A key that differs.

    Attributes:
        key: dotted key; entries of a list count from 1, `steps[2].path`.
        before, after: the values as typed; None where the key is not there.
    """

    key: str
    before: object
    after: object


def changes(before: Values, after: Values) -> list[Change]:
    """Give the keys that differ, in the order of the later file, then what was taken out."""
    old, new = dict(_flat("", before, after)), dict(_flat("", after, before))
    keys = dict.fromkeys((*new, *old))
    return [Change(key, old.get(key), new.get(key)) for key in keys if not _same(old.get(key), new.get(key))]


def _same(one: object, other: object) -> bool:
    return type(one) is type(other) and one == other


def _flat(place: str, value: object, other: object) -> Iterator[tuple[str, object]]:
    """Yield the leaves of a value; lists of as many tables on both sides are gone into, others are leaves."""
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _flat(f"{place}.{key}" if place else key, inner, _get(other, key))
    elif (inside := _tables(value)) and len(inside) == len(theirs := _tables(other)):
        for at, (inner, its) in enumerate(zip(inside, theirs, strict=True), start=1):
            yield from _flat(f"{place}[{at}]", inner, its)
    else:
        yield place, value


def _get(value: object, key: str) -> object:
    return value.get(key) if isinstance(value, Mapping) else None


def _tables(value: object) -> list[Values]:
    """Give a list of tables; an empty one for any other value."""
    return value if isinstance(value, list) and all(isinstance(one, Mapping) for one in value) else []


def values_of(data: bytes) -> Values | None:
    """Give what a file holds as typed; None for one that does not read."""
    try:
        return parse_toml(data, where="")
    except SwarfbookError:
        return None


def changes_between(before: bytes, after: bytes) -> list[Change] | None:
    """Give the keys that differ between two files; None where one of them does not read."""
    old, new = values_of(before), values_of(after)
    return None if old is None or new is None else changes(old, new)


def changes_of(states: Sequence[State]) -> list[list[Change] | None]:
    """Give what each state changed of the one that stood before it; None for the first, or no TOML."""
    before = [stands(states[:at]) for at in range(len(states))]
    return [
        None if old is None else changes_between(old.data, new.data)
        for old, new in zip(before, states, strict=True)
    ]
