"""Change TOML text without touching what is not changed: comments, order, units as typed."""

from __future__ import annotations

from collections.abc import Mapping, MutableMapping
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import InlineTable, Item

from swarfbook.book.reading import fail
from swarfbook.records import record_keys

CLUMSY = "this file is written in a way that cannot be edited safely here; change it by hand"

Table = MutableMapping[str, Any]


def edit(kind: str, text: str, values: Mapping[str, Any], *, where: str, tidy: bool) -> str:
    """Set values in the text of a file, one by one; None takes a key out.

    Args:
        kind: kind of record.
        text: the file.
        values: what to set, nested as in the file.
        where: the file as messages name it.
        tidy: put a new key after the key that comes before it in the kind's order, so that it does not
            end up below a comment that belongs to the next table; some rare files do not survive that.

    Raises:
        SwarfbookError: when the text is TOML that the editor does not follow.
    """
    try:
        document = tomlkit.parse(text)
        _set(document, values, _order(kind) if tidy else (), depth=0)
        return tomlkit.dumps(document)
    except TOMLKitError as error:
        raise fail(where, CLUMSY) from error


def new_document(kind: str, values: Mapping[str, Any]) -> str:
    """Write a new file, its keys in the order of the kind's other files."""
    document = tomlkit.document()
    _set(document, _ordered(values, _order(kind)), (), depth=0)
    return tomlkit.dumps(document)


def _order(kind: str) -> tuple[str, ...]:
    return ("schema", *record_keys(kind))


def _set(table: Table, values: Mapping[str, Any], order: tuple[str, ...], *, depth: int) -> None:
    for key in [key for key, value in values.items() if value is None]:
        table.pop(key, None)
    new: dict[str, Any] = {}
    for key, value in values.items():
        before = table.get(key)
        if isinstance(value, Mapping) and isinstance(before, MutableMapping):
            _set(before, value, _below(order, key), depth=depth + 1)
        elif before is not None and not _same(before, value):
            table[key] = _item(value)
        elif before is None and value is not None:
            new[key] = value
    for key, value in _place_after(table, new, order).items():
        table[key] = _item(value, table=depth == 0)


def _place_after(table: Table, new: Mapping[str, Any], order: tuple[str, ...]) -> dict[str, Any]:
    """Write new keys on the lines after the keys that come before them; give those without such a key."""
    left = {key: value for key, value in new.items() if isinstance(value, Mapping)}
    single = {key: value for key, value in new.items() if key not in left}
    lines: dict[str, list[str]] = {}
    for key, value in _ordered(single, order).items():
        anchor = None if isinstance(table, InlineTable) else _anchor(table, key, order)
        if anchor is None:
            left[key] = value
        else:
            lines.setdefault(anchor, []).append(f"{key} = {_item(value).as_string()}")
    for anchor, texts in lines.items():
        trivia = table[anchor].trivia
        line_end = trivia.trail or "\n"
        trivia.trail = line_end + "".join(f"{trivia.indent}{text}{line_end}" for text in texts)
    return left


def _anchor(table: Table, key: str, order: tuple[str, ...]) -> str | None:
    """Give the nearest single value of a table that comes before a key in the order."""
    heads = _heads(order)
    before = heads[: heads.index(key)] if key in heads else []
    here = [name for name in before if isinstance(table.get(name), Item)]
    return next((name for name in reversed(here) if not isinstance(table[name], MutableMapping)), None)


def _heads(order: tuple[str, ...]) -> list[str]:
    return list(dict.fromkeys(dotted.partition(".")[0] for dotted in order))


def _below(order: tuple[str, ...], key: str) -> tuple[str, ...]:
    return tuple(dotted.removeprefix(f"{key}.") for dotted in order if dotted.startswith(f"{key}."))


def _ordered(values: Mapping[str, Any], order: tuple[str, ...]) -> dict[str, Any]:
    """Sort keys, and those of the tables within, by a list of dotted keys; others come last."""
    heads = _heads(order)
    names = sorted(values, key=lambda key: heads.index(key) if key in heads else len(heads))
    return {key: _ordered_inside(values[key], _below(order, key)) for key in names}


def _ordered_inside(value: object, order: tuple[str, ...]) -> object:
    return _ordered(value, order) if isinstance(value, Mapping) and order else value


def _same(before: object, value: object) -> bool:
    plain = before.unwrap() if isinstance(before, Item) else before
    return type(plain) is type(value) and bool(plain == value)


def _item(value: object, *, table: bool = False) -> Item:
    """Make a TOML item: tables as `[table]` only where asked, else on one line; long text over several."""
    if isinstance(value, Mapping):
        made: Any = tomlkit.table() if table else tomlkit.inline_table()
        for key, inner in value.items():
            if inner is not None:
                made[key] = _item(inner)
        return made  # type: ignore[no-any-return]
    if isinstance(value, list):
        array = tomlkit.array()
        for inner in value:
            array.append(_item(inner))
        return array
    if isinstance(value, str) and "\n" in value and "\r" not in value:
        return tomlkit.string(value, multiline=True)
    return tomlkit.item(value)
