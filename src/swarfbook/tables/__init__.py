"""Reference tables: what is known of materials, cutters and machines, each row with its source."""

from swarfbook.resources import revised
from swarfbook.tables.ceilings import Ceiling, chip_ceiling
from swarfbook.tables.loader import Row, Table, TableError, contents, frame, load, names, source

__all__ = [
    "Ceiling",
    "Row",
    "Table",
    "TableError",
    "chip_ceiling",
    "contents",
    "frame",
    "load",
    "names",
    "revised",
    "source",
]
