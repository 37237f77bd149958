"""Milling worked out a second way, in millimetres and newtons, sharing nothing with the program.

`Cut` is one side cut. Its forces are summed over thin discs, or integrated over the height of each edge by
Gauss-Legendre quadrature between the heights where the edge enters and leaves the stock.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from swarfbook.physics.laws import CuttingLaw, Kienzle, LinearEdge

EdgeForces = Callable[[np.ndarray], tuple[np.ndarray, np.ndarray, np.ndarray]]


@dataclass(frozen=True)
class Linear:
    """Linear edge-force law, N/mm^2 and N/mm."""

    ktc: float = 631.0
    krc: float = 99.0
    kac: float = 273.0
    kte: float = 13.0
    kre: float = 10.0
    kae: float = 2.8

    def __call__(self, h: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        return self.ktc * h + self.kte, self.krc * h + self.kre, self.kac * h + self.kae

    def law(self) -> CuttingLaw:
        cutting = [1e6 * value for value in (self.ktc, self.krc, self.kac)]
        edge = [1e3 * value for value in (self.kte, self.kre, self.kae)]
        return LinearEdge(*cutting, *edge)


@dataclass(frozen=True)
class Power:
    """Kienzle's law, N/mm^2."""

    kc11: float = 700.0
    mc: float = 0.25
    radial: float = 0.4
    axial: float = 0.3

    def __call__(self, h: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        tangential = self.kc11 * h ** (1 - self.mc)
        return tangential, self.radial * tangential, self.axial * tangential

    def law(self) -> CuttingLaw:
        return Kienzle(self.kc11 * 1e6, self.mc, self.radial, self.axial)


@dataclass(frozen=True)
class Cut:
    """One side cut: millimetres, degrees for the helix."""

    forces: Linear | Power = Linear()
    diameter: float = 6.0
    flutes: int = 2
    helix: float = 30.0
    depth: float = 3.0
    width: float = 2.0
    feed: float = 0.05
    climb: bool = True

    def inputs(self) -> dict[str, Any]:
        """The same cut as the program takes it."""
        return {
            "law": self.forces.law(),
            "diameter": self.diameter / 1e3,
            "flutes": self.flutes,
            "helix": math.radians(self.helix),
            "axial_depth": self.depth / 1e3,
            "radial_width": self.width / 1e3,
            "feed_per_tooth": self.feed / 1e3,
            "climb": self.climb,
        }

    @property
    def arc(self) -> tuple[float, float]:
        """Where a tooth enters and leaves."""
        swept = math.acos(1 - 2 * self.width / self.diameter)
        return (math.pi - swept, math.pi) if self.climb else (0.0, swept)

    @property
    def twist(self) -> float:
        """Lag per height, rad/mm."""
        return 2 * abs(math.tan(math.radians(self.helix))) / self.diameter

    @property
    def pitch_angle(self) -> float:
        return 2 * math.pi / self.flutes

    def _resolved(self, phi: np.ndarray) -> np.ndarray:
        """x, y, z force and torque per edge length at immersion angles, N/mm and N."""
        tangential, radial, axial = self.forces(self.feed * np.sin(phi))
        x = -tangential * np.cos(phi) - radial * np.sin(phi)
        y = tangential * np.sin(phi) - radial * np.cos(phi)
        hand = -1.0 if self.helix < 0 else 1.0
        return np.stack([x, y, hand * axial, tangential * self.diameter / 2])

    def discs(self, angles: np.ndarray, slices: int) -> np.ndarray:
        """Fx, Fy, Fz [N] and torque [N mm] at angles of the foremost end, by summing discs."""
        entry, leave = self.arc
        thickness = self.depth / slices
        heights = (np.arange(slices) + 0.5) * thickness
        total = np.zeros((4, len(angles)))
        for tooth in range(self.flutes):
            phi = np.mod(angles[:, None] + tooth * self.pitch_angle - self.twist * heights, 2 * math.pi)
            inside = (phi >= entry) & (phi <= leave)
            total += (self._resolved(np.where(inside, phi, entry)) * inside).sum(axis=2) * thickness
        return total

    def edges(self, angle: float, nodes: int = 60) -> np.ndarray:
        """Fx, Fy, Fz [N] and torque [N mm] at one angle, by quadrature along each edge."""
        entry, leave = self.arc
        points, weights = np.polynomial.legendre.leggauss(nodes)
        total = np.zeros(4)
        turns = math.ceil((self.twist * self.depth + 2 * math.pi) / (2 * math.pi))
        for tooth in range(-self.flutes * turns, self.flutes * (turns + 1)):
            front = angle + tooth * self.pitch_angle
            low = max((front - leave) / self.twist, 0.0)
            high = min((front - entry) / self.twist, self.depth)
            if high > low:
                heights = low + (high - low) * (points + 1) / 2
                total += self._resolved(front - self.twist * heights) @ weights * (high - low) / 2
        return total

    def while_cutting(self, angles: int) -> np.ndarray:
        """Equal angles over one pitch, or over the shorter time from first touch to last."""
        window = self.arc[1] - self.arc[0] + self.twist * self.depth
        return self.arc[0] + min(self.pitch_angle, window) * np.arange(angles) / (angles - 1)

    def one_pitch(self, angles: int) -> np.ndarray:
        """Equal angles over what repeats of a turn."""
        return self.arc[0] + self.pitch_angle * np.arange(angles) / angles


def random_cuts(number: int, seed: int, helix: tuple[float, float] = (0.5, 45.0)) -> list[Cut]:
    """Cuts over the whole range people run: 1 to 5 flutes, 2 to 100 % wide, 5 to 220 % deep."""
    rng = np.random.default_rng(seed)
    laws = (
        Linear(),
        Linear(1319.41, 788.83, 48.75, 19.65, 26.77, 2.05),
        Power(),
        Power(1780.0, 0.17, 0.5, 0.2),
    )
    cuts = []
    for index in range(number):
        diameter = float(rng.uniform(2, 12))
        slot = index % 6 == 5
        cuts.append(
            Cut(
                forces=laws[index % 4],
                diameter=diameter,
                flutes=int(rng.integers(1, 6)),
                helix=float(rng.uniform(*helix)),
                depth=diameter * float(np.exp(rng.uniform(np.log(0.05), np.log(2.2)))),
                width=diameter * (1.0 if slot else float(np.exp(rng.uniform(np.log(0.02), 0)))),
                feed=float(rng.uniform(0.005, 0.15)),
                climb=bool(rng.integers(2)),
            )
        )
    return cuts
