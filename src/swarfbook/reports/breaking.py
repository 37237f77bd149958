"""Lines broken at a width, and never between a number and its unit."""

from __future__ import annotations

import re
import textwrap
from typing import Any

from swarfbook.quantities import DIMENSIONS, units

UNITS = tuple(
    sorted({*(unit for of in DIMENSIONS for unit in units(of) if unit), "°", "%", "\u00b5m", "lb", "bar"})
)
"""What may stand behind a number: the units known here, and the signs in whose place they are written."""
BROKEN = re.compile(
    rf"(?<=\d) (?=(?:{'|'.join(map(re.escape, UNITS))})(?![^\W\d_²³]|[\u0300-\u036f])|\d{{3}}(?!\d))"
)
"""A blank between a number and its unit (`mm` as in `mm/min`), or in a number."""
_HELD = "\x1f"  # one column wide, and no blank to those who break lines


def wrap(text: str, width: int, **how: Any) -> list[str]:  # noqa: ANN401 - as of textwrap
    """Break a text as `textwrap.wrap`, keeping each number with its unit and thousands with hundreds."""
    lines = textwrap.wrap(BROKEN.sub(_HELD, text), width, **how)
    return [line.replace(_HELD, " ") for line in lines]
