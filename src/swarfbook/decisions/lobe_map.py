"""The depth that is stable at each spindle speed, from measured modes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from swarfbook.decisions import dynamics
from swarfbook.decisions.borders import Floats
from swarfbook.decisions.case import Case
from swarfbook.decisions.numbers import Knobs, evaluate
from swarfbook.errors import Problem, SwarfbookError

NO_MODES = (
    "no modes are measured: give the machine's [tool_tip] modes, each with axis, frequency, damping and "
    "stiffness; `show --chatter` gives a guess from the cutter alone"
)


@dataclass(frozen=True, slots=True)
class LobeMap:
    """Stable depth over spindle speed, width and feed as the recipe has them.

    Attributes:
        case: the recipe, resolved.
        speeds: spindle speeds [rev/s], rising, shape (points,).
        depths: axial depth at which the cut begins to chatter there [m]; infinite where no lobe reaches.
        lowest: axial depth that is stable at every speed [m].
        speed, depth: where the recipe stands [rev/s, m].
        narrow: whether the cut is so narrow that it may chatter at `dynamics.FLIP_SHARE` of these depths.
    """

    case: Case
    speeds: Floats
    depths: Floats
    lowest: float
    speed: float
    depth: float
    narrow: bool


def lobe_map(case: Case, points: int) -> LobeMap:
    """Work out the stable depth over the spindle's speeds.

    Args:
        case: the recipe, resolved.
        points: how many speeds.

    Raises:
        SwarfbookError: the machine has no measured modes.
    """
    stability = dynamics.stability(case)
    if stability is None:
        raise SwarfbookError(Problem(f"machines/{case.recipe.machine}.toml", "tool_tip", "", NO_MODES))
    motor, now = case.machine.spindle, case["spindle_speed"]
    speeds = np.linspace(min(motor.min_speed, now), max(motor.max_speed, now), points)
    still = {name: np.full(points, case[name]) for name in ("axial_depth", "radial_width", "feed_per_tooth")}
    depths = dynamics.stable_depth(case, evaluate(case, Knobs(**still, spindle_speed=speeds)))
    return LobeMap(
        case=case,
        speeds=speeds,
        depths=np.array(np.broadcast_to(np.nan if depths is None else depths, speeds.shape), dtype=float),
        lowest=stability.lowest,
        speed=now,
        depth=case["axial_depth"],
        narrow=stability.narrow,
    )
