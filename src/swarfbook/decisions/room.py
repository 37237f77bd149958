"""The room a cut has: how near many sets of knobs come to all limits at once, with a margin on the loads."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swarfbook.decisions.case import Case
from swarfbook.decisions.limits import rules, use_of
from swarfbook.decisions.numbers import Array, Numbers
from swarfbook.decisions.past import LOADS
from swarfbook.physics import surface

Floats = NDArray[np.float64]
NOT_FED = ("spindle_speed", "cutting_speed", "axial_depth")
"""Demands that the feed has no part in."""
ROUGHNESS = "roughness"
ROUGH_SHARE = 3.0
"""Real roughness over that of the feed marks: the middle of `surface.ROUGHNESS_FACTOR`, an assumption."""


@dataclass(frozen=True)
class Room:
    """What a cut may ask.

    Attributes:
        case: the cut, at any knobs; its limits are those of its machine, cutter and material.
        margin: share of every limit on a load that is left free [1].
        roughness: mean roughness that the wall may have [m]; None where nobody asks.
    """

    case: Case
    margin: float = 0.0
    roughness: float | None = None

    def uses(self, numbers: Numbers) -> dict[str, Array]:
        """Give every judged limit's use over what may be used of it; at 1 or less it is kept."""
        found: dict[str, Array] = {}
        for rule in rules(self.case):
            use = use_of(rule, self.case, numbers)
            if use is not None:
                found[rule.name] = use / (1 - self.margin) if rule.demand in LOADS else use
        if self.roughness is not None:
            found[ROUGHNESS] = wall_roughness(self.case, numbers) / self.roughness
        return found

    def strain(self, uses: Mapping[str, Array]) -> Floats:
        """Give the largest use; everything is kept where it is 1 or less."""
        return _largest(uses.values())

    def strain_of_feed(self, uses: Mapping[str, Array]) -> Floats:
        """Give the largest use of those that grow with the feed."""
        return _largest(use for name, use in uses.items() if name not in self._fixed)

    @property
    def _fixed(self) -> frozenset[str]:
        names = (rule.name for rule in rules(self.case) if rule.demand in NOT_FED or rule.sense == "minimum")
        return frozenset(names)


def _largest(uses: Iterable[Array]) -> Floats:
    largest: Floats = np.max(np.broadcast_arrays(*(np.asarray(use, dtype=float) for use in uses)), axis=0)
    return np.where(np.isnan(largest), np.inf, largest)


def wall_roughness(case: Case, numbers: Numbers) -> Array:
    """Mean roughness of the wall that a side cut leaves [m]: feed marks, and rougher as real walls are."""
    height = surface.wall_mark_height(
        feed_per_tooth=numbers.feed_per_tooth,
        flutes=case["flutes"],
        diameter=case["diameter"],
        climb=case.recipe.direction == "climb",
        marks_per_turn=case["flutes"] if case["runout"] == 0 else 1,
    )
    return ROUGH_SHARE * surface.mean_roughness_of_arcs(mark_height=height)
