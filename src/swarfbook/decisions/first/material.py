"""A first material: the row of the reference table that a person means."""

from __future__ import annotations

import re

from swarfbook import tables
from swarfbook.book.starting import Begun
from swarfbook.decisions.first.naming import none_fits, rows_named
from swarfbook.tables import Row

SPELLINGS = {
    "aluminum": "aluminium", "alu": "aluminium", "al": "aluminium",
    "ply": "plywood", "pom": "acetal", "polyoxymethylene": "acetal", "pe": "polyethylene",
    "polyamide": "nylon", "pa": "nylon", "pc": "polycarbonate", "fibreglass": "glass", "fiberglass": "glass",
    "fiberboard": "fibreboard", "carbonfibre": "carbon", "gray": "grey", "chipboard": "particle",
    "inox": "stainless",
}  # fmt: skip
ROW = "the lot's certificate says which alloy it is; `swarfbook table materials` lists the rows"
ASSUMED = "assumed forces: likely from half to twice; log runs with power, or look for another row"


def materials_named(text: str, *, where: str = "") -> list[Row]:
    """Give the materials that a person may mean by some words; raises SwarfbookError where none is meant."""
    table = tables.load("materials")
    found = rows_named(table, text, ("name", "family"), SPELLINGS)
    if not found:
        raise none_fits(table, text, where=where)
    return found


def material_record(row: Row) -> Begun:
    """Give the record of a material."""
    values = {"schema": "material/1", "name": row.text("name"), "table": row.id}
    return Begun("material", _id(row), values, {"table": ASSUMED if row.assumed else ROW})


def _id(row: Row) -> str:
    """Make an id of the row's name, without what stands in brackets or behind a comma there."""
    name = re.split(r"[(,]", row.text("name"))[0]
    return re.sub(r"[^0-9a-z]+", "-", name.casefold()).strip("-")
