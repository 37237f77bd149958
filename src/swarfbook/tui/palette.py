"""Every command that can do anything on a screen now, found by its words."""

from __future__ import annotations

from typing import Any

from swarfbook.tui.choose_screen import Choice, ChooseScreen
from swarfbook.tui.commands import key_names, of_screen
from swarfbook.tui.keyed import Keyed


def palette(screen: Keyed[Any]) -> ChooseScreen:
    """Give the list of a screen's commands; it gives back the action of the one taken."""
    usable = [command for command in of_screen(screen.mode) if screen.usable(command.action)]
    choices = [
        Choice(command.action, command.help, aside=key_names(command), more=f"{command.words} {command.id}")
        for command in usable
    ]
    return ChooseScreen("Commands", choices)
