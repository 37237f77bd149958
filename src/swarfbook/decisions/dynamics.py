"""What the machine's measured modes say of a case: stable depth at its speed, and better speeds nearby."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal, overload

import numpy as np

from swarfbook.decisions.case import Case
from swarfbook.decisions.cutting import chip_and_width
from swarfbook.decisions.numbers import Array, Knobs, Numbers, nominal_knobs
from swarfbook.frozen import frozen
from swarfbook.physics import engagement

if TYPE_CHECKING:
    from swarfbook.physics.modes import Modes

# ruff: noqa: PLC0415 - few machines have measured modes, and every check would load what works with them

POCKET_REACH = 0.25  # share of the speed to look on either side for a deeper cut
FLIP_SHARE = 0.5
"""Share of the zero-order depth that flip lobes may leave of it in a narrow cut.

Worked out by semi-discretisation: at 5 % of the diameter, climbing, a two-flute cutter on a tip that gives
along the feed has its border at 0.45 to 0.55 of it (`tests/physics/test_physics_chatter.py`).
"""


@frozen
class Stability:
    """Where a cut begins to chatter.

    Attributes:
        depth: stable axial depth at the recipe's speed [m].
        lowest: axial depth that is stable at every speed [m].
        speed: the speed nearby that bears the deepest cut [rev/s].
        speed_depth: stable depth there [m].
        estimate: whether the modes are guessed from the cutter alone and not measured.
        narrow: whether the cut is so narrow that it may chatter at `FLIP_SHARE` of these depths.
    """

    depth: float
    lowest: float
    speed: float
    speed_depth: float
    estimate: bool
    narrow: bool


def is_narrow(case: Case) -> bool:
    """Whether a cut is narrower than the zero-order solution is made for: `physics.chatter.IMMERSION`."""
    from swarfbook.physics.chatter import IMMERSION

    return case["radial_width"] < IMMERSION.low * case["diameter"]


def judged_narrow(case: Case) -> bool:
    """Whether a cut has measured modes to be judged by and is too narrow for that; see `is_narrow`."""
    return bool(case.machine.tool_tip.modes) and is_narrow(case)


def measured_modes(case: Case) -> tuple[Modes, Modes] | None:
    """Give the machine's modes along x and y; None where none are measured.

    A direction without a mode of its own is taken to be as lively as the other: a rigid one would promise
    depth that nobody measured.
    """
    tip = case.machine.tool_tip
    if tip is None or not tip.modes:
        return None
    from swarfbook.physics.modes import Modes

    by_axis = {axis: [mode for mode in tip.modes if mode.axis == axis] for axis in ("x", "y")}
    x, y = by_axis["x"] or by_axis["y"], by_axis["y"] or by_axis["x"]
    along, across = (
        Modes(
            np.array([mode.frequency for mode in modes]),
            np.array([mode.damping for mode in modes]),
            np.array([mode.stiffness for mode in modes]),
        )
        for modes in (x, y)
    )
    return along, across


def stable_depth(case: Case, numbers: Numbers) -> Array | None:
    """Axial depth at which the cut begins to chatter at its speed [m]; None without measured modes."""
    modes = measured_modes(case)
    if modes is None:
        return None
    from swarfbook.physics import chatter

    return chatter.stable_depth(spindle_speed=numbers.spindle_speed, **_cut(case, numbers, modes))


@overload
def stability(case: Case, *, estimate: Literal[True]) -> Stability: ...
@overload
def stability(case: Case, *, estimate: bool = False) -> Stability | None: ...
def stability(case: Case, *, estimate: bool = False) -> Stability | None:
    """Say where a case begins to chatter and which speed nearby bears more.

    Args:
        case: the recipe, resolved.
        estimate: take the cutter's own bending mode where nothing is measured; only ever on request.

    Returns:
        None where there is no mode to go by.
    """
    modes = measured_modes(case)
    guessed = modes is None and estimate
    if guessed:
        mode = _cutters_own_mode(case)
        modes = (mode, mode)
    if modes is None:
        return None
    from swarfbook.physics import chatter

    speed = case["spindle_speed"]
    knobs = nominal_knobs(case)
    cut = _cut(case, knobs, modes)
    pockets = chatter.best_speeds(spindle_speed=speed, search_share=POCKET_REACH, count=1, **cut)
    return Stability(
        depth=float(chatter.stable_depth(spindle_speed=speed, **cut)),
        lowest=float(chatter.lowest_stable_depth(**cut)[0]),
        speed=float(np.ravel(pockets.spindle_speed)[0]),
        speed_depth=float(np.ravel(pockets.depth)[0]),
        estimate=guessed,
        narrow=is_narrow(case),
    )


def _cut(case: Case, at: Knobs | Numbers, modes: tuple[Modes, Modes]) -> dict[str, Any]:
    from swarfbook.physics import chatter

    chip, width = chip_and_width(case, at)
    ktc, ratio = chatter.regenerative_coefficients(law=case.law, chip_thickness=chip)
    entry, leave = engagement.immersion(
        radial_width=width, diameter=case["diameter"], climb=case.recipe.direction == "climb"
    )
    return {
        "modes_x": modes[0],
        "modes_y": modes[1],
        "flutes": case["flutes"],
        "entry": entry,
        "exit": leave,
        "ktc": ktc,
        "radial_ratio": ratio,
    }


def _cutters_own_mode(case: Case) -> Modes:
    from swarfbook.physics.modes import Modes, cantilever_mode

    frequency, stiffness, _mass = cantilever_mode(
        youngs_modulus=case["youngs_modulus"],
        density=case["substrate_density"],
        flute_length=case["flute_length"],
        diameter=case["diameter"],
        shank_diameter=case["shank_diameter"],
        stickout=case["stickout"],
    )
    return Modes(np.array([frequency]), np.array([case["cutter_damping"]]), np.array([stiffness]))
