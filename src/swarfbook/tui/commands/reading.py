"""The commands of texts, questions and prompts over the page."""

from __future__ import annotations

from swarfbook.tui.commands.command import Command

READING = (
    Command("ask.help", "f1", "F1", "help", "this page", 2),
    Command("ask.close", "escape", "Esc", "stay", "go back as if nothing was asked", 1),
    Command("prompt.take", "enter", "Enter", "take", "take what is written", 1),
    Command("prompt.close", "escape", "Esc", "back", "go back; nothing is taken", 2),
    Command("prompt.help", "f1", "F1", "help", "this page", 3),
    Command("text.down", "down,space", "↑↓", "scroll", "read on", 2),
    Command("text.up", "up", "↑", "scroll", "read back"),
    Command("text.page_down", "pagedown", "PgDn", "further", "read on by a screenful"),
    Command("text.page_up", "pageup", "PgUp", "back", "read back by a screenful"),
    Command("text.measure", "m", "m", "measure it", "how to measure what is assumed", 3),
    Command("text.copy", "y", "y", "copy", "copy the text, where it is one to be sent on", 4),
    Command("text.close", "escape,q,enter,?,f1,n,w", "Esc", "back", "go back to where you were", 1),
)
