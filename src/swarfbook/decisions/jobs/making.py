"""Whether a feature can be made: every cutter of the drawer against it, and the smallest cure."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple

from swarfbook.decisions.first_values import IN_COLLET, OVER_FLUTES
from swarfbook.decisions.inputs import tool_inputs
from swarfbook.decisions.jobs import making_words as words
from swarfbook.decisions.jobs.making_words import CLEARANCE, Fault, Reaches
from swarfbook.decisions.pick import CORNER_ROOM, HAIR
from swarfbook.physics import beam
from swarfbook.records import BookSettings, Tool
from swarfbook.records.job import Feature

Verdict = Literal["can", "tight", "cannot"]
VERDICTS: tuple[Verdict, ...] = ("can", "tight", "cannot")
"""From the best to the worst."""

TENTH = 0.1e-3
"""What a drawn length is rounded to [m]."""
STUB_FLUTES = 1.5
"""Diameters that the flutes of a stub cutter are long: common practice."""


@dataclass(frozen=True, slots=True)
class DeflectionCost:
    """What a long cutter costs: deflection per newton at its tip, over that of shorter ones.

    Attributes:
        stickout: that the wall needs [m].
        shortest: stickout that the cutter's flutes need [m].
        cutter: deflection of the cutter at the first stickout over that at the second [1].
        total: the same with the give of the machine in both [1].
        over_stub: deflection of the cutter over that of a stub of its diameter [1].
        compliance: of cutter and machine at the tip [m/N].
    """

    stickout: float
    shortest: float
    cutter: float
    total: float
    over_stub: float
    compliance: float


@dataclass(frozen=True, slots=True)
class ToolFit:
    """One cutter held against one feature; lengths [m].

    Attributes:
        tool: its id.
        verdict: whether it can make the feature.
        reason: why no better, or what to know; empty where there is nothing.
        diameter: of the cutter.
        radius: it leaves in an inside corner of this feature, seen from above.
        wall: height it has to reach down, overshoot and all.
        reaches: how far down it gets.
        rubs_above: height above the tip from which it rubs on this wall; None where it does not.
        core: diameter left standing in a bore after one round; None where nothing is.
        faults: what rules it out.
        cost: deflection at the stickout this wall needs; None where it cannot.
    """

    tool: str
    verdict: Verdict
    reason: str
    diameter: float
    radius: float
    wall: float
    reaches: Reaches
    rubs_above: float | None
    core: float | None
    faults: tuple[Fault, ...]
    cost: DeflectionCost | None


def feature_tools(
    feature: Feature, tools: Mapping[str, Tool], *, overshoot: float = 0.0, machine_stiffness: float
) -> tuple[ToolFit, ...]:
    """Hold every cutter against a feature, the best first, of equals the stiffest.

    Args:
        feature: what is to be cut.
        tools: the drawer, by id.
        overshoot: how far below the part the cutter goes, into the bed [m]; above 0 for a through cut only.
        machine_stiffness: at the collet nose [N/m].
    """
    fits = (_fit(feature, name, tool, overshoot, machine_stiffness) for name, tool in tools.items())
    return tuple(sorted(fits, key=_order))


def _order(fit: ToolFit) -> tuple[int, int, float, str]:
    compliance = fit.cost.compliance if fit.cost else math.inf
    return VERDICTS.index(fit.verdict), len(fit.faults), compliance, fit.tool


def _fit(feature: Feature, name: str, tool: Tool, overshoot: float, stiffness: float) -> ToolFit:
    wall = feature.depth + (0.0 if feature.kind == "edge" else overshoot)
    reach = words.reaches(tool)
    faults = tuple(words.faults(feature, tool, wall, reach))
    strained = () if faults else tuple(words.strained(feature, tool, wall, reach))
    known = () if faults else tuple(words.worth_knowing(feature, tool, wall))
    said = [fault.text for fault in faults] or [*strained, *known]
    return ToolFit(
        tool=name,
        verdict="cannot" if faults else "tight" if strained else "can",
        reason="; ".join(said),
        diameter=tool.diameter,
        radius=words.radius_in_plan(feature, tool),
        wall=wall,
        reaches=reach,
        rubs_above=reach.clear if not faults and words.rubs(feature, wall, reach) else None,
        core=words.core_of(feature, tool),
        faults=faults,
        cost=None if faults else deflection_cost(tool, wall, machine_stiffness=stiffness),
    )


def deflection_cost(
    tool: Tool, wall: float, usual_stickout: float | None = None, *, machine_stiffness: float
) -> DeflectionCost:
    """Say what reaching down a wall costs in deflection, by the stepped beam with a force at the tip.

    Args:
        tool: the cutter.
        wall: height it has to reach [m].
        usual_stickout: to compare with [m]; None takes the shortest its flutes need.
        machine_stiffness: at the collet nose [N/m].
    """
    shape = _beam_shape(tool)
    shortest = usual_stickout or tool.flute_length + OVER_FLUTES * tool.diameter
    # A neck thinner than the shank cannot be gripped, nor can flutes.
    held = shape["neck_end"] if shape["neck_diameter"] < tool.shank_diameter else tool.flute_length
    longest = tool.overall_length - IN_COLLET * tool.shank_diameter
    needed = max(wall, min(max(wall + CLEARANCE, held + OVER_FLUTES * tool.diameter), longest))
    long, short = (_compliance(shape, stickout) for stickout in (needed, shortest))
    give = 1 / machine_stiffness
    return DeflectionCost(
        stickout=needed,
        shortest=shortest,
        cutter=long / short,
        total=(long + give) / (short + give),
        over_stub=long / _stub(tool, shape),
        compliance=long + give,
    )


BEAM_SHAPE = (
    "flute_length", "fluted_diameter", "neck_end", "neck_diameter", "shank_diameter", "youngs_modulus",
)  # fmt: skip


def _beam_shape(tool: Tool) -> dict[str, float]:
    known = tool_inputs(tool, BookSettings(title=""))
    return {name: known[name].value or 0.0 for name in BEAM_SHAPE}


def _compliance(shape: dict[str, float], stickout: float) -> float:
    """Deflection per newton at the tip [m/N]."""
    return float(beam.deflection(force=1.0, load_height=0.0, stickout=stickout, **shape))


def _stub(tool: Tool, shape: dict[str, float]) -> float:
    flutes, diameter = STUB_FLUTES * tool.diameter, tool.diameter
    plain = {"neck_end": flutes, "neck_diameter": diameter, "shank_diameter": diameter}
    return _compliance({**shape, **plain, "flute_length": flutes}, flutes + OVER_FLUTES * diameter)


@dataclass(frozen=True, slots=True)
class Change:
    """What to change in a feature so that a cutter of the drawer can make it; None stays [m].

    Attributes:
        corner: inside corner to open to.
        depth: to keep to.
        width: to open to.
        tool: the cutter that can make it then.
    """

    corner: float | None
    depth: float | None
    width: float | None
    tool: str


@dataclass(frozen=True, slots=True)
class Buy:
    """A cutter that could make the feature as drawn; None where anything will do [m]."""

    shape: Literal["square", "chamfer"]
    diameter: float | None
    reach: float


@dataclass(frozen=True, slots=True)
class Cure:
    """Ways out of a feature that cannot be made: any one of them will do.

    Attributes:
        sharp: whether an inside corner is drawn sharp: a relief hole in each, or a file, would do too.
        leaves: smallest radius the drawer leaves in that corner [m]; None where no cutter gets that far.
        changes: the smallest change of each kind.
        buy: a cutter to buy; None where none would do.
    """

    sharp: bool
    leaves: float | None
    changes: tuple[Change, ...]
    buy: Buy | None


class Judged(NamedTuple):
    """A feature with what the drawer makes of it."""

    feature: Feature
    verdict: Verdict
    fits: tuple[ToolFit, ...]
    cure: Cure | None


def feature_verdict(feature: Feature, fits: Sequence[ToolFit]) -> Judged:
    """Say whether a feature can be made, from what `feature_tools` says, and what would cure it."""
    verdicts = {fit.verdict for fit in fits}
    verdict = next((one for one in VERDICTS if one in verdicts), VERDICTS[-1])
    cure = _cure(feature, fits) if verdict == "cannot" else None
    return Judged(feature, verdict, tuple(fits), cure)


def _cure(feature: Feature, fits: Sequence[ToolFit]) -> Cure:
    able = [fit for fit in fits if all(fault.kind != "shape" for fault in fit.faults)]
    ways = [(change, _kinds(fit)) for fit in able if (change := _change(feature, fit))]
    fewest = min((len(kinds) for _, kinds in ways), default=0)
    best: dict[tuple[str, ...], Change] = {}
    for change, kinds in ways:
        if len(kinds) == fewest and (
            kinds not in best or _size(feature, change) < _size(feature, best[kinds])
        ):
            best[kinds] = change
    sharp = feature.inside_corner == 0.0
    radii = [fit.radius for fit in able if _kinds(fit) == ("corner",)]
    wall = max((fit.wall for fit in fits), default=feature.depth)
    return Cure(
        sharp=sharp,
        leaves=min(radii, default=None),
        changes=tuple(best[kinds] for kinds in sorted(best)),
        buy=None if sharp else _buy(feature, wall),
    )


def _kinds(fit: ToolFit) -> tuple[str, ...]:
    return tuple(sorted({fault.kind for fault in fit.faults}))


def _change(feature: Feature, fit: ToolFit) -> Change | None:
    """Give what would let one cutter make the feature; None where no change would."""
    kinds = _kinds(fit)
    corner = _up(fit.radius / CORNER_ROOM) if "corner" in kinds else None
    width = _next(fit.diameter) if "width" in kinds else None
    depth = _down(fit.reaches.deepest - CLEARANCE - (fit.wall - feature.depth)) if "wall" in kinds else None
    broad = feature.width if width is None else width
    too_round = corner is not None and feature.kind in ("pocket", "slot") and 2 * corner > (broad or math.inf)
    return None if too_round or (depth is not None and depth <= 0) else Change(corner, depth, width, fit.tool)


def _size(feature: Feature, change: Change) -> float:
    """How much a change takes away from what is drawn, as a sum of lengths [m]."""
    less = feature.depth - change.depth if change.depth else 0.0
    return (change.corner or 0.0) + (change.width or 0.0) + less


def _buy(feature: Feature, wall: float) -> Buy:
    if feature.kind == "edge":
        return Buy("chamfer", None, feature.depth)
    least = [2 * CORNER_ROOM * feature.inside_corner] if feature.inside_corner else []
    if feature.width is not None and feature.kind in ("slot", "pocket", "bore"):
        least.append(feature.width - (TENTH if feature.kind == "bore" else 0.0))
    return Buy("square", _down(min(least)) if least else None, wall + CLEARANCE)


def _up(length: float) -> float:
    return round(math.ceil(length / TENTH - HAIR) * TENTH, 9)


def _down(length: float) -> float:
    return round(math.floor(length / TENTH + HAIR) * TENTH, 9)


def _next(length: float) -> float:
    return round((math.floor(length / TENTH + HAIR) + 1) * TENTH, 9)


def feature_json(judged: Judged) -> dict[str, Any]:
    """Give a feature's verdict as one object; lengths in mm."""
    cure = judged.cure
    return {
        "feature": judged.feature.id,
        "verdict": judged.verdict,
        "tools": [_tool_json(fit) for fit in judged.fits],
        "cure": cure
        and {
            "sharp": cure.sharp,
            "leaves": _mm(cure.leaves),
            "changes": [
                {
                    "corner": _mm(one.corner),
                    "depth": _mm(one.depth),
                    "width": _mm(one.width),
                    "tool": one.tool,
                }
                for one in cure.changes
            ],
            "buy": cure.buy
            and {
                "shape": cure.buy.shape,
                "diameter": _mm(cure.buy.diameter),
                "reach": _mm(cure.buy.reach),
            },
        },
    }


def _tool_json(fit: ToolFit) -> dict[str, Any]:
    cost = fit.cost
    return {
        "tool": fit.tool,
        "verdict": fit.verdict,
        "reason": fit.reason,
        "deepest": _mm(fit.reaches.deepest),
        "rubs_above": _mm(fit.rubs_above),
        "stickout": _mm(cost.stickout) if cost else None,
        "deflection_over_shortest": cost.total if cost else None,
        "deflection_over_stub": cost.over_stub if cost else None,
    }


def _mm(length: float | None) -> float | None:
    return None if length is None else length * 1000
