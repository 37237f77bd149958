"""The commands of the screens of machines, cutters and materials, of a value on them, and of problems."""

from __future__ import annotations

from swarfbook.tui.commands.command import Command

RECORDS = (
    Command("record.down", "down,tab", "↑↓", "choose", "go down", 4),
    Command("record.up", "up,shift+tab", "↑", "choose", "go up"),
    Command("record.page_down", "pagedown", "PgDn", "further", "go down a screenful"),
    Command("record.page_up", "pageup", "PgUp", "back", "go up a screenful"),
    Command(
        "record.open", "enter,space", "Enter", "edit", "write the value, or give one that is left out", 3
    ),
    Command("record.save", "s", "s", "save", "save the changes in the record's file", 2),
    Command("record.undo", "u", "u", "undo", "take the last change back", 5),
    Command("record.redo", "U,ctrl+y", "U", "redo", "make the change again", 9),
    Command("record.read_again", "r", "r", "read again", "read the record's file again", 2),
    Command("record.why", "w", "w", "where from", "where the value comes from, and its source", 6),
    Command("record.measure", "m", "m", "measure", "how to measure it with what a workshop has", 5),
    Command("record.another", "a", "a", "another", "another record that begins like this one", 7),
    Command("record.rename", "R", "R", "rename", "give the record another id; what names it follows"),
    Command("record.delete", "delete", "Del", "delete", "delete the record; B brings it back"),
    Command("record.bring_back", "B", "B", "bring back", "bring back a record of this kind that was deleted"),
    Command(
        "record.history", "H", "H", "history", "the states the record's file has had, and back to one", 8
    ),
    Command("record.insert", "I,insert", "I", "add entry", "add a whole step, feature or hold to a job", 6),
    Command(
        "record.take_out", "X", "X", "take out", "take the whole step, feature or hold out of the job", 7
    ),
    Command("record.move_up", "<,shift+up", "< >", "move", "move the step, feature or hold up", 8),
    Command("record.move_down", ">,shift+down", ">", "move", "move the step, feature or hold down"),
    Command("record.edit_file", "e", "e", "editor", "open the record's file in your editor", 8),
    Command("record.help", "?,f1", "?", "help", "this page", 2),
    Command("record.close", "escape,q", "Esc", "back", "go back; asks when something is not saved", 1),
    Command("writing.keep", "enter", "Enter", "keep", "keep what is written; nothing leaves it out", 1),
    Command("writing.give_up", "escape", "Esc", "give up", "leave it as it was", 2),
    Command("writing.keep_and_next", "tab", "Tab", "keep, go down", "keep it and go down", 3),
    Command("writing.keep_and_previous", "shift+tab", "Shift+Tab", "keep, go up", "keep it and go up"),
    Command("writing.help", "f1", "F1", "help", "this page", 4),
    Command("problems.down", "down", "↑↓", "choose", "go down the problems", 3),
    Command("problems.up", "up", "↑", "choose", "go up the problems"),
    Command("problems.page_down", "pagedown", "PgDn", "further", "go down a screenful"),
    Command("problems.page_up", "pageup", "PgUp", "back", "go up a screenful"),
    Command("problems.open", "enter,e", "Enter", "open in editor", "open the file in your editor", 2),
    Command("problems.read_again", "r", "r", "read again", "look through the book again", 4),
    Command("problems.help", "?,f1", "?", "help", "this page", 5),
    Command("problems.close", "escape,q", "Esc", "back", "go back to the page", 1),
)
