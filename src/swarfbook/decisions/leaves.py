"""What a cut leaves behind and how it runs: marks, the wall's error, the way the feed needs, second opinions.

These numbers stand beside the check's and no limit rests on them, so they are worked out only where they are
shown. Every one is a bound or an estimate and says so in its origin.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import field
from functools import partial

import numpy as np

from swarfbook import tables
from swarfbook.decisions.case import Case
from swarfbook.decisions.chance import Uncertain
from swarfbook.decisions.check import Check
from swarfbook.decisions.cutters import Engagement, loads_of
from swarfbook.decisions.cutting import is_side_cut
from swarfbook.decisions.cutting_law import Use, other_law
from swarfbook.decisions.duty import overload
from swarfbook.decisions.figures import LOAD, Figure, assumed_among
from swarfbook.frozen import frozen
from swarfbook.physics import beam, motion, power, runout, shapes, surface
from swarfbook.physics.shapes import Ball, CornerRadius, Square

FACES = frozenset({"face-rough", "face-finish", "ramp", "plunge", "chamfer"})
HEIGHTS = np.linspace(0.0, 1.0, 41)
SHORT_MOVE = 0.001  # m: the move that the short-move figures speak of


@frozen
class _Said:
    """A figure in the making: name, dimension, unit, value in SI, what it is, formula, inputs, spread."""

    name: str
    dimension: str
    unit: str
    value: float
    origin: str
    formula: str
    needs: tuple[str, ...]
    causes: Mapping[str, float] = field(default_factory=dict)


def leavings(check: Check) -> dict[str, Figure]:
    """Give what a checked cut leaves and needs, by name; only what its cutter and operation have."""
    case = check.case
    said = [
        *_shape(case),
        *_teeth(case, check),
        *_marks(case),
        *_wall(case),
        *_way(case, check),
        *_overload(case, check),
        *_second_opinions(case, check),
    ]
    return {one.name: _figure(case, one) for one in said if np.isfinite(one.value)}


def _figure(case: Case, said: _Said) -> Figure:
    return Figure(
        name=said.name,
        dimension=said.dimension,
        unit=said.unit,
        value=said.value,
        spread=partial(Uncertain, said.value, said.causes),
        origin=said.origin,
        formula=said.formula,
        needs=said.needs,
        assumed_inputs=assumed_among(case, said.needs),
    )


def _shape(case: Case) -> Iterator[_Said]:
    if isinstance(case.cutter, Square):
        return
    cutter, depth = case.cutter, case["axial_depth"]
    needs = ("axial_depth", "diameter", "corner_radius", "point_angle", "tip_diameter", "taper")
    widest = float(shapes.effective_diameter(cutter=cutter, axial_depth=depth))
    yield _Said(
        "effective_diameter", "length", "mm", widest,
        "widest diameter in the cut: the cutting speed goes by it, and falls below towards the tip",
        "twice the radius of the cutter's outline at the depth", needs,
    )  # fmt: skip
    yield _Said(
        "edge_angle", "angle", "deg", float(shapes.edge_angle_at_depth(cutter=cutter, axial_depth=depth)),
        "slope of the edge at the top of the cut: a chip is thinner than a square cutter's by its sine",
        "kappa of the cutter's outline at the depth", needs,
    )  # fmt: skip


def _teeth(case: Case, check: Check) -> Iterator[_Said]:
    if case["flutes"] == 1:
        return
    chip = {
        "chip_thickness_max": float(check.numbers.chip_thickness_max),
        "runout": case["runout"],
        "flutes": case["flutes"],
    }
    needs = ("feed_per_tooth", "radial_width", "diameter", "flutes", "runout")
    yield _Said(
        "chip_thickness_thinnest", "length", "mm", float(runout.chip_thickness_thinnest(**chip)),
        "chip of the tooth that run-out leaves least; 0 where it cuts nothing",
        "h - 2 rho sin(pi/z), not below 0", needs,
    )  # fmt: skip
    yield _Said(
        "teeth_cutting", "ratio", "", float(runout.teeth_cutting(**chip)),
        "teeth that still cut, the eccentricity at its worst place between them",
        "teeth whose h = fz sin(phi) + r_i - r_(i-1) is above 0", needs,
    )  # fmt: skip


def _marks(case: Case) -> Iterator[_Said]:
    feed, flutes = case["feed_per_tooth"], case["flutes"]
    # With run-out the tooth that stands out furthest makes every mark.
    marks = 1.0 if case["runout"] > 0 else flutes
    if case.recipe.operation not in FACES:
        height = surface.wall_mark_height(
            feed_per_tooth=feed,
            flutes=flutes,
            diameter=case["diameter"],
            climb=case.recipe.direction == "climb",
            marks_per_turn=marks,
        )
        yield _Said(
            "wall_mark_height", "length", "um", float(height),
            "feed marks on the wall, a lower bound: real walls are rougher",
            "s^2/(8 (D/2 +- fz z/pi)), s the spacing of the marks",
            ("feed_per_tooth", "flutes", "diameter", "runout"),
        )  # fmt: skip
    if isinstance(case.cutter, CornerRadius):
        height = surface.floor_mark_height(
            mark_spacing=feed * flutes / marks, corner_radius=case.cutter.corner_radius
        )
        yield _Said(
            "floor_mark_height", "length", "um", float(height),
            "feed marks of the rounded corner on the floor, a lower bound",
            "RE - sqrt(RE^2 - s^2/4)", ("feed_per_tooth", "flutes", "runout"),
        )  # fmt: skip
    if isinstance(case.cutter, Ball):
        height = surface.scallop_height(pass_spacing=case["radial_width"], diameter=case["diameter"])
        yield _Said(
            "scallop_height", "length", "um", float(height),
            "ridges between passes one radial width apart, on a flat floor",
            "R - sqrt(R^2 - (ae/2)^2)", ("radial_width", "diameter"),
        )  # fmt: skip


def _wall(case: Case) -> Iterator[_Said]:
    if type(case.cutter) is not Square or case.recipe.operation in FACES:
        return
    needs = ("law", "axial_depth", "radial_width", "feed_per_tooth", "diameter", "flutes", "helix",
             "youngs_modulus", "tool_tip_stiffness")  # fmt: skip
    error = surface.wall_error(
        law=case.law,
        diameter=case["diameter"],
        flutes=case["flutes"],
        helix=case["helix"],
        axial_depth=case["axial_depth"],
        radial_width=case["radial_width"],
        feed_per_tooth=case["feed_per_tooth"],
        climb=case.recipe.direction == "climb",
        stiffness=_stiffness(case),
        heights=HEIGHTS,
    )
    for name, value, words in (
        (
            "wall_error_most",
            np.max(error),
            "most stock that bending leaves on the wall",
        ),
        (
            "wall_error_least",
            np.min(error),
            "least stock it leaves; below 0 it cuts too deep",
        ),
    ):
        yield _Said(name, "length", "mm", float(value), words,
                    "Fy/k at the moment the edge passes the wall, over its height", needs)  # fmt: skip


def _stiffness(case: Case) -> float:
    per_newton = beam.deflection(
        force=1.0,
        load_height=case["axial_depth"] / 2,
        flute_length=case["flute_length"],
        fluted_diameter=case["fluted_diameter"],
        neck_end=case["neck_end"],
        neck_diameter=case["neck_diameter"],
        shank_diameter=case["shank_diameter"],
        stickout=case["stickout"],
        youngs_modulus=case["youngs_modulus"],
    )
    return 1 / (float(per_newton) + 1 / case["tool_tip_stiffness"])


def _way(case: Case, check: Check) -> Iterator[_Said]:
    feed_rate, acceleration = float(check.numbers.feed_rate), case["acceleration"]
    needs = ("feed_per_tooth", "flutes", "spindle_speed", "acceleration")
    yield _Said(
        "full_feed_distance", "length", "mm", feed_rate**2 / acceleration,
        "shortest move from rest to rest that reaches the feed", "vf^2/a", needs,
    )  # fmt: skip
    reached = motion.speed_reached(distance=SHORT_MOVE, feed_rate=feed_rate, acceleration=acceleration)
    yield _Said(
        "feed_rate_short_move", "feed_rate", "mm/min", float(reached),
        "feed really reached on a move of 1 mm", "min(vf, sqrt(a d))", needs,
    )  # fmt: skip
    left = motion.feed_per_tooth_reached(
        feed_per_tooth=float(check.numbers.chip_thickness_max), feed_rate=feed_rate, speed_reached=reached
    )
    yield _Said(
        "chip_thickness_short_move", "length", "mm", float(left),
        "thickest chip that is left at the feed reached on a move of 1 mm", "h times feed reached over feed",
        (*needs, "radial_width", "diameter"),
    )  # fmt: skip


def _overload(case: Case, check: Check) -> Iterator[_Said]:
    found = overload(case, check.numbers)
    if found is None or found.time is None:
        return
    needs = (*LOAD, "spindle_speed", "rated_power", "overload_ratio", "thermal_time", "idle_loss_share")
    yield _Said(
        "overload_time", "time", "min", found.time,
        f"from cold, until a motor rated for {found.duty} is as warm as its continuous power makes it",
        "-tau ln(1 - 1/q), heat q = max(1 + (q_o - 1)(x^2 - 1)/(x_o^2 - 1), i + (1 - i) x^2), x = P/P_r, "
        "q_o the heat that makes the duty come out at the overload", needs,
        found.causes["time"],
    )  # fmt: skip
    if found.share is not None:
        rest = "switched off" if found.kind == "S3" else "idling"
        yield _Said(
            "overload_share", "ratio", "", found.share,
            f"share of each 10 min it may be cut at, {rest} the rest, after that",
            "-tau/c ln(1 - (1 - i)(1 - exp(-c/tau))/(q - i)), c = 10 min, i the loss at idle",
            needs, found.causes["share"],
        )  # fmt: skip


def _second_opinions(case: Case, check: Check) -> Iterator[_Said]:
    yield from _other_law(case, float(check.numbers.chip_thickness_max))
    unit = tables.load("unit_power_classes").find(case.material.table)
    if unit is None:
        return
    row = tables.load("unit_power").get(unit.text("unit_power"))
    feeds = sorted(
        (one.needed("feed_mm"), one.needed("feed_factor"))
        for one in tables.load("feed_factors").rows
        if one.number("feed_mm") is not None
    )
    factor = power.unit_power_feed_factor(
        feed_per_tooth=float(check.numbers.chip_thickness_mean),
        table_feeds=np.array([feed for feed, _ in feeds]),
        table_factors=np.array([factor for _, factor in feeds]),
    )
    wear = tables.load("wear_factors").get("end-milling").needed("wear_factor_low")
    handbook = power.unit_power(
        unit_power_constant=row.needed("kp_kw_s_per_cm3"),
        feed_factor=factor,
        wear_factor=wear,
        material_removal_rate=check.numbers.material_removal_rate,
    )
    yield _Said(
        "cutting_power_handbook", "power", "W", float(handbook),
        f"second opinion: handbook unit power, {row.text('name').lower()}, feed factor at the mean chip; "
        "within half and twice is agreement",
        "Kp C Q W", ("axial_depth", "radial_width", "feed_per_tooth", "flutes", "spindle_speed", "diameter"),
    )  # fmt: skip


def _other_law(case: Case, thickest_chip: float) -> Iterator[_Said]:
    use = Use(case.tool, case["wear"], thickest_chip)
    where = f"materials/{case.recipe.material}.toml"
    if not is_side_cut(case.recipe):
        return
    other = other_law(case.material, use, chosen=case.choice.name, where=where)
    if other is None:
        return
    loads = loads_of(
        case.cutter,
        Engagement(case["axial_depth"], case["radial_width"], case["feed_per_tooth"]),
        law=other.law,
        flutes=case["flutes"],
        helix=case["helix"],
        climb=case.recipe.direction == "climb",
    )
    watts = 2 * np.pi * case["spindle_speed"] * float(loads.torque_mean)
    needs = ("axial_depth", "radial_width", "feed_per_tooth", "diameter", "flutes", "spindle_speed")
    words = f"second opinion: the {other.name} law, {other.origin}"
    yield _Said("cutting_power_other_law", "power", "W", watts, words, "2 pi n M by the other law", needs)
    yield _Said("force_peak_other_law", "force", "N", float(loads.force_peak), words,
                "max over a turn of hypot(Fx, Fy) by the other law", needs)  # fmt: skip
