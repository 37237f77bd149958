"""A trace of power over time drawn with characters: the idle level, the spans used, the figures."""

from __future__ import annotations

import re
from typing import Final

import numpy as np

from swarfbook import quantities
from swarfbook.decisions.meter import Cutting, Numbers
from swarfbook.decisions.trace import Trace
from swarfbook.reports.course_page import FRAME
from swarfbook.reports.plain import plain as in_ascii

NARROWEST: Final = 60
WIDEST: Final = 200
MARKS: Final = {False: ("braille", "─", "█"), True: ("*", "-", "=")}
"""Of the power, of idle and of the spans used, drawn and in ASCII."""
DOTS: Final = 2  # that braille has side by side in a column
LONG: Final = 600.0  # [s]; longer traces are told in minutes
HEADROOM: Final = 1.3
"""Of the scale over the peak of the cutting; a judgement: a start many times higher would press all flat."""
BAND: Final = 0.12
"""Share of the scale below 0, where the spans used are drawn clear of the curve."""
CLOSE: Final = 0.8  # of the peak; a mean above it would have the same place on the scale
HIGHER: Final = "what is no cutting, such as a start, reaches above the top"
APPARENT: Final = "amps times volts: reads high, above all at light load"


def meter_page(
    trace: Trace, found: Cutting, *, width: int, height: int = 18, plain: bool = False
) -> list[str]:
    """Draw power over time, with idle and the spans used along the bottom, and three lines of figures below.

    Args:
        trace: the power over time.
        found: what it says of the cutting.
        width: columns there are; fewer than 60 are taken as 60, more than 200 as 200.
        height: rows of the drawing, its title and scale among them.
        plain: draw and write with ASCII only.
    """
    columns = min(max(width, NARROWEST), WIDEST)
    lines = [*_drawn(trace, found, width=columns, height=height, plain=plain), "", *_figures(found)]
    return [in_ascii(line) for line in lines] if plain else lines


def _figures(found: Cutting) -> tuple[str, str, str]:
    many = "1 span" if len(found.spans) == 1 else f"{len(found.spans)} spans"
    idle = f"{'given' if found.idle_given else 'found'} {_watts(found.idle)}"
    return (
        f"cutting, above {_watts(found.step)}: {quantities.show(found.time, 'time', unit='s')} in {many}",
        f"mean {_watts(found.mean)}, peak {_watts(found.peak)}, 99 % of it at most {_watts(found.high)}",
        f"less idle, {idle}: mean {_watts(found.net_mean)}, peak {_watts(found.net_peak)}",
    )


def _watts(power: float) -> str:
    return quantities.show(power, "power", unit="W")


def _drawn(trace: Trace, found: Cutting, *, width: int, height: int, plain: bool) -> list[str]:
    import plotext  # noqa: PLC0415 - drawn on demand only

    curve, idle, used = MARKS[plain]
    unit, scale = ("min", 60.0) if trace.time[-1] > LONG else ("s", 1.0)
    top, end = HEADROOM * found.peak, float(trace.time[-1])
    plotext.clear_figure()
    plotext.limit_size(False, False)
    plotext.plotsize(width, height - 1)
    time, power = _outline(trace, width * DOTS)
    plotext.plot(time.tolist(), np.minimum(power, top).tolist(), marker=curve)
    plotext.plot([0.0, end], [found.idle, found.idle], marker=idle)
    places = _places(found, end, width)
    plotext.scatter(places, [-BAND * top] * len(places), marker=used)
    plotext.ylim(-BAND * top, top)
    plotext.xlim(0, end)
    levels = [0.0, found.mean, found.peak] if found.mean < CLOSE * found.peak else [0.0, found.peak]
    plotext.yticks(levels, [f"{level:.0f}" if level >= 10 else f"{level:.2g}" for level in levels])
    ticks = [end * share / 4 for share in range(5)]
    names = [f"{tick / scale:.3g}" for tick in ticks]
    plotext.xticks(ticks, [*names[:-1], f"{names[-1]} {unit}"])
    text = re.sub(r"\x1b\[[0-9;]*m", "", plotext.build())
    notes = [*([HIGHER] if trace.power.max() > top else []), *([APPARENT] if found.apparent else [])]
    title = f"power [W] over time; {idle} idle, {used} cutting"
    text = text.translate(FRAME) if plain else text
    return [title, *notes, *(line.rstrip() for line in text.splitlines())]


def _places(found: Cutting, end: float, count: int) -> list[float]:
    """Give the middles [s] of those of so many equal times up to the end in which it cut."""
    spans = np.array(found.spans) / end * count
    changes = np.zeros(count + 1)
    np.add.at(changes, np.minimum(spans[:, 0].astype(int), count - 1), 1)
    np.add.at(changes, np.minimum(np.ceil(spans[:, 1]).astype(int), count), -1)
    places: list[float] = ((np.flatnonzero(np.cumsum(changes[:-1]) > 0) + 0.5) * end / count).tolist()
    return places


def _outline(trace: Trace, count: int) -> tuple[Numbers, Numbers]:
    """Thin a trace out to the lowest and the highest sample of so many equal times, in order of time."""
    if trace.time.size <= 2 * count:
        return trace.time, trace.power
    bins = np.minimum(trace.time / trace.time[-1] * count, count - 1).astype(int)
    order = np.lexsort((trace.power, bins))
    firsts = np.flatnonzero(np.diff(bins[order], prepend=-1))
    ends = np.append(firsts[1:], order.size) - 1
    kept = np.unique(np.concatenate((order[firsts], order[ends])))
    return trace.time[kept], trace.power[kept]
