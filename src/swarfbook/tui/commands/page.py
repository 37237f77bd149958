"""The commands of the page, and of a value being written on it."""

from __future__ import annotations

from swarfbook.tui.commands.command import Command

PAGE = (
    Command("page.next_value", "tab,right", "Tab", "next", "go to the next value of the sentence", 3),
    Command("page.previous_value", "shift+tab,left", "Shift+Tab", "back", "go to the value before"),
    Command(
        "page.open", "enter", "Enter", "edit", "write the chosen value, or read the chosen rung's why", 4
    ),
    Command("page.write", "space", "Space", "edit", "write the value; a digit, + - or . starts at once"),
    Command("page.next_rung", "down", "↓", "rung", "go down the ladder"),
    Command("page.previous_rung", "up", "↑↓", "rung", "go up the ladder", 9),
    Command("page.list", "l,/", "l", "list", "open the list of recipes", 5),
    Command("page.derate", "d", "d", "derate", "back the recipe off by a margin", 6),
    Command("page.pick", "P", "P", "pick", "find what to cut a job with: the book's recipes, ranked", 13),
    Command("page.solve", "S", "S", "solve", "work out a first recipe to try, from tables and physics", 15),
    Command("page.map", "k", "k", "map", "draw where the limits lie over two of the recipe's numbers", 15),
    Command("page.sensitivity", "W", "W", "what counts", "what a tenth more of each number does", 18),
    Command("page.log", "g", "g", "log a run", "write a run of the recipe down: how it went, how long", 8),
    Command("page.runs", "G", "G", "runs", "the runs in the log, of this recipe or of all", 12),
    Command("page.learnt", "p", "p", "learnt", "what measured power has taught of cutters and materials", 17),
    Command("page.compare", "c", "c", "compare", "compare the recipe with others from the list", 11),
    Command("page.save", "s", "s", "save", "save the changes in the recipe's file", 2),
    Command("page.relieve", "=", "=", "ease it", "make the change that eases the chosen rung", 7),
    Command("page.undo", "u", "u", "undo", "take the last change back", 7),
    Command("page.redo", "U,ctrl+y", "U", "redo", "make the change again", 10),
    Command("page.discard", "Z", "Z", "drop all", "drop all changes; u brings them back", 13),
    Command("page.read_again", "r", "r", "read again", "read the recipe's file again", 2),
    Command("page.why", "w", "w", "why", "the chosen rung: its formula, inputs and sources", 8),
    Command(
        "page.fold", "n", "n", "notes", "unfold notes, holding, cautions and the parent, or fold them", 11
    ),
    Command("page.fold_down", "pagedown", "PgDn", "further", "read on in what is unfolded"),
    Command("page.fold_up", "pageup", "PgUp", "back", "read back in what is unfolded"),
    Command("page.units", "i", "i", "units", "show inches or millimetres; the file keeps what was typed", 12),
    Command("page.measure", "m", "m", "measure", "how to measure what people do not know", 12),
    Command("page.edit_file", "e", "e", "editor", "open the recipe's file in your editor", 14),
    Command("page.copy", "y", "y", "copy", "copy the recipe and its ladder as text", 14),
    Command("page.theme", "t", "t", "theme", "lamplight, daylight or high contrast", 15),
    Command("page.duplicate", "a", "a", "another", "another recipe like this one", 13),
    Command("page.rename", "R", "R", "rename", "give the recipe another id; what names it follows"),
    Command("page.delete", "delete", "Del", "delete", "delete the recipe; B brings it back"),
    Command("page.bring_back", "B", "B", "bring back", "bring back a recipe that was deleted"),
    Command("page.retire", "z", "z", "retire", "set the standing to retired, or back to trial"),
    Command("page.history", "H", "H", "history", "the states the recipe's file has had, and back to one", 14),
    Command("page.machines", "M", "M", "machines", "the machines: what is known of them and what is not", 16),
    Command("page.tools", "T", "T", "cutters", "the cutters", 16),
    Command("page.materials", "A", "A", "materials", "the materials, and the table rows behind them", 16),
    Command(
        "page.jobs", "J", "J", "jobs", "the jobs: will they hold, how warm, how long, what they cost", 14
    ),
    Command("page.tables", "b", "b", "tables", "the reference tables, row by row with their sources", 17),
    Command("page.problems", "x", "x", "problems", "files and keys of the book that do not read or fit", 17),
    Command("page.cautions", "v", "v", "cautions", "what to mind before running the recipe", 17),
    Command("page.turn", "f", "f", "force", "force over one turn and the chip through the cut, drawn", 16),
    Command("page.corner", "o", "o", "corner", "what an inside corner of the part does to the load", 17),
    Command("page.chatter", "h", "h", "chatter", "where it begins to chatter, and a better speed nearby", 17),
    Command("page.help", "?,f1", "?", "help", "this page", 1),
    Command("page.leave", "q", "q", "quit", "leave; asks when something is not saved", 1),
    Command("pen.keep", "enter", "Enter", "keep", "keep what is written", 1),
    Command("pen.give_up", "escape", "Esc", "give up", "leave the value as it was", 2),
    Command("pen.keep_and_next", "tab", "Tab", "keep, next value", "keep it and go to the next value", 3),
    Command("pen.keep_and_previous", "shift+tab", "Shift+Tab", "back", "keep it and go to the value before"),
    Command("pen.help", "f1", "F1", "help", "this page", 4),
)
