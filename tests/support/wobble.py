"""A square cutter that runs out, worked out a second way: surfaces left by passes, one after another.

Millimetres and newtons, sharing nothing with the program. Each tooth's pass leaves a surface; the next one
cuts what of it stands in its way. After some turns the chips repeat.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from support.milling import Cut

TURNS = 4


@dataclass(frozen=True)
class Wobbling:
    """A side cut whose cutter's axis stands off the spindle's by half of `runout` [mm]."""

    cut: Cut
    runout: float

    def offsets(self, phase: float) -> list[float]:
        """How far each tooth stands out, in the order in which they pass a place."""
        return [
            self.runout / 2 * math.cos(phase + 2 * math.pi * tooth / self.cut.flutes)
            for tooth in range(self.cut.flutes)
        ]

    def chips(self, even: np.ndarray, phase: float) -> np.ndarray:
        """Chip of each tooth where it would be `even` without run-out, first axis the tooth."""
        stands_out, teeth = self.offsets(phase), self.cut.flutes
        surface = np.full_like(even, -math.inf)
        last = {}
        for turn in range(TURNS):
            for tooth in range(teeth):
                reached = (turn * teeth + tooth) * even + stands_out[tooth]
                last[tooth] = np.maximum(reached - surface, 0)
                surface = np.maximum(surface, reached)
        return np.stack([last[tooth] for tooth in range(teeth)])

    def course(self, angles: np.ndarray, phase: float, slices: int = 300) -> np.ndarray:
        """In-plane force [N] at angles of the foremost end of tooth 0; each next tooth trails by a pitch."""
        cut = self.cut
        entry, leave = cut.arc
        heights = (np.arange(slices) + 0.5) * cut.depth / slices
        x, y = np.zeros(len(angles)), np.zeros(len(angles))
        for tooth in range(cut.flutes):
            phi = np.mod(angles[:, None] - tooth * cut.pitch_angle - cut.twist * heights, 2 * math.pi)
            inside = (phi >= entry) & (phi <= leave)
            phi = np.where(inside, phi, entry)
            chip = self.chips(cut.feed * np.sin(phi), phase)[tooth]
            cutting = inside & (chip > 0)
            tangential, radial, _ = cut.forces(np.where(cutting, chip, 0.0))
            x += ((-tangential * np.cos(phi) - radial * np.sin(phi)) * cutting).sum(axis=1)
            y += ((tangential * np.sin(phi) - radial * np.cos(phi)) * cutting).sum(axis=1)
        return np.hypot(x, y) * cut.depth / slices

    def peak(self, phases: int = 20, angles: int = 260) -> float:
        """Largest in-plane force at the worst of many phases [N]."""
        pitch_angle = self.cut.pitch_angle
        turn = 2 * math.pi * np.arange(angles) / angles
        return max(self.course(turn, pitch_angle * step / phases).max() for step in range(phases))
