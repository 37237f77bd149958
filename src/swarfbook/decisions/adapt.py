"""Adapting a recipe to another machine, cutter or material, without asking more than has run.

What makes a cut work is kept: the thickest chip and the cutting speed, as far as the new band and spindle
allow, and the share of the cutter's width. Depth, then feed, give way until no load is above what the
recipe asked where it ran, no demand above its limit less the margin, and, where it can be, none above an
undisputed mark of the new three.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from swarfbook import quantities, tables
from swarfbook.book import Book
from swarfbook.decisions import case as cases
from swarfbook.decisions.case import Case
from swarfbook.decisions.check import check
from swarfbook.decisions.evidence import PastOf
from swarfbook.decisions.first_values import OVER_FLUTES
from swarfbook.decisions.limits import rules
from swarfbook.decisions.numbers import Knobs, Numbers, evaluate, nominal_knobs
from swarfbook.decisions.past import HAIR, LOADS, excess_text, ground, mark
from swarfbook.decisions.relief import on_dial
from swarfbook.decisions.room import Room
from swarfbook.decisions.titles import title
from swarfbook.errors import SwarfbookError
from swarfbook.records import Material, Tool

DEPTHS = np.geomspace(1.0, 0.05, 60)
FEEDS = np.array([1.0, 0.9, 0.8, 0.7, 0.6, 0.5])
NEAR = 2.5
"""Times that the specific cutting force of a neighbouring material may be another: an assumption."""
TENS = 10.0  # rpm: a new speed is written in tens
MOST = 3
"""Adapted recipes that are offered."""


Three = tuple[str, str, str]
Distance = tuple[int, int, float, str]


@dataclass(frozen=True, slots=True)
class Wanted:
    """The job's material, and its machine; None where any will do."""

    material: str
    machine: str | None


@dataclass(frozen=True, slots=True)
class Adapted:
    """A recipe made for another machine, cutter or material.

    Attributes:
        case: the new recipe, on trial.
        source: id of the recipe it comes from.
        changed: what is another: machine, tool, material.
        to_prove: what nobody has seen run yet.
    """

    case: Case
    source: str
    changed: tuple[str, ...]
    to_prove: tuple[str, ...]


def is_neighbour(one: Material, other: Material) -> bool:
    """Say whether two materials are of one ISO 513 group (or family, without one) and cut nearly as hard.

    Group N holds aluminium and plastics alike: a specific cutting force that is another by more than
    `NEAR` makes them no neighbours.
    """
    rows = [tables.load("materials").get(material.table) for material in (one, other)]
    groups = [row.text("iso_group") or row.text("family") for row in rows]
    forces = [row.si("kc11_n_per_mm2") or 1.0 for row in rows]
    return groups[0] == groups[1] and max(forces) <= NEAR * min(forces)


def adapted(
    book: Book,
    ids: Wanted,
    sources: Sequence[Case],
    past: PastOf,
    *,
    margin: float,
    fits: Callable[[Tool], bool],
) -> Iterator[Adapted]:
    """Adapt the nearest recipes to a job, at most `MOST` of them and each cutter once on each machine.

    Args:
        book: the book.
        ids: the job's material, and its machine; None keeps each recipe's own.
        sources: recipes of the operation, resolved with the log.
        past: gives what is known of runs.
        margin: share of every limit on a load to leave free [1].
        fits: says of a cutter whether its shape suits the job.
    """
    wanted = book.get("material", ids.material).record
    near = [
        case for case in sources if case.recipe.standing != "retired" and is_neighbour(case.material, wanted)
    ]
    tries = [one for case in near for one in _tries(book, case, ids, fits)]
    offered: set[tuple[str, str]] = set()
    for _, source, three in sorted(tries, key=lambda one: one[0]):
        key = three[:2]
        if key in offered or len(offered) == MOST:
            continue
        found = _made(book, source, three, margin, past)
        if found is not None:
            offered.add(key)
            yield found


def _tries(
    book: Book, source: Case, ids: Wanted, fits: Callable[[Tool], bool]
) -> Iterator[tuple[Distance, Case, Three]]:
    """Yield what a recipe may become, with how far that is: by changes, by standing, by size."""
    recipe = source.recipe
    machine, material = ids.machine or recipe.machine, ids.material
    standing = ("proven", "max-effort", "trial", "retired").index(recipe.standing)
    for tool in book.ids("tool"):
        other = _cutter(book, tool)
        if other is None or not fits(other) or not _alike(other, source.tool):
            continue
        three = (machine, tool, material)
        changes = sum(
            a != b for a, b in zip(three, (recipe.machine, recipe.tool, recipe.material), strict=True)
        )
        if changes:
            size = abs(math.log(other.diameter / source.tool.diameter))
            yield (changes, standing, size, f"{source.recipe_id} {tool}"), source, three


def _cutter(book: Book, tool: str) -> Tool | None:
    try:
        return book.get("tool", tool).record
    except SwarfbookError:
        return None


def _alike(one: Tool, other: Tool) -> bool:
    return (one.shape, one.substrate, one.flutes) == (other.shape, other.substrate, other.flutes)


def _made(book: Book, source: Case, three: Three, margin: float, past: PastOf) -> Adapted | None:
    machine, tool, material = three
    parts = (
        book.get("machine", machine).record,
        book.get("tool", tool).record,
        book.get("material", material).record,
    )
    values = {key: value for key, value in source.values.items() if key not in ("derived", "notes")}
    values |= {"machine": machine, "tool": tool, "material": material, "standing": "trial"}
    values |= {"name": f"{source.recipe.name}, adapted", **_sized(source, parts[1])}
    try:
        case = cases.of_parts(f"{source.recipe_id}-adapted", values, parts, book.settings)
    except SwarfbookError:
        return None
    case = cases.with_past(case, past(three, parts))
    speed = _speed(case, source)
    knobs = _gentled(case, source, speed, margin) if speed is not None else None
    if knobs is None:
        return None
    made = cases.with_values(case, {**values, **_typed(values, case, knobs)})
    return Adapted(made, source.recipe_id, tuple(_changed(source, three)), tuple(_to_prove(made)))


def _sized(source: Case, tool: Tool) -> dict[str, str]:
    """Give depth, width and feed in proportion to another cutter's diameter, and its stickout."""
    share = tool.diameter / source.tool.diameter
    if share == 1 and tool.overall_length == source.tool.overall_length:
        return {}
    depth = min(source["axial_depth"] * share, tool.flute_length)
    sizes = {"axial_depth": depth, "radial_width": source["radial_width"] * share}
    texts = {key: _down(size * 1000, "mm") for key, size in sizes.items()}
    feed = source["feed_per_tooth"] * min(share, 1.0)
    key = "feed_per_tooth" if "feed_per_tooth" in source.values else "feed_rate"
    rate = feed if key == "feed_per_tooth" else feed * tool.flutes * source["spindle_speed"] * 60
    stickout = max(tool.reach or tool.flute_length, tool.flute_length) + OVER_FLUTES * tool.diameter
    texts[key] = _down(rate * 1000, "mm" if key == "feed_per_tooth" else "mm/min")
    return texts | {"stickout": _up(max(stickout, source["stickout"]) * 1000)}


def _changed(source: Case, three: Three) -> Iterator[str]:
    for kind, record in zip(("machine", "tool", "material"), three, strict=True):
        if record != getattr(source.recipe, kind):
            yield kind


def _speed(case: Case, source: Case) -> float | None:
    """Give the speed that keeps the cutting speed, inside the new band and what the spindle can be set to."""
    motor = case.machine.spindle
    band = case.optional("speed_high")
    most = min(
        motor.max_speed,
        case.optional("tool_max_speed") or np.inf,
        np.inf if band is None else band / (np.pi * case["diameter"]),
    )
    speed = min(source["spindle_speed"], most)
    if motor.speeds:
        speed = on_dial(motor.speeds, speed, upwards=False)
    elif speed < source["spindle_speed"]:
        speed = math.floor(speed * 60 / TENS * (1 + 1e-9)) * TENS / 60
    return float(speed) if motor.min_speed <= speed * (1 + 1e-9) and speed <= most * (1 + 1e-9) else None


def _gentled(case: Case, source: Case, speed: float, margin: float) -> Knobs | None:
    """Let depth and then feed give way until nothing is asked that has not run; None where nothing does."""
    start = nominal_knobs(case)
    depth, feed = (
        mesh.ravel() for mesh in np.meshgrid(start.axial_depth * DEPTHS, start.feed_per_tooth * FEEDS)
    )
    knobs = Knobs(depth, np.full(depth.shape, start.radial_width), feed, np.full(depth.shape, speed))
    room = Room(case, margin)
    numbers = evaluate(case, knobs)
    kept = room.strain(room.uses(numbers)) <= 1
    before = evaluate(source, nominal_knobs(source))
    for name in LOADS:
        kept &= np.asarray(getattr(numbers, name) <= getattr(before, name) * (1 + HAIR))
    if not kept.any():
        return None
    # Where these three have run before, their own marks come first; what cannot keep to them has it to prove.
    marked = kept & _under_marks(case, numbers)
    best = int(np.argmax(np.where(marked if marked.any() else kept, numbers.material_removal_rate, -1.0)))
    return knobs.take(best)


def _under_marks(case: Case, numbers: Numbers) -> NDArray[np.bool_]:
    """Say where no demand goes beyond what has run clean with this machine, cutter and material."""
    found = ground(
        case.past, stickout=case["stickout"], clean_time=case.settings.thresholds.clean_time, every=False
    )
    under = np.ones(np.shape(numbers.axial_depth), dtype=bool)
    for rule in rules(case):
        top = mark(found, rule.demand, rule.sense)
        if top is None or top.covers is None:
            continue
        demand = getattr(numbers, rule.demand)
        low, high = (top.covers, demand) if rule.sense == "minimum" else (demand, top.covers)
        under &= np.asarray(low <= high * (1 + HAIR))
    return under


def _typed(values: Mapping[str, Any], case: Case, knobs: Knobs) -> dict[str, str]:
    written = {
        "axial_depth": _down(float(knobs.axial_depth) * 1000, "mm"),
        "spindle_speed": quantities.write(float(f"{float(knobs.spindle_speed) * 60:.10g}"), "rpm"),
    }
    feed = float(knobs.feed_per_tooth)
    if "feed_rate" in values:
        rate = feed * case["flutes"] * float(knobs.spindle_speed) * 60e3
        return written | {"feed_rate": _down(rate, "mm/min")}
    return written | {"feed_per_tooth": _down(feed * 1000, "mm")}


def _down(number: float, unit: str) -> str:
    step = 10.0 ** (math.floor(math.log10(number)) - 2)
    return quantities.write(float(f"{math.floor(number / step * (1 + 1e-9)) * step:.10g}"), unit)


def _up(millimetres: float) -> str:
    return quantities.write(float(math.ceil(millimetres * (1 - 1e-9))), "mm")


def _to_prove(case: Case) -> Iterator[str]:
    limits = check(case).limits
    unmarked = [limit.name for limit in limits if limit.beyond is None]
    if len(unmarked) == len(limits):
        yield "nothing has run clean with these three yet"
        return
    if unmarked:
        yield f"nothing undisputed has run clean in {', '.join(map(title, unmarked))}"
    for limit in limits:
        if limit.beyond:
            yield f"{title(limit.name)} is {excess_text(limit.beyond)} beyond its mark"
