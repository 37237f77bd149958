"""Records by pydantic: validators and JSON Schema, built from what the records declare.

No command needs them, so nothing else imports this module. The values are read by the readers that the
records declare, here as in `records.reader`; which keys there are, which must stand, how tables nest and
what a schema looks like is pydantic's affair.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from typing import Annotated, Any

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    PlainValidator,
    TypeAdapter,
    WithJsonSchema,
    create_model,
)

from swarfbook.records.base import Record
from swarfbook.records.fields import Flag, Free, Leaf, Measure, Pair, Plain, Whole, given
from swarfbook.records.keys import MODELS, Key, keys_of
from swarfbook.records.meanings import meaning


def validate(kind: str, raw: Mapping[str, Any]) -> Record:
    """Validate a record with pydantic; its relations between keys are left to `records.parse`.

    Args:
        kind: kind of record, as of `records.parse`.
        raw: the file as the TOML reader gives it, without `schema`.

    Returns:
        The record, in SI units, equal to what `records.parse` gives.

    Raises:
        pydantic.ValidationError: a key is unknown, missing, or its reader refuses the value.
    """
    record: Record = _adapter(kind).validate_python(dict(raw))
    return record


def json_schema(kind: str) -> dict[str, Any]:
    """Give the JSON Schema of what a file of a kind may hold, `schema` aside."""
    return _adapter(kind).json_schema()


@cache
def _adapter(kind: str) -> TypeAdapter[Any]:
    return TypeAdapter(_table(MODELS[kind], as_dict=False))


def _table(record: type[Record], *, as_dict: bool) -> Any:  # noqa: ANN401 - a type made of data
    """Give the type of a table that a model validates and a record, or a plain dict, then holds."""

    def hold(model: BaseModel) -> Record | dict[str, Any]:
        held = record(**dict(model))
        return given(held) if as_dict else held

    return Annotated[_model(record), AfterValidator(hold)]


def _model(record: type[Record]) -> type[BaseModel]:
    config = ConfigDict(extra="ignore" if record.passes_over_unknown else "forbid")
    fields: dict[str, Any] = {
        key.attribute: _field(key, record.declared[key.attribute].default, meaning(record, key.name))
        for key in keys_of(record).values()
    }
    return create_model(record.__name__, __config__=config, __doc__=record.__doc__, **fields)


def _field(key: Key, default: Callable[[], object] | None, title: str) -> tuple[Any, Any]:
    if default is None:
        return _value(key), Field(alias=key.name, title=title)
    optional = _value(key) | None if default() is None else _value(key)
    return optional, Field(alias=key.name, title=title, default_factory=default)


def _value(key: Key) -> Any:  # noqa: ANN401 - a type made of data
    one: Any = _leaf(key.of) if isinstance(key.of, Leaf) else _table(key.of, as_dict=key.as_dict)
    return tuple[one, ...] if key.many else one


def _leaf(leaf: Leaf) -> Any:  # noqa: ANN401 - a type made of data
    return Annotated[Any, PlainValidator(leaf.read), WithJsonSchema(_leaf_schema(leaf))]


def _leaf_schema(leaf: Leaf) -> dict[str, Any]:
    if leaf.choices:
        return {"type": "string", "enum": list(leaf.choices)}
    said = {"description": leaf.span} if leaf.span else {}
    return said | next((schema for sort, schema in _SORTS.items() if isinstance(leaf, sort)), _TEXT)


_TEXT: dict[str, Any] = {"type": "string"}
_MEASURE: dict[str, Any] = {"type": ["string", "number"]}
_SORTS: dict[type[Leaf], dict[str, Any]] = {
    Measure: _MEASURE,
    Plain: {"type": "number"},
    Whole: {"type": "integer"},
    Flag: {"type": "boolean"},
    Free: {"type": "object"},
    Pair: {"type": "array", "items": _MEASURE, "minItems": 2, "maxItems": 2},
}
"""What stands in a file for each sort of reader; words, texts, ids and times are texts."""
