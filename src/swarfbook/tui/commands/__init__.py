"""The one table of commands: it feeds the keys, the footer and the help page of every screen.

What is done with a record and its file has the same letter wherever it can be done: s u U r e y a R H B,
Delete and m; n unfolds and folds. Letters that choose what a screen shows are the screen's own.
"""

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
