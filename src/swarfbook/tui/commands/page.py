"""The commands of the page, and of a value being written on it."""

from __future__ import annotations

from swarfbook.tui.commands.command import Command

PAGE = (
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
    Command("pen.help", "f1", "F1", "help", "this page", 4),
)
