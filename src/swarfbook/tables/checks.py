"""The rules every reference table keeps. CI runs `check_tables` and fails on the first bad row."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from swarfbook.errors import Problem, did_you_mean
from swarfbook.quantities import QuantityError, units
from swarfbook.resources import tables_dir
from swarfbook.tables.columns import VALUE, is_known, is_number, other_end
from swarfbook.tables.loader import (
    CONTENTS,
    SOURCE_KINDS,
    Row,
    Table,
    TableError,
    read_contents,
    read_sources,
    read_table,
)

Sources = dict[str, dict[str, str | int]]

# Tables with a row for every material, for some, for every family (its name first) and every substrate.
BY_MATERIAL = ("force_ratios", "chip_floors", "rake_bases", "thermal")
STRENGTHS = ("shear", "tensile")
SOME_MATERIALS = ("cutting_coefficients", "unit_power_classes")
BY_FAMILY = ("chip_ceilings",)
BY_SUBSTRATE = ("substrate_strengths", "edge_radii")
# What a word in a column must be the id of: table, column, the table it points to.
POINTERS = (
    ("force_alternatives", "material", "materials"),
    ("cutting_speeds", "material", "materials"),
    ("cutting_speeds", "substrate", "substrates"),
    ("softening", "material", "materials"),
    ("strengths", "material", "materials"),
    ("unit_power_classes", "unit_power", "unit_power"),
    ("bolts", "thread", "threads"),
    ("bolts", "property_class", "property_classes"),
)
# The substrate every material has a speed for; high-speed steel does not cut all of them.
USUAL_SUBSTRATE = "carbide"
# Columns in which a blank says something: a range or a bound that the source does not print.
MAY_BE_BLANK = frozenset(
    {
        "chip_low_mm",
        "chip_high_mm",
        "speed_low_m_per_min",
        "feed_low_mm",
        "kac_n_per_mm2",
        "kae_n_per_mm",
        "hardness_low_hb",
        "hardness_high_hb",
        "feed_mm",
        "feed_in",
        "friction",
        "friction_high",
        "temperature_high_degc",
        "chip_volume_ratio_high",
        "preload_kn",
        "strength_low_kpa",
        "strength_high_kpa",
        "peel_n_per_mm",
        "pressure_low_kpa",
        "pressure_high_kpa",
        "safety_factor",
        "size_in",
        "size_low_mm",
        "size_high_mm",
        "width_mm",
        "length_mm",
        "width_low_mm",
        "width_high_mm",
    }
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
    alone = [
        *_contents(set(read_contents(place)), {path.stem for path in place.glob("*.csv")}),
        *(problem for table in tables.values() for problem in _table(table, sources)),
    ]
    if broken:
        return (*broken, *alone)
    return (*alone, *_links(tables), *_unused(tables, sources))


def _contents(said: set[str], found: set[str]) -> Iterator[Problem]:
    where = f"reference_tables/{CONTENTS}"
    for name in sorted(said - found):
        yield Problem(where, name, name, f"no such table; {did_you_mean(name, found)}")
    for name in sorted(found - said):
        yield Problem(where, name, "", "say in a line what this table holds")


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
    numbers = [column for column in row.values if is_number(column)]
    problems = [problem for column in numbers for problem in _number(row, column)]
    yield from problems or _order(row, numbers)
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


def _order(row: Row, columns: list[str]) -> Iterator[Problem]:
    ends = [(low, other_end(low)) for low in columns if other_end(low) in columns]
    for low, high in ends:
        least, most = row.number(low), row.number(high)
        if least is not None and most is not None and least > most:
            found = f"{row.values[low]} above {row.values[high]}"
            yield _problem(row.table, f"{row.id}.{low}", found, "write the low end below the high one")


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
    families = _words(tables["materials"], "family")
    for name in BY_MATERIAL:
        yield from _same(name, set(tables[name].ids()), materials)
    pairs = {f"{material}:{kind}" for material in materials for kind in STRENGTHS}
    yield from _same("strengths", set(tables["strengths"].ids()), pairs)
    for name in BY_SUBSTRATE:
        yield from _same(name, set(tables[name].ids()), substrates)
    for name in BY_FAMILY:
        yield from _same(name, _heads(tables[name]), families)
    for name in SOME_MATERIALS:
        yield from _known(name, set(tables[name].ids()), materials)
    hazards = set(tables["hazards"].ids())
    yield from _known("hazards", hazards - materials, families)
    yield from _missing("hazards", hazards, families)
    yield from _known("chip_loads", _words(tables["chip_loads"], "family"), families)
    for name, column, target in POINTERS:
        yield from _known(name, _words(tables[name], column), set(tables[target].ids()))
    yield from _speeds(set(tables["cutting_speeds"].ids()), materials, substrates)
    yield from _own_spreads(set(tables["spreads"].ids()), materials)


def _speeds(speeds: set[str], materials: set[str], substrates: set[str]) -> Iterator[Problem]:
    pairs = {f"{material}:{substrate}" for material in materials for substrate in substrates}
    yield from _known("cutting_speeds", speeds, pairs)
    yield from _missing("cutting_speeds", speeds, {f"{one}:{USUAL_SUBSTRATE}" for one in materials})


def _own_spreads(spreads: set[str], materials: set[str]) -> Iterator[Problem]:
    own = {key for key in spreads if ":" in key}
    general = {f"{kind}:{material}" for kind in spreads - own for material in materials}
    yield from _known("spreads", own, general)


def _heads(table: Table) -> set[str]:
    return {row.id.partition(":")[0] for row in table.rows}


def _words(table: Table, column: str) -> set[str]:
    return {row.text(column) for row in table.rows}


def _same(table: str, found: set[str], wanted: set[str]) -> Iterator[Problem]:
    yield from _known(table, found, wanted)
    yield from _missing(table, found, wanted)


def _missing(table: str, found: set[str], wanted: set[str]) -> Iterator[Problem]:
    for name in sorted(wanted - found):
        yield _problem(table, name, "", "give it a row")


def _known(table: str, found: set[str], wanted: set[str]) -> Iterator[Problem]:
    for name in sorted(found - wanted):
        yield _problem(table, name, name, f"no such row; {did_you_mean(name, wanted)}")


def _unused(tables: dict[str, Table], sources: Sources) -> Iterator[Problem]:
    used = {row.source for table in tables.values() for row in table.rows}
    for key in sorted(set(sources) - used):
        yield Problem("reference_tables/sources.toml", key, "a source no row names", "take it out")
