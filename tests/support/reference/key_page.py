"""docs/reference/keys.md: the screen's commands with their keys."""

from __future__ import annotations

from support.reference.markdown import code, head, joined, table
from support.reference.prose import prose
from swarfbook.tui.commands import COMMANDS, SCREENS, key_names
from swarfbook.tui.commands.table import AT_THE_MACHINE


def page() -> str:
    """Set the page."""
    lines = head("Keys", prose()["intros"]["keys"])
    for screen, title in SCREENS.items():
        rows = [
            [key_names(one), f"{code(one.id)}{' *' * (one.id in AT_THE_MACHINE)}", one.help]
            for one in COMMANDS
            if one.screen == screen
        ]
        if rows:
            lines += [f"## {title}", "", *table(["key", "id", "what it does"], rows)]
    return joined(lines)
