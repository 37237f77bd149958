"""`swarfbook keys`."""

from __future__ import annotations

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import example, json_option, print_json
from swarfbook.errors import undriven


@click.command("keys", epilog=example("swarfbook keys --json"))
@json_option
def command(*, as_json: bool) -> int:
    """List every command of the screen with its id, its keys and what it does.

    Keys of your own and a theme stand in the file that is named at the end, for example:
    theme = "daylight", and under [keys]: "page.derate" = "D".
    """
    from swarfbook.tui.commands import bind, in_force, key_names
    from swarfbook.tui.screen_file import read_settings, screen_file
    from swarfbook.tui.themes import THEMES

    settings = read_settings(tuple(theme.name for theme in THEMES))
    bind(settings.keys)
    for problem in settings.problems:
        click.echo(f"swarfbook: {problem}", err=True)
    if as_json:
        commands = [{"id": one.id, "keys": one.keys.split(","), "help": one.help} for one in in_force()]
        print_json({"file": str(screen_file()), "theme": settings.theme, "commands": commands})
    else:
        lines = [f"{one.id:<26} {key_names(one):<18} {one.help}" for one in in_force()]
        click.echo(undriven("\n".join([*lines, "", f"keys of your own: {screen_file()}"])))
    return Exit.DONE
