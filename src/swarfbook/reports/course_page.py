"""The force over a turn and the chip through the cut, drawn with characters."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swarfbook import quantities
from swarfbook.decisions.course import Course
from swarfbook.reports.ladder import FINE

FRAME = str.maketrans("┌┐└┘│┤├┬┴─", "++++|||+" + "+-")
LEAST_ROWS = 7  # of one drawing, its title, frame and scale among them
NOTE = "a stiff cutter without run-out; the chip at the height where it is thickest"


@dataclass(frozen=True, slots=True)
class _Drawing:
    """One curve: its title, the angle along the bottom [deg] and the values in the unit shown."""

    title: str
    angle: NDArray[np.float64]
    values: NDArray[np.float64]


def course_lines(found: Course, *, width: int, height: int, system: str, plain: bool = False) -> list[str]:
    """Draw both curves in at most so many columns, and about so many rows.

    Args:
        found: the course over a turn.
        width: columns there are.
        height: rows there are.
        system: `metric` or `imperial`.
        plain: draw with ASCII only.
    """
    rows = max((height - 2) // 2, LEAST_ROWS)
    lines = [
        line
        for drawing in _drawings(found, system)
        for line in _drawn(drawing, width=width, height=rows, plain=plain)
    ]
    return [*lines, "", NOTE]


def _drawings(found: Course, system: str) -> tuple[_Drawing, _Drawing]:
    newtons, chip = quantities.preferred_unit("force", system), FINE[system]
    force = found.force * quantities.convert(1.0, "force", newtons)
    thickness = found.chip * quantities.convert(1.0, "length", chip)
    peak = quantities.show(float(found.force.max()), "force", unit=newtons)
    thickest = quantities.show(float(found.chip.max()), "length", unit=chip)
    return (
        _Drawing(f"in-plane force over one turn, peak {peak}", np.degrees(found.angle), force),
        _Drawing(f"chip along a tooth's way, thickest {thickest}", np.degrees(found.chip_angle), thickness),
    )


def _drawn(drawing: _Drawing, *, width: int, height: int, plain: bool) -> list[str]:
    import plotext  # noqa: PLC0415 - drawn on demand only

    top, end = _round_up(float(drawing.values.max())), float(drawing.angle[-1])
    plotext.clear_figure()
    plotext.plotsize(width, height)
    plotext.title(drawing.title)
    plotext.plot(drawing.angle.tolist(), drawing.values.tolist(), marker="*" if plain else "braille")
    plotext.ylim(0, top)
    plotext.xlim(0, end)
    plotext.yticks([0, top / 2, top], ["0", f"{top / 2:g}", f"{top:g}"])
    places = [end * share / 4 for share in range(5)]
    plotext.xticks(places, [f"{place:.0f}" for place in places[:-1]] + [f"{end:.0f} deg"])
    text = re.sub(r"\x1b\[[0-9;]*m", "", plotext.build())
    text = text.translate(FRAME) if plain else text
    return [line.rstrip() for line in text.splitlines()]


def _round_up(value: float) -> float:
    """Give the next round number above: 1, 2 or 5 with noughts."""
    if value <= 0:
        return 1.0
    size = 10.0 ** np.floor(np.log10(value))
    return float(next(step * size for step in (1, 2, 5, 10) if step * size >= value))
