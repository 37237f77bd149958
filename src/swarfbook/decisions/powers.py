"""Measured power of many runs as columns: what it says of each machine, cutter and material."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from swarfbook.book.columns import METERED, Columns
from swarfbook.decisions.cuts import Floats, Whole
from swarfbook.decisions.observing import LEAST, MOST, OTHERWISE, Metered
from swarfbook.decisions.sums import Key, Sums

Three = tuple[str, str, str]


def cell_of(three: Three) -> Key:
    """Give the cell that sums keep the runs of a machine, cutter and material in."""
    machine, tool, material = three
    return material, tool, machine


def read_power(columns: Columns, rows: Whole) -> Floats:
    """Read what the models of rows say of power; as `read_metered`, NaN where a run teaches nothing."""
    metered = np.stack([columns.rows[name][rows] for name in METERED])
    metered[:, ~np.all((metered > LEAST) & (metered < MOST), axis=0)] = np.nan
    return only_as_modelled(metered, columns, rows)


def only_as_modelled(metered: Floats, columns: Columns, rows: Whole) -> Floats:
    """Give the power of rows, NaN for those that were cut otherwise than the model takes it."""
    # The place -1, of no outcome, is the last.
    otherwise = np.array([*(word in OTHERWISE for word in columns.pools["outcome"]), False], dtype=bool)
    metered[:, otherwise[columns.rows["outcome"][rows]]] = np.nan
    return metered


def log_ratios(measured: Floats, predicted: Floats) -> list[float]:
    """Give the logs of measured over predicted power [1], to the bit as `Metered.log_ratio`."""
    return list(map(math.log, (measured / predicted).tolist()))


@dataclass(frozen=True, slots=True)
class AllMetered:
    """The runs of a log whose power teaches something, N of them in its order.

    Attributes:
        rows: of the table, shape (N,).
        threes: machines, cutters and materials.
        three: place of each run's in `threes`, shape (N,).
        measured, predicted, weight: as of `Told`, shape (N,).
    """

    rows: Whole
    threes: Sequence[Three]
    three: Whole
    measured: Floats
    predicted: Floats
    weight: Floats

    def sums(self, places: Whole) -> Sums:
        """Add some of them up."""
        three = self.three[places]
        order = places[np.argsort(three, kind="stable")]
        some, firsts = np.unique(self.three[order], return_index=True)
        ends = [*firsts[1:].tolist(), len(order)][: len(some)]
        cells: dict[Key, tuple[list[float], list[float]]] = {}
        for which, first, end in zip(some.tolist(), firsts.tolist(), ends, strict=True):
            mine = order[first:end]
            ratios, weights = cells.setdefault(cell_of(self.threes[which]), ([], []))
            ratios += log_ratios(self.measured[mine], self.predicted[mine])
            weights += self.weight[mine].tolist()
        return Sums.of_cells((key, ratios, weights) for key, (ratios, weights) in cells.items())

    def __iter__(self) -> Iterator[tuple[Three, int, Metered]]:
        """Yield each run's machine, cutter and material, its row and its power."""
        for place, row in enumerate(self.rows.tolist()):
            numbers = (float(one[place]) for one in (self.measured, self.predicted, self.weight))
            yield self.threes[self.three[place]], row, Metered(*numbers)
