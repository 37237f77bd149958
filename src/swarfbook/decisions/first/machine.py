"""A first machine from its sort and what the plate of its spindle says."""

from __future__ import annotations

import re
from typing import Any

from swarfbook import quantities, tables
from swarfbook.book.starting import Begun
from swarfbook.decisions.first.naming import none_fits, rows_named
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.frozen import frozen
from swarfbook.quantities import QuantityError
from swarfbook.tables import Row

RATINGS = ("shaft", "input", "unknown")
SPELLINGS = {"trimmer": "trim", "watercooled": "water", "aircooled": "air"}
PLATE = "800 W, or 800 W 10000-30000 rpm"
PARTS = re.compile(
    r"\s*;\s*|\s*,\s+|(?<!\d),|,(?!\d)|\s+at\s+|(?<=[wWpPsS])\s+(?=\d)|(?<=rpm)\s+(?=\d)", re.IGNORECASE
)
"""Between a power and speeds; no comma between two digits, which is refused with the number itself."""
RANGE = re.compile(
    r"(?P<low>\d[\d. ]*?)\s*(?:rpm|rev/min)?\s*(?:-|–|\bto\b)\s*(?P<high>\d[\d. ]*?)\s*(?P<unit>rpm|rev/min)",
    re.IGNORECASE,
)
POINT = re.compile(r"\b\d{1,3}\.\d{3}\b")
CURRENT = re.compile(r"\d\s*(?:A|V|amps?|volts?)\b", re.IGNORECASE)
WATTS = {"w": "W", "watt": "W", "watts": "W", "kw": "kW", "hp": "hp", "horsepower": "hp"}
POWER = re.compile(r"(?P<number>.*\d)\s*(?P<unit>[a-z]+)", re.IGNORECASE)
MOTOR = "by the sort of machine; look at the spindle's plate"
READ_OFF = "assumed; read it off the spindle's plate or its leaflet"
FEED = "assumed; it stands in the settings of the controller"


@frozen
class Plate:
    """What a spindle's plate says, as typed; empty where it was not said.

    Attributes:
        power: rated power.
        slowest, fastest: spindle speeds.
        rating: `shaft`, `input`, or `unknown` where the plate does not say which of them the power is.
    """

    power: str = ""
    slowest: str = ""
    fastest: str = ""
    rating: str = "unknown"


def machines_named(text: str, *, where: str = "") -> list[Row]:
    """Give the sorts of machines that a person may mean; raises SwarfbookError where none is meant."""
    table = tables.load("first_machines")
    found = rows_named(table, text, ("name", "what"), SPELLINGS)
    if not found:
        raise none_fits(table, text, where=where)
    return found


def read_plate(text: str, *, where: str = "") -> Plate:
    """Read what a plate says: a power, speeds or both, such as `800 W` or `1 hp, 6000 to 24000 rpm`.

    Raises:
        SwarfbookError: something else stands there.
    """
    found: dict[str, str] = {}
    for part in PARTS.split(text.strip()):
        if part:
            found |= _part(part, where)
    return Plate(**found)


def read_rating(text: str, *, where: str = "") -> str:
    """Read which side a rating is of, by its word or the beginning of it; raises SwarfbookError."""
    word = text.strip().casefold()
    for rating in RATINGS:
        if word and rating.startswith(word):
            return rating
    raise SwarfbookError(Problem(where, "", text, f"write one of {', '.join(RATINGS)}"))


def machine_record(sort: Row, plate: Plate) -> Begun:
    """Give the record of a machine: what was said of it, and what its sort usually has for the rest.

    Args:
        sort: row of `first_machines.csv`.
        plate: what was said.
    """
    fastest = (
        quantities.parse(plate.fastest, "spindle_speed") if plate.fastest else sort.needed("max_speed_rpm")
    )
    slowest = sort.needed("min_speed_rpm") * min(1.0, fastest / sort.needed("max_speed_rpm"))
    spindle: dict[str, Any] = {
        "motor": sort.text("motor"),
        "rated_power": plate.power or f"{sort.text('rated_power_w')} W",
        "min_speed": plate.slowest or quantities.write(float(f"{slowest * 60:.2g}"), "rpm"),
        "max_speed": plate.fastest or f"{sort.text('max_speed_rpm')} rpm",
    }
    said = {"rated_power": plate.power, "min_speed": plate.slowest, "max_speed": plate.fastest}
    notes = {"spindle.motor": MOTOR, **{f"spindle.{key}": READ_OFF for key, text in said.items() if not text}}
    if not plate.power and plate.rating == "unknown":
        spindle["rating"], notes["spindle.rating"] = sort.text("rating"), READ_OFF
    elif plate.rating != "unknown":
        spindle["rating"] = plate.rating
    values = {
        "schema": "machine/1",
        "name": sort.text("name"),
        "spindle": spindle,
        "axes": {"max_feed": f"{sort.text('max_feed_mm_per_min')} mm/min"},
    }
    return Begun("machine", sort.id, values, {**notes, "axes.max_feed": FEED}, _head(sort, plate))


def _head(sort: Row, plate: Plate) -> str:
    lines = [f"What is marked as assumed is usual for this sort: {sort.text('what')}."]
    if plate.power and plate.rating == "unknown":
        lines.append(
            'Whether rated_power is of the shaft or the plug is not known: rating = "shaft" or "input".'
        )
    return "\n".join(lines)


def _part(part: str, where: str) -> dict[str, str]:
    speeds = RANGE.fullmatch(part)
    if speeds:
        _refuse_point(part, where)
        low, high = (
            _typed(f"{speeds[end]} {speeds['unit'].casefold()}", "spindle_speed", where)
            for end in ("low", "high")
        )
        if quantities.parse(low, "spindle_speed") > quantities.parse(high, "spindle_speed"):
            raise SwarfbookError(Problem(where, "", part, "write the slowest speed first"))
        return {"slowest": low, "fastest": high}
    if re.search(r"rpm|rev", part, re.IGNORECASE):
        _refuse_point(part, where)
        return {"fastest": _typed(part.casefold(), "spindle_speed", where)}
    if CURRENT.search(part):
        raise SwarfbookError(
            Problem(where, "", part, "write watts; volts times amperes is roughly the electrical input in W")
        )
    return {"power": _typed(_power(part), "power", where)}


def _refuse_point(part: str, where: str) -> None:
    """Refuse a point before three figures: 24.000 rpm is 24 rpm here, and nobody means that."""
    found = POINT.search(part)
    if found:
        whole = found[0].replace(".", "")
        raise SwarfbookError(Problem(where, "", part, f"write {whole} without a point"))


def _power(part: str) -> str:
    found = POWER.fullmatch(part)
    return f"{found['number']} {WATTS.get(found['unit'].casefold(), found['unit'])}" if found else part


def _typed(text: str, dimension: str, where: str) -> str:
    """Give a quantity above 0 in one spelling; raises SwarfbookError."""
    try:
        read = quantities.read(text, dimension)
    except QuantityError as error:
        raise SwarfbookError(Problem(where, "", text, f"{error}; the plate may say {PLATE}")) from None
    if not read.si > 0:
        raise SwarfbookError(Problem(where, "", text, f"write a number above 0, such as {PLATE}"))
    return quantities.write(read.number, read.unit)
