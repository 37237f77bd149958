"""Learning from measured power: Bayesian linear regression in closed form, on sums that add.

The log of measured over predicted cutting power is the sum of what the material, the cutter and the machine
each have of their own, and scatter. Each part has a normal prior of mean 0; a run counts with its weight.
Every run is one of each part, so that the sums by material, cutter and machine hold all the posterior needs:
the order of runs does not matter, and sums of several logs add exactly.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from swarfbook.errors import Problem, SwarfbookError

Z95 = 1.6448536269514722  # standard normal quantile of 0.95: the band from 5 % to 95 %
Key = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class Observation:
    """One run whose power was read.

    Attributes:
        material, tool, machine: ids.
        log_ratio: log of measured over predicted cutting power [1].
        weight: what it counts for; its variance is that of the scatter over this [1].
    """

    material: str
    tool: str
    machine: str
    log_ratio: float
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class Cell:
    """Sums over the runs of one material, cutter and machine: of w, w y and w y^2, and how many."""

    weight: float
    total: float
    square: float
    runs: int


@dataclass(frozen=True, slots=True)
class Sums:
    """The sums of a log, by material, cutter and machine."""

    cells: Mapping[Key, Cell] = field(default_factory=dict)

    @classmethod
    def of(cls, observations: Iterable[Observation]) -> Sums:
        """Add runs up, whatever their order."""
        by_key: dict[Key, list[tuple[float, float]]] = {}
        for one in observations:
            by_key.setdefault((one.material, one.tool, one.machine), []).append((one.weight, one.log_ratio))
        return cls({key: _cell(runs) for key, runs in sorted(by_key.items())})

    def __add__(self, other: Sums) -> Sums:
        keys = sorted({*self.cells, *other.cells})
        return Sums({key: _both(self.cells.get(key), other.cells.get(key)) for key in keys})

    def to_json(self) -> list[dict[str, Any]]:
        """Give the cells as plain objects, full precision."""
        return [
            {
                "material": key[0],
                "tool": key[1],
                "machine": key[2],
                "weight": cell.weight,
                "total": cell.total,
                "square": cell.square,
                "runs": cell.runs,
            }
            for key, cell in self.cells.items()
        ]

    @classmethod
    def from_json(cls, raw: object, *, where: str) -> Sums:
        """Read what `to_json` gives; raises SwarfbookError, naming the cell that will not do."""
        if not isinstance(raw, list):
            raise SwarfbookError(Problem(where, "cells", "", "write a list of cells, as `fit --save` does"))
        cells: dict[Key, Cell] = {}
        for number, item in enumerate(raw, start=1):
            key, cell = _read_cell(item, place=f"cells.{number}", where=where)
            cells[key] = _both(cells.get(key), cell)
        return cls(cells)


def _cell(runs: list[tuple[float, float]]) -> Cell:
    return Cell(
        weight=math.fsum(weight for weight, _ in runs),
        total=math.fsum(weight * ratio for weight, ratio in runs),
        square=math.fsum(weight * ratio * ratio for weight, ratio in runs),
        runs=len(runs),
    )


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
    names, numbers = ("material", "tool", "machine"), ("weight", "total", "square")
    if not isinstance(item, dict):
        raise SwarfbookError(Problem(where, place, "", "write an object"))
    for name in names:
        if not isinstance(item.get(name), str):
            raise SwarfbookError(Problem(where, f"{place}.{name}", str(item.get(name)), "write an id"))
    for name in (*numbers, "runs"):
        value = item.get(name)
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            raise SwarfbookError(Problem(where, f"{place}.{name}", str(value), "write a number"))
    if not item["weight"] >= 0 or not item["square"] >= 0 or not item["runs"] >= 0:
        raise SwarfbookError(Problem(where, place, "", "weight, square and runs are not below 0"))
    material, tool, machine = (item[name] for name in names)
    weight, total, square = (float(item[name]) for name in numbers)
    return (material, tool, machine), Cell(weight, total, square, int(item["runs"]))


@dataclass(frozen=True, slots=True)
class Priors:
    """What is thought before any run.

    Attributes:
        part_sd: log standard deviation of each part by its name: `material:6082-t6`, `tool:...`, ...
        noise_sd: log standard deviation of the scatter from run to run.
    """

    part_sd: Mapping[str, float]
    noise_sd: float

    def sd(self, part: str) -> float:
        """Give a part's prior log standard deviation; raises KeyError for a part of no prior."""
        return self.part_sd[part]


@dataclass(frozen=True, slots=True)
class Posterior:
    """What is thought after the runs.

    Attributes:
        parts: names of the parts that have runs, sorted, P of them.
        mean: log factor of each, shape (P,).
        covariance: of these, shape (P, P).
        priors: what was thought before.
        spread: log standard deviation of the runs about the mean; None under two runs.
        counts: runs of each part.
    """

    parts: tuple[str, ...]
    mean: NDArray[np.float64]
    covariance: NDArray[np.float64]
    priors: Priors
    spread: float | None
    counts: Mapping[str, int]

    def of(self, *parts: str) -> tuple[float, float]:
        """Give mean and log standard deviation of a sum of parts; one without runs has its prior."""
        seen = [self.parts.index(part) for part in parts if part in self.counts]
        unseen = [self.priors.sd(part) for part in parts if part not in self.counts]
        variance = float(self.covariance[np.ix_(seen, seen)].sum())
        return float(self.mean[seen].sum()), math.sqrt(max(variance, 0.0) + sum(sd * sd for sd in unseen))

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

    Args:
        sums: the runs' sums.
        priors: of every part in them.
    """
    names = sorted({part for key in sums.cells for part in _parts(key)})
    place = {name: index for index, name in enumerate(names)}
    precision = np.diag([priors.sd(name) ** -2 for name in names]).reshape(len(names), len(names))
    pull = np.zeros(len(names))
    counts = dict.fromkeys(names, 0)
    for key, cell in sums.cells.items():
        index = [place[part] for part in _parts(key)]
        precision[np.ix_(index, index)] += cell.weight / priors.noise_sd**2
        pull[index] += cell.total / priors.noise_sd**2
        for part in _parts(key):
            counts[part] += cell.runs
    # Scaled by the priors, the precision has ones and more on its diagonal, however tight a prior is.
    scale = np.array([priors.sd(name) for name in names])
    lower = np.linalg.cholesky(precision * np.outer(scale, scale))
    inverse = np.linalg.solve(lower, np.diag(scale).reshape(precision.shape))
    covariance = inverse.T @ inverse
    mean = inverse.T @ (inverse @ pull)
    return Posterior(tuple(names), mean, covariance, priors, _spread(sums, place, mean), counts)


def _parts(key: Key) -> tuple[str, str, str]:
    return f"material:{key[0]}", f"tool:{key[1]}", f"machine:{key[2]}"


def _spread(sums: Sums, place: Mapping[str, int], mean: NDArray[np.float64]) -> float | None:
    runs = sum(cell.runs for cell in sums.cells.values())
    weight = math.fsum(cell.weight for cell in sums.cells.values())
    if runs < 2 or weight <= 0:
        return None
    squares = 0.0
    for key, cell in sums.cells.items():
        fitted = float(sum(mean[place[part]] for part in _parts(key)))
        squares += cell.square - 2 * fitted * cell.total + fitted * fitted * cell.weight
    return math.sqrt(max(squares, 0.0) / weight)
