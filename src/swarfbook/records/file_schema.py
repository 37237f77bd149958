"""The JSON Schema of a whole record file, `schema` line and relations between keys among it.

`records.schema` says what each key takes; here stand what JSON has and TOML has not, and which keys belong to
one shape, operation or way of holding only. A relation that compares two numbers is left to `records.parse`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from swarfbook.records.job import HOLD_NEEDS
from swarfbook.records.keys import choices
from swarfbook.records.recipe import OPERATION_KEYS
from swarfbook.records.schema import json_schema
from swarfbook.records.tool import SHAPE_KEYS

Schema = dict[str, Any]
KINDS = ("machine", "tool", "material", "recipe", "job", "run", "book")
DRAFT = "https://json-schema.org/draft/2020-12/schema"
NOTHING: Schema = {"not": {}}
"""Takes no value, as `false` does, but editors then mark the key and not its whole table."""
FILLED = {
    "machine": ("spindle.speeds", "spindle.torque_curve", "tool_tip.modes"),
    "job": ("features", "holds", "steps"),
}
"""Lists that may not be empty."""


def file_schema(kind: str) -> Schema:
    """Give the JSON Schema, draft 2020-12, of files of a kind of `KINDS`; a run's is of a line of the log."""
    made = json_schema(kind)
    nulls = kind == "run"  # JSON's; a TOML file has none
    table = _plain(made, made.get("$defs", {}), nulls=nulls)
    table["properties"] = {"schema": {"type": "string", "const": f"{kind}/1"}} | table["properties"]
    table["required"] = ["schema", *table.get("required", [])]
    for place in FILLED.get(kind, ()):
        at(table, place)["minItems"] = 1
    if rules := list(_RULES.get(kind, _none)()):
        table["allOf"] = rules
    if kind == "job":
        at(table, "holds")["items"]["allOf"] = list(_hold_rules())
        at(table, "features")["items"]["allOf"] = [_needs("kind", ("slot", "bore"), ("width",))]
        at(table, "stock")["allOf"] = [_stock_rule()]
    return {"$schema": DRAFT, "$id": f"urn:swarfbook:{kind}:1", "title": kind} | table


def at(table: Schema, dotted: str) -> Schema:
    """Give the schema of a key at its dotted place, through lists of tables."""
    for part in dotted.split("."):
        table = table.get("items", table)["properties"][part]
    return table


def _plain(node: Schema, tables: Mapping[str, Schema], *, nulls: bool) -> Schema:
    """Put tables where they are named, and take out what pydantic says besides."""
    if "$ref" in node:
        node = tables[node["$ref"].rpartition("/")[2]] | {key: node[key] for key in node if key != "$ref"}
    if not nulls and {"type": "null"} in node.get("anyOf", ()):
        node = _without_null(node)
        return _plain(node, tables, nulls=nulls)
    kept = {key: value for key, value in node.items() if key not in {"title", "default", "$defs"}}
    if kept.get("additionalProperties") is False:
        kept["additionalProperties"] = NOTHING
    if "properties" in kept:
        kept.pop("description", None)  # the docstring of a class
        kept["properties"] = {
            key: _plain(value, tables, nulls=nulls) for key, value in kept["properties"].items()
        }
    if "items" in kept:
        kept["items"] = _plain(kept["items"], tables, nulls=nulls)
    if "anyOf" in kept:
        kept["anyOf"] = [_plain(one, tables, nulls=nulls) for one in kept["anyOf"]]
    return kept


def _without_null(node: Schema) -> Schema:
    rest = [one for one in node["anyOf"] if one != {"type": "null"}]
    other = {key: value for key, value in node.items() if key not in {"anyOf", "default"}}
    return other | (rest[0] if len(rest) == 1 else {"anyOf": rest})


def _where(key: str, words: tuple[str, ...]) -> Schema:
    """Say that a key stands and has one of some words."""
    return {"properties": {key: {"enum": list(words)}}, "required": [key]}


def _needs(key: str, words: tuple[str, ...], needed: tuple[str, ...]) -> Schema:
    return {"if": _where(key, words), "then": {"required": list(needed)}}


def _belongs(kind: str, key: str, chosen: str, owners: tuple[str, ...]) -> Schema:
    """Refuse a key where the word it belongs to is another one."""
    others = tuple(word for word in choices(kind, chosen) or () if word not in owners)
    return {"if": _where(chosen, others), "then": {"properties": {key: NOTHING}}}


def _tool_rules() -> Iterator[Schema]:
    for key, (owner, needed) in SHAPE_KEYS.items():
        yield _belongs("tool", key, "shape", (owner,))
        if needed:
            yield _needs("shape", (owner,), (key,))


def _recipe_rules() -> Iterator[Schema]:
    for key, operations in OPERATION_KEYS.items():
        yield _belongs("recipe", key, "operation", operations)
    yield {
        "if": {"required": ["feed_per_tooth"]},
        "then": {"properties": {"feed_rate": NOTHING}},
        "else": {"required": ["feed_rate"]},
    }


def _hold_rules() -> Iterator[Schema]:
    for method, needed in HOLD_NEEDS.items():
        if needed:
            yield _needs("method", (method,), needed)


def _stock_rule() -> Schema:
    bars = tuple(form for form in choices("job", "stock.form") or () if form != "round-bar")
    return _needs("form", bars, ("width",))


def _none() -> Iterator[Schema]:
    return iter(())


_RULES = {"tool": _tool_rules, "recipe": _recipe_rules}
