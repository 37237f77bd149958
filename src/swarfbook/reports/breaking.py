"""Lines broken at a width, and never between a number and its unit."""

from __future__ import annotations

import re
import textwrap
from typing import Any

from swarfbook.quantities import DIMENSIONS, units

_LETTERS = r"[^\W\d_²³]"
HEADS = frozenset(
    {re.split(r"[\W\d_]", unit, maxsplit=1)[0] for of in DIMENSIONS for unit in units(of)}
    | {"°", "%", "\u00b5m", "lb", "bar"}
) - {""}
"""Letters that a unit known here begins with, and the signs that are written in place of some."""
BROKEN = re.compile(rf"(?<=\d) (?=({_LETTERS}+|[°%])(?!{_LETTERS}|[\u0300-\u036f])|\d{{3}}(?!\d))")
"""A blank behind a number and before a word, perhaps a unit (`mm` as in `mm/min`), or in a number."""
_HELD = "\x1f"  # one column wide, and no blank to those who break lines


def held(text: str, blank: str) -> str:
    """Put `blank` between every number and its unit, and between thousands and hundreds."""
    return BROKEN.sub(lambda found: blank if found[1] is None or found[1] in HEADS else " ", text)


def wrap(text: str, width: int, **how: Any) -> list[str]:  # noqa: ANN401 - as of textwrap
    """Break a text as `textwrap.wrap`, keeping each number with its unit and thousands with hundreds."""
    lines = textwrap.wrap(held(text, _HELD), width, **how)
    return [line.replace(_HELD, " ") for line in lines]
