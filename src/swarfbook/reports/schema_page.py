"""JSON Schemas for editors: the records' own, with every key in words and examples of what would do."""

from __future__ import annotations

import json
from typing import Any

from swarfbook import quantities
from swarfbook._spellings import NOUNS
from swarfbook.records import dimension, example
from swarfbook.records.file_schema import KINDS, Schema, file_schema
from swarfbook.records.keys import MODELS, find
from swarfbook.records.meanings import meaning
from swarfbook.reports.part_words import KINDS as PARTS

__all__ = ["KINDS", "schema_text", "worded"]

MARK = "which record this is, and the version of its form"
FILES = {**PARTS, "run": "line of the run log", "book": "book's settings"}
"""What a file of each kind is called in a sentence."""


def schema_text(kind: str) -> str:
    """Give the schema of a kind of `KINDS` as the text of a file."""
    return f"{json.dumps(worded(kind), indent=2)}\n"


def worded(kind: str) -> Schema:
    """Give the JSON Schema of a kind of `KINDS`, each key with a description and examples."""
    made = file_schema(kind)
    made["title"] = f"swarfbook {FILES[kind]}"
    made["properties"]["schema"] |= {"description": MARK}
    _word(kind, made, "")
    return made


def _word(kind: str, table: Schema, prefix: str) -> None:
    for name, node in table["properties"].items():
        place = f"{prefix}{name}"
        if place != "schema":
            node["description"] = _described(kind, place, node)
            inner = node.get("items", node)
            if "properties" in inner:
                _word(kind, inner, f"{place}.")
            elif _telling(shown := example(kind, place)):
                node["examples"] = [shown]


def _described(kind: str, place: str, node: Schema) -> str:
    span = node.get("description", "")
    parts = [_meaning(kind, place), span, _units(dimension(kind, place))]
    return "; ".join(part for part in parts if part)


def _meaning(kind: str, place: str) -> str:
    table, _, key = place.rpartition(".")
    found = find(kind, table) if table else None
    return meaning((found and found.table) or MODELS[kind], key)


def _units(name: str | None) -> str:
    if name is None:
        return ""
    units = ", ".join(unit or "no unit" for unit in quantities.units(name))
    return f"{NOUNS[name]} in {units}"


def _telling(value: Any) -> bool:  # noqa: ANN401 - as a file holds it
    return value not in ("", {}, [])
