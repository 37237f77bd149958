"""Force over one turn of the cutter, and the chip along a tooth's way through the cut."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swarfbook.decisions.case import Case
from swarfbook.decisions.cutters import Engagement, chips_of
from swarfbook.decisions.cutting import is_side_cut
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.physics import discs, engagement

STEPS = 720
"""Steps of a turn: the peaks of the course are then within 1 % of `force_peak`."""
CHIP_STEPS = 181


@dataclass(frozen=True, slots=True)
class Course:
    """What one tooth after another does in a turn, of a stiff cutter without run-out.

    Attributes:
        angle: of the cutter [rad], shape (k,).
        force: in-plane resultant [N], (k,).
        along: on the cutter along the feed [N], (k,).
        across: normal to the feed [N], (k,).
        chip_angle: of a tooth from its entry on [rad], shape (n,).
        chip: thickness there, at the height where it is thickest [m], (n,).
    """

    angle: NDArray[np.float64]
    force: NDArray[np.float64]
    along: NDArray[np.float64]
    across: NDArray[np.float64]
    chip_angle: NDArray[np.float64]
    chip: NDArray[np.float64]


def course(case: Case) -> Course:
    """Work out the course over one turn of a side cut.

    Raises:
        SwarfbookError: the operation is not a side cut.
    """
    if not is_side_cut(case.recipe):
        where = f"recipes/{case.recipe_id}.toml"
        remedy = "the course over a turn is drawn for cuts with the cutter's side"
        raise SwarfbookError(Problem(where, "operation", case.recipe.operation, remedy))
    angle = np.linspace(0.0, 2 * np.pi, STEPS + 1)
    turn = discs.turn(
        law=case.law,
        cutter=case.cutter,
        flutes=case["flutes"],
        helix=case["helix"],
        axial_depth=case["axial_depth"],
        radial_width=case["radial_width"],
        feed_per_tooth=case["feed_per_tooth"],
        climb=case.recipe.direction == "climb",
        angles=angle,
    )
    along, across = (np.ravel(force) for force in (turn.force_x, turn.force_y))
    chip_angle, chip = _chip(case)
    return Course(angle, np.hypot(along, across), along, across, chip_angle, chip)


def _chip(case: Case) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    cut = Engagement(case["axial_depth"], case["radial_width"], case["feed_per_tooth"])
    thickest = float(chips_of(case.cutter, cut).chip_thickness_max)
    entry, leave = engagement.immersion(
        radial_width=case["radial_width"],
        diameter=case["diameter"],
        climb=case.recipe.direction == "climb",
    )
    immersion = np.linspace(float(entry), float(leave), CHIP_STEPS)
    shape = np.sin(immersion)
    return immersion - immersion[0], np.maximum(thickest * shape / shape.max(), 0.0)


def course_json(found: Course) -> dict[str, object]:
    """Give the course as the JSON has it."""
    return {
        "angle": {"values": np.degrees(found.angle).tolist(), "unit": "deg"},
        "force": {"values": found.force.tolist(), "unit": "N"},
        "force_x": {"values": found.along.tolist(), "unit": "N"},
        "force_y": {"values": found.across.tolist(), "unit": "N"},
        "chip_angle": {"values": np.degrees(found.chip_angle).tolist(), "unit": "deg"},
        "chip_thickness": {"values": (1e3 * found.chip).tolist(), "unit": "mm"},
    }
