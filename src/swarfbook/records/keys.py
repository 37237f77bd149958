"""The keys of each kind of record, as data: for the reader, the writer's order and the screen."""

from __future__ import annotations

import types
from collections.abc import Iterator
from importlib import import_module
from typing import Annotated, Any, NamedTuple, Union, get_args, get_origin

from swarfbook.records.base import Declared, Record
from swarfbook.records.fields import Keyed, Leaf
from swarfbook.records.machine import Machine
from swarfbook.records.material import Material
from swarfbook.records.recipe import Recipe
from swarfbook.records.rename import Rename
from swarfbook.records.run import Run
from swarfbook.records.settings import BookSettings
from swarfbook.records.tool import Tool


class Models(dict[str, type[Record]]):
    """The model of each kind of record; a job's is built when it is asked for, since no recipe needs it."""

    def __missing__(self, kind: str) -> type[Record]:
        if kind != "job":
            raise KeyError(kind)
        self[kind] = import_module("swarfbook.records.job").Job
        return self[kind]


MODELS = Models(
    {
        "machine": Machine,
        "tool": Tool,
        "material": Material,
        "recipe": Recipe,
        "book": BookSettings,
        "run": Run,
        "rename": Rename,
    }
)


class Key(NamedTuple):
    """One key of a table.

    Attributes:
        name: the key as it stands in the file.
        attribute: the attribute of the model that holds it.
        required: it must stand.
        of: reader of the value, or model of the table.
        many: the value is a list of those.
        as_dict: the table is kept as a plain dict.
    """

    name: str
    attribute: str
    required: bool
    of: Leaf | type[Record]
    many: bool
    as_dict: bool

    @property
    def leaf(self) -> Leaf | None:
        """Reader of the value, or of each value of a list; None for a table."""
        return self.of if isinstance(self.of, Leaf) else None

    @property
    def table(self) -> type[Record] | None:
        """Model of the table, or of each table of a list; None for a value."""
        return None if isinstance(self.of, Leaf) else self.of


def keys_of(model: type[Record]) -> dict[str, Key]:
    """Give the keys of one table by name, in the order in which they are written."""
    if model not in _KEYS:
        keys = (_key(attribute, declared) for attribute, declared in model.declared.items())
        _KEYS[model] = {key.name: key for key in keys}
    return _KEYS[model]


_KEYS: dict[type[Record], dict[str, Key]] = {}


def _key(attribute: str, declared: Declared) -> Key:
    of, many = _reader(declared.annotation)
    name, required = declared.name, declared.default is None
    if isinstance(of, Keyed):
        return Key(name, attribute, required, of.model, many, as_dict=True)
    return Key(name, attribute, required, of, many, as_dict=False)


def _reader(annotation: Any) -> tuple[Any, bool]:  # noqa: ANN401
    """Find the reader or the table behind an annotation, and whether there is a list of them."""
    origin, args = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return args[1], False
    if origin in (Union, types.UnionType):
        return _reader(next(arg for arg in args if arg is not types.NoneType))
    if origin is tuple:
        return _reader(args[0])[0], True
    return annotation, False


def find(kind: str, dotted: str) -> Key | None:
    """Give the key at a dotted place of a kind of record, None where there is none."""
    model: type[Record] | None = MODELS[kind]
    key = None
    for part in dotted.split("."):
        key = keys_of(model).get(part) if model else None
        model = key.table if key else None
    return key


def walk(model: type[Record], prefix: str = "") -> Iterator[str]:
    """Yield every key by its dotted place: tables by their keys, lists of tables as one key."""
    for key in keys_of(model).values():
        place = prefix + key.name
        if key.table and not key.many:
            yield from walk(key.table, place + ".")
        else:
            yield place


def record_keys(kind: str) -> tuple[str, ...]:
    """Give the dotted keys of a kind of record, in the order in which they are written."""
    return tuple(walk(MODELS[kind]))


def dimension(kind: str, dotted: str) -> str | None:
    """Give the dimension of a key's value; None for words, whole numbers, texts and unknown keys."""
    key = find(kind, dotted)
    return key.leaf.dimension if key and key.leaf else None


def span(kind: str, dotted: str) -> str:
    """Say what may stand at a key, in words; empty for words of a list and where that goes without saying."""
    key = find(kind, dotted)
    return key.leaf.span if key and key.leaf else ""


def is_list(kind: str, dotted: str) -> bool:
    """Say whether a key holds a list."""
    key = find(kind, dotted)
    return bool(key and key.many)


def required(kind: str, dotted: str) -> bool:
    """Say whether a key must stand; one of a table that may be left out need not."""
    key = find(kind, dotted)
    table = dotted.rpartition(".")[0]
    return bool(key and key.required and (not table or required(kind, table)))


def choices(kind: str, dotted: str) -> tuple[str, ...] | None:
    """Give the closed list a key's value, or each of its values, comes from; None where there is none."""
    key = find(kind, dotted)
    return key.leaf.choices if key and key.leaf else None
