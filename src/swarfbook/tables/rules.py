"""Which row serves: the law a material defaults to, the spread of its force, the ceiling for a diameter.

Everything else is exact look-up by id. These three answer from more than one row, so the rule stands
here, once, and says which rows it used.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from swarfbook.tables.loader import Row, load, table_error

Law = Literal["kienzle", "linear-edge"]

COEFFICIENTS = (
    "ktc_n_per_mm2",
    "krc_n_per_mm2",
    "kac_n_per_mm2",
    "kte_n_per_mm",
    "kre_n_per_mm",
    "kae_n_per_mm",
)


@dataclass(frozen=True, slots=True)
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


def coefficients(material: str) -> Row | None:
    """Give the linear-edge row of a material (row id of `materials`) where all six coefficients stand in it.

    A row with a blank is not complete: it does not make linear-edge the default law, and whoever
    asks for that law all the same has to say how the missing terms are filled.
    """
    row = load("cutting_coefficients").find(material)
    if row is None or any(row.number(column) is None for column in COEFFICIENTS):
        return None
    return row


def default_law(material: str) -> Law:
    """Give `linear-edge` where a material has all six measured coefficients, else `kienzle`."""
    return "kienzle" if coefficients(material) is None else "linear-edge"


def force_spread(*, material: str, law: Law, in_range: bool) -> Row:
    """Give the row of `spreads` for the force of a material by one law.

    Args:
        material: row id of `materials`.
        law: the cutting law in use, with the table's own coefficients.
        in_range: whether the thickest chip lies inside the range a Kienzle pair was fitted over.
    """
    spreads = load("spreads")
    if law == "linear-edge":
        return spreads.get("force-linear-edge")
    if load("materials").get(material).assumed:
        return spreads.get("force-kienzle-assumed")
    return spreads.get("force-kienzle-in-range" if in_range else "force-kienzle")


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
        return Ceiling(nearest.needed("ceiling_mm"), "held", (nearest,))
    return _between(below[-1], above[0], diameter)


def _between(low: Row, high: Row, diameter: float) -> Ceiling:
    start, end = low.needed("diameter_mm"), high.needed("diameter_mm")
    if start == end:
        return Ceiling(low.needed("ceiling_mm"), "", (low,))
    share = (diameter - start) / (end - start)
    value = (1.0 - share) * low.needed("ceiling_mm") + share * high.needed("ceiling_mm")
    return Ceiling(value, "interpolated", (low, high))
