"""The commands of a record's history."""

from __future__ import annotations

from swarfbook.tui.commands.command import Command

HISTORY = (
    Command("history.down", "down,j", "↑↓", "choose", "go down to the older states", 4),
    Command("history.up", "up,k", "↑", "choose", "go up to the later states"),
    Command("history.page_down", "pagedown,space", "PgDn", "further", "go down a screenful"),
    Command("history.page_up", "pageup", "PgUp", "back", "go up a screenful"),
    Command("history.open", "enter", "Enter", "difference", "read what differs from the state to now", 2),
    Command("history.bring_back", "B", "B", "bring back", "give the record the state again; asks before", 3),
    Command("history.help", "?,f1", "?", "help", "this page", 5),
    Command("history.close", "escape,q", "Esc", "back", "go back to the page", 1),
)
