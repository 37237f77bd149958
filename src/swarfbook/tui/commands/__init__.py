"""The one table of commands: it feeds the keys, the footer and the help page of every screen."""

from swarfbook.tui.commands.command import Command
from swarfbook.tui.commands.table import (
    COMMANDS,
    NAMES,
    SCREENS,
    STARTS,
    SWALLOWED,
    bind,
    by_key,
    footer,
    help_lines,
    in_force,
    key_names,
    of_screen,
    shown,
)

__all__ = [
    "COMMANDS",
    "NAMES",
    "SCREENS",
    "STARTS",
    "SWALLOWED",
    "Command",
    "bind",
    "by_key",
    "footer",
    "help_lines",
    "in_force",
    "key_names",
    "of_screen",
    "shown",
]
