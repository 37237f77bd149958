"""What rules a cutter out for a feature, what strains it there and what to know, with the numbers."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from swarfbook import quantities
from swarfbook.decisions.first_values import IN_COLLET
from swarfbook.decisions.pick import CORNER_ROOM, HAIR, Asked, rules_out
from swarfbook.records import Tool
from swarfbook.records.job import Feature

FaultKind = Literal["corner", "wall", "width", "shape"]

CLEARANCE = 0.5e-3
"""Room left between the top of a wall and what of the cutter may not touch it [m]: common practice."""
EDGE_SLACK = 0.2e-3
"""What the width of an edge break may be off without a tolerance [m]: ISO 2768-1, medium, 0.5 to 3 mm, from
memory, to be confirmed."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that rules a cutter out: what of the feature it is, and the numbers in words."""

    kind: FaultKind
    text: str


@dataclass(frozen=True, slots=True)
class Reaches:
    """How far down a wall a cutter gets [m], counted from its tip.

    Attributes:
        clear: height up to which nothing but flutes touches a wall; above it the cutter rubs.
        deepest: height at which a thick shank or the collet stops it.
        collet: the longest stickout that leaves a grip.
    """

    clear: float
    deepest: float
    collet: float


def reaches(tool: Tool) -> Reaches:
    """Say how far down a wall a cutter gets.

    A shank thicker than the cutter stops it at its reach (its flutes without one). A shank or neck as thick
    as the cutter goes down the wall and rubs on it; a thinner one clears it.
    """
    collet = max(tool.overall_length - IN_COLLET * tool.shank_diameter, 0.0)
    reach = tool.reach or tool.flute_length
    thick = tool.shank_diameter > tool.diameter * (1 + HAIR)
    deepest = min(reach, collet) if thick else collet
    neck = tool.neck_diameter or min(tool.shank_diameter, tool.diameter)
    if not _thinner(neck, tool):
        clear = tool.flute_length
    else:
        clear = deepest if _thinner(tool.shank_diameter, tool) else reach
    return Reaches(min(clear, deepest), deepest, collet)


def _thinner(diameter: float, tool: Tool) -> bool:
    return diameter < tool.diameter * (1 - HAIR)


def rubs(feature: Feature, wall: float, reach: Reaches) -> bool:
    """Say whether neck or shank rubs on a wall of this height [m]; a face or an edge break has none."""
    return feature.kind not in ("face", "edge") and wall > reach.clear * (1 + HAIR)


def faults(feature: Feature, tool: Tool, wall: float, reach: Reaches) -> Iterator[Fault]:
    """Yield what rules a cutter out for a feature whose wall goes down so far, overshoot and all [m]."""
    yield from (Fault("shape", text) for text in _shape_faults(feature, tool, wall))
    if feature.inside_corner == 0.0:
        radius = _shown(radius_in_plan(feature, tool))
        yield Fault("corner", f"the inside corner is sharp, a cutter leaves its radius, {radius}")
    asked: dict[FaultKind, Asked] = {
        "corner": Asked("", "", inside_corner=feature.inside_corner or None),
        "wall": Asked("", "", wall=wall),
        "width": Asked("", "", slot=feature.width if feature.kind in ("slot", "pocket", "bore") else None),
    }
    corner = tool.replaced(diameter=2 * radius_in_plan(feature, tool))
    able = tool.replaced(reach=reach.deepest)
    for kind, wish in asked.items():
        cutter = corner if kind == "corner" else able
        yield from (Fault(kind, text) for text in rules_out(cutter, reach.collet, wish))
    if feature.kind == "bore" and _same(tool.diameter, feature.width):
        shown = _shown(tool.diameter)
        yield Fault("width", f"cutter {shown}, bore {shown}: it has to be smaller to run round")


def _shape_faults(feature: Feature, tool: Tool, wall: float) -> Iterator[str]:
    if feature.kind == "edge":
        yield from _edge_faults(feature, tool)
        return
    below = wall - feature.depth
    if tool.shape == "chamfer":
        yield "a chamfer cutter leaves no upright wall"
    if tool.shape == "ball" and below < tool.diameter / 2 * (1 - HAIR):
        yield f"its round end leaves no flat floor; the wall is rounded over {_shown(tool.diameter / 2)}"
    if tool.shape == "tapered":
        lean = wall * math.tan(tool.taper or 0.0)
        if lean > (feature.tolerance or 0.0):
            yield f"its side leans {_shown(lean)} over the wall"


def _edge_faults(feature: Feature, tool: Tool) -> Iterator[str]:
    if tool.shape == "ball":
        return
    if tool.shape != "chamfer":
        yield "only a chamfer cutter slants an edge"
        return
    slope = math.tan((tool.point_angle or 0.0) / 2)
    cone = (tool.diameter - (tool.tip_diameter or 0.0)) / 2 / slope
    if feature.depth > cone * (1 + HAIR):
        yield f"its cone is {_shown(cone)} high, the edge {_shown(feature.depth)}"
    broad = feature.depth * slope
    if feature.width is not None and abs(broad - feature.width) > (feature.tolerance or EDGE_SLACK) + HAIR:
        yield f"at {_shown(feature.depth)} deep it breaks {_shown(broad)}, drawn {_shown(feature.width)}"


def radius_in_plan(feature: Feature, tool: Tool) -> float:
    """Give the radius a cutter leaves in an inside corner of a feature, seen from above [m]."""
    # A cone along an edge turns in a corner with its radius at the top of the break.
    if feature.kind == "edge" and tool.shape == "chamfer":
        tip = (tool.tip_diameter or 0.0) / 2
        return min(tool.diameter / 2, tip + feature.depth * math.tan((tool.point_angle or 0.0) / 2))
    return tool.diameter / 2


def strained(feature: Feature, tool: Tool, wall: float, reach: Reaches) -> Iterator[str]:
    """Yield what makes a cutter that can make a feature do so with trouble."""
    if rubs(feature, wall, reach):
        yield f"rubs above {_shown(reach.clear)}, wall {_shown(wall)}"
    if wall + CLEARANCE > reach.deepest * (1 + HAIR):
        room = max(reach.deepest - wall, 0.0)
        yield f"{_shown(room)} of room above the wall, {_shown(CLEARANCE)} is usual"
    radius, corner = radius_in_plan(feature, tool), feature.inside_corner
    if corner and radius > CORNER_ROOM * corner * (1 + HAIR):
        yield f"it stops in the corner: radius {_shown(radius)} in {_shown(corner)}"
    if feature.kind in ("slot", "pocket") and _same(tool.diameter, feature.width):
        yield "as wide as the cutter: one pass at full width, no finishing of the walls"
    if feature.kind == "edge" and tool.shape == "ball":
        yield "a slanted edge in many small steps"


def worth_knowing(feature: Feature, tool: Tool, wall: float) -> Iterator[str]:
    """Yield what a cutter leaves that the drawing does not tell of."""
    core = core_of(feature, tool)
    if core is not None:
        yield f"one round leaves a core of {_shown(core)}; more rounds clear it"
    fillet = tool.corner_radius or 0.0
    if fillet > (wall - feature.depth) * (1 + HAIR) and feature.kind != "face":
        yield f"leaves a radius of {_shown(fillet)} along the floor"


def core_of(feature: Feature, tool: Tool) -> float | None:
    """Diameter that stays in the middle of a bore: its width less twice the cutter."""
    if feature.kind != "bore" or feature.width is None:
        return None
    core = feature.width - 2 * tool.diameter
    return core if core > HAIR * feature.width else None


def _same(one: float, other: float | None) -> bool:
    return other is not None and math.isclose(one, other, rel_tol=HAIR)


def _shown(length: float) -> str:
    return quantities.show(length, "length", unit="mm")
