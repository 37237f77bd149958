"""The one door for units: text to SI numbers and back.

What a person typed is matched by one anchored pattern and looked up in a closed table of the trade's
units; nothing is evaluated. Inside the program every number is SI, except that a spindle turns in
revolutions per second (1 rpm is 1/60) and a tooth counts as itself. Pint is asked only by `to_pint`,
`from_pint` and `array_from_pint`.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final

from swarfbook import _refusals
from swarfbook._spellings import EXAMPLES, FOLD, IMPERIAL, PARTS, SPACES, WHOLES
from swarfbook._units import UNITS

if TYPE_CHECKING:
    import numpy as np
    import pint
    from numpy.typing import NDArray

DIMENSIONS: Final = tuple(UNITS)
# A number typed or written lies between these sizes (or is 0), so that its plain decimals stay readable.
SMALLEST: Final = 1e-15
LARGEST: Final = 1e15
LONGEST: Final = _refusals.MAX_LENGTH

_NUMBER: Final = re.compile(
    r"""(?P<sign>[+-]?)
    (?: (?: (?P<whole>\d+) [ -] )? (?P<top>\d+) / (?P<bottom>\d+)
      | (?P<grouped> [1-9]\d{0,2} (?:[ ]\d{3})+ (?:\.\d+)? )
      | (?P<decimal> (?: \d+ (?:\.\d*)? | \.\d+ ) (?:[eE][+-]?\d{1,3})? )
    )
    [ ]? (?P<unit> (?: [^\d.,+/ -] .* )? )""",
    re.ASCII | re.VERBOSE,
)
_NO_BREAK: Final = "\u00a0"


class QuantityError(ValueError):
    """A text or number that is not the quantity asked for; the message says in one line what would do."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value as it was given.

    Attributes:
        si: the value in the SI unit of its dimension.
        number: the value in `unit`.
        unit: canonical spelling of the unit it was given in; empty for a bare ratio.
    """

    si: float
    number: float
    unit: str


def read(text: object, dimension: str, *, default_unit: str | None = None) -> Quantity:
    """Read a quantity from what a person typed, such as `1 1/4 in` or `18 000 rpm`.

    Args:
        text: the text; a number is taken only where no unit is needed.
        dimension: one of `DIMENSIONS`.
        default_unit: the unit a bare number is taken in, where that is clear from the question.

    Raises:
        QuantityError: if it is not one number and one unit of that dimension.
    """
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        raise QuantityError(f"write a text with a number and its unit, such as '{EXAMPLES[dimension]}'")
    if isinstance(text, str):
        return _read_text(text, dimension, default_unit)
    return _quantity(_checked(text, EXAMPLES[dimension]), "", dimension, default_unit)


# The same few values are read again at every key a person types, and in every recipe of a book.
@lru_cache(maxsize=4096)
def _read_text(text: str, dimension: str, default_unit: str | None) -> Quantity:
    number, unit = _split(text, dimension)
    return _quantity(number, unit, dimension, default_unit)


def _quantity(number: float, unit: str, dimension: str, default_unit: str | None) -> Quantity:
    known = _canonical(unit, dimension) if unit else _bare(number, dimension, default_unit)
    si = to_si(number, dimension, known)
    if dimension == "temperature" and si < 0.0:
        raise QuantityError("a temperature cannot be below absolute zero, -273.15 degC")
    return Quantity(si=si, number=number, unit=known)


def parse(text: object, dimension: str) -> float:
    """Read a quantity and give its SI value; raises QuantityError as `read` does."""
    return read(text, dimension).si


def to_si(number: float, dimension: str, unit: str) -> float:
    """Turn a number in a unit (canonical spelling) into SI; QuantityError if there is no such unit."""
    up, down, offset = _factors(dimension, unit)
    return number * up / down + offset


def convert(si: float, dimension: str, unit: str) -> float:
    """Turn an SI number into a unit (canonical spelling), without digits that come from rounding alone.

    Of the numbers that give the same SI value the one with fewer figures is chosen: 3.25 and not
    3.2500000000000004.
    """
    up, down, offset = _factors(dimension, unit)
    number = float((si - offset) * down / up)
    # Taking an offset off loses the last places of a temperature; nothing else may change.
    slack = math.ulp(offset) if offset else 0.0
    for figures in (12, 15):
        tidy = float(f"{number:.{figures}g}")
        if abs(tidy * up / down + offset - si) <= slack:
            return tidy
    return number


def units(dimension: str) -> tuple[str, ...]:
    """List the canonical spellings of a dimension's units, the preferred one first."""
    return tuple(UNITS[dimension])


def preferred_unit(dimension: str, system: str = "metric") -> str:
    """Give the unit that people of a system (`metric` or `imperial`) see a dimension in."""
    if system not in ("metric", "imperial"):
        raise QuantityError(f"'{system}' is not a system of units; write metric or imperial")
    metric = next(iter(UNITS[dimension]))
    return IMPERIAL.get(dimension, metric) if system == "imperial" else metric


@lru_cache(maxsize=4096)
def show(
    si: float, dimension: str, *, unit: str | None = None, system: str = "metric", figures: int = 3
) -> str:
    """Write an SI value for people: `0.0500 mm`, `18 000 rpm`, `0.520 N·m`.

    Args:
        si: the value; nan reads "not known", an infinite one "unlimited".
        dimension: one of `DIMENSIONS`.
        unit: unit to show it in, canonical spelling; left out, the system's preferred one.
        system: `metric` or `imperial`.
        figures: figures to keep; digits before the decimal point are never rounded away.

    The spaces between thousands (from five digits up) are no-break ones. `read` takes the text back.
    """
    shown_in = preferred_unit(dimension, system) if unit is None else unit
    number = convert(si, dimension, shown_in)
    if not math.isfinite(number):
        return "not known" if math.isnan(number) else "unlimited"
    return _joined(_figures(number, figures), pretty(shown_in))


def pretty(unit: str) -> str:
    """Write a canonical unit for people: `N/mm²`, `µm`, `N·m`, `°`."""
    text = unit.replace("^2", "²").replace("^3", "³").replace("um", "µm").replace("deg", "°")
    return text.replace("*", "·")


def write(number: float, unit: str) -> str:
    """Write a number with its unit for a file: the shortest decimals that read back as exactly this number.

    Raises:
        QuantityError: if `read` would not take it back (no such unit, or no ordinary number).
    """
    if not any(unit in table for table in UNITS.values()):
        raise QuantityError(f"'{unit}' is not a unit known here")
    return f"{_plain(_checked(number, f'1 {unit}'))} {unit}".rstrip()


def pattern(dimension: str, *, negative: bool) -> str:
    """Give a pattern for editors that takes whatever `read` takes of a dimension's texts, and hardly more.

    Args:
        dimension: one of `DIMENSIONS`.
        negative: whether a minus may stand before the number.
    """
    from swarfbook import _written  # noqa: PLC0415 - only JSON Schema needs it

    return _written.pattern(dimension, negative=negative)


def to_pint(si: float, dimension: str, unit: str = "") -> pint.Quantity[float]:
    """Give an SI value as a pint quantity, in a registry where revolutions and teeth are dimensions.

    Args:
        si: the value.
        dimension: one of `DIMENSIONS`.
        unit: unit it is given in, canonical spelling; left out, the SI unit.
    """
    from swarfbook import _pint_registry  # noqa: PLC0415 - pint is slow to load and seldom needed

    number = convert(si, dimension, unit) if unit else si
    quantity: pint.Quantity[float] = _pint_registry.quantity(number, dimension, unit)
    return quantity


def from_pint(quantity: object, dimension: str) -> float:
    """Give the SI value of a pint quantity of any registry.

    A spindle speed must be in revolutions: radians or a bare 1/s are refused, not divided by 2 pi.

    Raises:
        QuantityError: if it is no pint quantity, of another dimension, or an array.
    """
    magnitude = _magnitude(quantity, dimension)
    if getattr(magnitude, "shape", ()):
        raise QuantityError("one value is needed here, not an array")
    return float(magnitude)


def array_from_pint(quantity: object, dimension: str) -> NDArray[np.float64]:
    """Give the SI values of a pint quantity that is an array, of any shape; raises as `from_pint`."""
    import numpy as np  # noqa: PLC0415 - most that is read is read without

    return np.asarray(_magnitude(quantity, dimension), dtype=float)


def _magnitude(quantity: object, dimension: str) -> Any:  # noqa: ANN401 - a number or an array, as in pint
    import pint  # noqa: PLC0415 - slow to load and seldom needed

    from swarfbook import _pint_registry  # noqa: PLC0415

    if not isinstance(quantity, pint.Quantity):
        raise QuantityError("a pint quantity is needed; a text goes through read")
    try:
        return _pint_registry.magnitude(quantity, dimension)
    except (pint.DimensionalityError, pint.UndefinedUnitError, pint.OffsetUnitCalculusError):
        raise QuantityError(f"{quantity.units} will not do; {_refusals.takes(dimension)}") from None


def _split(text: str, dimension: str) -> tuple[float, str]:
    """Split a text into a number and the unit as typed (folded, perhaps empty)."""
    if len(text) > _refusals.MAX_LENGTH:
        raise QuantityError(f"that is too long for a number and a unit; write '{EXAMPLES[dimension]}'")
    plain = re.sub(" +", " ", text.translate(SPACES)).strip(" ")
    if refusal := _refusals.foreign_character(plain):
        raise QuantityError(refusal)
    match = _NUMBER.fullmatch(plain)
    value = _value(match) if match else None
    unit = _folded(match["unit"]) if match else ""
    if value is None or not _refusals.is_unit_shaped(unit):
        raise QuantityError(_refusals.number(plain, dimension))
    return _checked(value, EXAMPLES[dimension]), unit


def _value(match: re.Match[str]) -> float | None:
    """Give the number a match stands for; None where its fraction is no fraction, nan below every float."""
    whole, top, bottom = match["whole"], match["top"], match["bottom"]
    if top is None:
        digits = (match["grouped"] or match["decimal"]).replace(" ", "")
        size = float(digits)
        if size == 0.0 and re.search("[1-9]", digits.lower().split("e")[0]):
            return math.nan
    elif int(bottom) == 0 or (whole is not None and not 0 < int(top) < int(bottom)):
        return None
    else:
        size = (int(whole or 0) * int(bottom) + int(top)) / int(bottom)
    return -size if match["sign"] == "-" else size


def _checked(number: float, example: str) -> float:
    """Give a number back as a float if it is 0 or of a size that can be written in plain decimals."""
    if number == 0:
        return 0.0
    if not SMALLEST <= abs(number) < LARGEST:
        raise QuantityError(f"write a number of an ordinary size, for example '{example}'")
    return float(number)


def _folded(unit: str) -> str:
    """Bring a typed unit to one way of writing powers, products and spaces."""
    text = unit.translate(FOLD).replace("**", "^").strip(" ")
    text = text.replace(" per ", "/").replace(" a ", "/")
    return re.sub(r" ?([*/]) ?", r"\1", text)


def _canonical(unit: str, dimension: str) -> str:
    """Give the canonical spelling of a folded unit; QuantityError if the dimension does not take it."""
    known = UNITS[dimension]
    if unit in known:
        return unit
    parts = "".join(PARTS.get(part, part) for part in re.split(r"([*/])", unit))
    name = WHOLES.get(parts, parts)
    if name not in known:
        raise QuantityError(_refusals.unit(name, dimension))
    return name


def _bare(number: float, dimension: str, default_unit: str | None) -> str:
    """Give the unit a bare number stands in; QuantityError where it needs one."""
    if default_unit is not None:
        return default_unit
    if "" in UNITS[dimension]:
        return ""
    raise QuantityError(_refusals.unit_needed(_plain(number), dimension))


def _factors(dimension: str, unit: str) -> tuple[float, float, float]:
    """Look a canonical unit up; QuantityError if the dimension does not take it."""
    try:
        return UNITS[dimension][unit]
    except KeyError:
        raise QuantityError(_refusals.unit(unit, dimension)) from None


def _figures(number: float, figures: int) -> str:
    """Write a number with so many figures, thousands apart from five digits up, plain from 1e-6 to 1e9."""
    if number == 0:
        return "0"
    exact = Decimal(repr(number))
    if not -6 <= exact.adjusted() < 9:
        return f"{exact:.{figures - 1}e}".replace("e+", "e")
    rounded = _rounded(_rounded(exact, figures), figures)
    return f"{rounded:,f}".replace(",", "" if abs(rounded) < 10_000 else _NO_BREAK)


def _rounded(exact: Decimal, figures: int) -> Decimal:
    """Round half away from zero to so many figures, never left of the decimal point.

    9.996 becomes 10.00; rounding that once more takes the figure too many away.
    """
    places = max(figures - 1 - exact.adjusted(), 0)
    return exact.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)


def _plain(number: float) -> str:
    """Write a number in plain decimals, as short as reads back exactly."""
    text = format(Decimal(repr(number)), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def _joined(number: str, unit: str) -> str:
    """Put a unit behind a number; the degree mark stands close."""
    return f"{number}{unit}" if unit == "°" else f"{number} {unit}".rstrip()
