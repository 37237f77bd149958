"""What serves where a machine, a cutter or a material leaves a key out, and the table rows behind it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, cast

from swarfbook import tables
from swarfbook.decisions.cutting_law import (
    KIENZLE_COLUMNS,
    LINEAR_COLUMNS,
    RATIO_COLUMNS,
    fitted_range,
    law_name,
)
from swarfbook.decisions.inputs import Input, machine_inputs, tool_inputs
from swarfbook.records import BookSettings, Machine, Material, Record, Tool
from swarfbook.records.tool import SHAPE_KEYS
from swarfbook.tables import Row

Stands = dict[str, "StandIn"]


@dataclass(frozen=True, slots=True)
class StandIn:
    """What serves in place of a value.

    Attributes:
        value: the number in SI; None where words say what serves, or nothing does.
        says: those words; beside a number, what it is.
        origin: where it comes from, in words.
        assumed: whether it is a default with a wide spread.
        row: the table row behind it, if one is.
    """

    value: float | None = None
    says: str = ""
    origin: str = ""
    assumed: bool = False
    row: Row | None = None


MACHINE_INPUTS = {
    "spindle.efficiency": "efficiency",
    "spindle.runout": "runout",
    "spindle.thermal_time": "thermal_time",
    "axes.max_plunge": "max_plunge",
    "axes.acceleration": "acceleration",
    "axes.thrust": "thrust",
    "tool_tip.stiffness": "tool_tip_stiffness",
}
TOOL_INPUTS = {"edge_radius": "edge_radius", "youngs_modulus": "youngs_modulus"}
MEASURED = {**MACHINE_INPUTS, **TOOL_INPUTS, "spindle.idle_power": "idle_power", "spindle.rating": "rating"}
"""Keys by the name of the input they give, which is the one a page on measuring knows them by."""

MACHINE_WORDS = {
    "spindle.speeds": "any speed from the lowest to the highest",
    "spindle.idle_power": "power at the plug is worked out without it",
    "spindle.overload.power": "torque peaks are not judged",
    "spindle.thermal_time": "nothing rests on it without an overload",
    "spindle.torque_curve": "even torque to the rated speed, even power above it",
    "tool_tip.modes": "chatter is not judged",
}
TOOL_WORDS = {
    "upcut_length": "one direction along the whole flute",
    "rake": "no correction for rake",
    "max_speed": "its speed is not judged",
}


def stand_ins(kind: str, record: Record, settings: BookSettings) -> Stands:
    """Give what would serve for each key that may be left out, by dotted key, whether it is or not."""
    if kind == "machine":
        return _machine(cast(Machine, record), settings)
    if kind == "tool":
        return _tool(cast(Tool, record), settings)
    return _material(cast(Material, record))


def hidden(kind: str, values: Mapping[str, Any]) -> frozenset[str]:
    """Give the keys that belong to a shape the cutter, as typed, does not have."""
    if kind != "tool":
        return frozenset()
    return frozenset(key for key, (owner, _) in SHAPE_KEYS.items() if owner != values.get("shape"))


def _machine(machine: Machine, settings: BookSettings) -> Stands:
    fast = machine.spindle.max_speed
    unknown = {"efficiency": None, "runout": None, "thermal_time": None}
    bare = machine.replaced(
        spindle=machine.spindle.replaced(**unknown),
        axes=machine.axes.replaced(max_plunge=None, acceleration=None, thrust=None),
        tool_tip=machine.tool_tip.replaced(stiffness=None),
    )
    inputs = machine_inputs(bare, settings)
    return {
        "spindle.rated_speed": StandIn(fast, "the highest speed", "spindle.max_speed", assumed=True),
        "spindle.rating": StandIn(None, "shaft", "a warning goes with it", assumed=True),
        **{key: StandIn(says=words) for key, words in MACHINE_WORDS.items()},
        **{key: _from(inputs[name]) for key, name in MACHINE_INPUTS.items() if name in inputs},
    }


def _tool(tool: Tool, settings: BookSettings) -> Stands:
    bare = tool.replaced(edge_radius=None, youngs_modulus=None)
    inputs = tool_inputs(bare, settings)
    neck = min(tool.shank_diameter, tool.diameter)
    return {
        "reach": StandIn(tool.flute_length, "the flute length", "flute_length"),
        "neck_diameter": StandIn(neck, "the thinner of shank and cutter", "shank_diameter, diameter"),
        "tip_diameter": StandIn(0.0, "a sharp point"),
        **{key: StandIn(says=words) for key, words in TOOL_WORDS.items()},
        **{key: _from(inputs[name]) for key, name in TOOL_INPUTS.items()},
    }


def _from(item: Input) -> StandIn:
    return StandIn(item.value, "", item.origin, item.assumed, item.row)


def _material(material: Material) -> Stands:
    own = law_name(material.replaced(cutting_law=None))
    found: Stands = {
        "cutting_law": StandIn(says=own, origin="the row's own: linear-edge where all is measured")
    }
    for name, columns in LAW_TABLES.items():
        row = tables.load(name).find(material.table)
        for key, column in columns.items():
            found[f"overrides.{key}"] = _of_row(row, column, name)
    return found


LAW_TABLES: Mapping[str, Mapping[str, str]] = {
    "materials": KIENZLE_COLUMNS,
    "force_ratios": RATIO_COLUMNS,
    "cutting_coefficients": LINEAR_COLUMNS,
    "chip_floors": {"min_chip_ratio": "min_chip_ratio"},
}
"""Which table has which numbers of a material, by the key that would override them."""


def _of_row(row: Row | None, column: str, name: str) -> StandIn:
    value = None if row is None else row.si(column)
    if row is None or value is None:
        return StandIn(says=f"{name}.csv has none")
    return StandIn(value, "", f"{row.id}, {name}.csv", row.assumed, row)


def serving(material: Material) -> frozenset[str]:
    """Give the keys of the numbers that the material's cutting law uses; the thinnest chip is always one."""
    columns = LINEAR_COLUMNS if law_name(material) == "linear-edge" else {**KIENZLE_COLUMNS, **RATIO_COLUMNS}
    return frozenset(f"overrides.{key}" for key in (*columns, "min_chip_ratio"))


def chip_range(material: Material) -> tuple[float, float] | None:
    """Give the chip thicknesses [m] the force law was fitted on; None where nobody says."""
    row = tables.load("materials").find(material.table)
    return None if row is None or law_name(material) != "kienzle" else fitted_range(row)
