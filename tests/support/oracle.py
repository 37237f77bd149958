"""What a check must say, worked out plainly: means and peaks of support.milling's cuts, and a stepped beam.

Nothing is borrowed from swarfbook. Lengths in mm, forces in N.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from support.milling import Cut

DISCS = 2000
ANGLES = 720


def mean_torque(cut: Cut) -> float:
    """Mean torque over a turn [N mm], by Simpson's rule in the immersion; the helix does not change it."""
    entry, leave = cut.arc
    # The substitution crowds points where a power law is steep: at immersion 0 and pi.
    u = np.linspace(0, 1, 20001)
    phi = entry + (leave - entry) * (3 * u**2 - 2 * u**3)
    slope = (leave - entry) * (6 * u - 6 * u**2)
    tangential = cut.forces(cut.feed * np.maximum(np.sin(phi), 0.0))[0] * slope
    weights = np.ones(u.size)
    weights[1:-1:2], weights[2:-1:2] = 4, 2
    integral = float((weights * tangential).sum() / (3 * (u.size - 1)))
    return cut.flutes * cut.depth * cut.diameter / (4 * math.pi) * integral


def peaks(cut: Cut) -> dict[str, float]:
    """Largest magnitudes over a turn [N, N m]."""
    x, y, z, torque = cut.discs(np.concatenate([cut.one_pitch(ANGLES), _events(cut)]), DISCS)
    return {
        "force_x_peak": float(np.abs(x).max()),
        "force_y_peak": float(np.abs(y).max()),
        "force_z_peak": float(np.abs(z).max()),
        "force_peak": float(np.hypot(x, y).max()),
        "cutting_torque_peak": float(np.abs(torque).max()) / 1000,
    }


def _events(cut: Cut) -> np.ndarray:
    # A hair beside the angles at which an edge end meets entry or exit: there short cuts peak.
    entry, leave = cut.arc
    lag = cut.twist * cut.depth
    ends = np.array([entry, leave, entry + lag, leave + lag])
    return np.concatenate([ends - 1e-7, ends + 1e-7])


@dataclass(frozen=True)
class Beam:
    """A stepped cutter: (end from the tip, diameter) of each section, the last end at the holder [mm]."""

    sections: tuple[tuple[float, float], ...]

    def at(self, where: np.ndarray) -> np.ndarray:
        """Diameter at heights above the tip."""
        diameters = np.full(where.shape, self.sections[-1][1])
        for end, diameter in reversed(self.sections[:-1]):
            diameters = np.where(where < end, diameter, diameters)
        return diameters


def deflection(beam: Beam, *, force: float, load_height: float, youngs_modulus: float) -> float:
    """Deflection at the load by unit load and quadrature along the cutter [mm]; modulus in N/mm^2."""
    steps = 40000
    holder = beam.sections[-1][0]
    where = load_height + (np.arange(steps) + 0.5) / steps * (holder - load_height)
    arm = where - load_height
    inertia = np.pi * beam.at(where) ** 4 / 64
    return float((force * arm**2 / (youngs_modulus * inertia)).sum() * (holder - load_height) / steps)


def bending_stress(beam: Beam, *, force: float, load_height: float) -> float:
    """Largest bending stress at section ends and the holder [N/mm^2]."""
    ends = np.array([min(end, beam.sections[-1][0]) for end, _ in beam.sections])
    just_below = beam.at(ends - 1e-9)
    arms = np.maximum(ends - load_height, 0.0)
    return float((32 * force * arms / (np.pi * just_below**3)).max())
