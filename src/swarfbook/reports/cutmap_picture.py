"""A map, or stable depth over speed, as a PNG: black and grey lines with their names on them."""

from __future__ import annotations

from collections import Counter
from itertools import cycle
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from swarfbook import quantities
from swarfbook.decisions.borders import outline
from swarfbook.decisions.cutmap import CutMap
from swarfbook.decisions.cutmap_json import knob_unit, scale
from swarfbook.decisions.lobe_map import LobeMap
from swarfbook.reports.cutmap_page import (
    WENT,
    axis_title,
    drawn_limits,
    heading,
    in_units,
    line_title,
    rate_levels,
    rate_unit,
)
from swarfbook.reports.lobe_page import deepest_drawn, lobe_heading
from swarfbook.reports.picture import SIZE, new_figure, save_png
from swarfbook.reports.sheet import Numbers

if TYPE_CHECKING:
    from matplotlib.axes import Axes

SHARES = (0.5, 0.2, 0.8, 0.35, 0.65)
"""Where names stand on the lines of limits, in turn, so that near lines do not have them side by side."""
PAPER: dict[str, Any] = {"facecolor": "white", "edgecolor": "none", "pad": 0.5}
MARKERS = {"clean": ("^", "black"), "disputed": ("^", "none"), "bad": ("x", "black")}


def cut_map_picture(found: CutMap, path: Path, *, system: str) -> None:
    """Write a map as a PNG; the short strokes on a limit's line point to where it is over.

    Args:
        found: the map.
        path: file to write.
        system: units to show, `metric` or `imperial`.

    Raises:
        SwarfbookError: matplotlib is not there, or the file cannot be written.
    """
    figure = new_figure(path)
    axes = figure.subplots()
    x, y = (in_units(axis, system) for axis in (found.x, found.y))
    axes.set(xlim=(x[0], x[-1]), ylim=(y[0], y[-1]))
    _contours(axes, found, system)
    limits = drawn_limits(found, outline(found.uses, found.severity))
    for names, share in zip(limits, cycle(SHARES)):
        _limit(axes, found, names, system, share)
    _points(axes, found, system)
    axes.set(xlabel=axis_title(found.x, system), ylabel=axis_title(found.y, system))
    _title(axes, found.case.recipe_id, heading(found, system).partition("; ")[2])
    _legend(axes)
    save_png(figure, path)


def boundary(x: Numbers, y: Numbers, use: Numbers) -> list[Numbers]:
    """Trace where a use passes 1, what is over to the left of each line.

    Args:
        x: of the columns, positive and rising, shape (columns,).
        y: of the rows, likewise, shape (rows,).
        use: shape (rows, columns).

    Returns:
        Lines of x and y, shape (points, 2) each.
    """
    return _traced(x, y, use, 1.0)


def _traced(x: Numbers, y: Numbers, values: Numbers, level: float) -> list[Numbers]:
    """Trace a level; values go as powers of x and y between the points, as most loads nearly do."""
    from contourpy import contour_generator  # noqa: PLC0415 - matplotlib brings it, and nothing else needs it

    with np.errstate(divide="ignore", invalid="ignore"):
        height = np.log(values)
    masked = np.ma.masked_invalid(height)
    lines = contour_generator(np.log(x), np.log(y), masked).lines(float(np.log(level)))
    return [np.exp(np.asarray(line, dtype=float)) for line in lines]


def _contours(axes: Axes, found: CutMap, system: str) -> None:
    rate = found.removal_rate * scale("volume_rate", rate_unit(system))
    x, y = (in_units(axis, system) for axis in (found.x, found.y))
    label = f"removal rate [{quantities.pretty(rate_unit(system))}]"
    for level in rate_levels(found, system):
        for line in _traced(x, y, rate, level):
            axes.plot(*line.T, linestyle=":", color="0.5", linewidth=1.0, label=label)
            _name(axes, line, f"{level:g}", 0.3, "0.4")


def _limit(axes: Axes, found: CutMap, names: tuple[str, ...], system: str, share: float) -> None:
    from matplotlib.patheffects import withTickedStroke  # noqa: PLC0415 - an extra, and slow to start

    hard = found.severity[names[0]] == "hard"
    x, y = (in_units(axis, system) for axis in (found.x, found.y))
    lines = boundary(x, y, found.uses[names[0]])
    for line in lines:
        axes.plot(
            *line.T,
            label="hard limit, over where the strokes are" if hard else "advice, likewise",
            color="black",
            linestyle="-" if hard else "--",
            linewidth=1.6 if hard else 1.2,
            path_effects=[withTickedStroke(angle=60, spacing=9, length=0.6)],
        )
    if lines:
        _name(axes, max(lines, key=len), line_title(found, names), share)


def _name(axes: Axes, line: Numbers, text: str, share: float, colour: str = "black") -> None:
    """Write a name on a line, along it, at a share of its way over the paper."""
    ends = np.array([axes.get_xlim(), axes.get_ylim()])
    paper = (line - ends[:, 0]) / (ends[:, 1] - ends[:, 0]) * SIZE
    way = np.append(0.0, np.cumsum(np.hypot(*np.diff(paper, axis=0).T)))
    at = int(np.clip(np.searchsorted(way, share * way[-1]), 1, len(line) - 1))
    before, after = paper[max(at - 3, 0)], paper[min(at + 3, len(line) - 1)]
    slope = float(np.degrees(np.arctan2(after[1] - before[1], after[0] - before[0])))
    x, y = line[at].tolist()
    axes.text(
        x,
        y,
        text,
        color=colour,
        rotation=(slope + 90) % 180 - 90,
        rotation_mode="anchor",
        horizontalalignment="center",
        verticalalignment="center",
        fontsize=9,
        bbox=PAPER,
    )


def _points(axes: Axes, found: CutMap, system: str) -> None:
    by = [scale(*knob_unit(axis.knob, system)) for axis in (found.x, found.y)]
    inside = [run for run in found.ran if found.inside(run)]
    went = Counter[str](run.went for run in inside)
    for word, (marker, face) in MARKERS.items():
        runs = [run for run in inside if run.went == word]
        places = [
            [float(getattr(run.knobs, axis.knob)) * factor for run in runs]
            for axis, factor in zip((found.x, found.y), by, strict=True)
        ]
        if runs:
            label = f"{WENT[word]} ({went[word]})"
            axes.plot(
                *places,
                marker,
                color="black",
                markerfacecolor=face,
                markersize=8,
                label=label,
                zorder=4,
                clip_on=False,
            )
    now = (found.x.now * by[0], found.y.now * by[1])
    axes.plot(*([one] for one in now), "o", color="black", markersize=6, label="the recipe", zorder=5)


def lobe_map_picture(found: LobeMap, path: Path, *, system: str) -> None:
    """Write stable depth over speed as a PNG; arguments and errors as of `cut_map_picture`."""
    figure = new_figure(path)
    axes = figure.subplots()
    by_speed, by_depth = (scale(*knob_unit(knob, system)) for knob in ("spindle_speed", "axial_depth"))
    speeds = found.speeds * by_speed
    axes.plot(speeds, found.depths * by_depth, color="black", label="begins to chatter above")
    if np.isfinite(found.lowest):
        axes.axhline(found.lowest * by_depth, color="0.5", linestyle=":", label="stable at every speed")
    now = ([found.speed * by_speed], [found.depth * by_depth])
    axes.plot(*now, "o", color="black", label="the recipe")
    axes.set(xlim=(speeds[0], speeds[-1]), ylim=(0, deepest_drawn(found) * by_depth))
    told, _, still = lobe_heading(found, system).partition("; ")
    depth, _, speed = told.partition(" over ")
    axes.set(xlabel=speed, ylabel=depth)
    _title(axes, found.case.recipe_id, still)
    _legend(axes)
    save_png(figure, path)


def _legend(axes: Axes) -> None:
    handles, labels = axes.get_legend_handles_labels()
    once = dict(zip(labels, handles, strict=True))
    axes.legend(once.values(), once, loc="upper center", bbox_to_anchor=(0.5, -0.12), ncols=3, frameon=False)


def _title(axes: Axes, recipe: str, still: str) -> None:
    axes.set_title(f"{recipe}; estimates\n{still}", fontsize=11)
