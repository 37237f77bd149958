"""What a recipe begins with before anything is worked out: the operation's own sizes and usual words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from swarfbook import quantities
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.records import Tool

FREE: Mapping[str, tuple[str, ...]] = {
    "face-rough": ("axial_depth", "radial_width"),
    "face-finish": ("radial_width",),
    "rough": ("axial_depth", "radial_width"),
    "slot": ("axial_depth",),
    "semi-finish": (),
    "finish": (),
    "through-cut": ("axial_depth",),
    "chamfer": (),
    "bore": ("axial_depth",),
    "ramp": ("axial_depth",),
    "plunge": (),
}
"""Depth and width that may be chosen, by operation; feed and speed always may. The rest is the job's."""
WALL = {"finish": 0.2e-3, "semi-finish": 0.5e-3}
"""Stock that is left for a pass along a wall where nobody says [m]: usual, and an assumption."""
SKIN = 0.2e-3
"""Depth of a finishing face where nobody says [m]: usual, and an assumption."""
EDGE = 0.5e-3
"""Width of an edge break where nobody says [m]: usual, and an assumption."""
LEFT = 0.3e-3
"""Stock that a roughing pass leaves on the wall where nobody says [m]: usual, and an assumption."""
RAMP = 3.0
"""Angle of a ramp where nobody says [deg]: usual, and an assumption."""
MOST_WIDTH = 0.95
"""Share of the diameter up to which a cut counts as one beside a wall; wider is a slot."""
OVER_FLUTES = 0.3
"""Diameters that a cutter stands out beyond its flutes or its reach, for the collet: common practice."""
IN_COLLET = 2.5
"""Shank diameters that have to stay in the collet: common practice."""


@dataclass(frozen=True, slots=True)
class Wishes:
    """What a job says of a cut; None where it does not.

    Attributes:
        margin: share of every limit on a load that is left free [1].
        depth: wall, slot or step that has to be cut [m]; what may be chosen stays at or under it.
        width: stock that has to go sideways [m].
        tolerance: of the wall [m].
        allowance: stock to be left on the wall [m].
        roughness: mean roughness of the wall [m].
        hole_diameter: of a bore [m].
        ramp_angle: of a ramp [deg].
        stickout: of the cutter [m].
        direction, cooling: words of a recipe.
    """

    margin: float = 0.0
    depth: float | None = None
    width: float | None = None
    tolerance: float | None = None
    allowance: float | None = None
    roughness: float | None = None
    hole_diameter: float | None = None
    ramp_angle: float | None = None
    stickout: float | None = None
    direction: str = "climb"
    cooling: str = "air-blast"


@dataclass(frozen=True, slots=True)
class First:
    """A recipe to begin with.

    Attributes:
        values: its record as typed.
        deepest: axial depth up to which it may be chosen [m].
        widest: radial width likewise [m].
    """

    values: dict[str, Any]
    deepest: float
    widest: float


def first_values(tool: Tool, ids: tuple[str, str, str], operation: str, wishes: Wishes) -> First:
    """Give a recipe to begin with: what the job and the operation fix, and the cutter's ends for the rest.

    Args:
        tool: the cutter.
        ids: of machine, cutter and material.
        operation: the operation's word.
        wishes: what the job says.

    Raises:
        SwarfbookError: the cutter is not made for it, with the number that rules it out.
    """
    stickout = _stickout(tool, wishes)
    deepest = min(tool.flute_length, stickout)
    depth = _depth(tool, operation, wishes, deepest)
    width = _width(tool, operation, wishes)
    machine, cutter, material = ids
    values: dict[str, Any] = {
        "schema": "recipe/1",
        "name": f"{tool.name}, {operation}: a first try",
        "machine": machine,
        "tool": cutter,
        "material": material,
        "operation": operation,
        "standing": "trial",
        "spindle_speed": "1000 rpm",
        "feed_per_tooth": "0.01 mm",
        "axial_depth": _mm(depth),
        "radial_width": _mm(width),
        "direction": wishes.direction,
        "stickout": _mm(stickout),
        "cooling": wishes.cooling,
        **_finish(operation, wishes),
        **_own_keys(tool, operation, wishes),
    }
    return First(values, depth, width)


def _mm(length: float) -> str:
    return quantities.write(float(f"{length * 1000:.10g}"), "mm")


def _shown(length: float) -> str:
    return quantities.show(length, "length")


def _stickout(tool: Tool, wishes: Wishes) -> float:
    longest = tool.overall_length - IN_COLLET * tool.shank_diameter
    least = max(tool.reach or tool.flute_length, tool.flute_length) + OVER_FLUTES * tool.diameter
    return wishes.stickout if wishes.stickout is not None else min(least, longest)


def _depth(tool: Tool, operation: str, wishes: Wishes, deepest: float) -> float:
    asked = wishes.depth
    if "axial_depth" in FREE[operation]:
        return deepest if asked is None else min(asked, deepest)
    usual = {"face-finish": SKIN, "chamfer": EDGE, "plunge": deepest / 2}.get(operation, 0.8 * deepest)
    if asked is not None and asked > deepest * (1 + 1e-9):
        remedy = f"its flutes reach {_shown(deepest)}, the wall is {_shown(asked)}"
        raise SwarfbookError(Problem(f"tools/{tool.name}", "flute_length", _shown(tool.flute_length), remedy))
    return usual if asked is None else asked


def tool_wide(operation: str) -> bool:
    """Say whether an operation takes the whole width of the cutter."""
    return operation in ("slot", "through-cut", "ramp", "bore", "plunge")


def _width(tool: Tool, operation: str, wishes: Wishes) -> float:
    if tool_wide(operation):
        return tool.diameter
    usual = WALL.get(operation, EDGE if operation == "chamfer" else MOST_WIDTH * tool.diameter)
    return min(usual if wishes.width is None else wishes.width, MOST_WIDTH * tool.diameter)


def _finish(operation: str, wishes: Wishes) -> dict[str, str]:
    if wishes.tolerance is not None:
        return {"tolerance": _mm(wishes.tolerance)}
    if wishes.allowance is not None:
        return {"allowance": _mm(wishes.allowance)}
    return {"allowance": _mm(LEFT)} if operation in ("rough", "slot", "through-cut", "ramp") else {}


def _own_keys(tool: Tool, operation: str, wishes: Wishes) -> dict[str, str]:
    if operation == "ramp":
        return {"ramp_angle": f"{RAMP if wishes.ramp_angle is None else wishes.ramp_angle:g} deg"}
    if operation != "bore":
        return {}
    if wishes.hole_diameter is None:
        raise SwarfbookError(Problem("--hole", "", "", "a bore needs its diameter, such as 14 mm"))
    if wishes.hole_diameter > 2 * tool.diameter:
        remedy = f"from solid a cutter of {_shown(tool.diameter)} bores up to {_shown(2 * tool.diameter)}"
        raise SwarfbookError(Problem("--hole", "", _shown(wishes.hole_diameter), remedy))
    return {"hole_diameter": _mm(wishes.hole_diameter)}
