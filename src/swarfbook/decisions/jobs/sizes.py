"""Sizes stock is sold in, what they may be off by, and how parts and pieces lie in them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from swarfbook import tables
from swarfbook.decisions.pick import HAIR
from swarfbook.records.job import Job, Part, Stock, volume_of
from swarfbook.tables import Row

EXTRUDED = ("wrought-aluminium",)
ALUMINIUM = ("wrought-aluminium", "cast-aluminium")
STEELS = ("steel", "alloy-steel", "stainless-steel")
IN_BARS = (*ALUMINIUM, "brass", *STEELS)
BARS = ("flat-bar", "round-bar")

SOLD: dict[str, tuple[tuple[str, tuple[str, ...]], ...]] = {
    "round-bar": (("round-bar", IN_BARS),),
    "flat-bar": (("flat-bar", IN_BARS),),
    "plate": (("aluminium-plate", ALUMINIUM), ("plastic-plate", ("plastic-hard", "plastic-soft"))),
    "sheet": (
        ("metal-sheet", IN_BARS),
        ("plastic-sheet", ("plastic-brittle", "plastic-hard")),
        ("plastic-plate", ("plastic-soft",)),
        ("laminate", ("glass-laminate",)),
    ),
    "board": (
        ("plywood", ("plywood",)),
        ("mdf", ("mdf",)),
        ("particle-board", ("particle-board",)),
    ),
}
"""By form: what ids of stock_sizes.csv begin with, and the families of materials they are for."""

HELD_TO: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("round-bar", "round bar, extruded aluminium", EXTRUDED),
    ("round-bar", "round bar, bright steel", STEELS),
    ("flat-bar", "flat bar, extruded aluminium", EXTRUDED),
    ("flat-bar", "solid shape, extruded aluminium", EXTRUDED),
    ("flat-bar", "flat bar, bright steel", STEELS),
    ("plate", "sheet and plate, cold-rolled aluminium", EXTRUDED),
    ("sheet", "sheet and plate, cold-rolled aluminium", EXTRUDED),
    ("plate", "plate, hot-rolled copper", ("copper",)),
    ("sheet", "strip, cold-rolled copper", ("copper",)),
    ("sheet", "sheet, cast acrylic", ("plastic-brittle",)),
    ("sheet", "sheet, glass-epoxy laminate", ("glass-laminate",)),
    ("board", "board, sanded plywood", ("plywood",)),
    ("board", "board, MDF", ("mdf",)),
    ("board", "board, particle board", ("particle-board",)),
)
"""Form, what stock_tolerances.csv calls it, and families; of several for one form the first that matches."""


@dataclass(frozen=True, slots=True)
class Sold:
    """A size that stock is sold in [m], a row of stock_sizes.csv.

    Attributes:
        id: of the row.
        size: thickness, diameter or width.
        inch: whether it is an inch size.
        kind: source kind of the row.
    """

    id: str
    size: float
    inch: bool
    kind: str


@dataclass(frozen=True, slots=True)
class Tolerance:
    """What a size may be off [m], the widest row of stock_tolerances.csv that matches.

    Attributes:
        id: of the row.
        minus, plus: below and above the nominal size.
        kind: source kind of the row.
    """

    id: str
    minus: float
    plus: float
    kind: str


def thicknesses(form: str, family: str | None) -> tuple[Sold, ...]:
    """Give the thicknesses (diameters) that a form is sold in, the thinnest first; None for every family."""
    prefixes = tuple(name for name, families in SOLD[form] if family is None or family in families)
    return _sold(prefixes)


def widths(form: str, family: str | None) -> tuple[Sold, ...]:
    """Give the widths that flat bar is sold in, the narrowest first; none for other forms."""
    return _sold(("flat-bar-width",)) if form == "flat-bar" and (family is None or family in IN_BARS) else ()


def _sold(prefixes: tuple[str, ...]) -> tuple[Sold, ...]:
    rows = (row for row in tables.load("stock_sizes").rows if row.id.split(":")[0] in prefixes)
    found = (
        Sold(row.id, row.needed("size_mm"), row.number("size_in") is not None, row.source_kind)
        for row in rows
    )
    return tuple(sorted(found, key=lambda one: (one.size, one.id)))


def tolerance(
    form: str, family: str | None, size: float, width: float | None, *, of: str = "thickness"
) -> Tolerance | None:
    """Give what a thickness, diameter or width may be off; None where no row matches or nobody knows.

    Args:
        form: of the stock.
        family: of its material.
        size: nominal [m].
        width: of a bar, plate or sheet [m].
        of: "thickness" (a diameter for a round bar) or "width".
    """
    for named, stock, families in HELD_TO:
        if named != form or family not in families:
            continue
        rows = [row for row in tables.load("stock_tolerances").rows if row.text("stock") == stock]
        matches = list(_matching(rows, size, width if of == "thickness" else None, of))
        if matches:
            widest = max(matches, key=lambda row: row.needed("minus_mm"))
            minus, plus = widest.needed("minus_mm"), widest.needed("plus_mm")
            return Tolerance(widest.id, minus, plus, widest.source_kind)
    return None


def _matching(rows: list[Row], size: float, width: float | None, of: str) -> Iterator[Row]:
    words = ("width",) if of == "width" else ("thickness", "diameter")
    for row in rows:
        named = row.text("what").startswith((*words, "any dimension"))
        if named and _within(row, "size", size) and (width is None or _within(row, "width", width)):
            yield row


def _within(row: Row, column: str, value: float) -> bool:
    """Say whether a size is in a row's band, above its low end and up to its high one; no band takes all."""
    low, high = row.si(f"{column}_low_mm"), row.si(f"{column}_high_mm")
    if low is None or high is None:
        return True
    return low * (1 - HAIR) <= value <= high * (1 + HAIR) and (value > low * (1 + HAIR) or low == high)


def count(space: float, size: float, between: float) -> int:
    """Count how many of a size fit in a space with so much between two of them [m]."""
    return max(math.floor((space + between) / (size + between) + HAIR), 0)


def reach_of(number: int, size: float, between: float) -> float:
    """Give the length that so many of a size take with so much between two of them [m]."""
    return number * size + (number - 1) * between


def for_one_more(space: float, size: float, between: float) -> float:
    """Say how much smaller a size has to be so that one more fits in a space [m]."""
    number = count(space, size, between)
    return size - (space - number * between) / (number + 1)


@dataclass(frozen=True, slots=True)
class Grid:
    """Parts laid out on the piece: how many each way, their sizes, and the space they have [m]."""

    turned: bool
    size: tuple[float, float]
    space: tuple[float, float]
    between: float
    most: tuple[int, int]
    used: tuple[int, int]


def skim_of(stock: Stock) -> float:
    """Give what is cut off each face [m]."""
    return stock.skim or 0.0


def is_round(stock: Stock, part: Part) -> bool:
    """Say whether a part is taken as round: as thick as wide, out of a round bar."""
    return stock.form == "round-bar" and math.isclose(part.thickness, part.width, rel_tol=HAIR)


def section(stock: Stock, part: Part) -> float:
    """Give the height of the part's section: its thickness, or the circle round it in a round bar [m]."""
    if stock.form != "round-bar" or is_round(stock, part):
        return part.thickness
    return math.hypot(part.thickness, part.width)


def part_volume(stock: Stock, part: Part, more: float) -> float:
    """Give the volume of the part's envelope, each measure larger by so much [m^3]."""
    length = part.length + more
    if stock.form != "round-bar":
        return (part.thickness + more) * (part.width + more) * length
    if more or is_round(stock, part):
        return math.pi / 4 * (section(stock, part) + more) ** 2 * length
    return part.thickness * part.width * length


def _off(stock: Stock) -> tuple[float, float]:
    """What skims, rim and grip take of the piece's width and length [m]."""
    loss = stock.clamp_loss or 0.0
    if stock.form in BARS:
        grip = loss if stock.sold_length is None else 0.0
        return 2 * skim_of(stock), 2 * skim_of(stock) + grip
    rim = 2 * max(skim_of(stock), loss)
    return rim, rim


def grid_of(job: Job, cutter_width: float) -> Grid:
    """Lay the parts out, turned only where that gets more out of the piece, and more are asked for."""
    straight, *turned = _ways(job, cutter_width)
    if math.prod(straight.most) >= job.pieces:
        return straight
    return max((straight, *turned), key=lambda way: math.prod(way.most))


def most_in(job: Job, cutter_width: float) -> int:
    """Count the parts that a plain grid gets out of one piece, the better way round."""
    return max(math.prod(way.most) for way in _ways(job, cutter_width))


def _ways(job: Job, cutter_width: float) -> list[Grid]:
    # Parts out of a round bar lie along it.
    turns = (False,) if job.stock.form == "round-bar" else (False, True)
    return [_laid(job, cutter_width, turn) for turn in turns]


def _laid(job: Job, cutter_width: float, turned: bool) -> Grid:
    stock, part = job.stock, job.part
    between = cutter_width + (stock.gap or 0.0)
    off = _off(stock)
    across = part.width if stock.width is None or stock.form == "round-bar" else stock.width - off[0]
    space = (across, stock.length - off[1])
    size = (part.length, part.width) if turned else (part.width, part.length)
    most = (count(space[0], size[0], between), count(space[1], size[1], between))
    columns = max(1, min(most[0], job.pieces))
    return Grid(turned, size, space, between, most, (columns, math.ceil(job.pieces / columns)))


def sold_space(stock: Stock) -> tuple[float, float]:
    """Give width and length of what is sold that pieces can be sawn from [m]."""
    width, length = stock.sold_width or stock.width or 0.0, stock.sold_length or stock.length
    if stock.sold_length is None or stock.form not in BARS or not stock.clamp_loss:
        return width, length
    # The last piece is sawn off too: its cut lies before the end that is gripped.
    return width, length - stock.clamp_loss - (stock.saw or 0.0)


def per_sold(stock: Stock) -> int:
    """Count pieces out of a bar, plate or sheet as sold: a plain grid of saw cuts, either way round."""
    width, length = sold_space(stock)
    saw = stock.saw or 0.0
    if stock.form == "round-bar" or stock.width is None:
        return count(length, stock.length, saw)
    ways = [count(width, stock.width, saw) * count(length, stock.length, saw)]
    if stock.form not in BARS:
        ways.append(count(width, stock.length, saw) * count(length, stock.width, saw))
    return max(ways)


def sold_volume(stock: Stock) -> float:
    """Give the volume of a bar, plate or sheet as sold [m^3]."""
    length = stock.sold_length or stock.length
    return volume_of(stock.replaced(length=length, width=stock.sold_width or stock.width))
