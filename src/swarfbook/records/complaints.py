"""What a person is told about a record that does not read: one line for each problem, in plain words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import ValidationError

from swarfbook.errors import Problem, did_you_mean, nearest, shorten
from swarfbook.records.base import MISSING
from swarfbook.records.examples import as_toml, example
from swarfbook.records.keys import MODELS, find, keys_of, record_keys

Place = tuple[str | int, ...]


def about_schema(kind: str, raw: Mapping[str, Any], *, where: str) -> Iterator[Problem]:
    """Yield the problem of a `schema` line that is missing or names another kind or version."""
    due = f"{kind}/1"
    given = raw.get("schema")
    if given is None:
        yield Problem(where, "schema", "", f'missing; write schema = "{due}"')
    elif given != due:
        yield Problem(where, "schema", as_found(given), f'write "{due}" if this is a {kind}')


def about_values(kind: str, error: ValidationError, *, where: str) -> Iterator[Problem]:
    """Yield a problem for each value that does not read and each key that is unknown or missing."""
    for item in error.errors(include_url=False):
        if item["type"] == "too_short" and item["input"]:
            continue  # its elements failed, and each has its own line
        place: Place = item["loc"]
        found = "" if item["type"] == "missing" else as_found(item["input"])
        yield Problem(where, as_key(place), found, _remedy(kind, item, place))


def about_relation(kind: str, key: str, remedy: str, *, found: object, where: str) -> Problem:
    """Give the problem of a value that does not fit beside the others, or must stand and does not."""
    if remedy == MISSING:
        return Problem(where, key, "", _missing(kind, key))
    return Problem(where, key, as_found(found), remedy)


def _remedy(kind: str, item: Mapping[str, Any], place: Place) -> str:
    dotted = ".".join(part for part in place if isinstance(part, str))
    if item["type"] == "value_error":
        return str(item["ctx"]["error"])
    if item["type"] == "extra_forbidden":
        return _unknown(kind, dotted)
    if item["type"] == "missing" and not isinstance(place[-1], int):
        return _missing(kind, dotted)
    if item["type"] == "too_short":
        return f"write at least one, or leave {dotted.rpartition('.')[2]} out"
    key = find(kind, dotted)
    if key and key.table and not key.many and "." not in dotted:
        return f"write a table: [{dotted}] on a line of its own and its keys below it"
    return f"write for example {_line(kind, dotted)}"


def _missing(kind: str, dotted: str) -> str:
    table = dotted.rpartition(".")[0]
    under = f" under [{table}]" if table and "." not in table else ""
    other = f" or {_line(kind, 'feed_rate')}" if dotted == "feed_per_tooth" else ""
    return f"missing; write for example {_line(kind, dotted)}{other}{under}"


def _line(kind: str, dotted: str) -> str:
    return f"{dotted.rpartition('.')[2]} = {as_toml(example(kind, dotted))}"


def _unknown(kind: str, dotted: str) -> str:
    """Say where an unknown key belongs, or which known ones are near."""
    table, _, name = dotted.rpartition(".")
    parent = find(kind, table) if table else None
    model = parent.table if parent else MODELS[kind]
    known = list(keys_of(model)) if model else []
    elsewhere = [key.rpartition(".")[0] for key in record_keys(kind) if key.rpartition(".")[2] == name]
    if elsewhere and not nearest(name, known):
        home = f"under [{elsewhere[0]}]" if elsewhere[0] else "above the first [table]"
        return f"unknown key here; it belongs {home}"
    return f"unknown key; {did_you_mean(name, known)}"


def as_key(place: Place) -> str:
    """Write a place as a dotted key, lists counted from 1: `spindle.speeds[2]`."""
    text = "".join(f"[{part + 1}]" if isinstance(part, int) else f".{shorten(part)}" for part in place)
    return text.removeprefix(".")


def as_found(value: object) -> str:
    """Write what stands in a file as a person would recognise it."""
    if isinstance(value, str):
        return f"'{value}'"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, dict):
        return "a table"
    return "" if value is None else as_toml(value)
