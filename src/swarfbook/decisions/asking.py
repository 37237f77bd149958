"""What a job asks of a cut, read from text as it is typed in a terminal or on screen.

Messages name what will not do as the command line's option does, `--inside-corner`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import TYPE_CHECKING

from swarfbook import quantities
from swarfbook.decisions.telling import read_minutes
from swarfbook.errors import Problem, SwarfbookError

if TYPE_CHECKING:
    from swarfbook.decisions.first_values import Wishes
    from swarfbook.decisions.pick import Asked

USUAL_MARGIN = 0.25
"""Share of every limit on a load that a first recipe leaves free where nobody says."""
ROUGHNESS = re.compile(r"\s*(?:Ra\s*)?(?P<length>.+)", re.IGNORECASE)
WISHED = {
    "depth": "depth",
    "width": "width",
    "tolerance": "tolerance",
    "allowance": "allowance",
    "hole": "hole_diameter",
    "stickout": "stickout",
}
"""Options of a first recipe that are lengths, and the wishes they are."""
STEEPEST = 60.0
"""Degrees under which a recipe's ramp stays."""
ASKED = ("wall", "inside_corner", "slot", "tolerance")
"""What a job asks that is a length."""


def read_margin(text: str) -> float:
    """Read a margin as typed: `25%`, `25 %` or `0.25`.

    Raises:
        SwarfbookError: not a share between 0 and 95 %.
    """
    from swarfbook.decisions.derate import LARGEST_MARGIN  # noqa: PLC0415 - the physics behind it takes a while

    try:
        margin = quantities.parse(text, "ratio")
    except quantities.QuantityError as error:
        raise SwarfbookError(Problem("--margin", "", text, str(error))) from None
    if not 0 <= margin <= LARGEST_MARGIN:
        hint = f"; for {text.strip()} % write {text.strip()}%" if text.strip().isdigit() else ""
        raise SwarfbookError(Problem("--margin", "", text, f"a margin lies between 0 % and 95 %{hint}"))
    return margin


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


def asked_told(told: Mapping[str, str | None], *, hands_off: bool) -> Asked:
    """Give what a job asks, for ranking recipes.

    Args:
        told: as typed, by the options' names; None or left out where nothing was said.
        hands_off: no hand on the controls.

    Raises:
        SwarfbookError: something that does not read.
    """
    from swarfbook.decisions.pick import Asked  # noqa: PLC0415 - the physics behind it takes a while to load

    minutes, margin = told.get("minutes"), told.get("margin")
    return Asked(
        material=told["material"] or "",
        operation=told["operation"] or "",
        machine=told.get("machine"),
        roughness=read_roughness("--finish", told.get("finish")),
        minutes=None if minutes is None else read_minutes(minutes),
        hands_off=hands_off,
        margin=0.0 if margin is None else read_margin(margin),
        **{name: _length(told, name) for name in ASKED},
    )


def wishes_told(told: Mapping[str, str | None]) -> Wishes:
    """Give what a job says of a first recipe; as `asked_told`."""
    from swarfbook.decisions.first_values import Wishes  # noqa: PLC0415 - as above

    margin = told.get("margin")
    return Wishes(
        margin=USUAL_MARGIN if margin is None else read_margin(margin),
        roughness=read_roughness("--finish", told.get("finish")),
        direction=told["direction"] or "",
        cooling=told["cooling"] or "",
        ramp_angle=_degrees("--ramp-angle", told.get("ramp_angle")),
        **{wish: _length(told, option) for option, wish in WISHED.items()},
    )


def _degrees(option: str, text: str | None) -> float | None:
    if text is None:
        return None
    try:
        angle = math.degrees(quantities.parse(text, "angle"))
    except quantities.QuantityError as error:
        raise SwarfbookError(Problem(option, "", text, str(error))) from None
    if not 0 < angle < STEEPEST:
        raise SwarfbookError(Problem(option, "", text, "a ramp falls by more than 0 and less than 60 deg"))
    return float(f"{angle:.10g}")


def _length(told: Mapping[str, str | None], name: str) -> float | None:
    return read_length(f"--{name.replace('_', '-')}", told.get(name))
