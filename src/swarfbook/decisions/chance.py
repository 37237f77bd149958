"""Chance: log-normal bands, and how likely it is that a demand passes its limit.

Every uncertain input is a median with a log standard deviation. A product of such numbers is log-normal
again, so its spread is closed form; a sum is given the log-normal with the same mean and variance. Spreads
are kept per cause, so a demand and a limit that share a cause do not count it twice.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

Z95 = 1.6448536269514722  # standard normal quantile of 0.95: the band from 5 % to 95 %


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
    """Add positive numbers; the log-normal with the sum's mean and variance (Fenton 1960).

    Causes share the matched spread in proportion to their first-order weight.

    References:
        L. F. Fenton, IRE Trans. Commun. Syst. 8 (1960) 57-67 [memory].
    """
    parts = tuple(part for part in parts if part.value > 0)
    if not parts:
        return Uncertain(0.0)
    means = [part.median * math.exp(part.sd**2 / 2) for part in parts]
    mean = sum(means)
    variance = sum(
        mean_a * mean_b * math.expm1(_covariance(a, b))
        for a, mean_a in zip(parts, means, strict=True)
        for b, mean_b in zip(parts, means, strict=True)
    )
    sd = math.sqrt(math.log1p(variance / mean**2))
    value = sum(part.value for part in parts)
    return Uncertain(value, _shared_causes(parts, sd), mean * math.exp(-sd * sd / 2))


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
