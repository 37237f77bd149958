"""The keys of machines, cutters, materials and jobs in the trade's words, and their headings."""

from __future__ import annotations

from swarfbook.decisions.titles import said

PLURALS = {
    "machine": "machines",
    "tool": "cutters",
    "material": "materials",
    "recipe": "recipes",
    "job": "jobs",
}
KINDS = {kind: said(kind) for kind in PLURALS}

LABELS: dict[str, dict[str, str]] = {
    "machine": {
        "name": "name",
        "spindle.motor": "motor",
        "spindle.rated_power": "rated power, S1",
        "spindle.rated_speed": "rated speed",
        "spindle.min_speed": "lowest speed",
        "spindle.max_speed": "highest speed",
        "spindle.speeds": "dial positions",
        "spindle.rating": "rated side",
        "spindle.efficiency": "efficiency",
        "spindle.idle_power": "idle power",
        "spindle.overload.power": "overload",
        "spindle.overload.duty": "overload duty",
        "spindle.thermal_time": "thermal time",
        "spindle.torque_curve": "torque curve",
        "spindle.runout": "run-out",
        "axes.max_feed": "fastest feed",
        "axes.max_plunge": "fastest plunge",
        "axes.acceleration": "acceleration",
        "axes.thrust": "thrust",
        "tool_tip.stiffness": "tool-tip stiffness",
        "tool_tip.modes": "modes of vibration",
    },
    "tool": {
        "name": "name",
        "shape": "shape",
        "diameter": "cutting diameter",
        "flutes": "flutes",
        "helix": "helix angle",
        "upcut_length": "up-cut length",
        "flute_length": "flute length",
        "reach": "reach",
        "neck_diameter": "neck diameter",
        "shank_diameter": "shank diameter",
        "overall_length": "overall length",
        "corner_radius": "corner radius",
        "point_angle": "point angle",
        "tip_diameter": "flat at the point",
        "taper": "taper a side",
        "substrate": "substrate",
        "edge_radius": "edge radius",
        "rake": "rake angle",
        "youngs_modulus": "Young's modulus",
        "max_speed": "highest speed",
    },
    "material": {
        "name": "name",
        "table": "row of the table",
        "cutting_law": "cutting law",
        "overrides.kc11": "specific force kc1.1",
        "overrides.mc": "exponent mc",
        "overrides.force_ratio_radial": "radial share",
        "overrides.force_ratio_axial": "axial share",
        "overrides.ktc": "Ktc, tangential",
        "overrides.krc": "Krc, radial",
        "overrides.kac": "Kac, axial",
        "overrides.kte": "Kte, edge",
        "overrides.kre": "Kre, edge radial",
        "overrides.kae": "Kae, edge axial",
        "overrides.min_chip_ratio": "minimum-chip ratio",
    },
    "job": {
        "quantity": "parts ordered",
        "pieces": "parts a piece",
        "ambient": "workshop",
        "setup_time": "fixing a piece",
        "tool_change_time": "change of cutter",
        "hourly_rate": "an hour costs",
        "material_price": "stock as sold costs",
        "stock.thickness": "thickness",
        "stock.skim": "skim a face",
        "stock.saw": "cut of the saw",
        "stock.clamp_loss": "lost to clamps",
        "stock.gap": "gap between parts",
        "bed.cut_in": "cut into it",
        "flip.locate": "found again by",
        "flip.error": "error of that",
        "features.count": "how many",
        "features.finish": "finish, Ra",
        "holds.torque": "tightened with",
        "steps.volume": "takes off",
        "steps.floor": "left under it",
        "steps.allowance": "left on the wall",
        "steps.move": "usual move",
        "steps.air": "share in the air",
        "steps.pause": "pause before it",
    },
}
"""Keys by their kind; those of a job that are said as they are written are left out."""
JOB_GROUPS = {"stock": "stock", "part": "part", "bed": "what lies under the hold", "flip": "second side"}
"""The tables of a job, as headings."""
ENTRY = {"steps": "step", "features": "feature", "holds": "hold"}
"""One entry of each of a job's lists."""
ENTRY_NAME = {"steps": "feature", "features": "id", "holds": "method"}
"""The key of an entry that tells it from the others."""
HINTS = {
    "spindle.rating": "which side of the motor the rated power is of: the shaft, or the plug (input)",
    "spindle.rated_speed": "below it even torque, above it even power",
    "spindle.speeds": "the dial's fixed positions; leave out where speed is free",
    "spindle.efficiency": "power at the shaft over power at the plug, at the rated load",
    "spindle.runout": "total indicator reading at the collet; may be 0",
    "spindle.thermal_time": "the motor's thermal time constant: what an overload is timed by",
    "tool_tip.stiffness": "of the machine as felt at the collet nose",
    "helix": "negative is down-cut, 0 straight",
    "upcut_length": "compression cutters: up-cut below this length, down-cut above it",
    "reach": "how deep a wall may stand before something rubs",
    "neck_diameter": "between flutes and reach",
    "max_speed": "marked on the cutter or in the maker's list",
    "overrides.min_chip_ratio": "thinnest chip that cuts, as a share of the edge radius",
    "overrides.mc": "by how much the specific force falls with the chip's thickness",
    "table": "a row of the reference tables; Enter finds one",
}
"""What a label of few words leaves open."""

GROUPS = {
    "spindle": "spindle",
    "axes": "axes",
    "tool_tip": "at the collet nose",
    "overrides": "numbers, the table's unless written here",
}


def label(kind: str, key: str) -> str:
    """Say a key; an entry's of a list by the list's name: `steps.path`."""
    return LABELS[kind].get(key, said(key.rpartition(".")[2]))


def group(key: str) -> str:
    """Say the heading a key stands under; empty at the top of a file."""
    return GROUPS.get(key.partition(".")[0], "") if "." in key else ""
