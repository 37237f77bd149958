"""The commands of every screen."""

from __future__ import annotations

from swarfbook.tui.commands.command import Command

ANY = (Command("any.palette", "ctrl+p", "Ctrl+P", "commands", "find a command by its words and run it"),)
