"""Shaped cutters worked out a second way, in millimetres and newtons, sharing no formula with the program.

`ShapedCut` sums the force on thin discs at one angle after another: no antiderivative, no slant taken from
chords, no law turned to the slant. Its discs are equal steps of the square root of the height.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from support.milling import Linear, Power
from swarfbook.physics import shapes

LAWS = (Linear(), Linear(1319.41, 788.83, 48.75, 19.65, 26.77, 2.05), Power(), Power(1780.0, 0.17, 0.5, 0.2))


@dataclass(frozen=True)
class Shape:
    """Outline of a cutter in millimetres and degrees; `size` is what its kind has besides the diameter."""

    kind: str = "square"
    diameter: float = 6.0
    size: float = 0.0
    tip: float = 0.0

    def profile(self) -> shapes.Profile:
        """The same outline as the program takes it."""
        across, size = self.diameter / 1e3, self.size
        return {
            "square": lambda: shapes.Square(across),
            "compression": lambda: shapes.Compression(across, size / 1e3),
            "ball": lambda: shapes.Ball(across),
            "corner-radius": lambda: shapes.CornerRadius(across, size / 1e3),
            "chamfer": lambda: shapes.Chamfer(across, math.radians(size), self.tip / 1e3),
            "tapered": lambda: shapes.Tapered(across, math.radians(size)),
        }[self.kind]()

    def edge(self, z: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Radius [mm] and edge angle [rad] at heights."""
        full, upright = self.diameter / 2, np.full_like(z, math.pi / 2)
        if self.kind == "tapered":
            return full + z * math.tan(math.radians(self.size)), upright - math.radians(self.size)
        if self.kind == "chamfer":
            half = math.radians(self.size) / 2
            radius = self.tip / 2 + z * math.tan(half)
            return np.where(radius < full, radius, full), np.where(radius < full, upright - half, upright)
        arc = {"ball": full, "corner-radius": self.size}.get(self.kind, 0.0)
        angle = np.arccos(1 - np.minimum(z, arc) / arc) if arc else upright
        return full - arc * (1 - np.sin(angle)), angle

    def turned_back(self, z: np.ndarray) -> np.ndarray:
        """Where the helix runs the other way."""
        return z > self.size if self.kind == "compression" else np.zeros(z.shape, dtype=bool)


@dataclass(frozen=True)
class ShapedCut:
    """One cut: millimetres, degrees for the helix; `band` is the stock's two edges in y, for facing."""

    shape: Shape = field(default_factory=Shape)
    forces: Linear | Power = LAWS[0]
    flutes: int = 2
    helix: float = 30.0
    depth: float = 2.0
    width: float = 2.0
    feed: float = 0.05
    climb: bool = True
    earlier_pass: bool = False
    band: tuple[float, float] | None = None

    def inputs(self) -> dict[str, Any]:
        """The same cut as the program takes it."""
        same: dict[str, Any] = {
            "law": self.forces.law(),
            "cutter": self.shape.profile(),
            "flutes": self.flutes,
            "helix": math.radians(self.helix),
            "axial_depth": self.depth / 1e3,
            "feed_per_tooth": self.feed / 1e3,
        }
        if self.band is not None:
            low, high = self.band
            return same | {"stock_width": (high - low) / 1e3, "stock_offset": (high + low) / 2e3}
        return same | {
            "radial_width": self.width / 1e3,
            "climb": self.climb,
            "earlier_pass": self.earlier_pass,
        }

    @property
    def pitch_angle(self) -> float:
        return 2 * math.pi / self.flutes

    def stock(self, radius: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Edges of the stock in y for discs of some radii."""
        if self.band is not None:
            return np.full_like(radius, self.band[0]), np.full_like(radius, self.band[1])
        free = (radius if self.earlier_pass else self.shape.diameter / 2) - self.width
        far = np.full_like(radius, math.inf)
        return (-far, -free + 0 * radius) if self.climb else (free + 0 * radius, far)

    def trail(self, z: np.ndarray) -> np.ndarray:
        """By how much the edge at heights trails its tip [rad]."""
        wound = np.where(self.shape.turned_back(z), 2 * self.shape.size - z, z)
        return wound * math.tan(math.radians(self.helix)) / (self.shape.diameter / 2)

    def lowest(self) -> float:
        """Lowest height in the stock, by halving [mm]."""
        below, above = 0.0, self.depth
        for _ in range(60):
            middle = (below + above) / 2
            radius, _ = self.shape.edge(np.array([middle]))
            low, high = self.stock(radius)
            cuts = bool(low[0] < radius[0] and high[0] > -radius[0])
            below, above = (below, middle) if cuts else (middle, above)
        return above

    def course(self, angles: np.ndarray, discs: int = 1500) -> np.ndarray:
        """Fx, Fy, lift [N] and torque [N mm] at angles of the tip."""
        steps, lowest = (np.arange(discs) + 0.5) / discs, self.lowest()
        z, dz = lowest + (self.depth - lowest) * steps**2, (self.depth - lowest) * 2 * steps / discs
        radius, kappa = self.shape.edge(z)
        low, high = self.stock(radius)
        hand = math.copysign(1.0, self.helix) * np.where(self.shape.turned_back(z), -1.0, 1.0)
        total = np.zeros((4, len(angles)))
        for tooth in range(self.flutes):
            phi = np.mod(angles[:, None] + tooth * self.pitch_angle - self.trail(z), 2 * math.pi)
            across = radius * np.cos(phi)
            inside = (phi <= math.pi) & (across >= low) & (across <= high)
            total += self._summed(
                np.where(inside, phi, 0.0), inside * dz / np.sin(kappa), radius, kappa, hand
            )
        return total

    def _summed(self, phi, length, radius, kappa, hand) -> np.ndarray:
        """Sum over discs of what their edge lengths feel."""
        chip = self.feed * np.sin(phi) * np.sin(kappa)
        tangential, radial, axial = self.forces(chip)
        axial = hand * axial
        inwards = radial * np.sin(kappa) + axial * np.cos(kappa)
        x = -tangential * np.cos(phi) - inwards * np.sin(phi)
        y = tangential * np.sin(phi) - inwards * np.cos(phi)
        lift = axial * np.sin(kappa) - radial * np.cos(kappa)
        return (np.stack([x, y, lift, tangential * radius]) * length).sum(axis=2)

    def one_pitch(self, angles: int) -> np.ndarray:
        """Equal angles over what repeats of a turn."""
        return self.pitch_angle * np.arange(angles) / angles

    def touching(self) -> tuple[float, float]:
        """Angles of the tip between which some disc is in the stock, at most a pitch apart."""
        z = self.lowest() + (self.depth - self.lowest()) * np.linspace(0, 1, 4001) ** 2
        radius, _ = self.shape.edge(z)
        low, high = self.stock(radius)
        reach = np.maximum(radius, 1e-9)
        entry, leave = (np.arccos(np.clip(edge / reach, -1, 1)) for edge in (high, low))
        first, last = (entry + self.trail(z)).min(), (leave + self.trail(z)).max()
        return first, min(last, first + self.pitch_angle)

    def loads(self, angles: int = 500, discs: int = 1000) -> list[float]:
        """Mean and peak torque [N m], peaks of the in-plane resultant, Fx, Fy and lift [N]."""
        first, last = self.touching()
        middles = first + (last - first) * (np.arange(angles) + 0.5) / angles
        x, y, lift, torque = self.course(middles, discs)
        peaks = [np.hypot(x, y).max()] + [np.abs(force).max() for force in (x, y, lift)]
        return [torque.mean() * (last - first) / self.pitch_angle / 1e3, torque.max() / 1e3, *peaks]


def random_shape(kind: str, rng: np.random.Generator) -> Shape:
    """A cutter of some kind, 2 to 12 mm across."""
    diameter = float(rng.uniform(2, 12))
    size = {
        "corner-radius": diameter * rng.uniform(0.02, 0.49),
        "chamfer": rng.uniform(30, 140),
        "tapered": rng.uniform(0.5, 15),
        "compression": diameter * rng.uniform(0.1, 1.5),
    }.get(kind, 0.0)
    return Shape(kind, diameter, float(size), diameter * float(rng.choice([0.0, 0.1, 0.3])))


def random_shaped_cuts(kind: str, number: int, seed: int) -> list[ShapedCut]:
    """Cuts of one kind: 1 to 5 flutes, either helix, 3 % wide to a slot, free edge of either sort."""
    rng = np.random.default_rng(seed)
    cuts = []
    for index in range(number):
        shape = random_shape(kind, rng)
        slot = index % 5 == 4
        cuts.append(
            ShapedCut(
                shape=shape,
                forces=LAWS[index % 4],
                flutes=int(rng.integers(1, 6)),
                helix=float(rng.choice([-1, 1]) * rng.uniform(0, 45)),
                depth=shape.diameter * float(np.exp(rng.uniform(np.log(0.05), np.log(1.5)))),
                width=shape.diameter * (1.0 if slot else float(np.exp(rng.uniform(np.log(0.03), 0)))),
                feed=float(rng.uniform(0.01, 0.15)),
                climb=bool(rng.integers(2)),
                earlier_pass=bool(rng.integers(2)),
            )
        )
    return cuts
