"""A book from four answers: the records it begins with, and a first recipe on trial."""

from __future__ import annotations

from typing import Any

from swarfbook.book.starting import Begun
from swarfbook.decisions.asking import USUAL_MARGIN
from swarfbook.decisions.first.cutter import Cutter, cutter_record
from swarfbook.decisions.first.machine import Plate, machine_record
from swarfbook.decisions.first.material import material_record
from swarfbook.decisions.first_values import Wishes
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
INSTEAD = (
    "a smaller cutter, one of carbide, or a slower spindle may do: correct the files, then "
    "`swarfbook solve --machine {} --tool {} --material {} --operation rough --save first`"
)


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
        why = "; ".join(one.remedy for one in error.problems)
        return FirstBook(parts, settings, "", why, INSTEAD.format(*ids))
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
    )
    return dict(found.values)


def _read(one: Begun) -> Any:  # noqa: ANN401 - a machine, a cutter or a material, as its kind says
    return parse(one.kind, one.values, where=one.file)
