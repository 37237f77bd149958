"""The commands of backing off."""

from __future__ import annotations

from swarfbook.tui.commands.command import Command

DERATE = (
    Command("derate.next_method", "tab,right", "←→", "method", "choose the next method", 3),
    Command("derate.previous_method", "shift+tab,left", "←", "method", "choose the method before"),
    Command("derate.more", "up", "↑↓", "margin", "a larger margin, or a larger risk", 4),
    Command("derate.less", "down", "↓", "margin", "a smaller margin, or a smaller risk"),
    Command("derate.risk", "r", "r", "risk", "type a risk, from which the margin follows, or a margin", 5),
    Command("derate.take", "enter", "Enter", "take", "take the chosen method and name the new recipe", 1),
    Command("derate.close", "escape", "Esc", "back", "go back; nothing is saved", 2),
    Command("derate.help", "f1", "F1", "help", "this page", 6),
)
