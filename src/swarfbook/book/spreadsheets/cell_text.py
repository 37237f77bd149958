"""A record's values as cells of a table, and back without losing how they were typed.

A cell holds a value as a person would write it: `6 mm`, `1`, `18000 rpm; 24000 rpm`. Where that would read
back as anything else (a text with spaces at its ends, a list within a list) it holds JSON instead.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from swarfbook.book.cells import as_cell
from swarfbook.records.fields import Flag, Leaf, Measure, Pair, Plain, Whole
from swarfbook.records.keys import find

SEPARATOR = ";"
NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?", re.ASCII)
_WHOLE = re.compile(r"([+-]?\d{1,18})(?:\.0*)?", re.ASCII)
_ESCAPED = re.compile(r"x[0-9A-Fa-f]{4}_")
_FLAGS = {"true": True, "yes": True, "false": False, "no": False}


def cell_text(kind: str, dotted: str, value: object) -> str:
    """Write a value as the text of a cell; `value_of` gives it back.

    Args:
        kind: kind of record.
        dotted: its key, or a table that stands there empty.
        value: as the TOML reader gives it.
    """
    text = _plain(value)
    if text is not None and _is_safe(text) and same(value_of(kind, dotted, text), value):
        return text
    packed = json.dumps(value, ensure_ascii=False)
    # Escapes within quotes read the same; some letters no spreadsheet file can hold, or reads as others.
    packed = packed if _is_safe(packed) else json.dumps(value)
    return packed.replace("_x", "\\u005fx").replace("x005F", "\\u0078005F")


def value_of(kind: str, dotted: str, text: str) -> Any:  # noqa: ANN401 - as the TOML reader gives it
    """Give the value of a cell as the TOML reader would, None for an empty one; what will not do stays."""
    plain = unguarded(text).strip()
    if not plain:
        return None
    packed = _unpacked(plain)
    if isinstance(packed, str):
        return packed
    key = find(kind, dotted)
    if key is None or key.leaf is None or key.many or isinstance(key.leaf, Pair):
        if packed is not None:
            return packed
        parts = [part.strip() for part in plain.split(SEPARATOR)]
        return [_one(key.leaf, part) for part in parts] if key and key.leaf else plain
    return _one(key.leaf, plain)


def unguarded(text: str) -> str:
    """Take off the apostrophe that `as_cell` puts in front of what could be taken for a formula."""
    return text[1:] if text[:1] == "'" and as_cell(text[1:]) == text else text


def same(one: object, other: object) -> bool:
    """Say whether two values are typed the same: 1 is not 1.0."""
    return json.dumps(one, sort_keys=True) == json.dumps(other, sort_keys=True)


def _plain(value: object) -> str | None:
    """Write a value, or a list of them, without quotes; None where it has none such form."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str | int | float):
        return str(value)
    if isinstance(value, list) and not any(isinstance(one, list | dict) for one in value):
        return f"{SEPARATOR} ".join(map(str, map(_plain, value)))
    return None


def _is_safe(text: str) -> bool:
    """Say whether every program of tables gives a text back as it is."""
    seen = text.replace("\n", "").replace("\u00a0", "").replace("\u202f", "")
    return seen.isprintable() and not _ESCAPED.search(text)


def _unpacked(text: str) -> object:
    """Give what JSON a text holds, a text or a list or a table; None where it is none."""
    if text[0] not in '"[{':
        return None
    try:
        return json.loads(text, parse_constant=_refuse)
    except (ValueError, RecursionError):
        return None


def _refuse(constant: str) -> None:
    raise ValueError(constant)


def _one(leaf: Leaf, text: str) -> object:
    if isinstance(leaf, Whole):
        whole = _WHOLE.fullmatch(text)
        return int(whole[1]) if whole else text
    if isinstance(leaf, Plain) or (isinstance(leaf, Measure) and leaf.dimension == "ratio"):
        return number_of(text)
    return _FLAGS.get(text.lower(), text) if isinstance(leaf, Flag) else text


def number_of(text: str) -> int | float | str:
    """Give a bare number as the TOML reader would, any other text as it is."""
    if not NUMBER.fullmatch(text) or len(text) > 40:
        return text
    return int(text) if text.lstrip("+-").isdigit() else float(text)


def flattened(kind: str, raw: Mapping[str, Any]) -> dict[str, Any]:
    """Give a record's values by dotted key, lists and empty tables whole; its `schema` is left out."""
    return dict(_flat(kind, {key: value for key, value in raw.items() if key != "schema"}, ""))


def _flat(kind: str, raw: Mapping[str, Any], prefix: str) -> list[tuple[str, Any]]:
    found: list[tuple[str, Any]] = []
    for name, value in raw.items():
        if isinstance(value, Mapping) and value:
            found += _flat(kind, value, f"{prefix}{name}.")
        else:
            found.append((prefix + name, value))
    return found


def nested(flat: Mapping[str, Any]) -> dict[str, Any]:
    """Give values by dotted key as nested tables; a table that stands empty gives way to one with keys."""
    raw: dict[str, Any] = {}
    for dotted in sorted(flat, key=lambda dotted: dotted.count(".")):
        *tables, last = dotted.split(".")
        at = raw
        for name in tables:
            inner = at.get(name)
            at[name] = inner if isinstance(inner, dict) else {}
            at = at[name]
        at[last] = flat[dotted]
    return raw
