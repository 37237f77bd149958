"""Ordinary values for the contract test of the physics, of the formulas beyond a single side cut.

`ORDINARY` may be given as arrays; `APART` is not broadcast with the rest. `TRAILING` is the shape of an
answer beyond its arguments' common one. `OWN_TESTS` names formulas that keep the contract in tests of their
own, and why.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from swarfbook.physics.modes import Modes

TIP = Modes([922.0], [0.011], [1340049.648])

ORDINARY: dict[str, Any] = {
    "centre_relief": 1e-4,
    "chatter_frequency": 940.0,
    "corner_angle": 1.4,
    "corner_radius": 5e-4,
    "damping": 0.02,
    "dead_diameter": 2e-3,
    "density": 14500.0,
    "distance": 0.015,
    "end_edge_angle": 0.12,
    "equivalent_width": 2.5e-3,
    "force_y_peak": 40.0,
    "hole_diameter": 10e-3,
    "inside": True,
    "ktc": 6e8,
    "mark_height": 2e-6,
    "mark_spacing": 1e-4,
    "marks_per_turn": 2.0,
    "orientation": 0.7,
    "pass_spacing": 4e-4,
    "path_diameter": 4e-3,
    "pitch": 5e-4,
    "plunge_limit": 0.004,
    "radial_ratio": 0.3,
    "ramp_angle": 0.05,
    "ramp_length": 0.02,
    "reach": 0.4,
    "scallop": 1e-5,
    "side_edge_angle": 0.5,
    "slope": 0.3,
    "specific_force": 9e8,
    "stiffness": 4e6,
    "teeth_in_cut": 1.2,
    "wall_radius": 9e-3,
    "waves": 2.0,
}
APART: dict[str, Any] = {
    "count": 2,
    "heights": np.linspace(0.0, 1.0, 7),
    "frequencies": np.linspace(880.0, 1200.0, 41),
    "modes": TIP,
    "modes_x": TIP,
    "modes_y": TIP,
    "orientations": np.array([0.8]),
}
TRAILING: dict[str, tuple[int, ...]] = {"best_speeds": (2,), "wall_error": (7,)}
OWN_TESTS: dict[str, str] = {
    "chatter_frequencies": "takes modes, not numbers",
    "lobes": "its curves have gaps of nan",
}
FLAGS: set[str] = {"inside"}
