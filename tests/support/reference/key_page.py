"""docs/reference/keys.md: the screen's commands with their keys."""

from __future__ import annotations

from support.reference.markdown import code, head, joined, table
from swarfbook.tui.commands import COMMANDS, SCREENS, key_names
from swarfbook.tui.commands.table import AT_THE_MACHINE


def page() -> str:
    """Set the page."""
    lines = head(
        "Keys",
        "On screen the footer names the keys that serve now, F1 lists all of them, and Ctrl+P finds a command "
        "by its words. Keys of your own stand in `screen.toml` under the ids below; `swarfbook keys` says "
        "where that file lies.",
        "Commands with a star need the machine itself and are not offered in a browser.",
    )
    for screen, title in SCREENS.items():
        rows = [
            [key_names(one), f"{code(one.id)}{' *' * (one.id in AT_THE_MACHINE)}", one.help]
            for one in COMMANDS
            if one.screen == screen
        ]
        if rows:
            lines += [f"## {title}", "", *table(["key", "id", "what it does"], rows)]
    return joined(lines)
