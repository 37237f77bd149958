"""Options that say what a job asks of a cut, shared by `solve` and `pick`."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import click

F = TypeVar("F", bound=Callable[..., Any])
margin_option = click.option(
    "--margin", metavar="M", help="Share of every limit on a load to leave free, up to 95 %; else 25%."
)
tolerance_option = click.option("--tolerance", metavar="LENGTH", help="Tolerance of the wall: 0.1mm.")
finish_option = click.option("--finish", metavar="RA", help='Mean roughness of the wall: "Ra 1.6 um".')
