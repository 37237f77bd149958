"""The commands of the lists that open over the page."""

from __future__ import annotations

from swarfbook.tui.commands.command import Command

LISTS = (
    Command("list.down", "down", "↑↓", "choose", "go down the list", 3),
    Command("list.up", "up", "↑", "choose", "go up the list"),
    Command("list.page_down", "pagedown", "PgDn", "further", "go down a screenful"),
    Command("list.page_up", "pageup", "PgUp", "back", "go up a screenful"),
    Command("list.open", "enter", "Enter", "open", "open the recipe", 1),
    Command("list.close", "escape", "Esc", "back", "go back to the page", 2),
    Command("list.help", "f1", "F1", "help", "this page", 4),
    Command("choose.down", "down", "↑↓", "choose", "go down the list", 3),
    Command("choose.up", "up", "↑", "choose", "go up the list"),
    Command("choose.page_down", "pagedown", "PgDn", "further", "go down a screenful"),
    Command("choose.page_up", "pageup", "PgUp", "back", "go up a screenful"),
    Command("choose.take", "enter", "Enter", "take", "take the chosen one", 1),
    Command("choose.close", "escape", "Esc", "back", "go back to where you were", 2),
    Command("choose.help", "f1", "F1", "help", "this page", 4),
)
