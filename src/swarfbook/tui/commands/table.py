"""Every command of every screen, once: its keys, its words in the footer and its line on the help page."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from swarfbook.tui.commands.anywhere import ANY
from swarfbook.tui.commands.asking import ASKING
from swarfbook.tui.commands.command import Command
from swarfbook.tui.commands.derate import DERATE
from swarfbook.tui.commands.history import HISTORY
from swarfbook.tui.commands.jobs import JOBS
from swarfbook.tui.commands.lists import LISTS
from swarfbook.tui.commands.page import PAGE
from swarfbook.tui.commands.reading import READING
from swarfbook.tui.commands.records import RECORDS
from swarfbook.tui.commands.runs import RUNS

SCREENS = {
    "page": "On the page",
    "pen": "While a value is being written",
    "list": "Finding in the list of recipes",
    "rows": "Among the rows of the list of recipes",
    "compare": "Recipes side by side",
    "derate": "Backing off",
    "pick": "Asking for a recipe",
    "picked": "In the ranking of recipes for a job",
    "solve": "Asking for a first recipe",
    "solution": "Reading a first recipe",
    "map": "On the map of a recipe",
    "jobs": "In the list of jobs",
    "job": "On the page of a job",
    "log": "Writing a run down",
    "runs": "In the log of runs",
    "run": "Reading one run",
    "record": "On the page of a machine, a cutter or a material, and of a job's values",
    "writing": "While a value of it is being written",
    "history": "In the history of a record",
    "problems": "In the list of problems",
    "choose": "In a list over the page",
    "ask": "At a question",
    "prompt": "Where a line is asked for",
    "text": "Reading",
    "any": "Everywhere",
}

COMMANDS = (*PAGE, *LISTS, *DERATE, *ASKING, *JOBS, *RECORDS, *HISTORY, *RUNS, *READING, *ANY)

STARTS = frozenset("0123456789+-.")
"""Keys that begin a number on the page."""
SWALLOWED = frozenset(
    {"ctrl+enter", "ctrl+q", "ctrl+question_mark", "ctrl+s", "ctrl+z", "ctrl+c", "ctrl+i", "ctrl+m"}
)
"""Keys that many terminals keep for themselves or cannot tell from others."""

AT_THE_MACHINE = frozenset(
    {"page.edit_file", "record.edit_file", "job.edit_file", "problems.open", "job.sheet"}
)
"""Commands that use the machine on which the program runs, and not the book alone."""

_bound: dict[str, Command] = {}
"""Commands with keys of a person's own, by id."""
_withheld: set[str] = set()
"""Commands that are not offered; their keys stay theirs, and say why."""


def bind(keys: Mapping[str, Iterable[str]], *, served: bool = False) -> None:
    """Give commands, by id, keys of a person's own in place of the table's; all others get theirs back.

    Args:
        keys: the keys.
        served: the screen is in a browser: what needs the machine itself is not offered.
    """
    _bound.clear()
    _withheld.clear()
    _withheld.update(AT_THE_MACHINE if served else ())
    for command in COMMANDS:
        if command.id in keys:
            mine = tuple(keys[command.id])
            _bound[command.id] = replace(command, keys=",".join(mine), shown=NAMES.get(mine[0], mine[0]))


def in_force() -> tuple[Command, ...]:
    """Give every command with the keys that serve now."""
    return tuple(_bound.get(command.id, command) for command in COMMANDS)


def of_screen(screen: str) -> list[Command]:
    """Give the commands that a screen offers."""
    return [command for command in _all_of(screen) if command.id not in _withheld]


def _all_of(screen: str) -> list[Command]:
    return [_bound.get(command.id, command) for command in COMMANDS if command.screen == screen]


def shown(command_id: str) -> str:
    """Give the key of a command, by id, as people read it."""
    return next(command.shown for command in in_force() if command.id == command_id)


def by_key(screen: str, key: str) -> Command | None:
    """Find the command of a key; None where the screen has none for it."""
    name = _CHARACTERS.get(key, key)
    serving = (*_all_of(screen), *_all_of("any"))
    return next((command for command in serving if name in command.keys.split(",")), None)


def footer(
    screen: str,
    width: int,
    usable: Callable[[str], bool] = lambda _action: True,
    now: Mapping[str, str] | None = None,
    keep: Iterable[str] = (),
) -> str:
    """Write the hints that fit a width, in the table's order; the least needed go first.

    Args:
        screen: the screen.
        width: columns there are.
        usable: says whether an action can do anything now.
        now: words for actions that do one thing or another, by action, as they stand now.
        keep: actions that go last of all, whatever their rank.
    """
    kept = frozenset(keep)
    shown = [command for command in of_screen(screen) if command.rank and usable(command.action)]
    while len(text := _hints(shown, now or {})) > width and len(shown) > 1:
        shown.remove(max(shown, key=lambda command: (command.action not in kept, command.rank)))
    return text[:width]


def _hints(commands: Iterable[Command], now: Mapping[str, str]) -> str:
    return " " + "  ".join(f"{one.shown} {now.get(one.action, one.words)}" for one in commands)


def help_lines(first: str = "page") -> list[str]:
    """Write the help page: every command of every screen, those of one screen first."""
    lines = []
    for screen in sorted(SCREENS, key=lambda name: name != first):
        commands = of_screen(screen)
        lines += [SCREENS[screen], *(f"  {key_names(one):<18} {one.help}" for one in commands), ""]
    return lines


_CHARACTERS = {
    "question_mark": "?",
    "slash": "/",
    "equals_sign": "=",
    "asterisk": "*",
    "less_than_sign": "<",
    "greater_than_sign": ">",
}
"""Textual's names of keys that the table writes as their character."""

NAMES = {
    "escape": "Esc",
    "enter": "Enter",
    "tab": "Tab",
    "shift+tab": "Shift+Tab",
    "space": "Space",
    "delete": "Del",
    "up": "↑",
    "down": "↓",
    "left": "←",
    "right": "→",
    "pagedown": "PgDn",
    "pageup": "PgUp",
    "f1": "F1",
    "f2": "F2",
    "f3": "F3",
    "shift+up": "Shift+↑",
    "shift+down": "Shift+↓",
    "insert": "Ins",
    "home": "Home",
    "end": "End",
    "ctrl+p": "Ctrl+P",
    "ctrl+y": "Ctrl+Y",
}


def key_names(command: Command) -> str:
    """Write a command's keys as people read them."""
    return ", ".join(NAMES.get(key, key) for key in command.keys.split(","))
