"""The promise of a margin, as something that can be asked of one child or of thousands."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from swarfbook.decisions.case import Case
from swarfbook.decisions.limits import hard_uses
from swarfbook.decisions.numbers import Array, Numbers, evaluate, nominal_knobs
from swarfbook.frozen import frozen

PROMISED = (
    "cutting_power",
    "cutting_torque_mean",
    "cutting_torque_peak",
    "force_peak",
    "bending_stress_peak",
    "deflection_total",
)
# The rungs judge bending and thrust with run-out and the dynamic factor in them: backed off as well.
PROMISED_ON_RUNGS = ("force_peak_runout", "bending_demand")
# What any hold bears is a sum of these with weights that are not negative, or the root of a sum of their
# squares: where each is down by a share, so is every way in which a hold can give.
OF_A_HOLD = ("hold_side_force", "hold_lift", "hold_moment")


@frozen
class Demand:
    """One load before and after, in SI."""

    name: str
    parent: float
    child: float

    @property
    def ratio(self) -> float:
        """Child over parent; 0 where the parent asks nothing."""
        return self.child / self.parent if self.parent else 0.0


@dataclass(frozen=True)
class Promise:
    """What a margin promises against one parent.

    Attributes:
        case: the parent, resolved.
        margin: share of every load that must go, 0 to 0.95.
        stock_top: height of the stock over its hold, the lowest of the steps it is cut in [m]; None promises
            nothing of a hold.
    """

    case: Case
    margin: float
    stock_top: float | None = None

    @cached_property
    def parent(self) -> Numbers:
        """The parent's numbers."""
        return evaluate(self.case, nominal_knobs(self.case))

    @cached_property
    def held(self) -> frozenset[str]:
        """Hard limits that the parent keeps."""
        return frozenset(name for name, use in hard_uses(self.case, self.parent).items() if use <= 1)

    @property
    def share(self) -> float:
        """The most that may be left of every load."""
        return 1 - self.margin

    def strain(self, numbers: Numbers) -> NDArray[np.float64]:
        """Largest load over what was promised of it, or use of a hard limit that held; kept at 1 or less.

        The rubbing floor is left out: it alone asks for more feed and not less.
        """
        loads = [self._ratio(numbers, name) / self.share for name in self._names]
        uses = hard_uses(self.case, numbers)
        held = [uses[name] for name in uses if name in self.held and name != "chip-thin"]
        strain: NDArray[np.float64] = np.max(np.broadcast_arrays(*loads, *held), axis=0)
        return strain

    def kept(self, numbers: Numbers) -> NDArray[np.bool_]:
        """Say where the whole promise is kept, the rubbing floor included."""
        return (self.strain(numbers) <= 1) & self.cuts(numbers)

    def cuts(self, numbers: Numbers) -> NDArray[np.bool_]:
        """Say where the thickest chip stays at or above the rubbing floor."""
        return np.asarray(hard_uses(self.case, numbers)["chip-thin"] <= 1)

    def loads_met(self, numbers: Numbers) -> NDArray[np.intp]:
        """Count the promised loads that are down far enough; a child that breaks what held counts none."""
        ratios = np.array([self._ratio(numbers, name) for name in PROMISED])
        met = np.sum(ratios <= self.share, axis=0)
        return np.where(self.broken_anywhere(numbers), -1, met)

    def broken_anywhere(self, numbers: Numbers) -> NDArray[np.bool_]:
        """Say where a hard limit that held is broken."""
        uses = hard_uses(self.case, numbers)
        broken: NDArray[np.bool_] = np.any(
            np.broadcast_arrays(*(uses[name] > 1 for name in self.held)), axis=0
        )
        return broken

    def broken(self, numbers: Numbers) -> list[str]:
        """Name the hard limits that the parent keeps and one child does not."""
        uses = hard_uses(self.case, numbers)
        return [name for name in uses if name in self.held and uses[name] > 1]

    def demands(self, numbers: Numbers) -> list[Demand]:
        """Give every promised load of one child beside its parent's."""
        return [
            Demand(name, float(self._load(self.parent, name)), float(self._load(numbers, name)))
            for name in self._names
        ]

    @property
    def _names(self) -> tuple[str, ...]:
        return PROMISED + PROMISED_ON_RUNGS + (() if self.stock_top is None else OF_A_HOLD)

    def _ratio(self, numbers: Numbers, name: str) -> Array:
        parent, child = float(self._load(self.parent, name)), np.asarray(self._load(numbers, name), float)
        return child / parent if parent else np.zeros_like(child)

    def _load(self, numbers: Numbers, name: str) -> Array:
        if name not in OF_A_HOLD:
            load: Array = getattr(numbers, name)
            return load
        if name == "hold_lift":
            return numbers.force_z_peak * numbers.dynamic_factor
        arm = 1.0 if name == "hold_side_force" else (self.stock_top or 0.0) - numbers.axial_depth / 2
        return numbers.thrust_demand * np.maximum(arm, 0.0)
