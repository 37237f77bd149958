"""The commands of the list of jobs, and of a job's page."""

from __future__ import annotations

from swarfbook.tui.commands.command import Command

JOBS = (
    Command("jobs.down", "down", "↑↓", "choose", "go down the list", 4),
    Command("jobs.up", "up", "↑", "choose", "go up the list"),
    Command("jobs.page_down", "pagedown", "PgDn", "further", "go down a screenful"),
    Command("jobs.page_up", "pageup", "PgUp", "back", "go up a screenful"),
    Command("jobs.open", "enter", "Enter", "open", "open the job", 1),
    Command("jobs.order", "tab", "Tab", "order", "order by name, or the worst first", 3),
    Command("jobs.close", "escape", "Esc", "back", "go back to the page", 2),
    Command("jobs.help", "f1", "F1", "help", "this page", 5),
    Command("job.down", "down,j", "↑↓", "choose", "go down the steps, and on to what else is told", 8),
    Command("job.up", "up,k", "↑", "choose", "go up"),
    Command("job.page_down", "pagedown,space", "PgDn", "further", "read on below", 9),
    Command("job.page_up", "pageup", "PgUp", "back", "read back below"),
    Command("job.open", "enter", "Enter", "open", "open the step's recipe, or read what is told in full", 3),
    Command("job.sheet", "p", "p", "sheet", "write the sheet for the machine: .pdf, .html or .txt", 4),
    Command("job.reply", "c", "c", "reply", "read what to tell the customer", 5),
    Command("job.heat", "h", "h", "heat", "see how warm the stock gets through one piece", 6),
    Command("job.values", "v", "v", "values", "see and write the job's values", 7),
    Command("job.read_again", "r", "r", "read again", "read the job's files again and judge it anew", 12),
    Command("job.edit_file", "e", "e", "editor", "open the job's file in your editor", 10),
    Command("job.copy", "y", "y", "copy", "copy all that is told of the job as text", 13),
    Command("job.another", "a", "a", "another", "another job that begins like this one", 11),
    Command("job.rename", "R", "R", "rename", "give the job another id"),
    Command("job.delete", "delete", "Del", "delete", "delete the job; B brings it back"),
    Command("job.bring_back", "B", "B", "bring back", "bring back a job that was deleted"),
    Command("job.history", "H", "H", "history", "the states the job's file has had, and back to one", 11),
    Command("job.help", "?,f1", "?", "help", "this page", 2),
    Command("job.close", "escape,q", "Esc", "back", "go back to the list", 1),
)
