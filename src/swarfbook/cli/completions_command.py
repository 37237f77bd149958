"""`swarfbook completions SHELL`."""

from __future__ import annotations

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import example
from swarfbook.errors import Problem, SwarfbookError

SHELLS = ("bash", "zsh", "fish", "powershell")


@click.command("completions", epilog=example("swarfbook completions bash"))
@click.argument("shell", metavar="SHELL", type=click.Choice(SHELLS))
def command(shell: str) -> int:
    """Print the script by which SHELL completes commands, options and the names in the book at hand.

    \b
    bash: > ~/.local/share/bash-completion/completions/swarfbook
    zsh: > _swarfbook in a folder of $fpath, before compinit runs
    fish: > ~/.config/fish/completions/swarfbook.fish
    powershell: >> $PROFILE
    """  # noqa: D301 - click wraps no lines under a backspace
    from swarfbook.cli.completing import completer
    from swarfbook.cli.main import COMPLETING, group

    found = completer(shell, group, COMPLETING)
    if found is None:
        raise SwarfbookError(Problem("SHELL", "", shell, "this version of click has no script for it"))
    click.echo(found.source(), nl=False)
    return Exit.DONE
