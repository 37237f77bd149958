"""A picture on white paper: a figure to draw on, and its PNG written whole or not at all."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from swarfbook.book.outside import write_outside
from swarfbook.errors import Problem, SwarfbookError

if TYPE_CHECKING:
    from matplotlib.figure import Figure

NO_PLOTS = "a picture needs matplotlib: pip install 'swarfbook[plots]'"
SIZE = (8.0, 6.0)  # inches
DOTS = 150  # an inch


def new_figure(path: Path, *, size: tuple[float, float] = SIZE) -> Figure:
    """Give an empty figure for a file, its size in inches; raises SwarfbookError without matplotlib."""
    try:
        from matplotlib.figure import Figure  # noqa: PLC0415 - an extra, and slow to start
    except ModuleNotFoundError:
        raise SwarfbookError(Problem("--png", "", str(path), NO_PLOTS)) from None
    return Figure(figsize=size, layout="constrained")


def save_png(figure: Figure, path: Path) -> None:
    """Write a figure as a PNG; raises SwarfbookError where the file cannot be written."""
    drawn = BytesIO()
    figure.savefig(drawn, dpi=DOTS, format="png")
    write_outside(str(path), drawn.getvalue(), where="--png")
