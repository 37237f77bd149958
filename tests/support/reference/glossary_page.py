"""docs/glossary.md: the one place where each name, symbol and unit is decided."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from typing import NamedTuple

from support.reference.markdown import code, head, item, joined, para, table
from support.reference.prose import prose
from support.reference.python_names import arguments
from support.reference.quantity_page import every_quantity, words_of
from support.reference.record_page import KINDS, every_key
from swarfbook import quantities, tables
from swarfbook._units import UNITS
from swarfbook.decisions.figures import RUNG_SPECS
from swarfbook.decisions.limits import RUNG_ORDER
from swarfbook.decisions.titles import LIMITS
from swarfbook.records.meanings import meaning
from swarfbook.reports.part_words import KINDS as KIND_WORDS
from swarfbook.tables.columns import bare_name, measure

SI = {"feed_per_tooth": "m", "temperature": "K", "ratio": "1", "density": "kg/m^3", "hardness": "1"}
"""SI units that nobody types, by dimension."""
TABLE_SI = {
    "diffusivity": "m^2/s",
    "heat_transfer": "W/(m^2*K)",
    "specific_energy": "J/m^3",
    "specific_heat": "J/(kg*K)",
    "conductivity": "W/(m*K)",
}
KNOBS = ("axial_depth", "radial_width", "feed_per_tooth", "spindle_speed", "feed_rate")
HOMONYMS = {"thrust": {"force", "ratio"}}
"""Names that have two dimensions on purpose, and which."""

LISTS = {
    "verdict": "Verdicts of a limit",
    "job_verdict": "Verdicts of a job",
    "feature_verdict": "Verdicts of a feature",
    "relocation_verdict": "Verdicts of a second side",
    "fit": "How a recipe fits what is asked",
    "severity": "Severities of a limit",
    "sense": "Senses of a limit",
    "standing": "Standings of a recipe",
    "operation": "Operations",
    "direction": "Directions",
    "cooling": "Cooling",
    "knob": "Knobs that `keep` may name",
    "derate_method": "Methods of derating",
    "outcome": "Outcomes of a run",
    "shape": "Shapes of a cutter",
    "substrate": "Substrates",
    "motor": "Motors",
    "rating": "Sides of a rating",
    "axis": "Axes of a mode",
    "cutting_law": "Cutting laws",
    "form": "Forms of stock",
    "feature_kind": "Kinds of feature",
    "place": "Places on the hold",
    "hold_method": "Ways of holding",
    "side": "Sides of a piece",
    "meter_side": "Sides of a meter",
    "pattern": "Patterns of a face",
    "locate": "What finds a piece again",
    "bed": "Beds",
    "jaws": "Jaws",
    "units": "Units shown",
    "renamed": "Kinds that are renamed",
    "source_kind": "Kinds of source",
}
"""Closed lists of words, by their section of docs/glossary.toml."""


class Entry(NamedTuple):
    """What the glossary decides of one name.

    Attributes:
        where: T in TOML, J in JSON, C column of a table, P argument of the physics.
        inside, shown: unit in code, and unit shown and in JSON.
    """

    name: str
    symbol: str
    where: str
    inside: str
    shown: str
    meaning: str


def si_of(dimension: str) -> str:
    """Give the SI unit of a dimension, as the docstrings spell it."""
    own = SI.get(dimension) or TABLE_SI.get(dimension)
    found = own or next(
        (unit for unit, (up, down, zero) in UNITS[dimension].items() if up == down and zero == 0.0), ""
    )
    return found.replace("*", " ")


@cache
def key_dimensions() -> dict[str, set[str]]:
    """Give the dimensions of the keys of all records by the key's own name."""
    found: dict[str, set[str]] = {}
    for kind in KINDS:
        for _, _, key in every_key(kind):
            assert key.leaf is not None
            found.setdefault(key.name, set()).update({key.leaf.dimension} if key.leaf.dimension else set())
    return found


@cache
def columns() -> dict[str, str]:
    """Give the bare name of every column of every table with the units it comes in."""
    found: dict[str, dict[str, None]] = {}
    for name in tables.names():
        for column in tables.load(name).columns:
            unit = measure(column)
            found.setdefault(bare_name(column), {})[unit.unit or "1" if unit else ""] = None
    return {name: ", ".join(units) for name, units in sorted(found.items())}


def _where(name: str) -> str:
    uses = {
        "T": name in key_dimensions(),
        "J": name in every_quantity() or name in {spec.name for spec in RUNG_SPECS},
        "C": name in columns(),
        "P": name in arguments(),
    }
    return " ".join(letter for letter, used in uses.items() if used)


def _symbol(name: str) -> str:
    return prose()["symbols"].get(name, "")


def _of_key(name: str, words: str) -> Entry:
    dimensions = sorted(key_dimensions().get(name, ()))
    inside = ", ".join(si_of(one) for one in dimensions)
    shown = ", ".join(quantities.preferred_unit(one) or "1" for one in dimensions)
    return Entry(name, _symbol(name), _where(name), inside, shown, words)


def _of_quantity(name: str) -> Entry:
    one = (every_quantity() | {spec.name: spec for spec in RUNG_SPECS})[name]
    return Entry(name, _symbol(name), _where(name), si_of(one.dimension), one.unit or "1", words_of(one))


def _of_column(name: str) -> Entry:
    unit = next(unit for unit in _measures(name)) if _measures(name) else None
    inside = "" if unit is None else si_of(unit)
    return Entry(name, _symbol(name), _where(name), inside, columns()[name], prose()["columns"][name])


def _measures(name: str) -> list[str]:
    found = [measure(column) for table in tables.names() for column in tables.load(table).columns
             if bare_name(column) == name]  # fmt: skip
    return [one.dimension for one in found if one]


def _of_python(name: str) -> Entry:
    symbol, _, words = prose()["python"][name].partition("|")
    return Entry(name, symbol.strip(), _where(name), " ".join(arguments()[name]), "", words.strip())


def _of_input(name: str) -> Entry:
    inside = " ".join(arguments().get(name, ()))
    return Entry(name, _symbol(name), f"J {_where(name)}".strip(), inside, "", prose()["inputs"][name])


@cache
def sections() -> dict[str, list[Entry]]:
    """Give every section of names with its entries; a name stands in the first one that has it."""
    shared = prose()["shared"]
    found = {
        "Knobs": [_of_knob(name) for name in KNOBS],
        "Quantities of a check": [_of_quantity(name) for name in every_quantity()],
        "Demands that only limits use": [_of_quantity(name) for name in _rungs()],
        "Names that several places share": [_of_key(name, words) for name, words in shared.items()],
    }  # fmt: skip
    for kind, (title, _) in KINDS.items():
        found[f"{title}: keys"] = [
            _of_key(key.name, meaning(model, key.name)) for _, model, key in every_key(kind)
        ]
    found["Inputs behind a number"] = [_of_input(name) for name in prose()["inputs"]]
    found["Columns of the reference tables"] = [_of_column(name) for name in columns()]
    found["Other arguments of the physics"] = [_of_python(name) for name in prose()["python"]]
    return dict(_once(found))


def _rungs() -> dict[str, object]:
    return {spec.name: spec for spec in RUNG_SPECS}


def _of_knob(name: str) -> Entry:
    """Decide a knob, whether a check reports it or not."""
    reported = name in every_quantity() or name in _rungs()
    return _of_quantity(name) if reported else _of_key(name, prose()["quantities"][name])


def _once(found: dict[str, list[Entry]]) -> Iterator[tuple[str, list[Entry]]]:
    seen: set[str] = set()
    for title, entries in found.items():
        fresh = [one for one in entries if one.name not in seen]
        seen |= {one.name for one in fresh}
        yield title, list({one.name: one for one in fresh}.values())


def page() -> str:
    """Set the page."""
    lines = head("Glossary", prose()["intros"]["glossary"])
    lines += ["## Words of the house", "", *_words(prose()["words"]), *_kinds()]
    for title, entries in sections().items():
        lines += [f"## {title}", "", *_entries(entries)]
    lines += ["## Limits", "", *_limits()]
    for section, title in LISTS.items():
        lines += [f"## {title}", "", *_list(prose()[section])]
    return joined(lines)


def _words(words: dict[str, str]) -> Iterator[str]:
    for name, told in sorted(words.items()):
        yield item(f"**{name}**: {told}.")
    yield ""


def _kinds() -> Iterator[str]:
    other = ", ".join(f"`{kind}` is said *{word}*" for kind, word in KIND_WORDS.items() if kind != word)
    yield para(f"In files and code a kind of record has its own word; for people {other}.")
    yield ""


def _entries(entries: Iterable[Entry]) -> list[str]:
    rows = [[code(one.name), one.symbol, one.where, one.inside, one.shown, one.meaning] for one in entries]
    return table(["name", "symbol", "where", "inside", "shown", "meaning"], rows)


def _limits() -> list[str]:
    rows = [[code(one.name), LIMITS[one.name], code(one.demand), one.origin] for one in RUNG_ORDER]
    rows += [[code(name), LIMITS[name], "", words] for name, words in prose()["job_limits"].items()]
    return table(["limit", "on the ladder", "demand", "limit from"], rows)


def _list(words: dict[str, str]) -> list[str]:
    return [*(item(f"`{name}`: {told}") for name, told in words.items()), ""]
