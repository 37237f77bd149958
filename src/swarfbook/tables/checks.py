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
    Row,
    Table,
    TableError,
    read_sources,
    read_table,
)

Sources = dict[str, dict[str, str | int]]

# Tables that need one row for every material, and those that need one for every family of materials.
BY_MATERIAL = ("force_ratios", "chip_floors", "rake_bases", "thermal")
BY_FAMILY = ("chip_ceilings", "hazards")
BY_SUBSTRATE = ("substrate_strengths", "edge_radii")
# Columns in which a blank says something: a range or a bound that the source does not print.
MAY_BE_BLANK = frozenset(
    {"chip_low_mm", "chip_high_mm", "speed_low_m_per_min", "feed_low_mm", "kac_n_per_mm2", "kae_n_per_mm"}
)
# Each row of this table fills the columns of one cutting law and leaves the other's blank.
EITHER_LAW = "force_alternatives"


def check_tables(folder: Path | None = None) -> tuple[Problem, ...]:
    """Give every problem of the tables in a folder, the project's own unless said; none when all is well.

    What hangs between tables is looked at once every file can be read.
    """
    place = tables_dir() if folder is None else folder
    tables, broken = _read_all(place)
    sources = read_sources(place)
    alone = [problem for table in tables.values() for problem in _table(table, sources)]
    if broken:
        return (*broken, *alone)
    return (*alone, *_links(tables), *_unused(tables, sources))


def _read_all(folder: Path) -> tuple[dict[str, Table], list[Problem]]:
    tables: dict[str, Table] = {}
    broken: list[Problem] = []
    for path in sorted(folder.glob("*.csv")):
        try:
            tables[path.stem] = read_table(path)
        except TableError as error:
            broken.extend(error.problems)
    return tables, broken


def _problem(table: str, key: str, found: str, remedy: str) -> Problem:
    return Problem(f"reference_tables/{table}.csv", key, found, remedy)


def _table(table: Table, sources: Sources) -> Iterator[Problem]:
    yield from _columns(table)
    for row in table.rows:
        yield from _row(row, sources)


def _columns(table: Table) -> Iterator[Problem]:
    for column in table.columns:
        if not is_known(column):
            yield _problem(table.name, column, "a column without a unit", "end the name with a unit")
    if not table.rows:
        yield _problem(table.name, "", "no rows", "give the table a row")


def _row(row: Row, sources: Sources) -> Iterator[Problem]:
    if not row.id:
        yield _problem(row.table, "id", "a blank", "give every row an id")
    yield from _provenance(row, sources)
    for column in filter(is_number, row.values):
        yield from _number(row, column)
    if VALUE in row.values:
        yield from _unit(row)


def _provenance(row: Row, sources: Sources) -> Iterator[Problem]:
    if row.source_kind not in SOURCE_KINDS:
        remedy = f"write one of {', '.join(sorted(SOURCE_KINDS))}"
        yield _problem(row.table, f"{row.id}.source_kind", row.source_kind, remedy)
    elif row.assumed:
        yield from _reason(row)
    elif row.source not in sources:
        yield _problem(row.table, f"{row.id}.source", row.source, did_you_mean(row.source, sources))
    elif not row.locator:
        yield _problem(row.table, f"{row.id}.locator", "", "say where in the source it stands")


def _reason(row: Row) -> Iterator[Problem]:
    if row.source or row.locator:
        yield _problem(row.table, f"{row.id}.source", row.source, "leave source and locator blank")
    if not (row.values.get("note") or row.values.get("caution")):
        yield _problem(row.table, f"{row.id}.note", "", "say why the number has no source")


def _number(row: Row, column: str) -> Iterator[Problem]:
    try:
        number = row.number(column)
    except TableError as error:
        yield from error.problems
        return
    if number is not None and number < 0.0:
        yield _problem(row.table, f"{row.id}.{column}", row.values[column], "write a number from 0 up")
    if number is None and column not in MAY_BE_BLANK and row.table != EITHER_LAW:
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
    yield from _known("cutting_coefficients", set(tables["cutting_coefficients"].ids()), materials)
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


def _unused(tables: dict[str, Table], sources: Sources) -> Iterator[Problem]:
    used = {row.source for table in tables.values() for row in table.rows}
    for key in sorted(set(sources) - used):
        yield Problem("reference_tables/sources.toml", key, "a source no row names", "take it out")
