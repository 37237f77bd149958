"""A book from four answers: the records it begins with, and a first recipe on trial."""

from __future__ import annotations

import math
from typing import Any

from swarfbook import quantities, tables
from swarfbook.book.starting import Begun
from swarfbook.decisions.asking import USUAL_MARGIN
from swarfbook.decisions.first.cutter import Cutter, cutter_record
from swarfbook.decisions.first.machine import Plate, machine_record
from swarfbook.decisions.first.material import material_record
from swarfbook.decisions.first_values import Wishes
from swarfbook.decisions.settable import is_imperial
from swarfbook.decisions.solve import solve
from swarfbook.errors import SwarfbookError
from swarfbook.frozen import frozen
from swarfbook.records import parse
from swarfbook.tables import Row

OPERATION = "rough"
DEEPEST = 1.0
"""Diameters that a first recipe goes down at most: an assumption, as the flute length often is one, too."""
TITLE = {"schema": "book/1", "title": "Recipe book"}
HEAD = "Worked out from tables and physics, cut by nobody yet: come up to it in steps, a half first."
AGAIN = (
    "correct the files, then "
    "`swarfbook solve --machine {} --tool {} --material {} --operation rough --save first`"
)
SMALLER = "a smaller cutter, or one with fewer flutes"
SLOWEST = "the slowest spindle speed, {}, is {} at the edge of this cutter, and the tables give it {} in {}"
SLOWER = "a {}cutter of {} or less, or a spindle that goes down to {}"


@frozen
class Answers:
    """What was said of a workshop: sort of machine, plate of its spindle, cutter, row of the material."""

    machine: Row
    plate: Plate
    cutter: Cutter
    material: Row


@frozen
class FirstBook:
    """What a book begins with.

    Attributes:
        records: machine, cutter, material and, where one was found, the recipe.
        settings: keys of `book.toml`.
        recipe: id of the recipe; empty where none keeps every limit.
        why_none: why there is none, in a line.
        instead: what would do then.
    """

    records: tuple[Begun, ...]
    settings: dict[str, str]
    recipe: str
    why_none: str
    instead: str


def first_book(answers: Answers) -> FirstBook:
    """Work out what a book begins with; deterministic, and nothing is written."""
    parts = (
        machine_record(answers.machine, answers.plate),
        cutter_record(answers.cutter),
        material_record(answers.material),
    )
    settings = {"units": "imperial" if answers.cutter.unit == "in" else "metric"}
    ids = (parts[0].id, parts[1].id, parts[2].id)
    try:
        values = _solved(parts, ids)
    except SwarfbookError as error:
        why, instead = _too_fast(parts) or ("; ".join(one.remedy for one in error.problems), SMALLER)
        return FirstBook(parts, settings, "", why, f"{instead}; {AGAIN.format(*ids)}")
    recipe = Begun("recipe", f"{ids[1]}-{ids[2]}-{OPERATION}", values, {}, HEAD)
    return FirstBook((*parts, recipe), settings, recipe.id, "", "")


def _solved(parts: tuple[Begun, ...], ids: tuple[str, str, str]) -> dict[str, Any]:
    machine, tool, material = (_read(one) for one in parts)
    found = solve(
        (machine, tool, material),
        ids,
        OPERATION,
        settings=parse("book", TITLE, where="book.toml"),
        wishes=Wishes(margin=USUAL_MARGIN, depth=DEEPEST * tool.diameter),
        inch=is_imperial("metric", parts[1].values["diameter"]),
    )
    return dict(found.values)


def _too_fast(parts: tuple[Begun, ...]) -> tuple[str, str] | None:
    """Say that the slowest speed is too fast, and what would do; None where it is not."""
    machine, tool, material = (_read(one) for one in parts)
    row = tables.load("cutting_speeds").find(f"{material.table}:{tool.substrate}")
    most = None if row is None else row.si("speed_high_m_per_min")
    slowest = machine.spindle.min_speed
    if most is None or math.pi * tool.diameter * slowest <= most:
        return None
    why = SLOWEST.format(
        quantities.show(slowest, "spindle_speed"),
        quantities.show(math.pi * tool.diameter * slowest, "surface_speed"),
        quantities.show(most, "surface_speed"),
        material.name,
    )
    better = tables.load("cutting_speeds").get(f"{material.table}:carbide").needed("speed_high_m_per_min")
    return why, SLOWER.format(
        "" if tool.substrate == "carbide" else "carbide ",
        quantities.show(better / (math.pi * slowest), "length", figures=2),
        quantities.show(most / (math.pi * tool.diameter), "spindle_speed", figures=2),
    )


def _read(one: Begun) -> Any:  # noqa: ANN401 - a machine, a cutter or a material, as its kind says
    return parse(one.kind, one.values, where=one.file)
