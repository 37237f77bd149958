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
    "chatter_frequency": 940.0,
    "corner_radius": 5e-4,
    "damping": 0.02,
    "density": 14500.0,
    "end_edge_angle": 0.12,
    "force_y_peak": 40.0,
    "ktc": 6e8,
    "mark_height": 2e-6,
    "mark_spacing": 1e-4,
    "marks_per_turn": 2.0,
    "orientation": 0.7,
    "radial_ratio": 0.3,
    "reach": 0.4,
    "scallop": 1e-5,
    "side_edge_angle": 0.5,
    "slope": 0.3,
    "specific_force": 9e8,
    "pass_spacing": 4e-4,
    "stiffness": 4e6,
    "teeth_in_cut": 1.2,
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
FLAGS: set[str] = set()
