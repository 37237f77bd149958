"""The thickest chip for a cutter's diameter: the one look-up that may lie between two rows."""

from __future__ import annotations

from typing import Literal

from swarfbook.frozen import frozen
from swarfbook.tables.loader import Row, load, table_error


@frozen
class Ceiling:
    """The thickest chip commonly run with a cutter of one diameter.

    Attributes:
        value: chip thickness [m].
        flag: `""` for a diameter that stands in the table, `"interpolated"` between two of them,
            `"held"` outside their range, where the nearest row serves unchanged.
        rows: the rows it was read from, one or two.
    """

    value: float
    flag: Literal["", "interpolated", "held"]
    rows: tuple[Row, ...]


def chip_ceiling(*, family: str, diameter: float) -> Ceiling:
    """Give the thickest chip commonly run in a family of materials with a cutter of this diameter [m].

    Linear in the diameter between two rows; below the smallest and above the largest the nearest row
    holds. Raises `TableError` for a family without rows.
    """
    rows = sorted(
        (row for row in load("chip_ceilings").rows if row.text("family") == family),
        key=lambda row: row.needed("diameter_mm"),
    )
    if not rows:
        raise table_error("chip_ceilings", "family", family, "no rows for this family")
    below = [row for row in rows if row.needed("diameter_mm") <= diameter]
    above = [row for row in rows if row.needed("diameter_mm") >= diameter]
    if not below or not above:
        nearest = (below[-1:] or above[:1])[0]
        return Ceiling(nearest.needed("chip_ceiling_mm"), "held", (nearest,))
    return _between(below[-1], above[0], diameter)


def _between(low: Row, high: Row, diameter: float) -> Ceiling:
    start, end = low.needed("diameter_mm"), high.needed("diameter_mm")
    if start == end:
        return Ceiling(low.needed("chip_ceiling_mm"), "", (low,))
    share = (diameter - start) / (end - start)
    value = (1.0 - share) * low.needed("chip_ceiling_mm") + share * high.needed("chip_ceiling_mm")
    return Ceiling(value, "interpolated", (low, high))
