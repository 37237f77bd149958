"""What people call limits, quantities and inputs: the one table of titles, for text, pages and screens."""

from __future__ import annotations

from types import MappingProxyType

LIMITS = MappingProxyType(
    {
        "spindle-power": "spindle power",
        "spindle-torque": "spindle torque",
        "spindle-torque-peak": "torque peaks",
        "spindle-speed": "highest speed",
        "spindle-speed-low": "lowest speed",
        "tool-speed": "cutter speed",
        "surface-speed": "surface speed",
        "feed-rate": "fastest feed",
        "axis-thrust": "axis thrust",
        "chip-thin": "thin chip",
        "chip-thick": "thick chip",
        "cut-depth": "cut depth",
        "reach": "reach",
        "bending": "bending",
        "deflection": "deflection",
        "chip-clearing": "chip clearing",
        "chatter": "chatter",
        "entry": "entry",
        "hold": "hold",
        "stock-temperature": "stock heat",
    }
)
"""The limits by name, at most 14 letters each."""

QUANTITIES = MappingProxyType(
    {
        "cutting_speed": "cutting speed",
        "spindle_speed": "spindle speed",
        "feed_per_tooth": "feed per tooth",
        "feed_rate": "feed rate",
        "engagement_angle": "engagement angle",
        "chip_thickness_max": "thickest chip",
        "chip_thickness_mean": "mean chip thickness",
        "material_removal_rate": "removal rate",
        "specific_cutting_force": "specific cutting force",
        "cutting_torque_mean": "mean torque",
        "cutting_torque_peak": "peak torque",
        "cutting_power": "cutting power",
        "spindle_input_power": "power at the plug",
        "force_peak": "peak side force",
        "force_x_peak": "peak force along the feed",
        "force_y_peak": "peak force across the feed",
        "force_z_peak": "peak force along the axis",
        "deflection_tool": "deflection of the cutter",
        "deflection_total": "total deflection",
        "bending_stress_peak": "bending stress",
        "chip_thickness_runout": "thickest chip with run-out",
        "force_peak_runout": "peak force with run-out",
        "wall_mark_height": "marks on the wall",
        "wall_error_most": "most stock left on the wall",
        "wall_error_least": "least stock left on the wall",
        "full_feed_distance": "move that reaches the feed",
        "feed_rate_short_move": "feed reached on a 1 mm move",
        "chip_thickness_short_move": "chip left on a 1 mm move",
        "cutting_power_handbook": "power by the handbook",
        "cutting_power_other_law": "power by the other law",
        "force_peak_other_law": "peak force by the other law",
        "chip_thickness_thinnest": "thinnest chip with run-out",
        "teeth_cutting": "teeth that cut",
        "effective_diameter": "effective diameter",
        "edge_angle": "edge angle",
        "scallop_height": "ridges between passes",
        "floor_mark_height": "marks on the floor",
        "overload_share": "share of time in overload",
        "overload_time": "time in overload from cold",
        # Demands and loads that a check does not report by themselves.
        "axial_depth": "axial depth",
        "flute_filling": "filling of a flute",
        "descent_rate": "rate of descent",
        "bending_demand": "bending stress at its worst",
        "thrust_demand": "side force at its worst",
        "hold_side_force": "side force on the hold",
        "hold_lift": "lift on the hold",
        "hold_moment": "tipping of the hold",
        "power_available": "power at hand",
    }
)
"""The quantities by their name in JSON, at most 28 letters each."""

INPUTS = MappingProxyType(
    {
        "deflection_allowed": "allowed deflection",
        "diameter": "cutting diameter",
        "dynamic_high_factor": "dynamic factor",
        "helix": "helix angle",
        "law": "cutting force",
        "learnt": "learnt factor",
        "max_feed": "fastest feed",
        "max_plunge": "fastest plunge",
        "max_speed": "highest speed",
        "min_chip_ratio": "minimum-chip ratio",
        "min_speed": "lowest speed",
        "rating": "rated side",
        "runout": "run-out",
        "speed_high": "top of the speed band",
        "speed_low": "foot of the speed band",
        "strength": "strength of the cutter",
        "taper": "taper a side",
        "thrust": "thrust of an axis",
        "tip_diameter": "flat at the point",
        "tool_max_speed": "cutter speed",
        "tool_tip_stiffness": "tool-tip stiffness",
        "wear": "wear factor",
        "youngs_modulus": "Young's modulus",
    }
)
"""Inputs by name, where the name alone does not say it; a limit that is an input has that one's title."""

KEYS = MappingProxyType({"tool": "cutter"})
"""Keys of records and ids that are said in another word than their own."""


def title(name: str) -> str:
    """Say a limit, a quantity or an input by the name it has in JSON."""
    return LIMITS.get(name) or QUANTITIES.get(name) or INPUTS.get(name) or said(name)


def said(key: str) -> str:
    """Say a key of a record, an id or a word of a list: `radial_width` is `radial width`."""
    return KEYS.get(key, key.replace("_", " ").replace("-", " "))
