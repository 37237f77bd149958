"""Reference tables: what is known of materials, cutters and machines, each row with its source."""

from swarfbook.tables.loader import Row, Table, TableError, frame, load, names, source
from swarfbook.tables.rules import (
    COEFFICIENTS,
    Ceiling,
    Law,
    chip_ceiling,
    coefficients,
    default_law,
    force_spread,
)

__all__ = [
    "COEFFICIENTS",
    "Ceiling",
    "Law",
    "Row",
    "Table",
    "TableError",
    "chip_ceiling",
    "coefficients",
    "default_law",
    "force_spread",
    "frame",
    "load",
    "names",
    "source",
]
