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
    "acceleration": 0.8,
    "belt_rigidity": 2e5,
    "centre_relief": 1e-4,
    "chatter_frequency": 940.0,
    "chip_volume": 2e-10,
    "core_diameter": 3.4e-3,
    "corner_angle": 1.4,
    "corner_radius": 5e-4,
    "corner_speed": 5.0,
    "cutting_force": 35.0,
    "damping": 0.02,
    "dead_diameter": 2e-3,
    "density": 14500.0,
    "distance": 0.015,
    "duty_share": 0.4,
    "end_edge_angle": 0.12,
    "end_speed": 0.002,
    "equivalent_width": 2.5e-3,
    "flute_area": 6e-6,
    "flute_share": 0.7,
    "force_y_peak": 40.0,
    "friction": 0.15,
    "friction_force": 20.0,
    "holding_torque": 1.2,
    "hole_diameter": 10e-3,
    "idle_loss_ratio": 0.2,
    "inside": True,
    "ktc": 6e8,
    "lead": 5e-3,
    "long_side": 1.1,
    "mark_height": 2e-6,
    "mark_spacing": 1e-4,
    "marks_per_turn": 2.0,
    "motor_speed": 12.0,
    "moving_mass": 6.0,
    "orientation": 0.7,
    "overload": 1.5,
    "pass_spacing": 4e-4,
    "path_diameter": 4e-3,
    "path_radius": 5e-3,
    "path_tolerance": 1e-5,
    "pitch": 5e-4,
    "pitch_diameter": 14e-3,
    "plunge_limit": 0.004,
    "power_ratio": 1.2,
    "pulley_radius": 0.01,
    "radial_ratio": 0.3,
    "ramp_angle": 0.05,
    "ramp_length": 0.02,
    "reach": 0.4,
    "scallop": 1e-5,
    "short_side": 0.3,
    "side_edge_angle": 0.5,
    "slope": 0.3,
    "specific_force": 9e8,
    "speed_reached": 0.011,
    "start_speed": 0.004,
    "step_angle": 0.0314,
    "step_rate": 4000.0,
    "stiffness": 4e6,
    "teeth_in_cut": 1.2,
    "thrust": 400.0,
    "turn_angle": 0.9,
    "volume_ratio": 6.0,
    "wall_radius": 9e-3,
    "waves": 2.0,
}
APART: dict[str, Any] = {
    "dial_speeds": np.array([150.0, 250.0, 400.0]),
    "table_factors": np.array([1.7, 1.25, 1.0]),
    "table_feeds": np.array([2e-5, 1e-4, 3e-4]),
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
    "junction_speeds": "runs along its last axis",
    "path_times": "runs along its last axis",
    "lobes": "its curves have gaps of nan",
}
FLAGS: set[str] = {"inside"}
