"""What a person types over a value: a new value, one in another unit, or a change of the one that stands."""

from __future__ import annotations

import re

from swarfbook import quantities
from swarfbook.quantities import Quantity, QuantityError

FIGURES = 6
_SHARE = re.compile(r"([+-])\s*(.+?)\s*%")


def amended(typed: str, *, before: str, dimension: str) -> str:
    """Give the text of a value after what was typed over it.

    Args:
        typed: `2.5` in the unit that stood there, `2.5 mm`, `1/4 in`, `+10 %` of it or `-0.2` from it.
        before: the value as it stood; one that does not read serves for nothing.
        dimension: its dimension.

    Returns:
        The text as it goes into the file, `2.5 mm`.

    Raises:
        QuantityError: in words that say what would do.
    """
    stood = _read(before, dimension)
    text = typed.strip()
    if stood is None or text[:1] not in ("+", "-"):
        unit = quantities.preferred_unit(dimension) if stood is None else stood.unit
        return _absolute(text, unit, dimension)
    share = _SHARE.fullmatch(text)
    number = _by_share(share, stood) if share else stood.number + _shift(text, stood, dimension)
    return _tidy(number, stood.unit)


def _read(text: str, dimension: str) -> Quantity | None:
    try:
        return quantities.read(text, dimension)
    except QuantityError:
        return None


def _absolute(text: str, unit: str, dimension: str) -> str:
    quantity = quantities.read(text, dimension, default_unit=unit)
    fraction = re.fullmatch(r"(?:[0-9]+[ -])?[0-9]+ ?/ ?[0-9]+", text.removesuffix(quantity.unit).strip())
    if fraction:
        return f"{fraction[0]} {quantity.unit}".rstrip()
    return quantities.write(quantity.number, quantity.unit)


def _by_share(share: re.Match[str], stood: Quantity) -> float:
    by = quantities.parse(share[2], "ratio") / 100
    return stood.number * (1 + by if share[1] == "+" else 1 - by)


def _shift(text: str, stood: Quantity, dimension: str) -> float:
    shift = quantities.read(text, dimension, default_unit=stood.unit)
    return quantities.convert(shift.si, dimension, stood.unit)


def _tidy(number: float, unit: str) -> str:
    # 3 mm and +10 % is 3.3 mm, not 3.3000000000000003 mm.
    if number <= 0:
        raise QuantityError("that leaves nothing: take off less")
    return quantities.write(float(f"{number:.{FIGURES}g}"), unit)
