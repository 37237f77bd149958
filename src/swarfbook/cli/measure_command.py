"""`swarfbook measure [TOPIC]`."""

from __future__ import annotations

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import example, plain_option, say
from swarfbook.errors import Problem, SwarfbookError, did_you_mean


@click.command("measure", epilog=example("swarfbook measure stiffness"))
@click.argument("name", metavar="[TOPIC]", required=False)
@plain_option
def command(name: str | None, *, plain: bool) -> int:
    """Say how to measure TOPIC with what a workshop has, and where the value goes; without one, list them."""
    from swarfbook.cli.text import page_width
    from swarfbook.reports.measuring import topic, topic_lines, topics

    if name is None:
        say("\n".join(f"{one.name:<14}{one.title}" for one in topics()), plain=plain)
        return Exit.DONE
    found = topic(name)
    if found is None:
        raise SwarfbookError(Problem("measure", "", name, did_you_mean(name, [one.name for one in topics()])))
    say("\n".join(topic_lines(found, width=page_width())), plain=plain)
    return Exit.DONE
