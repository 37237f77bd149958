"""docs/reference/json.md: the keys of every command's JSON object, from its example run on the demo."""

from __future__ import annotations

import json
import shlex
import shutil
from collections.abc import Iterator
from contextlib import chdir
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import click
from click.testing import CliRunner

from support.reference.command_page import commands, example_of
from support.reference.markdown import block, code, head, joined, table
from support.reference.prose import prose
from swarfbook.decisions.jobs.stocking import LENGTHS
from swarfbook.resources import demo_book_dir

BARE = frozenset({"use", "chance_over", "ratio", "beyond_mark"})
"""Ratios that stand beside a unit which is not theirs."""
Shape = dict[str, set[str]]
"""Sorts of value by place."""
OPEN = frozenset(
    {
        "quantities",
        "inputs",
        "units",
        "sources",
        "loads",
        "chances",
        "uses",
        "changes",
        "worth_measuring",
        "demands",
    }
)
"""Objects that have names for keys: one entry stands for all."""


def has_json(command: click.Command) -> bool:
    """Say whether a command prints JSON."""
    return any("--json" in one.opts for one in command.params)


@cache
def shapes() -> dict[str, list[tuple[str, Shape]]]:
    """Give for each command with JSON its words and the sorts of value at each place of what it printed."""
    return {
        name: [_run(name, words) for words in _asked(name, command)]
        for name, command in commands().items()
        if has_json(command)
    }


def _asked(name: str, command: click.Command) -> list[str]:
    first = prose()["json_examples"].get(name, example_of(command))
    return [first, *prose()["json_more"].get(name, "").strip().splitlines()]


def _run(name: str, words: str) -> tuple[str, Shape]:
    line = words if "--json" in words else f"{words} --json"
    with TemporaryDirectory() as folder:
        book = Path(folder) / "my-workshop"
        shutil.copytree(demo_book_dir(), book)
        for earlier in filter(None, (prose()["json_before"].get(name),)):
            _print(earlier, book)
        told = _print(line, book)
    found: dict[str, set[str]] = {}
    _walk(json.loads(told), "", found)
    return line, found


def _print(line: str, book: Path) -> str:
    _, name, *words = shlex.split(line)
    with chdir(book.parent):
        environment = {"SWARFBOOK_BOOK": str(book)}
        told = CliRunner(env=environment).invoke(commands()[name], words, standalone_mode=False)
    if told.exception is not None:
        raise AssertionError(
            f"{line}: {told.exception!r}; docs/glossary.toml may give it another example in [json_examples], "
            "or what is run before it in [json_before]"
        )
    return told.stdout


def _walk(value: Any, place: str, found: dict[str, set[str]]) -> None:
    told = _elsewhere(value, place)
    found.setdefault(place, set()).add(told or _sort(value))
    if told:
        return
    if isinstance(value, dict):
        for key, one in value.items():
            part = "NAME" if place.rpartition(".")[2] in OPEN else key
            _walk(one, f"{place}.{part}".lstrip("."), found)
    if isinstance(value, list):
        for one in value:
            _walk(one, f"{place}[]", found)


def _elsewhere(value: Any, place: str) -> str:
    """Say what an object is that is told of elsewhere: a record, or all that `check` prints."""
    if not isinstance(value, dict) or not place:
        return ""
    if "schema" in value:
        return f"object: a {value['schema'].partition('/')[0]}'s [keys](records.md)"
    return "object: all that [`check`](#check) prints" if value.keys() >= {"context_digest", "limits"} else ""


def _sort(value: object) -> str:
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true or false"
    sorts: dict[type, str] = {int: "number", float: "number", str: "text", list: "list", dict: "object"}
    return sorts[type(value)]


def page() -> str:
    """Set the page."""
    lines = head("JSON", prose()["intros"]["json"])
    for name, asked in shapes().items():
        lines += [f"## {name}", ""]
        for line, found in asked:
            lines += [*block(line, "sh"), *table(["key", "value", "unit"], _rows(found))]
    return joined(lines)


def _rows(found: Shape) -> Iterator[list[str]]:
    for place, sorts in found.items():
        if place and not place.endswith("[]"):
            inner = sorted(found.get(f"{place}[]", ()))
            told = [
                f"list of {' or '.join(inner)}" if one == "list" and inner else one for one in sorted(sorts)
            ]
            yield [code(place), " or ".join(told), _unit(place, {*sorts, *inner}, found)]


def _unit(place: str, sorts: set[str], found: Shape) -> str:
    """Say the unit of a number: the one beside it, or the one its name always has; nothing for a bare one."""
    table_of, _, key = place.rpartition(".")
    if "number" not in sorts:
        return ""
    if f"{table_of}.unit".lstrip(".") in found:
        return "" if key in BARE else "`unit`"
    lengths = LENGTHS if place.startswith("stock.") else frozenset()
    return "mm" if key in lengths else prose()["json_units"].get(key, "")
