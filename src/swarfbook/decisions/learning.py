"""Learning from measured power: Bayesian linear regression in closed form, on sums that add.

The log of measured over predicted cutting power is the sum of what the material, the cutter and the machine
each have of their own, and scatter. Each part has a normal prior of mean 0; a run counts with its weight.
Every run is one of each part, so that the sums by material, cutter and machine hold all the posterior needs:
the order of runs does not matter, and the sums of several logs add up to the sums of all their runs.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from swarfbook.errors import Problem, SwarfbookError
from swarfbook.frozen import frozen

Z95 = 1.6448536269514722  # standard normal quantile of 0.95: the band from 5 % to 95 %
LARGEST = 1e9  # of a stored sum: no log is that long, and much more leaves the Cholesky factor no digits
Key = tuple[str, str, str]
IDS = ("material", "tool", "machine")
NUMBERS = ("weight", "total", "square")


@dataclass(frozen=True, slots=True)
class Observation:
    """One run whose power was read; raises ValueError for what would spoil every sum it enters.

    Attributes:
        material, tool, machine: ids.
        log_ratio: log of measured over predicted cutting power, finite [1].
        weight: what it counts for, above 0; its variance is that of the scatter over this [1].
    """

    material: str
    tool: str
    machine: str
    log_ratio: float
    weight: float = 1.0

    def __post_init__(self) -> None:
        if not math.isfinite(self.log_ratio) or not 0 < self.weight < math.inf:
            raise ValueError(f"log ratio {self.log_ratio} is not finite or weight {self.weight} not above 0")


@frozen
class Cell:
    """Sums over the runs of one material, cutter and machine: of w, w y and w y^2, and how many."""

    weight: float
    total: float
    square: float
    runs: int


@frozen
class Sums:
    """The sums of a log, by the ids of material, cutter and machine."""

    cells: Mapping[Key, Cell] = field(default_factory=dict)

    @classmethod
    def of(cls, observations: Iterable[Observation]) -> Sums:
        """Add runs up; their order changes nothing, not even the last bit."""
        running: dict[Key, _Running] = {}
        for one in observations:
            running.setdefault((one.material, one.tool, one.machine), _Running()).add(one)
        return cls({key: sums.cell() for key, sums in running.items()})

    def __add__(self, other: Sums) -> Sums:
        return Sums(
            {key: _both(self.cells.get(key), other.cells.get(key)) for key in {**self.cells, **other.cells}}
        )

    def to_json(self) -> list[dict[str, Any]]:
        """Give the cells as plain objects, in order and in full precision."""
        return [
            {**dict(zip(IDS, key, strict=True)), **asdict(cell)} for key, cell in sorted(self.cells.items())
        ]

    @classmethod
    def from_json(cls, raw: object, *, where: str) -> Sums:
        """Read what `to_json` gives; a cell that stands there twice counts twice.

        Args:
            raw: the list, as parsed.
            where: the file it came from, for the message.

        Raises:
            SwarfbookError: one line that names the first cell and key that will not do.
        """
        if not isinstance(raw, list):
            raise SwarfbookError(Problem(where, "cells", str(raw), "write a list of cells"))
        cells: dict[Key, Cell] = {}
        for number, item in enumerate(raw, start=1):
            key, cell = _read_cell(item, place=f"cells.{number}", where=where)
            cells[key] = _both(cells.get(key), cell)
        return cls(cells)


class _Running:
    """Sums of one cell while runs are added, kept without rounding: memory does not grow with the runs."""

    __slots__ = ("runs", "square", "total", "weight")

    def __init__(self) -> None:
        self.weight: list[float] = []
        self.total: list[float] = []
        self.square: list[float] = []
        self.runs = 0

    def add(self, one: Observation) -> None:
        _add_exactly(self.weight, one.weight)
        _add_exactly(self.total, one.weight * one.log_ratio)
        _add_exactly(self.square, one.weight * one.log_ratio * one.log_ratio)
        self.runs += 1

    def cell(self) -> Cell:
        return Cell(math.fsum(self.weight), math.fsum(self.total), math.fsum(self.square), self.runs)


def _add_exactly(terms: list[float], value: float) -> None:
    """Add to a sum kept as a few terms that do not overlap (Shewchuk 1997, grow-expansion)."""
    kept = 0
    for term in terms:
        larger, smaller = (term, value) if abs(value) < abs(term) else (value, term)
        value = larger + smaller
        if rest := smaller - (value - larger):
            terms[kept] = rest
            kept += 1
    terms[kept:] = [value]


def _both(one: Cell | None, other: Cell | None) -> Cell:
    if one is None or other is None:
        return one or other or Cell(0.0, 0.0, 0.0, 0)
    return Cell(
        one.weight + other.weight,
        one.total + other.total,
        one.square + other.square,
        one.runs + other.runs,
    )


def _read_cell(item: object, *, place: str, where: str) -> tuple[Key, Cell]:
    if not isinstance(item, dict):
        raise SwarfbookError(Problem(where, place, str(item), "write an object"))
    for key, suits, remedy in _SUITS:
        if not suits(item.get(key)):
            found = str(item[key]) if key in item else ""
            raise SwarfbookError(Problem(where, f"{place}.{key}", found, remedy))
    material, tool, machine = (item[key] for key in IDS)
    weight, total, square = (float(item[key]) for key in NUMBERS)
    return (material, tool, machine), Cell(weight, total, square, item["runs"])


def _is_id(value: object) -> bool:
    return isinstance(value, str) and value != ""


def _is_number(value: object) -> bool:
    # Compared and not converted: an integer may be too long for a float.
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) <= LARGEST


def _is_count(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= LARGEST


_SUITS: tuple[tuple[str, Callable[[Any], bool], str], ...] = (
    *((key, _is_id, "write an id") for key in IDS),
    ("weight", lambda value: _is_number(value) and value > 0, f"write a number above 0, up to {LARGEST:g}"),
    ("total", _is_number, f"write a number from {-LARGEST:g} to {LARGEST:g}"),
    ("square", lambda value: _is_number(value) and value >= 0, f"write a number from 0 to {LARGEST:g}"),
    ("runs", _is_count, "write a whole number, 1 or more"),
)


@frozen
class Priors:
    """What is thought before any run.

    Attributes:
        part_sd: log standard deviation of each part by its name: `material:6082-t6`, `tool:...`, ...
            0 for a part that is known.
        noise_sd: log standard deviation of the scatter from run to run, above 0.
    """

    part_sd: Mapping[str, float]
    noise_sd: float

    def sd(self, part: str) -> float:
        """Give a part's prior log standard deviation; raises KeyError for a part of no prior."""
        return self.part_sd[part]


@frozen
class Posterior:
    """What is thought after the runs.

    Attributes:
        parts: names of the parts that have runs, sorted, P of them.
        mean: log factor of each, shape (P,).
        root: a square root of the covariance, `root.T @ root`, shape (P, P).
        priors: what was thought before.
        spread: log standard deviation of the scatter that the runs show, beside `priors.noise_sd`; None where
            they leave less than one degree of freedom to tell.
        counts: runs of each part.
    """

    parts: tuple[str, ...]
    mean: NDArray[np.float64]
    root: NDArray[np.float64]
    priors: Priors
    spread: float | None
    counts: Mapping[str, int]

    @property
    def covariance(self) -> NDArray[np.float64]:
        """Covariance of the log factors, shape (P, P)."""
        return self.root.T @ self.root

    def of(self, *parts: str) -> tuple[float, float]:
        """Give mean and log standard deviation of the sum of different parts; one without runs has its prior.

        Raises KeyError for a part without runs and without a prior.
        """
        seen = [self.parts.index(part) for part in parts if part in self.counts]
        unseen = [self.priors.sd(part) for part in parts if part not in self.counts]
        # Parts that were always seen together nearly cancel in the covariance, and do so exactly in its root.
        learnt = self.root[:, seen].sum(axis=1)
        return float(self.mean[seen].sum()), math.hypot(*learnt, *unseen)

    def predictive_sd(self, *parts: str) -> float:
        """Give the log standard deviation of one more run of these parts, scatter in it."""
        return math.hypot(self.of(*parts)[1], self.priors.noise_sd)

    def factor(self, part: str) -> tuple[float, float, float]:
        """Give a part's factor: median, 5 % and 95 % points [1]."""
        mean, sd = self.of(part)
        return math.exp(mean), math.exp(mean - Z95 * sd), math.exp(mean + Z95 * sd)

    def runs(self, part: str) -> int:
        """Give how many runs say something of a part."""
        return self.counts.get(part, 0)


def outlier_weight(log_ratio: float, *, prior_sd: float, limit: float) -> float:
    """Weight of a run by its distance from the prior prediction alone, so that order never matters.

    Args:
        log_ratio: log of measured over predicted [1].
        prior_sd: log standard deviation of that before anything was learnt, scatter in it.
        limit: distance in standard deviations up to which a run counts in full.
    """
    distance = abs(log_ratio) / prior_sd
    return 1.0 if distance <= limit else limit / distance


def posterior(sums: Sums, priors: Priors) -> Posterior:
    """Give the posterior of every part that has runs, in closed form.

    Sums of parts that ran together are good to the last few digits. What tells such parts from one another
    loses one more digit for every ten times as much weight: 1e-5 is left at a weight of 1e9.

    Args:
        sums: the runs' sums.
        priors: of every part in them.

    Raises:
        KeyError: a part in the sums has no prior.
    """
    cells = sorted(sums.cells.items())
    parts = tuple(sorted({part for key, _ in cells for part in part_names(key)}))
    place = {part: index for index, part in enumerate(parts)}
    places = [[place[part] for part in part_names(key)] for key, _ in cells]
    columns = np.array(places, dtype=int).reshape(-1, 3)
    weights = np.array([cell.weight for _, cell in cells])
    totals = np.array([cell.total for _, cell in cells])
    scale = np.array([priors.sd(part) for part in parts])
    inverse = _inverse_root(columns, weights, scale / priors.noise_sd)
    pull = np.zeros(len(parts))
    np.add.at(pull, columns, totals[:, None] / priors.noise_sd**2)
    root = inverse * scale
    mean = root.T @ (root @ pull)
    return Posterior(
        parts=parts,
        mean=mean,
        root=root,
        priors=priors,
        spread=_spread([cell for _, cell in cells], mean[columns].sum(axis=1), inverse),
        counts=_counts(sums),
    )


def _inverse_root(
    columns: NDArray[np.int_], weights: NDArray[np.float64], signal: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Invert the Cholesky factor of the precision, in units of the priors.

    In these it has ones and more on its diagonal, however tight the priors are.

    Args:
        columns: the parts of each cell, shape (C, 3).
        weights: of each cell, shape (C,).
        signal: prior over noise of each part, shape (P,).

    Returns:
        A square root of the covariance over the priors' variance, shape (P, P).
    """
    precision = np.eye(signal.size)
    each = signal[columns]
    products = weights[:, None, None] * each[:, :, None] * each[:, None, :]
    np.add.at(precision, (columns[:, :, None], columns[:, None, :]), products)
    return np.linalg.solve(np.linalg.cholesky(precision), np.eye(signal.size))


def _counts(sums: Sums) -> dict[str, int]:
    counts: dict[str, int] = {}
    for key, cell in sums.cells.items():
        for part in part_names(key):
            counts[part] = counts.get(part, 0) + cell.runs
    return counts


def part_names(key: Key) -> tuple[str, str, str]:
    """Name the parts of a material, cutter and machine."""
    return f"material:{key[0]}", f"tool:{key[1]}", f"machine:{key[2]}"


def _spread(cells: Sequence[Cell], fitted: NDArray[np.float64], inverse: NDArray[np.float64]) -> float | None:
    """Estimate the scatter from weighted squares about the mean; right on average where the priors are."""
    runs = sum(cell.runs for cell in cells)
    # The trace says how much of the priors is left: what is not left, the parts have taken from the runs.
    freedom = runs - len(inverse) + float(np.sum(inverse**2))
    if runs < 2 or round(freedom, 3) < 1:  # two runs alike leave one, and rounding may take a hair of it
        return None
    squares = math.fsum(
        cell.square - 2 * fit * cell.total + fit * fit * cell.weight
        for cell, fit in zip(cells, fitted.tolist(), strict=True)
    )
    return math.sqrt(max(squares, 0.0) / freedom)
