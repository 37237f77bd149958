"""`swarfbook init [DIR]`."""

from __future__ import annotations

from pathlib import Path

import click

from swarfbook.book import create
from swarfbook.cli.exits import Exit
from swarfbook.cli.options import example
from swarfbook.errors import printable


@click.command("init", epilog=example("swarfbook init my-workshop --demo"))
@click.argument("directory", metavar="[DIR]", default=".")
@click.option("--demo", is_flag=True, help="Copy the demo workshop, to try things on.")
def command(directory: str, *, demo: bool) -> int:
    """Start a book in DIR (here if left out): empty, or a copy of the demo workshop."""
    root = create(Path(directory), demo=demo)
    click.echo(printable(f"a book is in {root}; `swarfbook open --book {root}` opens it"), err=True)
    return Exit.DONE
