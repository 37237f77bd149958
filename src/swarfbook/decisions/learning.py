"""Learning from measured power: Bayesian linear regression in closed form, on sums that add.

The log of measured over predicted cutting power is the sum of what the material, the cutter and the machine
each have of their own, and scatter. Each part has a normal prior of mean 0; a run counts with its weight.
Every run is one of each part, so that the sums by material, cutter and machine (`decisions.sums`) hold all
the posterior needs.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from swarfbook.decisions.sums import Cell, Key, Sums
from swarfbook.frozen import frozen

Z95 = 1.6448536269514722  # standard normal quantile of 0.95: the band from 5 % to 95 %


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
