"""Pint, with revolutions and teeth as quantities of their own.

In pint's default registry a revolution is 2 pi radians and a radian is nothing, so 18 000 rpm converts to
1885 per second where 300 was meant. Redefining the unit there leaves stale conversions behind; so this
registry is loaded from pint's own definitions with that one line replaced.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, Final

import pint

from swarfbook._units import PINT_SI

_REVOLUTION: Final = "turn = [rev] = _ = revolution = rev"
_TOOTH: Final = "tooth = [tooth] = _ = teeth = flute"


def _definitions(path: Path) -> Iterator[str]:
    """Read pint's definitions line by line, imports followed, with the turn made a base dimension."""
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.startswith("@import"):
            yield from _definitions(path.parent / line.split()[1])
        else:
            yield _REVOLUTION if line.startswith("turn =") else line


@cache
def registry() -> pint.UnitRegistry[float]:
    """Give the one registry of this program, built at the first call."""
    ureg: pint.UnitRegistry[float] = pint.UnitRegistry(None)
    ureg.load_definitions([*_definitions(Path(pint.__file__).with_name("default_en.txt")), _TOOTH])
    return ureg


def quantity(number: float, dimension: str, unit: str = "") -> pint.Quantity[float]:
    """Give a number as a quantity of this registry, in a unit by its spelling in `_units`, else in SI."""
    name = unit.replace("%", "percent") or PINT_SI[dimension]
    if dimension == "feed_per_tooth" and "/" not in name:
        name += "/tooth"
    own: pint.Quantity[float] = registry().Quantity(number, name)
    return own


def magnitude(given: pint.Quantity[Any], dimension: str) -> Any:  # noqa: ANN401 - a number or an array
    """Give the SI number of a quantity of any registry, or the SI numbers of an array.

    Raises:
        pint.PintError: if it is of another dimension or its unit is not known here.
    """
    ureg = registry()
    powers = dict(given.unit_items())
    if unknown := [name for name in powers if not ureg.parse_unit_name(name)]:
        raise pint.UndefinedUnitError(unknown)
    own = ureg.Quantity(given.magnitude, ureg.UnitsContainer(powers))
    if dimension == "feed_per_tooth" and own.check("[length]"):
        own = own / ureg.Unit("tooth")
    return own.to(PINT_SI[dimension]).magnitude
