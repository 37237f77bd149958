"""Change TOML text without touching what is not changed: comments, order, units as typed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, MutableMapping
from functools import partial
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Array, InlineTable, Item

from swarfbook.book.blocks import entries_of, set_entries, split
from swarfbook.book.reading import fail
from swarfbook.records import record_keys
from swarfbook.records.keys import find, walk

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
    windows = text.count("\r\n") == text.count("\n") > 0  # what is new ends its lines as the rest does
    order = _order(kind)
    try:
        done = _edited(text.replace("\r\n", "\n") if windows else text, values, order, tidy=tidy)
    except TOMLKitError as error:
        raise fail(where, CLUMSY) from error
    return done.replace("\n", "\r\n") if windows else done


def _edited(text: str, values: Mapping[str, Any], order: tuple[str, ...], *, tidy: bool) -> str:
    """Set lists of tables block by block, then the rest."""
    rest = dict(values)
    for name in filter(lambda name: entries_of(values[name]), values):
        below = _below(order, name)
        done = set_entries(
            text, name, values[name], partial(_entry_changed, name, below), partial(_entry_begun, name, below)
        )
        if done is not None:
            text = done
            del rest[name]
    return _set_in(text, rest, order if tidy else ()) if rest else text


def _set_in(text: str, values: Mapping[str, Any], order: tuple[str, ...]) -> str:
    document = tomlkit.parse(text)
    if order and tomlkit.dumps(document) != text:
        # It gathers lists of tables that stand apart: those are left out of it.
        head = split(text)[0].text
        return _set_in(head, values, ()) + text[len(head) :]
    _set(document, values, order, depth=0)
    return tomlkit.dumps(document)


def _entry_changed(
    name: str, order: tuple[str, ...], text: str, before: Mapping[str, Any], entry: Mapping[str, Any]
) -> str:
    """Write another entry of a list of tables into the lines of the one before."""
    document = tomlkit.parse(text)
    table: Any = document[name]
    _set(table[0], _whole(before, entry), order, depth=1)
    return tomlkit.dumps(document)


def _entry_begun(name: str, order: tuple[str, ...], entry: Mapping[str, Any]) -> str:
    document = tomlkit.document()
    document[name] = _item([_ordered(entry, order)], table=True)
    return tomlkit.dumps(document)


def _whole(before: Mapping[str, Any], entry: Mapping[str, Any]) -> dict[str, Any]:
    """Give what is to be set so that a table holds an entry and nothing else."""
    return {**dict.fromkeys(before), **entry}


def new_document(kind: str, values: Mapping[str, Any]) -> str:
    """Write a new file, its keys in the order of the kind's other files."""
    document = tomlkit.document()
    _set(document, _ordered(values, _order(kind)), (), depth=0)
    return tomlkit.dumps(document)


def _order(kind: str) -> tuple[str, ...]:
    return ("schema", *_keys(kind))


def _keys(kind: str) -> Iterator[str]:
    """Yield the keys of a kind, after those that hold a list of tables the keys of its entries."""
    for dotted in record_keys(kind):
        yield dotted
        key = find(kind, dotted)
        if key is not None and key.table is not None:
            yield from walk(key.table, f"{dotted}.")


def _set(table: Table, values: Mapping[str, Any], order: tuple[str, ...], *, depth: int) -> None:
    for key in [key for key, value in values.items() if value is None]:
        table.pop(key, None)
    new: dict[str, Any] = {}
    for key, value in values.items():
        before = table.get(key)
        if isinstance(value, Mapping) and isinstance(before, MutableMapping):
            _set(before, value, _below(order, key), depth=depth + 1)
        elif isinstance(before, Array) and entries_of(value) and len(before) == len(value):
            for one, entry in zip(before, value, strict=True):
                _set(one, _whole(one, entry), _below(order, key), depth=depth + 1)
        elif before is not None and not _same(before, value):
            table[key] = _item(value)
        elif before is None and value is not None:
            new[key] = value
    for key, value in _place_after(table, new, order).items():
        table[key] = _item(_ordered_inside(value, _below(order, key)), table=depth == 0)


def _place_after(table: Table, new: Mapping[str, Any], order: tuple[str, ...]) -> dict[str, Any]:
    """Write new keys on the lines after the keys that come before them; give those without such a key."""
    left = {key: value for key, value in new.items() if isinstance(value, Mapping) or entries_of(value)}
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
    return next((name for name in reversed(here) if not isinstance(table[name], MutableMapping | AoT)), None)


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
    if isinstance(value, list) and order and entries_of(value):
        return [_ordered(one, order) for one in value]
    return _ordered(value, order) if isinstance(value, Mapping) and order else value


def _same(before: object, value: object) -> bool:
    plain = before.unwrap() if isinstance(before, Item) else before
    return type(plain) is type(value) and bool(plain == value)


def _item(value: object, *, table: bool = False) -> Item:
    """Make a TOML item: tables under headers only where asked, else on one line; long text over several."""
    if isinstance(value, Mapping):
        made: Any = tomlkit.table() if table else tomlkit.inline_table()
        for key, inner in value.items():
            if inner is not None:
                made[key] = _item(inner)
        return made  # type: ignore[no-any-return]
    if table and isinstance(value, list) and entries_of(value):
        entries = tomlkit.aot()
        entries.extend(_item(one, table=True) for one in value)
        return entries
    if isinstance(value, list):
        array = tomlkit.array()
        for inner in value:
            array.append(_item(inner))
        return array
    if isinstance(value, str) and "\n" in value and "\r" not in value:
        return tomlkit.string(value, multiline=True)
    return tomlkit.item(value)
