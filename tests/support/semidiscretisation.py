"""Stability of milling a second way: first-order semi-discretisation of the delayed equation of motion.

The pass of one tooth is cut into equal steps. Within a step the directional matrix is its mean, and the
motion one pass earlier runs straight between its two ends; the largest eigenvalue of the map over a pass
tells whether a ripple grows. (Insperger & Stepan, Semi-Discretization for Time-Delay Systems, 2011.) Unlike
the zero-order solution it keeps the harmonics of the tooth passing, so it also finds the flip lobes.
Nothing is borrowed from swarfbook.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.linalg import expm

Mode = tuple[float, float, float, float]
"""Natural frequency [Hz], damping ratio, stiffness [N/m], lead [s]."""
POINTS, WEIGHTS = np.polynomial.legendre.leggauss(8)


@dataclass(frozen=True)
class Milling:
    """A cut that may chatter: modes along x and y, immersion in radians, coefficients in N/m^2."""

    modes_x: Sequence[Mode]
    modes_y: Sequence[Mode]
    flutes: int
    entry: float
    leave: float
    ktc: float
    krc: float

    def _free(self) -> np.ndarray:
        """The machine without a cut: state of modal places and speeds."""
        turning = [2 * math.pi * mode[0] for mode in (*self.modes_x, *self.modes_y)]
        damping = [mode[1] for mode in (*self.modes_x, *self.modes_y)]
        count = len(turning)
        free = np.zeros((2 * count, 2 * count))
        free[:count, count:] = np.eye(count)
        free[count:, :count] = -np.diag(np.square(turning))
        free[count:, count:] = -2 * np.diag(np.multiply(damping, turning))
        return free

    def _pushes(self) -> np.ndarray:
        """How forces along x and y drive the modes."""
        modes = [*self.modes_x, *self.modes_y]
        count, pushes = len(modes), np.zeros((2 * len(modes), 2))
        for row, mode in enumerate(modes):
            axis = 0 if row < len(self.modes_x) else 1
            pushes[count + row, axis] = (2 * math.pi * mode[0]) ** 2 / mode[2]
        return pushes

    def _places(self) -> np.ndarray:
        """How the modes move the tip along x and y."""
        modes = [*self.modes_x, *self.modes_y]
        count, places = len(modes), np.zeros((2, 2 * len(modes)))
        for column, mode in enumerate(modes):
            axis = 0 if column < len(self.modes_x) else 1
            places[axis, column], places[axis, count + column] = 1.0, mode[3]
        return places

    def _stiffness(self, start: float, end: float) -> np.ndarray:
        """Mean over a stretch of the turn of the force per depth on the tip per displacement of it [Pa]."""
        mean = np.zeros((2, 2))
        for tooth in range(self.flutes):
            offset = 2 * math.pi * tooth / self.flutes
            low, high = max(start + offset, self.entry), min(end + offset, self.leave)
            if high > low:
                phi = low + (high - low) * (POINTS + 1) / 2
                sine, cosine = np.sin(phi), np.cos(phi)
                chip = np.stack([sine, cosine])
                force = np.stack([-self.ktc * cosine - self.krc * sine, self.ktc * sine - self.krc * cosine])
                mean += np.einsum("ip,jp,p->ij", force, chip, WEIGHTS) * (high - low) / 2
        return mean / (end - start)

    def growth(self, speed: float, depth: float, steps: int) -> float:
        """How much the fastest ripple grows over the pass of one tooth: below 1 it dies."""
        return abs(self.multiplier(speed, depth, steps))

    def multiplier(self, speed: float, depth: float, steps: int) -> complex:
        """Largest multiplier over the pass of one tooth, at a speed [rev/s] and depth [m].

        At the border a complex one stands for ordinary chatter, one near -1 for a flip: a mark on every
        other tooth.
        """
        period = 1 / (self.flutes * speed)
        step, pitch = period / steps, 2 * math.pi / self.flutes / steps
        free, pushes, places = self._free(), self._pushes(), self._places()
        states = free.shape[0]
        size = states + 2 * steps
        whole = np.eye(size)
        for index in range(steps):
            cut = depth * pushes @ self._stiffness(index * pitch, (index + 1) * pitch)
            motion = free + cut @ places
            growing, inverse = expm(motion * step), np.linalg.inv(motion)
            bent = inverse @ inverse @ (growing - np.eye(states)) / step
            older, newer = -(inverse @ growing - bent) @ cut, -(bent - inverse) @ cut
            after = growing @ whole[:states] + older @ whole[-2:] + newer @ whole[-4:-2]
            # Behind the state stand the tip's places, the newest first, back to one pass ago.
            whole = np.vstack([after, places @ whole[:states], whole[states:-2]])
        multipliers = np.linalg.eigvals(whole)
        return complex(multipliers[np.abs(multipliers).argmax()])
