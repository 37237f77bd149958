"""Every command of every screen, once: its keys, its words in the footer and its line on the help page."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Command:
    """One thing a person can do.

    Attributes:
        id: `screen.action`, a name that stays.
        keys: the keys as Textual names them, `?` and `/` as themselves, with commas between.
        shown: the keys as a person reads them.
        words: what it does, in the footer.
        help: what it does, on the help page.
        rank: how soon it leaves a narrow footer, 1 the last; 0 is never in it.
    """

    id: str
    keys: str
    shown: str
    words: str
    help: str
    rank: int = 0

    @property
    def screen(self) -> str:
        """The screen it belongs to."""
        return self.id.split(".")[0]

    @property
    def action(self) -> str:
        """The name of the screen's action."""
        return self.id.split(".")[1]


SCREENS = {
    "page": "On the page",
    "pen": "While a value is being written",
    "list": "In the list of recipes",
    "derate": "Backing off",
    "ask": "At a question",
    "measure": "In the list of things to measure",
    "text": "Reading",
}

COMMANDS = (
    Command("page.next_value", "tab,right", "Tab", "next", "go to the next value of the sentence", 3),
    Command("page.previous_value", "shift+tab,left", "Shift+Tab", "back", "go to the value before"),
    Command(
        "page.write", "enter,space", "Enter", "edit", "write the value; a digit, + - or . starts at once", 4
    ),
    Command("page.next_rung", "down", "↓", "rung", "go down the ladder"),
    Command("page.previous_rung", "up", "↑↓", "rung", "go up the ladder", 9),
    Command("page.list", "l,/", "l", "list", "open the list of recipes", 5),
    Command("page.derate", "d", "d", "derate", "back the recipe off by a margin", 6),
    Command("page.save", "s", "s", "save", "save the changes in the recipe's file", 2),
    Command("page.undo", "u", "u", "undo", "take the last change back", 7),
    Command("page.redo", "U,ctrl+y", "U", "redo", "make the change again", 10),
    Command("page.read_again", "r", "r", "read again", "read the recipe's file again", 2),
    Command("page.why", "w", "w", "why", "the chosen rung: its formula, inputs and sources", 8),
    Command("page.notes", "n", "n", "notes", "read notes, cautions and where it came from", 11),
    Command("page.measure", "m", "m", "measure", "how to measure what people do not know", 12),
    Command("page.help", "?,f1", "?", "help", "this page", 1),
    Command("page.leave", "q", "q", "quit", "leave; asks when something is not saved", 1),
    Command("pen.keep", "enter", "Enter", "keep", "keep what is written", 1),
    Command("pen.give_up", "escape", "Esc", "give up", "leave the value as it was", 2),
    Command("pen.keep_and_next", "tab", "Tab", "keep, next value", "keep it and go to the next value", 3),
    Command("pen.keep_and_previous", "shift+tab", "Shift+Tab", "back", "keep it and go to the value before"),
    Command("list.down", "down", "↑↓", "choose", "go down the list", 3),
    Command("list.up", "up", "↑", "choose", "go up the list"),
    Command("list.page_down", "pagedown", "PgDn", "further", "go down a screenful"),
    Command("list.page_up", "pageup", "PgUp", "back", "go up a screenful"),
    Command("list.open", "enter", "Enter", "open", "open the recipe", 1),
    Command("list.close", "escape", "Esc", "back", "go back to the page", 2),
    Command("list.help", "f1", "F1", "help", "this page", 4),
    Command("derate.next_method", "tab,right", "←→", "method", "choose the next method", 3),
    Command("derate.previous_method", "shift+tab,left", "←", "method", "choose the method before"),
    Command("derate.more", "up", "↑↓", "margin", "a larger margin", 4),
    Command("derate.less", "down", "↓", "margin", "a smaller margin"),
    Command("derate.take", "enter", "Enter", "take", "take the chosen method and name the new recipe", 1),
    Command("derate.close", "escape", "Esc", "back", "go back; nothing is saved", 2),
    Command("derate.help", "f1", "F1", "help", "this page", 5),
    Command("ask.close", "escape", "Esc", "stay", "go back as if nothing was asked", 1),
    Command("measure.down", "down", "↑↓", "choose", "go down the list", 3),
    Command("measure.up", "up", "↑", "choose", "go up the list"),
    Command("measure.open", "enter,space", "Enter", "read", "read how", 1),
    Command("measure.close", "escape,q,m", "Esc", "back", "go back to where you were", 2),
    Command("measure.help", "?,f1", "?", "help", "this page", 4),
    Command("text.down", "down,space", "↑↓", "scroll", "read on", 2),
    Command("text.up", "up", "↑", "scroll", "read back"),
    Command("text.page_down", "pagedown", "PgDn", "further", "read on by a screenful"),
    Command("text.page_up", "pageup", "PgUp", "back", "read back by a screenful"),
    Command("text.measure", "m", "m", "measure it", "how to measure what is assumed", 3),
    Command("text.close", "escape,q,enter,?,f1,n,w", "Esc", "back", "go back to where you were", 1),
)


def of_screen(screen: str) -> list[Command]:
    """Give the commands of a screen."""
    return [command for command in COMMANDS if command.screen == screen]


def by_key(screen: str, key: str) -> Command | None:
    """Find the command of a key; None where the screen has none for it."""
    name = _CHARACTERS.get(key, key)
    return next((command for command in of_screen(screen) if name in command.keys.split(",")), None)


def footer(screen: str, width: int, usable: Callable[[str], bool] = lambda _action: True) -> str:
    """Write the hints that fit a width, in the table's order; the least needed go first.

    Args:
        screen: the screen.
        width: columns there are.
        usable: says whether an action can do anything now.
    """
    shown = [command for command in of_screen(screen) if command.rank and usable(command.action)]
    while len(text := _hints(shown)) > width and len(shown) > 1:
        shown.remove(max(shown, key=lambda command: command.rank))
    return text[:width]


def _hints(commands: Iterable[Command]) -> str:
    return " " + "  ".join(f"{command.shown} {command.words}" for command in commands)


def help_lines() -> list[str]:
    """Write the help page: every command of every screen."""
    lines = []
    for screen, heading in SCREENS.items():
        lines += [heading, *(f"  {_keys(command):<18} {command.help}" for command in of_screen(screen)), ""]
    return lines


_CHARACTERS = {"question_mark": "?", "slash": "/"}
"""Textual's names of keys that the table writes as their character."""

_NAMES = {
    "escape": "Esc",
    "enter": "Enter",
    "tab": "Tab",
    "shift+tab": "Shift+Tab",
    "space": "Space",
    "up": "↑",
    "down": "↓",
    "left": "←",
    "right": "→",
    "pagedown": "PgDn",
    "pageup": "PgUp",
    "f1": "F1",
    "ctrl+y": "Ctrl+Y",
}


def _keys(command: Command) -> str:
    return ", ".join(_NAMES.get(key, key) for key in command.keys.split(","))
