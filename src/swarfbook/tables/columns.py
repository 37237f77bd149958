"""What the columns of a reference table may be called, and what their names say.

A number's unit stands at the end of its column's name. The list of endings is closed: a column
that is neither text, nor a plain ratio, nor ends in a known unit is an error, so that no number
can stand in a table without a unit.
"""

from __future__ import annotations

from typing import NamedTuple


class Measure(NamedTuple):
    """The dimension and the unit of a column of numbers, in the spelling `quantities` reads."""

    dimension: str
    unit: str


UNIT_ENDINGS: dict[str, Measure] = {
    "_n_per_mm2": Measure("stress", "N/mm^2"),
    "_n_per_mm": Measure("edge_force", "N/mm"),
    "_kg_per_m3": Measure("density", "kg/m^3"),
    "_j_per_kgk": Measure("specific_heat", "J/(kg*K)"),
    "_w_per_mk": Measure("conductivity", "W/(m*K)"),
    "_m_per_min": Measure("surface_speed", "m/min"),
    "_gpa": Measure("stress", "GPa"),
    "_mm": Measure("length", "mm"),
    "_um": Measure("length", "um"),
    "_deg": Measure("angle", "deg"),
}

RATIOS = frozenset(
    {
        "mc",
        "force_ratio_radial",
        "force_ratio_axial",
        "min_chip_ratio",
        "min_chip_ratio_low",
        "min_chip_ratio_high",
        "log_sd",
    }
)

# The one table whose rows differ in kind names dimension and unit in columns of its own.
VALUE = "value"

PROVENANCE = ("source", "locator", "source_kind")

TEXT = frozenset(
    {
        "id",
        "name",
        "family",
        "iso_group",
        "material",
        "substrate",
        "dimension",
        "unit",
        "what",
        "caution",
        "note",
        *PROVENANCE,
    }
)


def measure(column: str) -> Measure | None:
    """Give the dimension and unit a column's name states; `None` when it states none."""
    if column in RATIOS:
        return Measure("ratio", "")
    # The longest ending wins: `kte_n_per_mm` is a force on an edge, not a length.
    endings = [ending for ending in UNIT_ENDINGS if column.endswith(ending)]
    return UNIT_ENDINGS[max(endings, key=len)] if endings else None


def is_number(column: str) -> bool:
    """Say whether a column holds numbers."""
    return column == VALUE or measure(column) is not None


def is_known(column: str) -> bool:
    """Say whether a table may have a column of this name."""
    return column in TEXT or is_number(column)
