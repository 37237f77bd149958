"""The commands of runs: writing one down, the log, one run in full."""

from __future__ import annotations

from swarfbook.tui.commands.command import Command

RUNS = (
    Command("log.down", "down,tab", "Tab", "next", "go to the next field", 3),
    Command("log.up", "up,shift+tab", "↑", "back", "go to the field before", 4),
    Command("log.page_down", "pagedown", "PgDn", "further", "go down a screenful"),
    Command("log.page_up", "pageup", "PgUp", "back", "go up a screenful"),
    Command("log.open", "enter", "Enter", "log it", "log the run; first on to the minutes if they lack", 1),
    Command("log.close", "escape", "Esc", "back", "go back; nothing is logged", 2),
    Command("log.help", "f1", "F1", "help", "this page", 5),
    Command("runs.down", "down", "↑↓", "choose", "go down the log", 5),
    Command("runs.up", "up", "↑", "choose", "go up the log"),
    Command("runs.page_down", "pagedown", "PgDn", "further", "go down a screenful"),
    Command("runs.page_up", "pageup", "PgUp", "back", "go up a screenful"),
    Command("runs.open", "enter", "Enter", "open", "open the run", 1),
    Command("runs.scope", "tab", "Tab", "all", "the runs of all recipes, or of the page's alone", 3),
    Command("runs.cutters", "f3", "F3", "cutters", "the minutes each named cutter has cut", 4),
    Command("runs.close", "escape", "Esc", "back", "go back to the page", 2),
    Command("runs.help", "f1", "F1", "help", "this page", 6),
    Command("run.down", "down,space", "↑↓", "scroll", "read on", 4),
    Command("run.up", "up", "↑", "scroll", "read back"),
    Command("run.page_down", "pagedown", "PgDn", "further", "read on by a screenful"),
    Command("run.page_up", "pageup", "PgUp", "back", "read back by a screenful"),
    Command(
        "run.correct", "c", "c", "correct", "say otherwise how it went; its own line stays in the log", 2
    ),
    Command("run.withdraw", "delete", "Del", "withdraw", "take it out of what counts; asks first", 3),
    Command("run.close", "escape,q,enter", "Esc", "back", "go back to the log", 1),
    Command("run.help", "?,f1", "?", "help", "this page", 5),
)
