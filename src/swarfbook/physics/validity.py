"""Ranges a formula was made for, as data: outside them its answer stands and is flagged."""

from __future__ import annotations

import numpy as np

from swarfbook.frozen import frozen
from swarfbook.physics.arrays import Array, Flags


@frozen
class Range:
    """Where a formula holds.

    Attributes:
        quantity: what is judged, as the glossary names it.
        low: smallest value covered, in the quantity's SI unit.
        high: largest value covered.
        source: who says so.
    """

    quantity: str
    low: float
    high: float
    source: str

    def covers(self, value: Array) -> Flags:
        """Tell where `value` lies inside the range, ends included; nan is outside."""
        inside: Flags = np.logical_and(np.greater_equal(value, self.low), np.less_equal(value, self.high))
        return inside


KIENZLE_CHIP = Range(
    "chip_thickness", 0.05e-3, 2.5e-3, "Koenig & Klocke, Fertigungsverfahren 1: fitted range of kc1.1 and mc"
)
CIRCULAR_PATH = Range(
    "feed_per_tooth / radius", 0.0, 0.05, "Martellotti (1941): circle for trochoid, error fz z / (2 pi R)"
)
MINIMUM_CHIP_RATIO = Range(
    "ratio", 0.14, 0.43, "Cheng et al., Int. J. Adv. Manuf. Technol. 97 (2018): conventional micro-cutting"
)
MINIMUM_CHIP_RATIO_HELICAL = Range(
    "ratio", 0.60, 0.68, "Cheng et al., Int. J. Adv. Manuf. Technol. 97 (2018): micro helical milling, brass"
)
HELIX = Range("helix", -np.pi * 80 / 180, np.pi * 80 / 180, "beyond 80 degrees an edge is no side edge")
EXPONENT = Range("exponent", 1e-9, 2.0, "sine integrals are made for 0 < q <= 2")
