"""Options by which a run is told, shared by `log` and `correct`."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import click

F = TypeVar("F", bound=Callable[..., Any])

OPTIONS = (
    click.option("--feed-override", metavar="SHARE", help="What the feed control stood at: 80%. Else 100%."),
    click.option("--speed-override", metavar="SHARE", help="What the speed control stood at. Else 100%."),
    click.option("--cutter", metavar="TEXT", help='Which one of its kind: "no. 3, reground".'),
    click.option("--power", metavar="POWER", help="Mean power while cutting, as a meter showed it: 310 W."),
    click.option("--power-peak", metavar="POWER", help="Highest power while cutting."),
    click.option("--idle-power", metavar="POWER", help="Power at that speed without a cut."),
    click.option(
        "--side",
        type=click.Choice(["input", "shaft"]),
        help="Power was read before the motor (input, a plug-in meter; so if not told) or at the shaft.",
    ),
    click.option("--stock-temperature", metavar="TEMP", help="Of the stock at the end: 41 degC."),
    click.option("--ambient", metavar="TEMP", help="Of the room: 19 degC."),
    click.option("--note", metavar="TEXT", help="Anything worth knowing next time."),
)


def run_options(command: F) -> F:
    """Give a command the options of what may be said of a run."""
    for option in reversed(OPTIONS):
        command = option(command)
    return command
