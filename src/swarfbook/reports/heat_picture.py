"""The stock's temperature over the time of one piece as a PNG, black and grey."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from swarfbook import quantities
from swarfbook.decisions.chance import Z95
from swarfbook.decisions.jobs.judging import JobReport
from swarfbook.reports import job_words as say
from swarfbook.reports.heat_page import curve, limit, step_starts, unit_of
from swarfbook.reports.picture import new_figure, save_png
from swarfbook.reports.sheet import Numbers


def heat_picture(report: JobReport, path: Path, *, system: str) -> None:
    """Write the curve with the band of likely ones, the steps, and what the hold stands.

    Args:
        report: the job.
        path: file to write.
        system: units to show, `metric` or `imperial`.

    Raises:
        SwarfbookError: matplotlib is not there, or the file cannot be written.
    """
    figure = new_figure(path)
    axes = figure.subplots()
    times, warm = curve(report, system)
    unit = quantities.pretty(unit_of(system))
    low, high = band(report, warm)
    axes.fill_between(times, low, high, color="0.88", label="likely, 9 times in 10")
    axes.plot(times, warm, color="black", label="stock")
    most = limit(report, system)
    if most is not None:
        axes.axhline(most, color="black", linestyle="--", label="what the hold or the material stands")
    for start, number in step_starts(report):
        axes.axvline(start, color="0.7", linewidth=0.8)
        axes.annotate(str(number), (start, 1.01), xycoords=("data", "axes fraction"), ha="center", fontsize=9)
    axes.set(xlabel="minutes of one piece", ylabel=f"stock temperature [{unit}]", xlim=(0, times[-1]))
    axes.set_title(
        f"{report.case.job.name}\n{say.lasting(report.time.piece)} a piece; estimates\n", fontsize=11
    )
    axes.legend(loc="upper center", bbox_to_anchor=(0.5, -0.12), ncols=3, frameon=False)
    save_png(figure, path)


def band(report: JobReport, warm: Numbers) -> tuple[Numbers, Numbers]:
    """Give the 5 % and 95 % curves about the median one, shape and unit as given."""
    step = max(report.steps, key=lambda one: one.temperature.value)
    peak = step.temperature.value
    rise = max(peak - report.warmth.body.ambient, 1e-9)
    spread = float(np.exp(Z95 * step.temperature.sd * peak / rise))
    start = warm[0]
    return start + (warm - start) / spread, start + (warm - start) * spread
