"""A job's values as facts to see and write, entry by entry where its file has a list of tables."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from swarfbook import records, tables
from swarfbook.decisions.titles import said
from swarfbook.records import starter
from swarfbook.reports.part_page import Fact, as_typed, shown_number
from swarfbook.reports.part_words import ENTRY, ENTRY_NAME, JOB_GROUPS, label
from swarfbook.tables import Row
from swarfbook.tui.desk import Desk
from swarfbook.tui.places import any_entry, places, value_at

Values = Mapping[str, Any]
NUMBERED = re.compile(r"(?P<list>\w+)\[(?P<number>\d+)\](?:\.(?P<key>.+))?")
DEFAULTS = {
    "ambient": "ambient",
    "setup_time": "setup-time",
    "tool_change_time": "tool-change-time",
    "steps.move": "move-length",
}
"""Keys that a row of defaults.csv stands in for."""
WORDS = {
    "pieces": "1",
    "hands_off": "no, a hand stays at the controls",
    "hourly_rate": "the machine's time is not priced",
    "material_price": "the stock is not priced",
    "stock.skim": "nothing",
    "stock.sold_length": "the piece is what is sold",
    "stock.sold_width": "the piece is what is sold",
    "bed.material": "mdf",
    "bed.thickness": "18 mm",
    "bed.cut_in": "nothing",
    "flip.locate": "the piece is not turned over",
    "features.count": "1",
    "features.place": "the corner",
    "holds.side": "first",
    "steps.side": "first",
    "steps.path": "worked out",
    "steps.volume": "worked out",
    "steps.air": "worked out",
    "steps.allowance": "the recipe's",
    "steps.floor": "nothing",
    "steps.pause": "none",
}
"""What serves where a key is left out, in words."""
HELD_BY = {
    "side": None,
    "method": None,
    "length": ("tape", "glue-tape", "vacuum"),
    "width": ("tape", "glue-tape", "vacuum", "tabs"),
    "thickness": ("tabs", "floor"),
    "count": ("tape", "glue-tape", "clamps", "side-clamps", "screws", "tabs", "vacuum"),
    "force": ("clamps", "side-clamps", "vise", "friction-fit"),
    "bolt": ("clamps", "side-clamps", "vise", "screws"),
    "torque": ("clamps", "side-clamps", "vise", "screws"),
    "work_arm": ("clamps",),
    "heel_arm": ("clamps",),
    "anchor": ("clamps", "side-clamps", "screws"),
    "jaws": ("side-clamps", "vise"),
}
"""The methods that each key of a hold says something of; None for all."""


def facts(values: Values, system: str) -> list[Fact]:
    """Give a job's values in the order of its file.

    Args:
        values: the job as typed.
        system: units of what is not typed.
    """
    return [_fact(values, place, system) for place in places("job", values) if _shows(values, place)]


def _shows(values: Values, place: str) -> bool:
    """Leave out lists as a whole, and what a hold of that method has no use for unless somebody wrote it."""
    key = any_entry(place)
    if records.is_list("job", key) or value_at(values, place) is not None:
        return value_at(values, place) is not None
    if not key.startswith("holds."):
        return True
    methods = HELD_BY.get(key.removeprefix("holds."))
    method = value_at(values, place.rpartition(".")[0] + ".method")
    return methods is None or method in methods


def _fact(values: Values, place: str, system: str) -> Fact:
    given, group = value_at(values, place), heading(values, place)
    name = label("job", any_entry(place))
    if given is not None:
        shown = ("no", "yes")[given] if isinstance(given, bool) else as_typed(given)
        return Fact(place, name, group, given, shown, origin="the file")
    row = _default(values, place)
    if row is None:
        words = WORDS.get(any_entry(place), "")
        return Fact(place, name, group, None, f"not given: {words}" if words else "not given")
    return _served(Fact(place, name, group, None, ""), row, system)


def _served(fact: Fact, row: Row, system: str) -> Fact:
    """Say that a row of the tables serves."""
    value = row.si("value") or 0.0
    number = shown_number("job", any_entry(fact.key), value, system)
    return replace(
        fact,
        shown=f"not given: {number}{' assumed' * row.assumed}",
        value=value,
        assumed=row.assumed,
        origin=f"{row.id}, {row.table}.csv",
        rows=(row,),
    )


def _default(values: Values, place: str) -> Row | None:
    name = DEFAULTS.get(any_entry(place), "")
    if place == "flip.error" and value_at(values, "flip.locate") is not None:
        name = f"locate-error-{value_at(values, 'flip.locate')}"
    return tables.load("defaults").find(name) if name else None


def in_full(place: str) -> str:
    """Say a key with the entry it is of: `steps[2].path` is `step 2, path`."""
    found = NUMBERED.fullmatch(place)
    if found is None:
        table, named = place.rpartition(".")[0], label("job", place)
        return f"{JOB_GROUPS[table]}, {named}" if table in JOB_GROUPS else named
    entry = f"{ENTRY.get(found['list'], found['list'])} {found['number']}"
    return f"{entry}, {label('job', any_entry(place))}" if found["key"] else entry


def heading(values: Values, place: str) -> str:
    """Say what a key stands under; empty at the top of the file."""
    found = NUMBERED.fullmatch(place)
    if found is None:
        return JOB_GROUPS.get(place.partition(".")[0], "") if "." in place else ""
    entry = value_at(values, f"{found['list']}[{found['number']}]")
    named = entry.get(ENTRY_NAME[found["list"]], "")
    return f"{ENTRY[found['list']]} {found['number']}: {said(str(named))}"


def words_of(desk: Desk, place: str, values: Values) -> Sequence[str]:
    """Give the ids a value comes from: of the book's records, or of the job's features; empty for others."""
    key = any_entry(place)
    kind = {"machine": "machine", "material": "material", "steps.recipe": "recipe"}.get(key)
    if kind is not None:
        return desk.book.ids(kind)
    return list(_features(values)) if key == "steps.feature" else ()


def _features(values: Values) -> Iterator[str]:
    entries = values.get("features")
    for entry in entries if isinstance(entries, list) else ():
        if isinstance(entry, Mapping) and isinstance(entry.get("id"), str):
            yield entry["id"]


def first_job(desk: Desk) -> dict[str, Any]:
    """Give a first job: an example's part, cut by the recipe on the page out of its material."""
    begun, recipe = starter("job"), desk.draft.values if desk.draft else {}
    chamfer = recipe.get("operation") == "chamfer"
    feature = {"id": "outline", "kind": "outside", "depth": "12 mm"}
    edge = {"id": "edge", "kind": "edge", "depth": "0.5 mm", "width": "0.5 mm"}
    cut = edge if chamfer else feature
    return {
        **begun,
        "name": "A first job",
        "machine": recipe.get("machine", begun["machine"]),
        "material": recipe.get("material", begun["material"]),
        "quantity": 1,
        "stock": {**begun["stock"], "thickness": "12 mm", "width": "100 mm"},
        "part": {**begun["part"], "thickness": "12 mm"},
        "features": [cut],
        "holds": [{"method": "clamps", "count": 2, "force": "2 kN"}],
        "steps": [{"recipe": desk.draft.recipe_id if desk.draft else "", "feature": cut["id"]}],
    }
