"""The rules every reference table keeps. CI runs `check_tables` and fails on the first bad row."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from swarfbook.errors import Problem, did_you_mean
from swarfbook.quantities import QuantityError, units
from swarfbook.resources import tables_dir
from swarfbook.tables.columns import VALUE, is_known, is_number
from swarfbook.tables.loader import (
    SOURCE_KINDS,
    UNSOURCED_KINDS,
    Row,
    Table,
    TableError,
    read_sources,
    read_table,
)

# Tables that need one row for every material, and those that need one for every family of materials.
BY_MATERIAL = ("force_ratios", "chip_floors", "rake_bases", "thermal")
BY_FAMILY = ("chip_ceilings", "hazards")
BY_SUBSTRATE = ("substrate_strengths", "edge_radii")
# Columns in which a blank says something: a range or a bound that the source does not print.
MAY_BE_BLANK = frozenset(
    {"chip_low_mm", "chip_high_mm", "speed_low_m_per_min", "feed_low_mm", "kac_n_per_mm2", "kae_n_per_mm"}
)


def check_tables(folder: Path | None = None) -> tuple[Problem, ...]:
    """Give every problem of the tables in a folder (the project's own unless said); empty when all is well."""
    place = tables_dir() if folder is None else folder
    tables: dict[str, Table] = {}
    problems: list[Problem] = []
    for path in sorted(place.glob("*.csv")):
        try:
            tables[path.stem] = read_table(path)
        except TableError as error:
            problems.extend(error.problems)
    sources = read_sources(place)
    for table in tables.values():
        problems.extend(_columns(table))
        for row in table.rows:
            problems.extend(_row(row, sources))
    problems.extend(_links(tables))
    problems.extend(_unused(tables, sources))
    return tuple(problems)


def _problem(table: str, key: str, found: str, remedy: str) -> Problem:
    return Problem(f"reference_tables/{table}.csv", key, found, remedy)


def _columns(table: Table) -> Iterator[Problem]:
    for column in table.columns:
        if not is_known(column):
            yield _problem(table.name, column, "a column without a unit", "end the name with a unit")
    if not table.rows:
        yield _problem(table.name, "", "no rows", "give the table a row")


def _row(row: Row, sources: dict[str, dict[str, str | int]]) -> Iterator[Problem]:
    if not row.id:
        yield _problem(row.table, "id", "a blank", "give every row an id")
    yield from _provenance(row, sources)
    for column in filter(is_number, row.values):
        yield from _number(row, column)
    if VALUE in row.values:
        yield from _unit(row)


def _provenance(row: Row, sources: dict[str, dict[str, str | int]]) -> Iterator[Problem]:
    if row.source_kind not in SOURCE_KINDS:
        yield _problem(row.table, f"{row.id}.source_kind", row.source_kind, f"write one of {sorted(SOURCE_KINDS)}")
    elif row.source_kind in UNSOURCED_KINDS:
        if row.source or row.locator:
            yield _problem(row.table, f"{row.id}.source", row.source, "leave source and locator blank")
        if not (row.values.get("note") or row.values.get("caution")):
            yield _problem(row.table, f"{row.id}.note", "", "say why the number has no source")
    elif row.source not in sources:
        yield _problem(row.table, f"{row.id}.source", row.source, did_you_mean(row.source, sources))
    elif not row.locator:
        yield _problem(row.table, f"{row.id}.locator", "", "say where in the source it stands")


def _number(row: Row, column: str) -> Iterator[Problem]:
    try:
        number = row.number(column)
    except TableError as error:
        yield from error.problems
        return
    if number is not None and number < 0.0:
        yield _problem(row.table, f"{row.id}.{column}", row.values[column], "write a number that is not negative")
    if number is None and column not in MAY_BE_BLANK and row.table != "force_alternatives":
        yield _problem(row.table, f"{row.id}.{column}", "", "write a number")


def _unit(row: Row) -> Iterator[Problem]:
    try:
        known = units(row.text("dimension"))
    except (QuantityError, KeyError):
        yield _problem(row.table, f"{row.id}.dimension", row.text("dimension"), "no such dimension")
        return
    if row.text("unit") not in known:
        yield _problem(row.table, f"{row.id}.unit", row.text("unit"), f"write one of {known}")


def _links(tables: dict[str, Table]) -> Iterator[Problem]:
    materials = set(tables["materials"].ids())
    substrates = set(tables["substrates"].ids())
    families = {row.text("family") for row in tables["materials"].rows}
    for name in BY_MATERIAL:
        yield from _same(name, set(tables[name].ids()), materials)
    for name in BY_SUBSTRATE:
        yield from _same(name, set(tables[name].ids()), substrates)
    for name in BY_FAMILY:
        yield from _same(name, {row.id.partition(":")[0] for row in tables[name].rows}, families)
    speeds = {f"{material}:{substrate}" for material in materials for substrate in substrates}
    yield from _same("cutting_speeds", set(tables["cutting_speeds"].ids()), speeds)
    yield from _known(tables["cutting_coefficients"].name, set(tables["cutting_coefficients"].ids()), materials)
    yield from _known("force_alternatives", _words(tables["force_alternatives"], "material"), materials)
    yield from _known("chip_loads", _words(tables["chip_loads"], "family"), families)


def _words(table: Table, column: str) -> set[str]:
    return {row.text(column) for row in table.rows}


def _same(table: str, found: set[str], wanted: set[str]) -> Iterator[Problem]:
    yield from _known(table, found, wanted)
    for name in sorted(wanted - found):
        yield _problem(table, name, "", "give it a row")


def _known(table: str, found: set[str], wanted: set[str]) -> Iterator[Problem]:
    for name in sorted(found - wanted):
        yield _problem(table, name, name, f"no such row; {did_you_mean(name, wanted)}")


def _unused(tables: dict[str, Table], sources: dict[str, dict[str, str | int]]) -> Iterator[Problem]:
    used = {row.source for table in tables.values() for row in table.rows}
    for key in sorted(set(sources) - used):
        yield Problem("reference_tables/sources.toml", key, "a source no row names", "take it out")
