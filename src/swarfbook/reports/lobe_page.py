"""Stable depth over spindle speed for the terminal."""

from __future__ import annotations

import numpy as np

from swarfbook import quantities
from swarfbook.decisions.cutmap_json import knob_unit, scale
from swarfbook.decisions.lobe_map import LobeMap
from swarfbook.reports.chatter_page import MEASURED, NARROW
from swarfbook.reports.cutmap_page import (
    NARROWEST,
    SIGNS,
    WIDEST,
    sheet_size,
    show_knob,
)
from swarfbook.reports.plain import plain as in_ascii
from swarfbook.reports.sheet import Numbers, Scale, Sheet, edge
from swarfbook.reports.words import wrapped

HEADROOM = 3.0  # how many times the recipe's or the lowest depth are drawn; pockets may be far deeper


def lobe_map_lines(
    found: LobeMap, *, width: int, system: str, height: int | None = None, plain: bool = False
) -> list[str]:
    """Draw the border of chatter, the depth that is stable at every speed, and the recipe.

    Args:
        found: the stable depths.
        width: columns there are, of which at least 60 and at most 200 are used.
        system: units to show, `metric` or `imperial`.
        height: rows that the heading and the drawing are to take together; None for as suits the width.
        plain: draw with ASCII only.
    """
    across = max(NARROWEST, min(WIDEST, width))
    sign = SIGNS["recipe"][plain]
    lowest, depth = (show_knob("axial_depth", si, system) for si in (found.lowest, found.depth))
    words = [
        f"c  the depth at which it begins to chatter; dots: stable at every speed, to {lowest}",
        f"{sign}  the recipe, {depth} deep at {show_knob('spindle_speed', found.speed, system)}",
        "",
        MEASURED,
        *([NARROW] if found.narrow else []),
    ]
    head = list(wrapped([lobe_heading(found, system)], width=across))
    size = sheet_size(across, None if height is None else height - len(head))
    lines = [*head, *_drawn(found, size, system, plain=plain), *wrapped(words, width=across)]
    return [in_ascii(line) for line in lines] if plain else lines


def lobe_heading(found: LobeMap, system: str) -> str:
    """Say what is drawn, and where the other knobs stand."""
    unit, speed = (quantities.pretty(knob_unit(knob, system)[1]) for knob in ("axial_depth", "spindle_speed"))
    width, feed = (show_knob(knob, found.case[knob], system) for knob in ("radial_width", "feed_per_tooth"))
    still = f"radial width {width}, feed per tooth {feed}"
    return f"stable axial depth [{unit}] over spindle speed [{speed}]; {still}"


def deepest_drawn(found: LobeMap) -> float:
    """Give the depth at which the picture ends [m]."""
    finite = found.depths[np.isfinite(found.depths)]
    highest = float(finite.max()) * 1.1 if finite.size else np.inf
    lowest = found.lowest if np.isfinite(found.lowest) else 0.0
    return min(highest, HEADROOM * max(lowest, found.depth)) if highest > found.depth else found.depth * 1.1


def _drawn(found: LobeMap, size: tuple[int, int], system: str, *, plain: bool) -> list[str]:
    columns, rows = size
    by_speed, by_depth = (scale(*knob_unit(knob, system)) for knob in ("spindle_speed", "axial_depth"))
    top = deepest_drawn(found) * by_depth
    x = Scale(float(found.speeds[0]) * by_speed, float(found.speeds[-1]) * by_speed)
    sheet = Sheet(columns, rows, x, Scale(0.0, top))
    heights = sheet.y.places(rows)[:, None]
    if np.isfinite(found.lowest):
        row = sheet.y.cell(found.lowest * by_depth, rows)
        sheet.cells[row] = ["." if plain else "·"] * columns
    border = _lowest_in(found, columns) * by_depth
    sheet.fill(edge(heights >= border, heights < border), "c")
    sheet.put(found.speed * by_speed, found.depth * by_depth, SIGNS["recipe"][plain])
    return sheet.lines(plain=plain)


def _lowest_in(found: LobeMap, columns: int) -> Numbers:
    """Give the least stable depth of the speeds of each column [m]: no dip may fall between two."""
    at = np.interp(np.linspace(found.speeds[0], found.speeds[-1], columns), found.speeds, found.depths)
    cell = np.rint(np.linspace(0, columns - 1, found.speeds.size)).astype(int)
    lowest = np.where(np.isnan(at), np.inf, at)
    np.minimum.at(lowest, cell, np.where(np.isnan(found.depths), np.inf, found.depths))
    return lowest
