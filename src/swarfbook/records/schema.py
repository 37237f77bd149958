"""Records by pydantic: validators and JSON Schema, built from what the records declare.

No command needs them, so nothing else imports this module. The values are read by the readers that the
records declare, here as in `records.reader`; which keys there are, which must stand, how tables nest and
what a schema looks like is pydantic's affair.
"""

from __future__ import annotations

import math
import re
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

from swarfbook import quantities
from swarfbook.records.base import Record
from swarfbook.records.fields import (
    ID_LENGTH,
    ID_PATTERN,
    Flag,
    Free,
    Id,
    Leaf,
    Measure,
    Pair,
    Pattern,
    Plain,
    Text,
    Whole,
    given,
)
from swarfbook.records.keys import MODELS, Key, keys_of
from swarfbook.records.meanings import meaning
from swarfbook.records.run import Meter


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
    return said | next((make(leaf) for sort, make in _SORTS.items() if isinstance(leaf, sort)), _TEXT)


def _measure(leaf: Measure) -> dict[str, Any]:
    """Give the schema of a number with its unit; a bare number serves where a ratio is asked for alone."""
    negative = leaf.low < 0 or (leaf.low == 0 and "low" in leaf.closed) or leaf.dimension == "temperature"
    pattern = quantities.pattern(str(leaf.dimension), negative=negative)
    text = {"type": "string", "pattern": pattern, "maxLength": quantities.LONGEST}
    if "" not in quantities.units(str(leaf.dimension)):
        return text
    return {"anyOf": [{"type": "number"} | _bounds(leaf), text]}


def _bounds(leaf: Measure) -> dict[str, float]:
    low = "minimum" if "low" in leaf.closed else "exclusiveMinimum"
    high = "maximum" if "high" in leaf.closed else "exclusiveMaximum"
    return {name: bound for name, bound in ((low, leaf.low), (high, leaf.high)) if math.isfinite(bound)}


def _pair(leaf: Pair) -> dict[str, Any]:
    # Draft 2020-12 would say each place by `prefixItems`, which some editors do not know yet.
    first, second = map(_measure, leaf.leaves)
    return {"type": "array", "items": {"anyOf": [first, second]}, "minItems": 2, "maxItems": 2}


def _text(leaf: Text) -> dict[str, Any]:
    if leaf.lines:
        return {"type": "string", "pattern": _unless(_DRIVES.replace(*_LINES))}
    return {"type": "string", "pattern": _unless(_DRIVES), "minLength": 1}


def _unless(chars: str) -> str:
    return f"^[^{chars}]*$"


_DRIVES = r"\u0000-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069"
_LINES = (r"\u0000-\u001f", r"\u0000-\u0008\u000b\u000c\u000e-\u001f")
"""What stands for all control characters above, and what does where lines and tabs may be."""

_TEXT: dict[str, Any] = {"type": "string"}
_SORTS: dict[type[Leaf], Callable[[Any], dict[str, Any]]] = {
    Measure: _measure,
    Plain: lambda leaf: {"type": "number", "minimum": leaf.low},
    Whole: lambda leaf: {"type": "integer", "minimum": leaf.low, "maximum": leaf.high},
    Flag: lambda _: {"type": "boolean"},
    Free: lambda _: {"type": "object"},
    Meter: lambda leaf: {"anyOf": [{"type": "object"}, _measure(Measure(leaf.dimension, low=-math.inf))]},
    Pair: _pair,
    Id: lambda _: {"type": "string", "pattern": _anchored(ID_PATTERN), "maxLength": ID_LENGTH},
    Pattern: lambda leaf: {"type": "string", "pattern": _anchored(leaf.form)},
    Text: _text,
}
"""What stands in a file for each sort of reader; words are enumerated, times are texts."""


def _anchored(form: re.Pattern[str]) -> str:
    return f"^{form.pattern.removesuffix(chr(92) + 'Z')}$"
