"""The numbers a case rests on: what each is, where it came from, whether it is assumed and how sure it is."""

from __future__ import annotations

from dataclasses import dataclass, replace

from swarfbook import tables
from swarfbook.physics import beam, spindle
from swarfbook.records import BookSettings, Machine, Material, Recipe, Tool
from swarfbook.tables import Row


@dataclass(frozen=True, slots=True)
class Input:
    """One number that goes into the physics.

    Attributes:
        value: the number in SI; None where nobody knows it.
        origin: the record or the table row it came from, in words.
        assumed: whether a default stands in for something the records leave out.
        sd: log standard deviation; 0 where it counts as known.
        row: the table row behind it, if one is.
    """

    value: float | None
    origin: str
    assumed: bool = False
    sd: float = 0.0
    row: Row | None = None


Inputs = dict[str, Input]
FLUTE_ROOM = ("chip-volume-ratio", "core-diameter-ratio", "flute-space-share")


def spread(name: str, *, material: str = "") -> float:
    """Log standard deviation of a kind of input, from spreads.csv; a material may have a row of its own."""
    table = tables.load("spreads")
    row = table.find(f"{name}:{material}") or table.get(name)
    return row.number("log_sd") or 0.0


def default(name: str, *, sd: float = 0.0) -> Input:
    """Give the default for something people do not know, flagged assumed, with its wide spread."""
    row = tables.load("defaults").get(name)
    return Input(row.si("value"), f"{name}, defaults.csv", assumed=True, sd=sd, row=row)


def known_or_default(value: float | None, origin: str, name: str, *, kind: str) -> Input:
    """Take what the record says with the spread of a given number, else the default with its wider one."""
    if value is None:
        return default(name, sd=spread(f"{kind}-assumed"))
    return Input(value, origin, sd=spread(f"{kind}-given"))


def agreed(chosen: float | None, name: str) -> Input:
    """Take the book's own choice, else the agreed one; a convention, so never flagged assumed."""
    if chosen is not None:
        return Input(chosen, "book.toml")
    row = tables.load("defaults").get(name)
    return Input(row.si("value"), f"{name}, defaults.csv", row=row)


def _place(row: Row) -> str:
    return f"{row.id}, {row.table}.csv"


def recipe_inputs(recipe: Recipe, flutes: int) -> Inputs:
    """Numbers of the recipe itself; feed per tooth from the feed rate where that is what was written."""
    feed = recipe.feed_per_tooth
    if feed is None:
        feed = (recipe.feed_rate or 0.0) / (flutes * recipe.spindle_speed)
    share = agreed(None, "allowance-share").value or 0.0
    allowance = recipe.allowance * share if recipe.allowance else None
    numbers: dict[str, float | None] = {
        "spindle_speed": recipe.spindle_speed,
        "feed_per_tooth": feed,
        "axial_depth": recipe.axial_depth,
        "radial_width": recipe.radial_width,
        "stickout": recipe.stickout,
        "wear": 1.0 if recipe.wear is None else recipe.wear,
        "hole_diameter": recipe.hole_diameter,
        "stock_offset": recipe.stock_offset,
        "ramp_angle": recipe.ramp_angle,
        "deflection_allowed": allowance if recipe.tolerance is None else recipe.tolerance,
    }
    return {name: Input(value, "recipe") for name, value in numbers.items()}


def tool_inputs(tool: Tool, settings: BookSettings) -> Inputs:
    """Numbers of the cutter; the substrate's row serves where the record is silent."""
    reach = tool.reach or tool.flute_length
    neck = tool.neck_diameter or min(tool.shank_diameter, tool.diameter)
    geometry: dict[str, float | None] = {
        "diameter": tool.diameter,
        "flutes": tool.flutes,
        "helix": tool.helix,
        "flute_length": tool.flute_length,
        "neck_end": max(reach, tool.flute_length),
        "neck_diameter": neck,
        "shank_diameter": tool.shank_diameter,
        "overall_length": tool.overall_length,
        "corner_radius": tool.corner_radius,
        "point_angle": tool.point_angle,
        "tip_diameter": tool.tip_diameter,
        "taper": tool.taper,
        "tool_max_speed": tool.max_speed,
    }
    return {
        **{name: Input(value, "tool") for name, value in geometry.items()},
        "fluted_diameter": _fluted_diameter(tool),
        "edge_radius": _edge_radius(tool),
        "youngs_modulus": _youngs_modulus(tool),
        "substrate_density": _density(tool),
        "cutter_damping": agreed(None, "cutter-damping"),
        **{name.replace("-", "_"): agreed(None, name) for name in FLUTE_ROOM},
        "strength": _strength(tool),
        "bending_safety": agreed(settings.safety_factors.bending, "bending-safety-factor"),
    }


def _fluted_diameter(tool: Tool) -> Input:
    row = tables.load("defaults").get("fluted-diameter-ratio")
    rod = float(beam.equivalent_diameter(diameter=tool.diameter))
    return Input(rod, f"{_place(row)}, times the diameter", sd=spread("fluted-diameter-ratio"), row=row)


def _edge_radius(tool: Tool) -> Input:
    if tool.edge_radius is not None:
        return Input(tool.edge_radius, "tool", sd=spread("edge-radius-given"))
    row = tables.load("edge_radii").get(tool.substrate)
    return Input(
        row.si("edge_radius_um"), _place(row), assumed=True, sd=spread("edge-radius-assumed"), row=row
    )


def _youngs_modulus(tool: Tool) -> Input:
    if tool.youngs_modulus is not None:
        return Input(tool.youngs_modulus, "tool", sd=spread("youngs-modulus"))
    row = tables.load("substrates").get(tool.substrate)
    return Input(
        row.si("youngs_modulus_gpa"), _place(row), assumed=True, sd=spread("youngs-modulus"), row=row
    )


def _density(tool: Tool) -> Input:
    row = tables.load("substrates").get(tool.substrate)
    return Input(row.si("density_kg_per_m3"), _place(row), row=row)


def _strength(tool: Tool) -> Input:
    row = tables.load("substrate_strengths").get(tool.substrate)
    return Input(row.si("strength_n_per_mm2"), _place(row), sd=spread("strength"), row=row)


def machine_inputs(machine: Machine, settings: BookSettings) -> Inputs:
    """Numbers of the machine; defaults, flagged assumed, for what people do not know."""
    axes, tip = machine.axes, machine.tool_tip
    stiffness = tip.stiffness if tip else None
    return {
        **_spindle_inputs(machine),
        "max_feed": Input(axes.max_feed, "machine"),
        "max_plunge": _plunge_feed(axes.max_plunge, axes.max_feed),
        "thrust": known_or_default(axes.thrust, "machine", "thrust", kind="thrust"),
        "acceleration": _acceleration(axes.acceleration),
        "thrust_safety": agreed(settings.safety_factors.thrust, "thrust-safety-factor"),
        "tool_tip_stiffness": known_or_default(
            stiffness, "machine", "tool-tip-stiffness", kind="tool-tip-stiffness"
        ),
        "dynamic_low_frequency": agreed(None, "dynamic-frequency-low"),
        "dynamic_high_frequency": agreed(None, "dynamic-frequency-high"),
        "dynamic_high_factor": replace(agreed(None, "dynamic-factor-high"), sd=spread("dynamic-factor")),
    }


def _plunge_feed(known: float | None, max_feed: float) -> Input:
    share = default("max-plunge-share")
    if known is not None:
        return Input(known, "machine")
    return replace(share, value=(share.value or 0.0) * max_feed)


def _acceleration(known: float | None) -> Input:
    return default("acceleration") if known is None else Input(known, "machine")


def _spindle_inputs(machine: Machine) -> Inputs:
    motor = machine.spindle
    efficiency = known_or_default(motor.efficiency, "machine", f"efficiency-{motor.motor}", kind="efficiency")
    is_input = motor.rating == "input"
    rated_shaft_power = spindle.shaft_rating(
        rated_power=motor.rated_power, efficiency=efficiency.value or 1.0, is_input=is_input
    )
    rated_speed = motor.rated_speed or motor.max_speed
    rating_assumed = motor.rating is None or (is_input and efficiency.assumed)
    numbers: Inputs = {
        "max_speed": Input(motor.max_speed, "machine"),
        "min_speed": Input(motor.min_speed, "machine"),
        "rated_speed": Input(rated_speed, "machine", assumed=motor.rated_speed is None),
        "rating": Input(None, "machine", assumed=rating_assumed),
        "efficiency": efficiency,
        "idle_power": Input(motor.idle_power, "machine", sd=spread("idle-power")),
        "rated_power": Input(motor.rated_power, "machine", sd=spread("rated-power")),
        "rated_shaft_power": Input(float(rated_shaft_power), "machine"),
        "rated_torque": Input(
            float(spindle.rated_torque(rated_power=rated_shaft_power, rated_speed=rated_speed)), "machine"
        ),
        "runout": known_or_default(motor.runout, "machine", "runout", kind="runout"),
        "overload_ratio": Input(None, "machine"),
    }
    if motor.overload is not None:
        numbers["overload_ratio"] = Input(motor.overload.power / motor.rated_power, "machine")
        numbers["thermal_time"] = known_or_default(
            motor.thermal_time, "machine", "thermal-time", kind="thermal-time"
        )
        numbers["idle_loss_share"] = _idle_loss_share(motor.idle_power, float(rated_shaft_power), efficiency)
    return numbers


def _idle_loss_share(idle_power: float | None, rated_shaft_power: float, efficiency: Input) -> Input:
    losses = rated_shaft_power * (1 / (efficiency.value or 1.0) - 1)
    if idle_power is None or losses <= 0:
        return default("idle-loss-share")
    share = min(idle_power / losses, 1.0)
    return Input(share, "idle_power over the losses at the rating", assumed=efficiency.assumed)


def material_inputs(material: Material, tool: Tool) -> Inputs:
    """Numbers of the material that are not the cutting law's."""
    return {
        "min_chip_ratio": _chip_ratio(material),
        **_speed_band(material, tool),
        "chip_ceiling": _chip_ceiling(material, tool),
    }


def _chip_ratio(material: Material) -> Input:
    chosen = material.overrides.get("min_chip_ratio")
    if chosen is not None:
        return Input(chosen, "material", sd=spread("min-chip-ratio"))
    row = tables.load("chip_floors").get(material.table)
    return Input(
        row.number("min_chip_ratio"),
        _place(row),
        assumed=row.assumed,
        sd=spread("min-chip-ratio-assumed" if row.assumed else "min-chip-ratio"),
        row=row,
    )


def _speed_band(material: Material, tool: Tool) -> Inputs:
    row = tables.load("cutting_speeds").find(f"{material.table}:{tool.substrate}")
    if row is None:
        return {
            "speed_low": Input(None, "cutting_speeds.csv"),
            "speed_high": Input(None, "cutting_speeds.csv"),
        }
    return {
        "speed_low": Input(row.si("speed_low_m_per_min"), _place(row), assumed=row.assumed, row=row),
        "speed_high": Input(row.si("speed_high_m_per_min"), _place(row), assumed=row.assumed, row=row),
    }


def _chip_ceiling(material: Material, tool: Tool) -> Input:
    family = tables.load("materials").get(material.table).text("family")
    ceiling = tables.chip_ceiling(family=family, diameter=tool.diameter)
    row = ceiling.rows[0]
    place = _place(row) + (f", {ceiling.flag}" if ceiling.flag else "")
    return Input(ceiling.value, place, assumed=row.assumed or bool(ceiling.flag), row=row)
