"""Where sizes end that geometry bounds: a cut as wide as the cutter, an upright ramp, a whole tooth."""

import math

import numpy as np
import pytest
from test_physics_contract import FORMULAS, IDS, call

BY_NAME = dict(zip(IDS, FORMULAS, strict=True))


def means_nothing(name: str, argument: str, value: float) -> bool:
    """Any part of the answer is nan when this argument alone is not an ordinary one."""
    return any(np.isnan(part).any() for part in call(BY_NAME[name], **{argument: value}))


RIGHT, HALF_TURN, STEEPEST = math.pi / 2, math.pi, math.radians(80)
SIX, TEN = 6e-3, 10e-3
# Formula, argument, where it ends when all others are ordinary, and whether the end itself has a meaning;
# None where a rounding decides. The numbers follow from the ordinary values: a cutter of 6 mm, a hole of 10.
UPPER = [
    ("adhesive.warm_strength", "cool_temperature", 338.0, False),
    ("beam.deflection", "load_height", 30e-3, True),
    ("beam.bending_stress", "load_height", 30e-3, True),
    ("chip.chip_thickness_max", "radial_width", SIX, True),
    ("chip.chip_thickness_mean", "radial_width", SIX, True),
    ("chip.radial_thinning_factor", "radial_width", SIX, True),
    ("chip.feed_for_chip_thickness", "radial_width", SIX, True),
    ("clamping.thread_pitch_diameter", "thread_pitch", 6e-3 * 8 / (3 * math.sqrt(3)), None),
    ("clearing.flute_area", "core_diameter", SIX, False),
    ("corners.path_radius", "diameter", 18e-3, True),
    ("corners.corner_engagement", "corner_angle", HALF_TURN, True),
    ("corners.corner_engagement", "radial_width", SIX, True),
    ("corners.equivalent_radial_width", "radial_width", SIX, True),
    ("discs.loads", "helix", STEEPEST, True),
    ("discs.loads", "radial_width", SIX, True),
    ("discs.chips", "radial_width", SIX, True),
    ("discs.facing_chips", "stock_offset", 5e-3, False),
    ("dynamic.dynamic_factor", "dynamic_low_frequency", 150.0, False),
    ("engagement.engagement_ratio", "radial_width", SIX, True),
    ("engagement.lag_angle", "helix", STEEPEST, True),
    ("entry.helix_path_diameter", "diameter", TEN, False),
    ("entry.helix_descent", "ramp_angle", RIGHT, False),
    ("entry.depth_along_ramp", "ramp_angle", RIGHT, False),
    ("entry.vertical_feed_rate", "ramp_angle", RIGHT, True),
    ("entry.axial_feed_per_tooth", "ramp_angle", RIGHT, True),
    ("facing.immersion", "stock_offset", 5e-3, False),
    ("facing.immersion", "stock_offset", -5e-3, False),
    ("facing.width_in_cut", "exit", HALF_TURN, True),
    ("facing.width_in_cut", "entry", 1.9, True),
    ("facing.thickest_chip", "exit", HALF_TURN, True),
    ("facing.thickest_chip", "entry", 1.9, True),
    ("facing.mean_chip", "exit", HALF_TURN, True),
    ("facing.mean_chip", "entry", 1.9, False),
    ("heat.lump_time", "surroundings", 320.0, False),
    ("heat.lump_time", "temperature", 400.0, True),
    ("heat.round_jet_nusselt", "nozzle_diameter", 15e-3 / 1.1, None),
    ("motion.speed_reached", "start_speed", 0.015, True),
    ("motion.speed_reached", "end_speed", 0.015, True),
    ("motion.approach_distance", "radial_width", SIX, True),
    ("operations.bore", "radial_width", SIX, True),
    ("surface.floor_mark_height", "mark_spacing", 1e-3, True),
    ("surface.scallop_height", "pass_spacing", 6e-3 * math.cos(0.3), None),
    ("surface.scallop_height", "slope", math.acos(4e-4 / 6e-3), None),
    ("surface.pass_spacing_for_scallop", "scallop", 3e-3, True),
    ("surface.pass_spacing_for_scallop", "slope", RIGHT, None),
    ("turn.loads", "radial_width", SIX, True),
]
LOWER = [
    ("adhesive.warm_strength", "warm_temperature", 303.0, False),
    ("beam.deflection", "stickout", 1.5e-3, True),
    ("clamping.friction_hold", "rubbing_faces", 1.0, True),
    ("clearing.loose_volume", "chip_volume_ratio", 1.0, True),
    ("clearing.flute_area", "diameter", 3.4e-3, False),
    ("corners.path_radius", "wall_radius", 3e-3, True),
    ("corners.centre_feed_factor", "wall_radius", 3e-3, True),
    ("discs.loads", "flutes", 1.0, True),
    ("engagement.tooth_pitch", "flutes", 1.0, True),
    ("engagement.teeth_in_cut", "flutes", 1.0, True),
    ("entry.helix_path_diameter", "hole_diameter", SIX, False),
    ("facing.width_in_cut", "exit", 0.3, True),
    ("facing.mean_chip", "exit", 0.3, False),
    ("heat.lump_time", "start_temperature", 320.0, True),
    ("heat.lump_time", "temperature", 300.0, False),
    ("motion.speed_reached", "distance", (4e-3**2 - 2e-3**2) / (2 * 0.8), None),
    ("motion.speed_reached", "acceleration", (4e-3**2 - 2e-3**2) / (2 * 0.015), None),
    ("motion.speed_reached", "feed_rate", 4e-3, True),
    ("operations.bottom_loads", "flutes", 1.0, True),
    ("operations.plunge", "flutes", 1.0, True),
    ("oriented.oriented_depth", "chatter_frequency", 922.0, False),
    ("runout.chip_thickness_runout", "flutes", 1.0, True),
    ("runout.runout_that_idles_a_tooth", "flutes", 1.0, True),
]


@pytest.mark.parametrize(("name", "argument", "end", "counts"), UPPER)
def test_sizes_end_where_geometry_has_them_end(name, argument, end, counts):
    assert not means_nothing(name, argument, end * (1 - 1e-6))
    assert means_nothing(name, argument, end * (1 + 1e-6))
    assert counts is None or means_nothing(name, argument, end) is not counts


@pytest.mark.parametrize(("name", "argument", "end", "counts"), LOWER)
def test_sizes_begin_where_geometry_has_them_begin(name, argument, end, counts):
    assert not means_nothing(name, argument, end * (1 + 1e-6))
    assert means_nothing(name, argument, end * (1 - 1e-6))
    assert counts is None or means_nothing(name, argument, end) is not counts
