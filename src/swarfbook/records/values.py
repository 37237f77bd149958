"""The parsed values of a record by dotted key, also of one that does not wholly read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import suppress
from typing import Any

from swarfbook.records.base import Record
from swarfbook.records.fields import Leaf, RefusedError
from swarfbook.records.keys import keys_of


def of_record(record: Record, prefix: str = "") -> dict[str, Any]:
    """Give the values of a record that reads; what is left out is not among them."""
    values: dict[str, Any] = {}
    for key in keys_of(type(record)).values():
        value = getattr(record, key.attribute)
        if isinstance(value, Record):
            values |= of_record(value, f"{prefix}{key.name}.")
        elif value is not None:
            values[prefix + key.name] = value
    return values


def readable(model: type[Record], raw: Mapping[str, Any], prefix: str = "") -> dict[str, Any]:
    """Give those values of a broken record that read by themselves, so that the rest is judged too."""
    values: dict[str, Any] = {}
    for key in keys_of(model).values():
        if key.name not in raw:
            continue
        if key.table and not key.many and isinstance(raw[key.name], dict):
            values |= readable(key.table, raw[key.name], f"{prefix}{key.name}.")
        elif key.leaf:
            with suppress(ValueError):
                values[prefix + key.name] = _read(key.leaf, raw[key.name], many=key.many)
    return values


def _read(leaf: Leaf, raw: object, *, many: bool) -> object:
    """Give the value of a key; raises `ValueError` if it does not read."""
    if not many:
        return leaf.read(raw)
    if not isinstance(raw, list):
        raise RefusedError("write a list")
    return tuple(map(leaf.read, raw))


def present(raw: Mapping[str, Any], prefix: str = "") -> Iterator[str]:
    """Yield the dotted keys that stand in a file, whatever their values."""
    for key, value in raw.items():
        yield prefix + key
        if isinstance(value, dict):
            yield from present(value, f"{prefix}{key}.")


def found_at(raw: Mapping[str, Any], dotted: str) -> object:
    """Give what stands at a dotted key, lists counted from 1 (`speeds[2]`); None where nothing does."""
    value: Any = raw
    for part in dotted.split("."):
        name, _, index = part.partition("[")
        if not isinstance(value, dict) or name not in value:
            return None
        value = value[name]
        if index:
            value = value[int(index.removesuffix("]")) - 1]
    return value
