"""What a person is told about a record that does not read: one line for each problem, in plain words."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from swarfbook.errors import Problem, did_you_mean
from swarfbook.records.examples import as_toml, example
from swarfbook.records.keys import MODELS, find, keys_of, record_keys

_INDEX = re.compile(r"\[\d+\]")


def about_schema(kind: str, raw: Mapping[str, Any], *, where: str) -> Iterator[Problem]:
    """Yield the problem of a `schema` line that is missing or names another kind or version."""
    due = f"{kind}/1"
    given = raw.get("schema")
    if given is None:
        yield Problem(where, "schema", "", f'missing; write schema = "{due}"')
    elif given != due:
        yield Problem(where, "schema", as_found(given), f'write "{due}" if this is a {kind}')


def missing(kind: str, place: str) -> str:
    """Say what a key that must stand may look like."""
    table = _INDEX.sub("", place).rpartition(".")[0]
    header = f"[[{table}]]" if "[" in place else f"[{table}]"
    under = f" under {header}" if table and "." not in table else ""
    other = f" or {_line(kind, 'feed_rate')}" if place == "feed_per_tooth" else ""
    return f"missing; write for example {_line(kind, place)}{other}{under}"


def write_instead(kind: str, place: str) -> str:
    """Give an example for a value of the wrong sort."""
    return f"write for example {_line(kind, place)}"


def write_table(kind: str, place: str) -> str:
    """Say how a table is written, at the top level and inside another."""
    if "." in place or "[" in place:
        return write_instead(kind, place)
    return f"write a table: [{place}] on a line of its own and its keys below it"


def _line(kind: str, place: str) -> str:
    dotted = _INDEX.sub("", place)
    key = find(kind, dotted)
    if key and key.table and key.many and "." not in dotted:
        keys = [one.name for one in keys_of(key.table).values() if one.required]
        return f"[[{dotted}]] and below it {', '.join(_line(kind, f'{dotted}.{name}') for name in keys)}"
    return f"{dotted.rpartition('.')[2]} = {as_toml(example(kind, dotted))}"


def unknown(kind: str, prefix: str, name: str) -> str:
    """Say where an unknown key belongs, or which known ones are near.

    Args:
        kind: kind of record.
        prefix: dotted table the key stands in, with its last dot; empty for the top.
        name: the key.
    """
    parent = find(kind, _INDEX.sub("", prefix).removesuffix(".")) if prefix else None
    model = parent.table if parent else MODELS[kind]
    known = list(keys_of(model)) if model else []
    homes = [key.rpartition(".")[0] for key in record_keys(kind) if key.rpartition(".")[2] == name]
    if homes:
        return (
            f"unknown key here; it belongs {f'under [{homes[0]}]' if homes[0] else 'above the first [table]'}"
        )
    return f"unknown key; {did_you_mean(name, known)}"


def as_found(value: object) -> str:
    """Write what stands in a file as a person would recognise it."""
    if isinstance(value, str):
        return f"'{value}'"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, dict):
        return "a table"
    return "" if value is None else as_toml(value)
