"""A framed sheet of characters to draw on, with round numbers along two sides."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
Flags = NDArray[np.bool_]

LEFT = 8  # columns for the numbers on the left, the frame among them
STEPS = (1.0, 2.0, 5.0, 10.0)
APART = 12  # columns from one number at the bottom to the next
ROWS_APART = 5


@dataclass(frozen=True, slots=True)
class Scale:
    """One side of a sheet: from where to where it goes, in the unit shown."""

    low: float
    high: float

    def places(self, count: int) -> Numbers:
        """Give what each of so many cells stands for."""
        return np.linspace(self.low, self.high, count)

    def cell(self, value: float, count: int) -> int:
        """Give the cell a value lies in."""
        return round((value - self.low) / (self.high - self.low) * (count - 1))

    def ticks(self, most: int) -> list[float]:
        """Give round numbers on it, about as many as asked for and not more."""
        step = round_step((self.high - self.low) / max(most, 1))
        first, last = np.ceil(self.low / step - 1e-9), np.floor(self.high / step + 1e-9)
        # Adding 0 takes the sign off a nought.
        return [float(count * step) + 0.0 for count in np.arange(first, last + 1)]


def round_step(least: float) -> float:
    """Give the smallest of 1, 2, 5, with noughts, that is at least so large."""
    size = 10.0 ** np.floor(np.log10(least))
    return float(next(step * size for step in STEPS if step * size >= least * (1 - 1e-9)))


@dataclass
class Sheet:
    """Cells of one character, row 0 at the bottom; what is put later covers what was there.

    Attributes:
        columns, rows: how many cells there are.
        x, y: what the sides stand for.
        right: what stands to the right of rows.
        top: what stands above columns.
        cells: the characters, by row and column.
    """

    columns: int
    rows: int
    x: Scale
    y: Scale
    right: dict[int, str] = field(default_factory=dict)
    top: dict[int, str] = field(default_factory=dict)
    cells: list[list[str]] = field(init=False)

    def __post_init__(self) -> None:
        self.cells = [[" "] * self.columns for _ in range(self.rows)]

    def fill(self, flags: Flags, sign: str) -> None:
        """Put a sign wherever a flag is set, shape (rows, columns)."""
        for row, column in zip(*np.nonzero(flags), strict=True):
            self.cells[row][column] = sign

    def put(self, x: float, y: float, sign: str) -> None:
        """Put a sign at a place in the units shown."""
        self.cells[self.y.cell(y, self.rows)][self.x.cell(x, self.columns)] = sign

    def lines(self, *, plain: bool) -> list[str]:
        """Give it framed, with numbers at the left and at the bottom; `plain` frames it with ASCII only."""
        bar, dash, tick, corner = "|-++" if plain else "│─┼└"
        heights = {self.y.cell(value, self.rows): f"{value:g}" for value in self.y.ticks(self._number_rows())}
        framed = [
            f"{heights.get(row, ''):>{LEFT - 2}} {tick if row in heights else bar}"
            f"{''.join(self.cells[row])}{bar}{self.right.get(row, '')}".rstrip()
            for row in reversed(range(self.rows))
        ]
        places = {
            self.x.cell(value, self.columns): f"{value:g}"
            for value in self.x.ticks(max(self.columns // APART, 2))
        }
        bottom = "".join(tick if column in places else dash for column in range(self.columns))
        blank = " " * (LEFT - 1)
        above = [self._beside(self.top)] if self.top else []
        return [*above, *framed, f"{blank}{corner}{bottom}{'+' if plain else '┘'}", self._beside(places)]

    def _number_rows(self) -> int:
        return max(self.rows // ROWS_APART, 2)

    def _beside(self, texts: Mapping[int, str]) -> str:
        """Write texts above or below their columns, each about the middle of its own."""
        line = [" "] * (LEFT + self.columns + LEFT)
        for column, text in texts.items():
            start = LEFT + column - (len(text) - 1) // 2
            line[start : start + len(text)] = text
        return "".join(line).rstrip()


def edge(over: Flags, kept: Flags) -> Flags:
    """Give the cells that are over and have a neighbour that is kept, shape (rows, columns) both."""
    near = np.zeros_like(kept)
    near[1:] |= kept[:-1]
    near[:-1] |= kept[1:]
    near[:, 1:] |= kept[:, :-1]
    near[:, :-1] |= kept[:, 1:]
    return over & near


def resampled(values: Numbers, columns: int, rows: int) -> Numbers:
    """Read evenly spaced values at other even spaces over the same range, straight lines between.

    Args:
        values: shape (n, m).
        columns: how many along the second axis.
        rows: how many along the first axis.
    """
    return _along(_along(values, rows).T, columns).T


def _along(values: Numbers, count: int) -> Numbers:
    at = np.linspace(0, len(values) - 1, count)
    before = np.minimum(at.astype(int), len(values) - 2)
    share = (at - before)[:, None]
    after = np.where(share == 0, 0.0, values[before + 1] * share)  # nothing of what is not known
    between: Numbers = values[before] * (1 - share) + after
    return between


def round_levels(low: float, most: float, wanted: float, count: int) -> Sequence[float]:
    """Give round values of 1, 2 and 5 with noughts: the first above a wanted one and those below it.

    Args:
        low: none is at or under it.
        most: none is at or over it.
        wanted: the value of interest.
        count: the most there are.
    """
    sizes = 10.0 ** np.arange(np.floor(np.log10(max(low, most * 1e-6))), np.ceil(np.log10(most)) + 1)
    values = [float(size * step) for size in sizes for step in STEPS[:-1] if low < size * step < most]
    upto = [value for value in values if value <= wanted]
    above = [value for value in values if value > wanted][:1]
    return [*upto, *above][-count:]
