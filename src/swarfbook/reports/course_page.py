"""The force over a turn and the chip through the cut, drawn with characters."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swarfbook import quantities
from swarfbook.decisions.course import Course
from swarfbook.reports.ladder import FINE

Numbers = NDArray[np.float64]

FRAME = str.maketrans("┌┐└┘│┤├┬┴─", "++++|||+" + "+-")
MARKS = {False: ("braille", "•"), True: ("*", "+")}
"""Of the curves without and with run-out, drawn and in ASCII."""
ROUND = (1, 1.2, 1.6, 2, 3, 4, 5, 6, 8, 10)
LEAST_ROWS = 8  # of one drawing, its title, frame and scale among them
EVEN = "a stiff cutter; run-out changes nothing"
UNKNOWN = "a stiff cutter without run-out: of a shaped one only the peak with run-out is known"
UNEVEN = "a stiff cutter; {mark} with run-out, at its worst place between the teeth"


@dataclass(frozen=True, slots=True)
class _Drawing:
    """Curves: their title, the angle along the bottom [deg] and the values in the unit shown.

    The second curve, with run-out, is None where there is none.
    """

    title: str
    angle: Numbers
    values: Numbers
    second: Numbers | None


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
    return [*lines, "", *_notes(found, system, MARKS[plain][1])]


def _notes(found: Course, system: str, mark: str) -> Iterator[str]:
    shaped = found.chip_height is not None
    runs_out = bool((found.chip_runout > found.chip).any())
    yield (UNKNOWN if shaped else UNEVEN.format(mark=mark)) if runs_out else EVEN
    if found.chip_height is not None:
        height = quantities.show(found.chip_height, "length", system=system)
        yield f"the chip at {height} above the tip, where it is thickest"


def _drawings(found: Course, system: str) -> tuple[_Drawing, _Drawing]:
    return (
        _drawing(
            "in-plane force over one turn", "force", quantities.preferred_unit("force", system),
            (found.angle, found.force, found.force_runout),
        ),
        _drawing(
            "chip along a tooth's way", "length", FINE[system],
            (found.chip_angle, found.chip, found.chip_runout),
        ),
    )  # fmt: skip


def _drawing(
    title: str, dimension: str, unit: str, curves: tuple[Numbers, Numbers, Numbers | None]
) -> _Drawing:
    """Say the peaks of two curves in a title, and bring all to degrees and the unit shown."""
    angle, values, second = curves
    told = quantities.show(float(values.max()), dimension, unit=unit)
    scale = quantities.convert(1.0, dimension, unit)
    if second is None or not (second > values).any():
        return _Drawing(f"{title}: {told}", np.degrees(angle), values * scale, None)
    more = quantities.show(float(second.max()), dimension, unit=unit)
    return _Drawing(
        f"{title}: {told}, with run-out {more}", np.degrees(angle), values * scale, second * scale
    )


def _drawn(drawing: _Drawing, *, width: int, height: int, plain: bool) -> list[str]:
    import plotext  # noqa: PLC0415 - drawn on demand only

    curves = [curve for curve in (drawing.second, drawing.values) if curve is not None]
    top, end = _round_up(max(float(curve.max()) for curve in curves)), float(drawing.angle[-1])
    plotext.clear_figure()
    plotext.limit_size(False, False)
    plotext.plotsize(width, height - 1)
    for curve, mark in zip(reversed(curves), MARKS[plain], strict=False):
        plotext.plot(drawing.angle.tolist(), curve.tolist(), marker=mark)
    plotext.ylim(0, top)
    plotext.xlim(0, end)
    plotext.yticks([0, top / 2, top], ["0", f"{top / 2:g}", f"{top:g}"])
    places = [end * share / 4 for share in range(5)]
    plotext.xticks(places, [f"{place:.0f}" for place in places[:-1]] + [f"{end:.0f} deg"])
    text = re.sub(r"\x1b\[[0-9;]*m", "", plotext.build())
    text = text.translate(FRAME) if plain else text
    return [drawing.title, *(line.rstrip() for line in text.splitlines())]


def _round_up(value: float) -> float:
    """Give the next round number above, of `ROUND` with noughts."""
    if value <= 0:
        return 1.0
    size = 10.0 ** np.floor(np.log10(value))
    return float(next(step * size for step in ROUND if step * size >= value))
