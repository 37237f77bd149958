"""A machine, a cutter or a material as a page of facts: what is given, what stands in, where it is from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, cast

from swarfbook import quantities, records, tables
from swarfbook.decisions.stand_ins import (
    MEASURED,
    StandIn,
    chip_range,
    hidden,
    serving,
    stand_ins,
)
from swarfbook.records import BookSettings, Material, Record
from swarfbook.reports.breaking import wrap
from swarfbook.reports.measuring import Topic, topics_for
from swarfbook.reports.part_words import group, label
from swarfbook.reports.why import source_lines
from swarfbook.tables import Row

FROM_TABLES = "what else the tables say"
LABEL_WIDTH = 21
ASSUMED = "* assumed: a default with a wide spread stands in"
METRIC_UNITS = {"youngs_modulus": "GPa"}
"""Where makers' sheets use another unit than the dimension's usual one."""

Values = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Fact:
    """One line of the page.

    Attributes:
        key: dotted key; empty for what only the tables say.
        label: what it is called.
        group: the heading it stands under.
        given: the value as typed; None where it is left out.
        shown: the value as it is shown, or what serves instead.
        value: what stands in for it, in SI; None where it is given, or words serve.
        assumed: whether a default with a wide spread serves.
        origin: where it comes from, in few words.
        rows: the table rows behind it.
    """

    key: str
    label: str
    group: str
    given: object
    shown: str
    value: float | None = None
    assumed: bool = False
    origin: str = ""
    rows: tuple[Row, ...] = ()

    @property
    def id(self) -> str:
        """What tells it from the others of its page."""
        return self.key or " ".join([self.label, *(row.id for row in self.rows)])

    @property
    def words(self) -> str:
        """Nothing is looked for on this page."""
        return ""

    @property
    def titled(self) -> str:
        """The label, starred where a default serves."""
        return f"{self.label}{'*' if self.assumed else ''}"


def at(values: Values, dotted: str) -> Any:  # noqa: ANN401 - whatever the file holds
    """Give the value at a dotted key; None where there is none."""
    found: Any = values
    for part in dotted.split("."):
        found = found.get(part) if isinstance(found, Mapping) else None
    return found


def facts(
    kind: str, values: Values, record: Record, settings: BookSettings, *, system: str = "metric"
) -> list[Fact]:
    """Give the page of a record.

    Args:
        kind: machine, tool or material.
        values: the record as typed.
        record: the record, read; while the values do not read, the last one that did.
        settings: the book's.
        system: units of what is not typed.
    """
    stands, away = stand_ins(kind, record, settings), hidden(kind, values)
    shown = [key for key in records.record_keys(kind) if key not in away or at(values, key) is not None]
    lines = [_fact(kind, key, at(values, key), stands.get(key, StandIn()), system) for key in shown]
    if kind == "material":
        material = cast(Material, record)
        lines = [*_marked_unused(lines, serving(material)), *_of_tables(material, system)]
    return lines


def _fact(kind: str, key: str, given: object, stand: StandIn, system: str) -> Fact:
    rows = (stand.row,) if stand.row else ()
    name, heading = label(kind, key), group(key)
    if given is not None:
        over = _serves(kind, key, stand, system) if key.startswith("overrides.") and rows else ""
        instead = f" (the table: {over})" if over else ""
        return Fact(key, name, heading, given, f"{as_typed(given)}{instead}", origin="the file", rows=rows)
    serves = _serves(kind, key, stand, system)
    return Fact(
        key,
        name,
        heading,
        None,
        _left_out(key, serves, stand),
        stand.value,
        stand.assumed,
        stand.origin,
        rows,
    )


def _left_out(key: str, serves: str, stand: StandIn) -> str:
    if key.startswith("overrides.") and stand.row is not None:
        return f"{serves}, from the table"
    return f"not given: {serves}" if serves else "not given"


def _serves(kind: str, key: str, stand: StandIn, system: str) -> str:
    number = "" if stand.value is None else shown_number(kind, key, stand.value, system)
    parts = [part for part in (number or stand.says, stand.says if number else "") if part]
    parts[:1] = [f"{first}{' assumed' * stand.assumed}" for first in parts[:1]]
    return ", ".join(parts)


def shown_number(kind: str, key: str, value: float, system: str) -> str:
    """Show the SI value of a key for people."""
    unit = METRIC_UNITS.get(key) if system == "metric" else None
    return quantities.show(value, records.dimension(kind, key) or "ratio", unit=unit, system=system)


def as_typed(value: object) -> str:
    """Write a value as it was typed, lists with commas, tables of a list with semicolons between them."""
    if isinstance(value, list):
        joint = "; " if any(isinstance(item, Mapping | list) for item in value) else ", "
        return joint.join(map(as_typed, value))
    if isinstance(value, Mapping):
        return ", ".join(f"{key} {as_typed(item)}" for key, item in value.items())
    return str(value)


def _marked_unused(lines: list[Fact], used: Iterable[str]) -> Iterator[Fact]:
    """Leave out the numbers of the law that does not serve, except those somebody wrote."""
    for line in lines:
        if not line.key.startswith("overrides.") or line.key in set(used):
            yield line
        elif line.given is not None:
            yield Fact(
                line.key, line.label, line.group, line.given, f"{line.shown}; not used by this law",
                origin=line.origin, rows=line.rows,
            )  # fmt: skip


def _of_tables(material: Material, system: str) -> Iterator[Fact]:
    row = tables.load("materials").find(material.table)
    if row is None:
        return
    yield _table_fact("it is", f"{row.text('name')}, {row.text('family')}", row)
    fitted = chip_range(material)
    if fitted is not None:
        yield _table_fact("law fitted on chips", _span(*fitted, "length", system), row)
    for speed in tables.load("cutting_speeds").rows:
        if speed.text("material") == material.table:
            ends = speed.si("speed_low_m_per_min"), speed.si("speed_high_m_per_min")
            yield _table_fact(
                f"speed, {speed.text('substrate')}", _span(*ends, "surface_speed", system), speed
            )
    for hazard in tables.load("hazards").rows:
        if hazard.id in (row.text("family"), material.table):
            yield _table_fact("mind", hazard.text("caution"), hazard)


def _span(low: float | None, high: float | None, dimension: str, system: str) -> str:
    ends = [("from", low), ("up to", high)] if None in (low, high) else [("", low), ("to", high)]
    said = (
        f"{word} {quantities.show(end, dimension, system=system)}" for word, end in ends if end is not None
    )
    return " ".join(said).strip()


def _table_fact(name: str, text: str, row: Row) -> Fact:
    return Fact("", name, FROM_TABLES, None, text, None, row.assumed, f"{row.id}, {row.table}.csv", (row,))


def topic_of(fact: Fact) -> Topic | None:
    """Give the page that says how to measure a fact; None where there is none."""
    name = MEASURED.get(fact.key)
    return next(iter(topics_for([name])), None) if name else None


def origin_lines(fact: Fact) -> list[str]:
    """Say where a fact comes from: the file, or what serves instead with its table row and source."""
    if fact.given is not None:
        lines = [f"{fact.label}: {as_typed(fact.given)}", "  written in the record's own file"]
        lines += ["", "left out, this would serve"] if fact.rows else []
    else:
        lines = [
            f"{fact.titled}: {fact.shown}",
            *([f"  {fact.origin}"] if fact.origin and not fact.rows else []),
        ]
    for row in fact.rows:
        lines += [f"  {line}" for line in source_lines(row)]
        note = row.values.get("note", "")
        lines += [f"  {note}"] if note and row.source else []
    return [*lines, *(["", ASSUMED] if fact.assumed else [])]


def page_lines(page: Iterable[Fact], *, width: int) -> Iterator[str]:
    """Write the page for the command line: a line a fact, with the source of what is not given."""
    heading = ""
    for fact in page:
        if fact.group != heading:
            heading = fact.group
            yield from ("", heading)
        start = f"  {fact.titled:<{LABEL_WIDTH}}"
        source = f" ({', '.join(_sourced(fact))})" if fact.given is None and fact.rows else ""
        yield from hung(start, f"{fact.shown}{source}", width)


def hung(start: str, text: str, width: int) -> list[str]:
    """Break a text after what it begins with; the rest of it hangs under its first word."""
    indent = " " * len(start)
    return wrap(text, width, initial_indent=start, subsequent_indent=indent, break_on_hyphens=False)


def _sourced(fact: Fact) -> Iterator[str]:
    for row in fact.rows:
        yield f"{row.id}, {row.table}.csv, {row.source_kind}"


def fact_json(kind: str, fact: Fact) -> dict[str, object]:
    """Give a fact as one object: the text as typed, or what serves in SI, whether assumed, and sources.

    `left_out` has the rows that would serve if nothing was typed.
    """
    return {
        "key": fact.key,
        "label": fact.label,
        "given": fact.given,
        "stands_in": None if fact.given is not None else fact.shown,
        "value_si": fact.value,
        "dimension": records.dimension(kind, fact.key) if fact.key else None,
        "assumed": fact.assumed,
        "from": fact.origin,
        "rows": [row.provenance() for row in fact.rows if fact.given is None],
        "left_out": [row.provenance() for row in fact.rows if fact.given is not None],
    }
