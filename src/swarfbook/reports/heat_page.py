"""The stock's temperature over the time of one piece, drawn for the terminal and as a picture."""

from __future__ import annotations

import numpy as np

from swarfbook import quantities
from swarfbook.decisions.jobs.judging import JobReport
from swarfbook.reports import job_words as say
from swarfbook.reports.sheet import LEFT, Numbers, Scale, Sheet
from swarfbook.reports.words import wrapped

ROWS = 10
SIGNS = {True: ("o", "-"), False: ("●", "─")}
MARGIN = 3.0  # degrees drawn above and below


def heat_lines(
    report: JobReport, *, width: int, system: str, plain: bool = False, rows: int = ROWS
) -> list[str]:
    """Draw the curve, where each step begins, and the temperature its hold stands.

    Args:
        report: the job.
        width: columns there are.
        system: units to show.
        plain: draw with ASCII only.
        rows: of the drawing.
    """
    times, warm = curve(report, system)
    most = limit(report, system)
    columns = min(width, 100) - LEFT - 2
    top = max([float(warm.max()), *([most] if most is not None and most < warm.max() + 40 else [])])
    y = Scale(float(warm.min()) - MARGIN, top + MARGIN)
    sheet = Sheet(columns, rows, Scale(0.0, max(float(times[-1]), 1e-9)), y)
    dot, dash = SIGNS[plain]
    if most is not None and most <= top + MARGIN:
        sheet.cells[y.cell(most, rows)] = [dash] * columns
    for x in np.linspace(0, times[-1], columns):
        sheet.put(float(x), float(np.interp(x, times, warm)), dot)
    for start, number in step_starts(report):
        sheet.top[sheet.x.cell(start, columns)] = str(number)
    unit = quantities.pretty(unit_of(system))
    head = f"Stock temperature [{unit}] over minutes of one piece; step numbers above"
    foot = [] if most is None else [f"  the line: {_limit_text(report, system)}"]
    spread = "  an estimate: how much heat stays in the stock is an assumption, half or twice is as likely"
    return [*wrapped([head], width=width), *sheet.lines(plain=plain), *wrapped([*foot, spread], width=width)]


def unit_of(system: str) -> str:
    """Give the unit of temperature shown."""
    return "degF" if system == "imperial" else "degC"


def curve(report: JobReport, system: str) -> tuple[Numbers, Numbers]:
    """Give minutes and temperatures in the unit shown, both shape (points,)."""
    times, warm = report.warmth.curve()
    shown = [quantities.convert(float(one), "temperature", unit_of(system)) for one in warm]
    return times / 60, np.array(shown)


def limit(report: JobReport, system: str) -> float | None:
    """Give the lowest temperature any step must stay below, in the unit shown; None where none is known."""
    known = [one.most[0] for one in report.steps if one.most is not None]
    return quantities.convert(min(known), "temperature", unit_of(system)) if known else None


def _limit_text(report: JobReport, system: str) -> str:
    step = min((one for one in report.steps if one.most), key=lambda one: one.most[0] if one.most else 0.0)
    most, why = step.most or (0.0, "")
    return f"{say.warmth(most, system)}, {why} (step {step.cutting.number})"


def step_starts(report: JobReport) -> list[tuple[float, int]]:
    """Give the minute at which each step begins to cut, with its number."""
    now, found = 0.0, []
    for spell in report.warmth.spells:
        if spell.what == "cut":
            found.append((now / 60, report.steps[spell.step].cutting.number))
        now += spell.duration
    return found
