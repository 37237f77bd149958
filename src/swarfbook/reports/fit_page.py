"""A fit as lines and as a picture: the parts with their bands, and measured power against predicted."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from swarfbook.decisions.fit import Fit, Fitted
from swarfbook.reports.picture import new_figure, save_png
from swarfbook.reports.plain import plain as in_ascii
from swarfbook.reports.words import counted, wrapped

if TYPE_CHECKING:
    from matplotlib.axes import Axes

ROWS = 20
MOST_DRAWN = 5000
KINDS = {"material": "materials", "tool": "cutters", "machine": "machines: meter and efficiency"}
SQUARE = (6.0, 6.0)  # inches
COLOURS = re.compile(r"\x1b\[[0-9;]*m")


def fit_lines(found: Fit, *, width: int, plain: bool = False) -> list[str]:
    """Write a fit: what each part does to the tables' power, how the runs fit, what was read without a cut.

    Args:
        found: the fit.
        width: columns there are.
        plain: draw with ASCII only.
    """
    if not found.posterior.parts:
        return [*_nothing(found)]
    told = ["measured cutting power over the tables', 90 % of likely values in brackets", *_parts(found)]
    lines = [
        *wrapped([*told, "", *_spread(found), *_idle(found)], width=width),
        "",
        *scatter(found.runs, width=width, plain=plain),
    ]
    return [in_ascii(line) for line in lines] if plain else lines


def _nothing(found: Fit) -> Iterator[str]:
    yield "no run teaches anything yet: log runs with --power, or with a meter's file (--meter)"
    yield from _unread(found)


def _parts(found: Fit) -> Iterator[str]:
    posterior = found.posterior
    for kind, heading in KINDS.items():
        parts = [part for part in posterior.parts if part.startswith(f"{kind}:")]
        if parts:
            yield heading
        for part in parts:
            factor, low, high = posterior.factor(part)
            name = part.partition(":")[2]
            runs = counted(posterior.runs(part), "run")
            yield f"  {name:<22}{factor:>6.2f}  ({low:.2f} to {high:.2f})  {runs}"


def _spread(found: Fit) -> Iterator[str]:
    if found.runs:
        readings = counted(len(found.runs), "reading")
        yield f"{found.runs.inside} of {readings} lie in the 90 % band of their cut"
    light = found.runs.light()
    if light:
        names = ", ".join(found.runs[place].run for place in light[:3]) + (" …" if len(light) > 3 else "")
        yield f"far off before anything was learnt, so they count for less: {names}"
    spread = found.posterior.spread
    if spread is not None:
        tables = found.posterior.priors.noise_sd
        yield f"run-to-run scatter {_percent(spread)}; the tables say {_percent(tables)}"
    yield from _unread(found)


def _unread(found: Fit) -> Iterator[str]:
    if found.unread:
        teach = "teaches" if found.unread == 1 else "teach"
        readings = counted(found.unread, "reading")
        yield f"{readings} {teach} nothing: net power too small, a worn edge or the like, or no records"


def _percent(log_sd: float) -> str:
    return f"{100 * log_sd:.0f} %"


def _idle(found: Fit) -> Iterator[str]:
    for one in found.idle:
        told = "its file says nothing" if one.told is None else f"its file says {one.told:.3g} W"
        readings = counted(one.readings, "reading")
        yield f"without a cut {one.machine} draws {one.mean:.3g} W, {readings}; {told}"


def scatter(runs: Sequence[Fitted], *, width: int, plain: bool = False) -> list[str]:
    """Draw measured against predicted power with characters, before and after learning."""
    if not runs:
        return []
    import plotext  # noqa: PLC0415 - only drawings need it

    step = drawn_step(len(runs))
    runs = runs[::step]
    plotext.clear_figure()
    plotext.plotsize(min(width, 100), ROWS)
    plotext.theme("clear")
    most = 1.1 * max(max(one.measured, one.predicted, one.fitted) for one in runs)
    plotext.plot([0, most], [0, most], marker="." if plain else "braille")
    plotext.scatter([one.predicted for one in runs], [one.measured for one in runs], marker="o")
    plotext.scatter([one.fitted for one in runs], [one.measured for one in runs], marker="x")
    plotext.xlim(0, most)
    plotext.ylim(0, most)
    drawn = [COLOURS.sub("", line).rstrip() for line in plotext.build().splitlines()]
    some = f"; one run in {step} is drawn" if step > 1 else ""
    return [f"measured [W] over predicted [W]: o by the tables, x learnt{some}", *drawn]


def drawn_step(runs: int) -> int:
    """Give of how many runs one is drawn: more than some thousands are one blot, and take long."""
    return -(-runs // MOST_DRAWN) or 1


def fit_picture(found: Fit, path: Path) -> None:
    """Write measured against predicted power as a PNG.

    Raises:
        SwarfbookError: matplotlib is not there, or the file cannot be written.
    """
    figure = new_figure(path, size=SQUARE)
    _draw(figure.subplots(), found.runs[:: drawn_step(len(found.runs))])
    save_png(figure, path)


def _draw(axes: Axes, runs: Sequence[Fitted]) -> None:
    measured = [one.measured for one in runs]
    lows, highs = [one.low for one in runs], [one.high for one in runs]
    predicted, fitted = [one.predicted for one in runs], [one.fitted for one in runs]
    axes.hlines(measured, lows, highs, color="0.6", label="90 % band")
    axes.plot(predicted, measured, "o", markerfacecolor="none", color="black", label="by the tables")
    axes.plot(fitted, measured, "x", color="black", label="as learnt")
    if runs:
        ends = [min(*lows, *measured, *predicted), max(*highs, *measured, *predicted)]
        axes.plot(ends, ends, color="0.4", linestyle=":", label="measured as predicted")
        axes.set(xscale="log", yscale="log")
        _plain_ticks(axes)
        axes.legend()
    axes.set(xlabel="predicted cutting power [W]", ylabel="measured cutting power [W]")
    axes.set_title("Measured against predicted; estimates")


def _plain_ticks(axes: Axes) -> None:
    from matplotlib.ticker import FormatStrFormatter, LogLocator, NullFormatter  # noqa: PLC0415 - slow to start

    for axis in (axes.xaxis, axes.yaxis):
        axis.set_major_locator(LogLocator(subs=(1, 2, 5)))
        axis.set_major_formatter(FormatStrFormatter("%g"))
        axis.set_minor_formatter(NullFormatter())
