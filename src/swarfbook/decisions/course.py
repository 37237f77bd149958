"""Force over one turn of the cutter, and the chip along a tooth's way through the cut."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from swarfbook.decisions.case import Case
from swarfbook.decisions.cutting import is_side_cut
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.physics import discs, helical, runout, stack, turn
from swarfbook.physics.engagement import immersion
from swarfbook.physics.facing import widest_sine
from swarfbook.physics.sampling import sampled
from swarfbook.physics.shapes import Square
from swarfbook.physics.strips import Strip, side_strip

Numbers = NDArray[np.float64]

IDLE_STEPS = 8
CHIP_STEPS = 180


@dataclass(frozen=True, slots=True)
class Course:
    """What one tooth after another does in a turn of a stiff cutter.

    Attributes:
        angle: of the cutter from the first touch of a tooth, to a full turn [rad], shape (k,); close together
            where the force peaks, whose largest values are those of a check.
        along: on the cutter along the feed [N], (k,).
        across: normal to the feed [N], (k,).
        along_runout, across_runout: the same with run-out, its place between the teeth the worst [N], (k,);
            None where run-out changes nothing, and for a shaped cutter, of which only the peak is known.
        chip_angle: of a tooth from its entry on [rad], (n,).
        chip: thickness there without run-out [m], (n,).
        chip_runout: thickness for the tooth that stands out furthest [m], (n,).
        chip_height: above the tip at which the chip is thickest and is seen here [m]; None where it is the
            same at every height.
    """

    angle: Numbers
    along: Numbers
    across: Numbers
    along_runout: Numbers | None
    across_runout: Numbers | None
    chip_angle: Numbers
    chip: Numbers
    chip_runout: Numbers
    chip_height: float | None

    @property
    def force(self) -> Numbers:
        """In-plane resultant without run-out [N], (k,)."""
        return np.hypot(self.along, self.across)

    @property
    def force_runout(self) -> Numbers | None:
        """In-plane resultant with run-out [N], (k,); None as for its parts."""
        if self.along_runout is None or self.across_runout is None:
            return None
        return np.hypot(self.along_runout, self.across_runout)


def course(case: Case) -> Course:
    """Work out the course over one turn of a side cut.

    Raises:
        SwarfbookError: the operation is not a side cut.
    """
    if not is_side_cut(case.recipe):
        where = f"recipes/{case.recipe_id}.toml"
        remedy = "the course over a turn is drawn for cuts with the cutter's side"
        raise SwarfbookError(Problem(where, "operation", case.recipe.operation, remedy))
    square = type(case.cutter) is Square
    angle, along, across = _square(case) if square else _shaped(case)
    runs_out = square and case["flutes"] > 1 and case["runout"] > 0
    along_runout, across_runout = _uneven(case) if runs_out else (None, None)
    chip_angle, chip, height = _chip(case)
    chip_runout = runout.chip_thickness_runout(
        chip_thickness_max=chip, runout=case["runout"], flutes=case["flutes"]
    )
    return Course(
        angle=angle,
        along=along,
        across=across,
        along_runout=along_runout,
        across_runout=across_runout,
        chip_angle=chip_angle,
        chip=chip,
        chip_runout=np.asarray(chip_runout),
        chip_height=None if isinstance(case.cutter, Square) else height,
    )


def _side(case: Case) -> dict[str, Any]:
    return {
        "radial_width": case["radial_width"],
        "diameter": case["diameter"],
        "climb": case.recipe.direction == "climb",
    }


def _cuts(case: Case) -> helical.Cuts:
    entry, leave = immersion(**_side(case))
    return helical.arc_cuts(
        law=case.law,
        diameter=case["diameter"],
        flutes=case["flutes"],
        helix=case["helix"],
        axial_depth=case["axial_depth"],
        feed_per_tooth=case["feed_per_tooth"],
        entry=entry,
        exit=leave,
    )[0]


def _square_leads(cuts: helical.Cuts) -> Numbers:
    """Leads over one pitch that miss no peak of a square cutter, shape (1, k)."""
    leads = sampled(helical.stretches(cuts), samples=turn.SAMPLES)
    return _to_the_pitch(leads, float(cuts.pitch_angle[0, 0]))


def _to_the_pitch(leads: Numbers, pitch_angle: float) -> Numbers:
    """Go on from the last lead at which anything happens to the next tooth's first touch, shape (1, k)."""
    idle = np.linspace(leads[0, -1], pitch_angle, IDLE_STEPS)[1:]
    return np.hstack((leads, idle[None, :])) if leads[0, -1] < pitch_angle else leads


def _square(case: Case) -> tuple[Numbers, Numbers, Numbers]:
    cuts = _cuts(case)
    leads = _square_leads(cuts)
    _, along, across, _ = helical.forces(cuts, leads)
    return _whole_turn(case, leads, along, across)


def _shaped(case: Case) -> tuple[Numbers, Numbers, Numbers]:
    pile, _ = stack.stacked(
        law=case.law,
        cutter=case.cutter,
        flutes=case["flutes"],
        helix=case["helix"],
        axial_depth=case["axial_depth"],
        feed_per_tooth=case["feed_per_tooth"],
        strip=_strip(case),
    )
    leads = _to_the_pitch(stack.leads(pile, samples=2 * discs.SAMPLES), float(pile.pitch_angle[0, 0, 0]))
    _, along, across, _ = stack.forces(pile, leads)
    return _whole_turn(case, leads, along, across)


def _whole_turn(
    case: Case, leads: Numbers, along: Numbers, across: Numbers
) -> tuple[Numbers, Numbers, Numbers]:
    """Repeat what happens over a pitch for every tooth: angle, force along and across."""
    teeth = round(case["flutes"])
    angle = (np.arange(teeth)[:, None] * (2 * np.pi / teeth) + leads).ravel()
    return angle, np.tile(along[0], teeth), np.tile(across[0], teeth)


def _uneven(case: Case) -> tuple[Numbers, Numbers]:
    cuts = _cuts(case)
    return runout.turn_runout(
        cuts=cuts, runout=case["runout"], flutes=round(case["flutes"]), leads=_square_leads(cuts)
    )


def _strip(case: Case) -> Strip:
    return side_strip(**_side(case), earlier_pass=False)


def _chip(case: Case) -> tuple[Numbers, Numbers, float]:
    """Angle from entry on [rad], chip [m], and the height at which it is thickest [m]."""
    slices = stack.outline(cutter=case.cutter, axial_depth=case["axial_depth"], strip=_strip(case), shape=())
    steepness = np.sin(slices.edge_angle[0])
    entry, leave = slices.nodes[:, 0]
    at = int(np.argmax(steepness * widest_sine(entry=entry, exit=leave)))
    phi = np.linspace(entry[at], leave[at], CHIP_STEPS + 1)
    if entry[at] < np.pi / 2 < leave[at]:
        phi = np.sort(np.append(phi, np.pi / 2))
    chip = case["feed_per_tooth"] * steepness[at] * np.maximum(np.sin(phi), 0.0)
    return phi - phi[0], chip, float(slices.height[0, at])


def course_json(found: Course) -> dict[str, object]:
    """Give the course as the JSON has it; what is not known is null."""
    height = found.chip_height
    return {
        "angle": _values(np.degrees(found.angle), "deg"),
        "force": _values(found.force, "N"),
        "force_x": _values(found.along, "N"),
        "force_y": _values(found.across, "N"),
        "force_runout": _values(found.force_runout, "N"),
        "force_x_runout": _values(found.along_runout, "N"),
        "force_y_runout": _values(found.across_runout, "N"),
        "chip_angle": _values(np.degrees(found.chip_angle), "deg"),
        "chip_thickness": _values(1e3 * found.chip, "mm"),
        "chip_thickness_runout": _values(1e3 * found.chip_runout, "mm"),
        "chip_height": None if height is None else {"value": 1e3 * height, "unit": "mm"},
    }


def _values(values: Numbers | None, unit: str) -> dict[str, object] | None:
    return None if values is None else {"values": values.tolist(), "unit": unit}
