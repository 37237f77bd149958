"""The quantities a check reports: unit, origin, what they rest on and how sure they are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, partial

from swarfbook import quantities
from swarfbook.decisions.case import Case
from swarfbook.decisions.chance import Uncertain, power_product, total
from swarfbook.decisions.numbers import Numbers
from swarfbook.frozen import frozen

Spread = Callable[[Case, Numbers], Uncertain]


@dataclass(frozen=True)
class Figure:
    """One reported quantity; how sure it is gets worked out where it is asked for: a list does without.

    Attributes:
        name: its name, as in JSON.
        dimension: its dimension (`quantities`).
        unit: its unit in JSON.
        value: nominal value [SI].
        spread: gives that value with its causes; None for one that counts as known.
        origin: formula it comes from, in words.
        formula: how it is worked out.
        needs: inputs it rests on.
        assumed_inputs: those among them that a default stands in for.
    """

    name: str
    dimension: str
    unit: str
    value: float
    spread: Callable[[], Uncertain] | None
    origin: str
    formula: str
    needs: tuple[str, ...]
    assumed_inputs: tuple[str, ...]

    @cached_property
    def number(self) -> Uncertain:
        """Nominal value with its causes [SI]."""
        return self.spread() if self.spread else Uncertain(self.value)

    def in_unit(self, si: float) -> float:
        """Give a value of this quantity in its JSON unit."""
        return quantities.convert(si, self.dimension, self.unit)


@frozen
class Spec:
    """How one quantity is reported (see `Figure`).

    Attributes:
        formula: how it is worked out.
        needs: inputs it rests on.
        spread: its uncertainty; None for one that counts as known.
    """

    name: str
    dimension: str
    unit: str
    origin: str
    formula: str
    needs: tuple[str, ...] = ()
    spread: Spread | None = None


def _of_force(name: str) -> Spread:
    def spread(case: Case, numbers: Numbers) -> Uncertain:
        return Uncertain(float(getattr(numbers, name)), _force_causes(case))

    return spread


def _force_causes(case: Case) -> dict[str, float]:
    return {"force": case.choice.sd}


def _with_dynamics(name: str) -> Spread:
    def spread(case: Case, numbers: Numbers) -> Uncertain:
        causes = _force_causes(case)
        if numbers.dynamic_factor > 1:
            causes["dynamic_factor"] = case.inputs["dynamic_high_factor"].sd
        return Uncertain(float(getattr(numbers, name)), causes)

    return spread


def _input_power(case: Case, numbers: Numbers) -> Uncertain:
    force = _force_causes(case)
    cutting = Uncertain(float(numbers.cutting_power), force)
    nominal = float(numbers.spindle_input_power)
    if case.optional("idle_power") is None:
        efficiency = Uncertain(case["efficiency"], {"efficiency": case.inputs["efficiency"].sd})
        return power_product((cutting, 1.0), (efficiency, -1.0))
    idle = Uncertain(case["idle_power"])
    copper = max(nominal - cutting.value - idle.value, 0.0)
    squared = {cause: 2 * part for cause, part in force.items()}
    return total(cutting, idle, Uncertain(copper, squared))


def _deflection_tool(case: Case, numbers: Numbers) -> Uncertain:
    force = Uncertain(float(numbers.deflection_tool), _force_causes(case))
    # As if all of the cutter bent in its flutes: the shank is stiffer and better known.
    rod = {
        "youngs_modulus": case.inputs["youngs_modulus"].sd,
        "fluted_diameter": 4 * case.inputs["fluted_diameter"].sd,
    }
    return power_product((force, 1.0), (Uncertain(1.0, rod), -1.0))


def _deflection_total(case: Case, numbers: Numbers) -> Uncertain:
    machine = Uncertain(float(numbers.deflection_machine), _force_causes(case))
    stiffness = Uncertain(1.0, {"tool_tip_stiffness": case.inputs["tool_tip_stiffness"].sd})
    return total(_deflection_tool(case, numbers), power_product((machine, 1.0), (stiffness, -1.0)))


CUT = ("axial_depth", "radial_width", "feed_per_tooth", "diameter", "flutes", "helix")
LOAD = ("law", "learnt", "wear", *CUT)
BEAM = ("flute_length", "fluted_diameter", "neck_end", "neck_diameter", "shank_diameter", "stickout")
TURN = ("dynamic_low_frequency", "dynamic_high_frequency", "dynamic_high_factor")
# fmt: off
SPECS: tuple[Spec, ...] = (
    Spec("cutting_speed", "surface_speed", "m/min", "speed of the edge where it is widest in the cut",
         "vc = pi Deff n, Deff the diameter there: D but for a shaped end",
         ("diameter", "axial_depth", "spindle_speed")),
    Spec("spindle_speed", "spindle_speed", "rpm", "recipe", "n", ("spindle_speed",)),
    Spec("feed_per_tooth", "feed_per_tooth", "mm", "recipe, or feed rate over flutes times speed",
         "fz, or vf/(z n)", ("feed_per_tooth",)),
    Spec("feed_rate", "feed_rate", "mm/min", "feed per tooth times flutes times speed",
         "vf = fz z n", ("feed_per_tooth", "flutes", "spindle_speed")),
    Spec("engagement_angle", "angle", "deg", "arc over which a tooth is in the cut",
         "phi = arccos(1 - 2 ae/D)", ("radial_width", "diameter")),
    Spec("chip_thickness_max", "length", "mm", "thickest chip",
         "h = fz sin(phi), at its largest in the arc", ("feed_per_tooth", "radial_width", "diameter")),
    Spec("chip_thickness_mean", "length", "mm", "mean over the arc of engagement",
         "hm = fz (1 - cos phi)/phi", ("feed_per_tooth", "radial_width", "diameter")),
    Spec("material_removal_rate", "volume_rate", "cm^3/min", "volume cut away in a time",
         "Q = ap ae vf", ("axial_depth", "radial_width", "feed_per_tooth", "flutes", "spindle_speed")),
    Spec("specific_cutting_force", "stress", "N/mm^2", "cutting power over removal rate",
         "kc = P/Q", LOAD, _of_force("specific_cutting_force")),
    Spec("cutting_torque_mean", "torque", "N*m", "exact integral of the cutting law over the immersion",
         "M = z ap D/(4 pi) * integral of the tangential force per edge length over phi", LOAD,
         _of_force("cutting_torque_mean")),
    Spec("cutting_torque_peak", "torque", "N*m", "largest over one turn, exact along the helical edge",
         "max over a turn of D/2 times the tangential force of all teeth", LOAD,
         _of_force("cutting_torque_peak")),
    Spec("cutting_power", "power", "W", "mean torque times angular speed, at the shaft",
         "P = 2 pi n M", (*LOAD, "spindle_speed"), _of_force("cutting_power")),
    Spec("spindle_input_power", "power", "W", "cutting power plus idle and copper losses",
         "P_in = P + P_idle + (P_r/eff - P_r - P_idle)(M/M_r)^2; without an idle figure P/eff",
         (*LOAD, "spindle_speed", "efficiency", "idle_power", "rated_shaft_power", "rated_torque"),
         _input_power),
    Spec("force_peak", "force", "N", "largest in-plane resultant over one turn, stiff cutter, no run-out",
         "max over a turn of hypot(Fx, Fy)", LOAD, _of_force("force_peak")),
    Spec("force_x_peak", "force", "N", "largest along the feed over one turn",
         "max over a turn of |Fx|", LOAD, _of_force("force_x_peak")),
    Spec("force_y_peak", "force", "N", "largest across the feed over one turn",
         "max over a turn of |Fy|", LOAD, _of_force("force_y_peak")),
    Spec("force_z_peak", "force", "N", "largest along the axis over one turn",
         "max over a turn of |Fz|", LOAD, _of_force("force_z_peak")),
    Spec("deflection_tool", "length", "mm", "stepped cantilever, fluted part at 0.8 D, load at mid depth",
         "F times the sum over sections of (x2^3 - x1^3)/(3 E I), x from the load, I = pi d^4/64",
         (*LOAD, *BEAM, "youngs_modulus"), _deflection_tool),
    Spec("deflection_total", "length", "mm", "cutter plus peak force over tool-tip stiffness",
         "deflection of the cutter + F/k", (*LOAD, *BEAM, "youngs_modulus", "tool_tip_stiffness"),
         _deflection_total),
    Spec("bending_stress_peak", "stress", "N/mm^2", "largest at flute run-out, neck and holder",
         "32 F x/(pi d^3), x from the load at half the depth", (*LOAD, *BEAM),
         _of_force("bending_stress_peak")),
    Spec("chip_thickness_runout", "length", "mm", "thickest chip plus run-out, at most flutes times it",
         "h + 2 rho sin(pi/z), rho half the run-out read",
         ("feed_per_tooth", "radial_width", "diameter", "flutes", "runout")),
    Spec("force_peak_runout", "force", "N",
         "peak force with each tooth's own chip, the eccentricity at its worst place between the teeth",
         "max over a turn with h = fz sin(phi) + r_i - r_(i-1)", (*LOAD, "runout"),
         _of_force("force_peak_runout")),
)
# Demands that only the rungs use.
RUNG_SPECS: tuple[Spec, ...] = (
    Spec("axial_depth", "length", "mm", "recipe", "ap", ("axial_depth",)),
    Spec("flute_filling", "ratio", "", "share of a flute that one loose chip fills: a rough estimate",
         "R fz ae/(share * pi/4 (D^2 - Dcore^2)/z)",
         ("feed_per_tooth", "radial_width", "diameter", "flutes", "chip_volume_ratio", "core_diameter_ratio",
          "flute_space_share")),
    Spec("descent_rate", "feed_rate", "mm/min", "share of the feed that goes down", "vf sin(theta)",
         ("feed_per_tooth", "flutes", "spindle_speed", "hole_diameter", "ramp_angle")),
    Spec("bending_demand", "stress", "N/mm^2", "bending stress with run-out and the dynamic factor",
         "bending stress * (force with run-out/force) * dynamic factor", (*LOAD, *BEAM, "runout", *TURN),
         _with_dynamics("bending_demand")),
    Spec("thrust_demand", "force", "N", "largest in-plane force with run-out and the dynamic factor",
         "force with run-out * dynamic factor", (*LOAD, "runout", *TURN), _with_dynamics("thrust_demand")),
)
# fmt: on


def figures(case: Case, numbers: Numbers, specs: tuple[Spec, ...] = SPECS) -> dict[str, Figure]:
    """Give the quantities of one case by name, in the order they are reported."""
    return {spec.name: _figure(case, numbers, spec) for spec in specs}


def _figure(case: Case, numbers: Numbers, spec: Spec) -> Figure:
    return Figure(
        name=spec.name,
        dimension=spec.dimension,
        unit=spec.unit,
        value=float(getattr(numbers, spec.name)),
        spread=partial(spec.spread, case, numbers) if spec.spread else None,
        origin=spec.origin,
        formula=spec.formula,
        needs=spec.needs,
        assumed_inputs=assumed_among(case, spec.needs),
    )


def assumed_among(case: Case, needs: tuple[str, ...]) -> tuple[str, ...]:
    """Name the inputs among `needs` that a default stands in for."""
    return tuple(name for name in needs if name in case.inputs and case.inputs[name].assumed)
