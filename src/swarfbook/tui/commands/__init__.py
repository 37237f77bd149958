"""The one table of commands: it feeds the keys, the footer and the help page of every screen."""

from swarfbook.tui.commands.command import Command
from swarfbook.tui.commands.table import COMMANDS, SCREENS, by_key, footer, help_lines, of_screen

__all__ = ["COMMANDS", "SCREENS", "Command", "by_key", "footer", "help_lines", "of_screen"]
