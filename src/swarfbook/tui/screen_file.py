"""The file in which a person keeps a theme and keys of their own: `screen.toml` in the settings folder."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from platformdirs import user_config_path

from swarfbook.book.reading import read_toml
from swarfbook.errors import Problem, SwarfbookError, did_you_mean
from swarfbook.frozen import frozen
from swarfbook.tui.commands import COMMANDS, NAMES, STARTS, SWALLOWED

FILE = "screen.toml"
_HELD = re.compile(r"(?:(?:ctrl|alt|shift)\+)*(?P<key>.+)")
_FUNCTION = re.compile(r"f(?:[1-9]|1[0-9]|2[0-4])")


@frozen
class ScreenSettings:
    """What the file says.

    Attributes:
        theme: name of the theme; None where it names none that there is.
        keys: keys by the id of their command, for those commands whose keys serve.
        problems: what of the file does not serve, and what would.
    """

    theme: str | None
    keys: Mapping[str, tuple[str, ...]]
    problems: tuple[Problem, ...]


def screen_file() -> Path:
    """Give the file's place, whether or not there is one."""
    return user_config_path("swarfbook", appauthor=False) / FILE


def read_settings(themes: tuple[str, ...]) -> ScreenSettings:
    """Read the file; what does not serve is left out and told, the rest serves.

    Args:
        themes: names of the themes there are.
    """
    path = screen_file()
    if not path.exists():
        return ScreenSettings(None, {}, ())
    try:
        raw = read_toml(path, where=FILE).raw
    except SwarfbookError as error:
        return ScreenSettings(None, {}, error.problems)
    keys, key_problems = _keys(raw.get("keys", {}))
    theme, theme_problems = _theme(raw.get("theme"), themes)
    unknown = [
        Problem(FILE, name, "", f"no such key; {did_you_mean(name, ('theme', 'keys'))}")
        for name in raw
        if name not in ("theme", "keys")
    ]
    return ScreenSettings(theme, keys, (*unknown, *theme_problems, *key_problems))


def _theme(named: object, themes: tuple[str, ...]) -> tuple[str | None, list[Problem]]:
    if named is None or named in themes:
        return (None if named is None else str(named)), []
    remedy = f"no such theme; {did_you_mean(str(named), themes)}"
    return None, [Problem(FILE, "theme", f"'{named}'", remedy)]


def _keys(raw: object) -> tuple[dict[str, tuple[str, ...]], list[Problem]]:
    if not isinstance(raw, Mapping):
        return {}, [Problem(FILE, "keys", str(raw), 'write a table: [keys] "page.derate" = "D"')]
    taken: dict[str, tuple[str, ...]] = {}
    problems = []
    for name, wanted in raw.items():
        keys = tuple(wanted) if isinstance(wanted, list) else (wanted,)
        trouble = next(_troubles(name, keys, taken), None)
        if trouble is None:
            taken[name] = tuple(map(str, keys))
        else:
            problems.append(Problem(FILE, f"keys.{name}", f"{wanted!r}", trouble))
    return taken, problems


def _troubles(name: str, keys: tuple[Any, ...], taken: Mapping[str, tuple[str, ...]]) -> Iterator[str]:
    known = {command.id for command in COMMANDS}
    if name not in known:
        yield f"no such command; {did_you_mean(name, known)}"
        return
    for key in keys:
        yield from _key_troubles(name, key)
        yield from _clashes(name, key, taken)
    if not keys:
        yield "give it a key, or leave it out to keep the one it has"


def _key_troubles(name: str, key: object) -> Iterator[str]:
    if not isinstance(key, str) or not _is_key(key):
        yield 'no key of that name; write one such as "D", "ctrl+d", "f5" or "pagedown"'
    elif key in SWALLOWED:
        yield "terminals keep that key for themselves; take another"
    elif name.startswith("page.") and key in STARTS:
        yield "that key begins a number on the page; take another"


def _is_key(key: str) -> bool:
    held = _HELD.fullmatch(key)
    plain = held["key"] if held else ""
    return (len(plain) == 1 and plain.isprintable()) or plain in NAMES or bool(_FUNCTION.fullmatch(plain))


def _clashes(name: str, key: object, taken: Mapping[str, tuple[str, ...]]) -> Iterator[str]:
    screen = name.split(".", maxsplit=1)[0]
    for command in COMMANDS:
        if command.id != name and command.screen in (screen, "any"):
            keys = taken.get(command.id, tuple(command.keys.split(",")))
            if key in keys:
                yield f"{command.id} has that key; take another, or give {command.id} another one before it"
