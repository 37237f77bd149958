"""Change TOML text without touching what is not changed: comments, order, units as typed."""

from __future__ import annotations

from collections.abc import Mapping, MutableMapping
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import Item

from swarfbook.book.reading import fail
from swarfbook.records import record_keys

CLUMSY = "this file is written in a way that cannot be edited safely here; change it by hand"


def edit(text: str, values: Mapping[str, Any], *, where: str) -> str:
    """Set values in the text of a file, one by one; None takes a key out.

    Raises:
        SwarfbookError: when the text is TOML that the editor does not follow.
    """
    try:
        document = tomlkit.parse(text)
        _set(document, values, depth=0)
        return tomlkit.dumps(document)
    except TOMLKitError as error:
        raise fail(where, CLUMSY) from error


def _set(table: MutableMapping[str, Any], values: Mapping[str, Any], *, depth: int) -> None:
    for key, value in values.items():
        before = table.get(key)
        if value is None:
            table.pop(key, None)
        elif isinstance(value, Mapping) and isinstance(before, MutableMapping):
            _set(before, value, depth=depth + 1)
        elif before is None or not _same(before, value):
            table[key] = _item(value, table=depth == 0)


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
    if isinstance(value, str) and "\n" in value:
        return tomlkit.string(value, multiline=True)
    return tomlkit.item(value)


def new_document(kind: str, values: Mapping[str, Any]) -> str:
    """Write a new file, its keys in the order of the kind's other files."""
    document = tomlkit.document()
    _set(document, _ordered(values, ("schema", *record_keys(kind))), depth=0)
    return tomlkit.dumps(document)


def _ordered(values: Mapping[str, Any], order: tuple[str, ...]) -> dict[str, Any]:
    """Sort keys, and those of tables within, by their place in a list of dotted keys."""
    first: dict[str, Any] = {}
    for dotted in order:
        key, _, rest = dotted.partition(".")
        value = values.get(key)
        if value is None or key in first:
            continue
        inner = tuple(name.removeprefix(f"{key}.") for name in order if name.startswith(f"{key}."))
        first[key] = _ordered(value, inner) if rest and isinstance(value, Mapping) else value
    return first
