"""Chance: log-normal bands, and how likely it is that a demand passes its limit.

Every uncertain input is a median with a log standard deviation. A product of such numbers is log-normal
again, so its spread is closed form; a sum is given the log-normal with the same 5 % and 95 % points. Spreads
are kept per cause, so a demand and a limit that share a cause do not count it twice.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

Z95 = 1.6448536269514722  # standard normal quantile of 0.95: the band from 5 % to 95 %
GRID = np.linspace(-4.5, 4.5, 91)  # standard normal places along each independent direction of a sum
NEGLIGIBLE = 1e-18  # log variance below which a direction counts as certain


@dataclass(frozen=True, slots=True)
class Uncertain:
    """A positive number with what it owes to each uncertain cause.

    Attributes:
        value: nominal value, from the nominal inputs [any].
        causes: log standard deviation by cause; the sign says which way the cause pulls.
        centre: median of the matched log-normal; the value itself except for sums [as value].
    """

    value: float
    causes: Mapping[str, float] = field(default_factory=dict)
    centre: float | None = None

    @property
    def median(self) -> float:
        """Median of the matched log-normal [as value]."""
        return self.value if self.centre is None else self.centre

    @property
    def sd(self) -> float:
        """Log standard deviation, all causes together."""
        return math.sqrt(sum(part * part for part in self.causes.values()))

    def band(self) -> tuple[float, float]:
        """Give the 5 % and 95 % points; the value itself twice where nothing is uncertain."""
        half = math.exp(Z95 * self.sd)
        return self.median / half, self.median * half


def power_product(*factors: tuple[Uncertain, float]) -> Uncertain:
    """Multiply numbers, each raised to a power; causes add with their powers."""
    causes: dict[str, float] = {}
    for factor, power in factors:
        for cause, part in factor.causes.items():
            causes[cause] = causes.get(cause, 0.0) + power * part
    value = math.prod(factor.value**power for factor, power in factors)
    centre = math.prod(factor.median**power for factor, power in factors)
    return Uncertain(value, causes, centre)


def total(*parts: Uncertain) -> Uncertain:
    """Add positive numbers; the log-normal with the sum's own 5 % and 95 % points.

    Matching mean and variance instead misses the lower point by a sixth where a spread is as wide as that of
    an assumed stiffness, so the points are taken from the sum's distribution, on a grid of its causes.
    Causes share the spread in proportion to their first-order weight.
    """
    parts = tuple(part for part in parts if part.value > 0)
    if len(parts) < 2:
        return parts[0] if parts else Uncertain(0.0)
    low, high = _ends(parts)
    sd = math.log(high / low) / (2 * Z95)
    value = sum(part.value for part in parts)
    return Uncertain(value, _shared_causes(parts, sd), math.sqrt(low * high))


def _ends(parts: tuple[Uncertain, ...]) -> tuple[float, float]:
    covariance = np.array([[_covariance(a, b) for b in parts] for a in parts])
    sizes, axes = np.linalg.eigh(covariance)
    kept = sizes > NEGLIGIBLE
    steps = np.meshgrid(*[GRID] * int(kept.sum()))
    normal = np.array([step.ravel() for step in steps]) if kept.any() else np.zeros((1, 1))
    reach = axes[:, kept] * np.sqrt(sizes[kept]) if kept.any() else np.zeros((len(parts), 1))
    medians = np.array([part.median for part in parts])
    sums = (medians[:, None] * np.exp(reach @ normal)).sum(axis=0)
    order = np.argsort(sums)
    weights = np.exp(-np.square(normal).sum(axis=0) / 2)[order]
    shares = (np.cumsum(weights) - weights / 2) / weights.sum()
    low, high = np.exp(np.interp([0.05, 0.95], shares, np.log(sums[order])))
    return float(low), float(high)


def _covariance(a: Uncertain, b: Uncertain) -> float:
    return sum(part * b.causes.get(cause, 0.0) for cause, part in a.causes.items())


def _shared_causes(parts: tuple[Uncertain, ...], sd: float) -> dict[str, float]:
    value = sum(part.value for part in parts)
    causes: dict[str, float] = {}
    for part in parts:
        for cause, share in part.causes.items():
            causes[cause] = causes.get(cause, 0.0) + share * part.value / value
    first_order = math.sqrt(sum(share * share for share in causes.values()))
    return {cause: share * sd / first_order for cause, share in causes.items()} if first_order else {}


def chance_above(demand: Uncertain, limit: Uncertain) -> float:
    """Chance that `demand` exceeds `limit`; 0 or 1 where nothing is uncertain."""
    if demand.value <= 0 or limit.value <= 0:
        return float(demand.value > limit.value)
    ratio = power_product((demand, 1.0), (limit, -1.0))
    if ratio.sd == 0:
        return float(demand.value > limit.value)
    return 0.5 * math.erfc(-math.log(ratio.median) / (ratio.sd * math.sqrt(2)))
