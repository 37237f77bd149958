"""What the columns of a reference table may be called, and what their names say.

A number's unit stands at the end of its column's name. The list of endings is closed: a column
that is neither text, nor a plain ratio, nor ends in a known unit is an error, so that no number
can stand in a table without a unit.
"""

from __future__ import annotations

from typing import NamedTuple

from swarfbook.quantities import to_si


class Measure(NamedTuple):
    """The dimension and the unit of a column of numbers, in the spelling `quantities` reads."""

    dimension: str
    unit: str


UNIT_ENDINGS: dict[str, Measure] = {
    "_n_per_mm2": Measure("stress", "N/mm^2"),
    "_n_per_mm": Measure("edge_force", "N/mm"),
    "_kg_per_m3": Measure("density", "kg/m^3"),
    "_mg_per_m3": Measure("density", "mg/m^3"),
    "_j_per_kgk": Measure("specific_heat", "J/(kg*K)"),
    "_w_per_mk": Measure("conductivity", "W/(m*K)"),
    "_w_per_m2k": Measure("heat_transfer", "W/(m^2*K)"),
    "_m2_per_s": Measure("diffusivity", "m^2/s"),
    "_w_s_per_mm3": Measure("specific_energy", "W*s/mm^3"),
    "_kw_s_per_cm3": Measure("specific_energy", "kW*s/cm^3"),
    "_hp_min_per_in3": Measure("specific_energy", "hp*min/in^3"),
    "_m_per_min": Measure("surface_speed", "m/min"),
    "_mm_per_min": Measure("feed_rate", "mm/min"),
    "_rpm": Measure("spindle_speed", "rpm"),
    "_w": Measure("power", "W"),
    "_gpa": Measure("stress", "GPa"),
    "_kpa": Measure("stress", "kPa"),
    "_mm": Measure("length", "mm"),
    "_um": Measure("length", "um"),
    "_in": Measure("length", "in"),
    "_n": Measure("force", "N"),
    "_kn": Measure("force", "kN"),
    "_n_m": Measure("torque", "N*m"),
    "_min": Measure("time", "min"),
    "_deg": Measure("angle", "deg"),
    "_degc": Measure("temperature", "degC"),
    "_hb": Measure("hardness", "HB"),
}

# Units that stand in tables alone, which nobody types: how much of the SI unit one of them is. The
# horsepower and the inch are those of `quantities`; a Brinell number has no SI unit and counts as itself.
TABLE_UNITS: dict[Measure, float] = {
    Measure("density", "mg/m^3"): 1e-6,
    Measure("heat_transfer", "W/(m^2*K)"): 1.0,
    Measure("diffusivity", "m^2/s"): 1.0,
    Measure("specific_energy", "W*s/mm^3"): 1e9,
    Measure("specific_energy", "kW*s/cm^3"): 1e9,
    Measure("specific_energy", "hp*min/in^3"): to_si(60.0, "power", "hp") / to_si(1.0, "length", "in") ** 3,
    Measure("hardness", "HB"): 1.0,
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
        "feed_factor",
        "wear_factor_low",
        "wear_factor_high",
        "efficiency_low",
        "efficiency_high",
        "friction",
        "friction_low",
        "friction_high",
        "friction_factor",
        "safety_factor",
        "chip_volume_ratio_low",
        "chip_volume_ratio_high",
        "prandtl",
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
        "stock",
        "motor",
        "rating",
        "thread",
        "property_class",
        "unit_power",
        "key",
        "place",
        "caution",
        "note",
        *PROVENANCE,
    }
)


def _ending(column: str) -> str:
    # The longest ending wins: `kte_n_per_mm` is a force on an edge, not a length.
    return max((ending for ending in UNIT_ENDINGS if column.endswith(ending)), key=len, default="")


def measure(column: str) -> Measure | None:
    """Give the dimension and unit a column's name states; `None` when it states none."""
    if column in RATIOS:
        return Measure("ratio", "")
    return UNIT_ENDINGS.get(_ending(column))


def bare_name(column: str) -> str:
    """Give a column's name without the unit at its end."""
    return column if column in RATIOS else column.removesuffix(_ending(column))


def other_end(column: str) -> str:
    """Give the column that holds the high end of the range whose low end this one holds; else nothing."""
    name = bare_name(column)
    return f"{name.removesuffix('_low')}_high{column[len(name) :]}" if name.endswith("_low") else ""


def is_number(column: str) -> bool:
    """Say whether a column holds numbers."""
    return column == VALUE or measure(column) is not None


def is_known(column: str) -> bool:
    """Say whether a table may have a column of this name."""
    return column in TEXT or is_number(column)
