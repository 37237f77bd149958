"""The keys of each kind of record, as data: for the reader's messages, the writer's order and the screen."""

from __future__ import annotations

import types
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Union, get_args, get_origin

from pydantic.fields import FieldInfo

from swarfbook.records.base import Record
from swarfbook.records.fields import Keyed, Leaf
from swarfbook.records.machine import Machine
from swarfbook.records.material import Material
from swarfbook.records.recipe import Recipe
from swarfbook.records.run import Run
from swarfbook.records.settings import BookSettings
from swarfbook.records.tool import Tool

MODELS: dict[str, type[Record]] = {
    "machine": Machine,
    "tool": Tool,
    "material": Material,
    "recipe": Recipe,
    "book": BookSettings,
    "run": Run,
}


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a table.

    Attributes:
        name: the key as it stands in the file.
        attribute: the attribute of the model that holds it.
        required: it must stand.
        leaf: reader of the value, or of each value of a list; None for tables and pairs.
        table: model of the table, or of each table of a list; None for values.
        many: the value is a list.
    """

    name: str
    attribute: str
    required: bool
    leaf: Leaf | None
    table: type[Record] | None
    many: bool


@cache
def keys_of(model: type[Record]) -> dict[str, Key]:
    """Give the keys of one table by name, in the order in which they are written."""
    keys = (_key(attribute, field) for attribute, field in model.model_fields.items())
    return {key.name: key for key in keys}


def _key(attribute: str, field: FieldInfo) -> Key:
    leaf, table, many = _kind(field.annotation, tuple(field.metadata))
    return Key(field.alias or attribute, attribute, field.is_required(), leaf, table, many)


def _kind(annotation: object, metadata: tuple[object, ...]) -> tuple[Leaf | None, type[Record] | None, bool]:
    """Find the reader or the table behind an annotation, and whether there is a list of them."""
    for item in metadata:
        if isinstance(item, Leaf):
            return item, None, False
        if isinstance(item, Keyed):
            return _kind(item.model, ())
    origin, args = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _kind(args[0], args[1:])
    if origin in (Union, types.UnionType):
        return _kind(next(arg for arg in args if arg is not types.NoneType), ())
    if origin is tuple:
        return (*_kind(args[0], ())[:2], True) if args[-1] is ... else (None, None, False)
    return None, _table(annotation), False


def _table(annotation: object) -> type[Record] | None:
    if isinstance(annotation, type) and issubclass(annotation, Record):
        return annotation
    return None


def find(kind: str, dotted: str) -> Key | None:
    """Give the key at a dotted place of a kind of record, None where there is none."""
    model: type[Record] | None = MODELS[kind]
    key = None
    for part in dotted.split("."):
        key = keys_of(model).get(part) if model else None
        model = key.table if key else None
    return key


def walk(model: type[Record], prefix: str = "") -> Iterator[tuple[str, Key]]:
    """Yield every key with its dotted place: tables by their keys, lists of tables as one key."""
    for key in keys_of(model).values():
        place = prefix + key.name
        if key.table and not key.many:
            yield from walk(key.table, place + ".")
        else:
            yield place, key


def record_keys(kind: str) -> tuple[str, ...]:
    """Give the dotted keys of a kind of record, in the order in which they are written."""
    return tuple(place for place, _ in walk(MODELS[kind]))


def dimension(kind: str, dotted: str) -> str | None:
    """Give the dimension of a key's value; None for words, whole numbers, texts and unknown keys."""
    key = find(kind, dotted)
    return key.leaf.dimension if key and key.leaf else None


def choices(kind: str, dotted: str) -> tuple[str, ...] | None:
    """Give the closed list a key's value, or each of its values, comes from; None where there is none."""
    key = find(kind, dotted)
    return key.leaf.choices if key and key.leaf else None
