"""Options that say what a job asks of a cut, shared by `solve` and `pick`."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any, TypeVar

import click

from swarfbook import quantities
from swarfbook.cli.derate_command import read_margin
from swarfbook.errors import Problem, SwarfbookError

F = TypeVar("F", bound=Callable[..., Any])
ROUGHNESS = re.compile(r"\s*(?:Ra\s*)?(?P<length>.+)", re.IGNORECASE)


def read_length(option: str, text: str | None) -> float | None:
    """Read a length above 0 as typed; None where nothing was; raises SwarfbookError."""
    if text is None:
        return None
    try:
        length = quantities.parse(text, "length")
    except quantities.QuantityError as error:
        raise SwarfbookError(Problem(option, "", text, str(error))) from None
    if not length > 0:
        raise SwarfbookError(Problem(option, "", text, "write a length above 0"))
    return length


def read_roughness(option: str, text: str | None) -> float | None:
    """Read a mean roughness: `Ra 1.6 um` or `1.6 um`; raises SwarfbookError."""
    found = ROUGHNESS.fullmatch(text or "")
    return read_length(option, found["length"] if found else None)


def read_margin_or(text: str | None, otherwise: float) -> float:
    """Read a margin as typed, else give another; raises SwarfbookError."""
    return otherwise if text is None else read_margin(text)


margin_option = click.option(
    "--margin", metavar="M", help="Share of every limit on a load to leave free, up to 95 %; else 25%."
)
tolerance_option = click.option("--tolerance", metavar="LENGTH", help="Tolerance of the wall: 0.1mm.")
finish_option = click.option("--finish", metavar="RA", help='Mean roughness of the wall: "Ra 1.6 um".')
