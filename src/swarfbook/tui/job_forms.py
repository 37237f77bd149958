"""The forms of what a job asks: for picking a recipe and for solving a first one. No widget."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from swarfbook.decisions.asking import asked_told, wishes_told
from swarfbook.decisions.first_values import FREE, Wishes
from swarfbook.decisions.pick import Asked
from swarfbook.decisions.titles import said
from swarfbook.tui.desk import Desk
from swarfbook.tui.form import Field, Form, Word

FINDS = "letters find it, ← → choose"
ANY = Word("", "any of them")
NO_HAND = (Word("", "no"), Word("yes", "yes, someone within reach of the stop"))
MATERIAL = Field("material", "material", "", f"what is to be cut; {FINDS}")
OPERATION = Field("operation", "operation", "", f"what is to be done; {FINDS}")
TOLERANCE = Field("tolerance", "tolerance", "not asked", "of the wall: 0.1 mm", "length")
FINISH = Field("finish", "finish", "not asked", "mean roughness of the wall: Ra 1.6 um", "length", "um")

PICKED_BY = (
    MATERIAL,
    OPERATION,
    Field("machine", "machine", "", f"on this one, or any; {FINDS}"),
    Field("wall", "wall", "none", "its height: a cutter has to reach that deep", "length"),
    Field("inside_corner", "inside corner", "none", "radius of the smallest in plan", "length"),
    Field("slot", "slot", "none", "width of the narrowest", "length"),
    TOLERANCE,
    FINISH,
    Field("minutes", "minutes", "not asked", "how long it will run at a stretch: 60, or 1.5 h"),
    Field("hands_off", "hands off", "", "no hand on the controls: asks for a chance of 1 % at most"),
    Field("margin", "margin", "0 %", "share of every limit on a load to leave free", "ratio", "%"),
)
SOLVED_BY = (
    Field("machine", "machine", "", FINDS),
    Field("tool", "cutter", "", FINDS),
    MATERIAL,
    OPERATION,
    Field("margin", "margin", "25 %", "share of every limit on a load to leave free", "ratio", "%"),
    Field("depth", "depth", "as the flutes allow", "wall, slot or step to be cut", "length"),
    Field("width", "width", "as fits", "stock to go sideways, along a wall or an edge", "length"),
    TOLERANCE,
    FINISH,
    Field("allowance", "allowance", "as usual", "stock to be left on the wall", "length"),
    Field("hole", "hole", "none", "its diameter, for a bore", "length"),
    Field("stickout", "stickout", "as short as can be", "cutter out of the collet", "length"),
    Field("direction", "direction", "", FINDS),
    Field("cooling", "cooling", "", FINDS),
)
TYPED = {"tolerance": "tolerance", "allowance": "allowance", "hole": "hole_diameter", "stickout": "stickout"}
"""Fields of a first recipe that begin as the recipe on the page has them, and its keys."""
JOBS = {
    "depth": ("axial_depth", frozenset(name for name, free in FREE.items() if "axial_depth" not in free)),
    "width": ("radial_width", frozenset(("finish", "semi-finish", "chamfer"))),
}
"""Fields that the job says in some operations, where nobody may choose; the recipe's keys, and these."""
USUAL = {"direction": "climb", "cooling": "air-blast"}


@dataclass(frozen=True, slots=True)
class Sought:
    """What a first recipe is sought for.

    Attributes:
        ids: of machine, cutter and material.
        operation: the operation's word.
        wishes: what the job says.
    """

    ids: tuple[str, str, str]
    operation: str
    wishes: Wishes


def pick_form(desk: Desk) -> Form:
    """Begin to ask for a recipe, of the material and the operation of the recipe on the page."""
    values = desk.draft.values if desk.draft else {}
    words = {key: _words(desk, key) for key in ("material", "operation", "machine")}
    words["machine"] = (ANY, *words["machine"])
    said_first = {key: str(values.get(key, "")) for key in ("material", "operation")}
    form = Form(desk.system)
    form.begin(PICKED_BY, {**words, "hands_off": NO_HAND}, said_first)
    return form


def solve_form(desk: Desk) -> Form:
    """Begin to ask for a first recipe, with what the recipe on the page says of the job."""
    values = desk.draft.values if desk.draft else {}
    chosen = ("machine", "tool", "material", "operation", "direction", "cooling")
    form = Form(desk.system)
    form.begin(SOLVED_BY, {key: _words(desk, key) for key in chosen}, {**USUAL, **_job(values)})
    return form


def _words(desk: Desk, key: str) -> tuple[Word, ...]:
    return tuple(Word(one.value, one.said) for one in desk.options(key))


def _job(values: Mapping[str, Any]) -> dict[str, str]:
    keys = ("machine", "tool", "material", "operation", "direction", "cooling")
    fixed = {field: key for field, (key, where) in JOBS.items() if values.get("operation") in where}
    names = {**dict(zip(keys, keys, strict=True)), **TYPED, **fixed}
    return {field: str(values[key]) for field, key in names.items() if key in values}


def asked_of(form: Form) -> Asked:
    """Give what a form of `pick_form` asks; raises SwarfbookError."""
    told = form.told()
    return asked_told(told, hands_off=told["hands_off"] is not None)


def sought_of(form: Form) -> Sought:
    """Give what a form of `solve_form` asks; raises SwarfbookError."""
    told = form.told()
    machine, tool, material, operation = (
        str(told[key]) for key in ("machine", "tool", "material", "operation")
    )
    return Sought((machine, tool, material), operation, wishes_told(told))


def job_text(form: Form) -> str:
    """Say what a form asks in a line, what is not asked left out."""
    parts = []
    for one in form.fields.rows:
        if one.id in form.choices:
            words = form.choices[one.id]
            if words.chosen:
                parts.append(words.hits[words.place].said if one.id != "hands_off" else said(one.id))
        elif text := form.with_unit(one.id):
            parts.append(f"{one.label} {text}")
    return ", ".join(parts)
