"""What a recipe asks: every demand and quantity of a case, for one set of knobs or for many at once."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
from numpy.typing import NDArray

from swarfbook.decisions.cutting import cut_of, growth_with_runout
from swarfbook.frozen import frozen
from swarfbook.physics import beam, clearing, dynamic, kinematics, runout, shapes, spindle

if TYPE_CHECKING:
    from swarfbook.decisions.case import Case

Array: TypeAlias = "float | NDArray[np.float64]"


@frozen
class Knobs:
    """The four numbers a person turns; floats, or arrays of one shape for many recipes at once.

    Attributes:
        axial_depth: axial depth of cut [m].
        radial_width: radial width of cut [m].
        feed_per_tooth: feed per tooth [m].
        spindle_speed: spindle speed [rev/s].
    """

    axial_depth: Array
    radial_width: Array
    feed_per_tooth: Array
    spindle_speed: Array

    def take(self, index: NDArray[np.intp] | int) -> Knobs:
        """Pick one set, or some, out of knobs that are arrays."""
        picked = [np.asarray(getattr(self, field.name))[index] for field in fields(self)]
        return Knobs(*(item if item.ndim else float(item) for item in picked))


@frozen
class Numbers:
    """Everything worked out of a case at given knobs, in SI, shaped as the knobs.

    The names are the JSON's; the last ones are the demands and limits that only the rungs use.
    Forces and torques without a suffix are quasi-static and without run-out.
    """

    cutting_speed: Array
    spindle_speed: Array
    feed_per_tooth: Array
    feed_rate: Array
    engagement_angle: Array
    chip_thickness_max: Array
    chip_thickness_mean: Array
    material_removal_rate: Array
    specific_cutting_force: Array
    cutting_torque_mean: Array
    cutting_torque_peak: Array
    cutting_power: Array
    spindle_input_power: Array
    force_peak: Array
    force_x_peak: Array
    force_y_peak: Array
    force_z_peak: Array
    deflection_tool: Array
    deflection_total: Array
    bending_stress_peak: Array
    chip_thickness_runout: Array
    force_peak_runout: Array
    axial_depth: Array
    radial_width: Array
    dynamic_factor: Array
    bending_demand: Array
    thrust_demand: Array
    torque_available: Array
    deflection_machine: Array
    flute_filling: Array
    descent_rate: Array


def nominal_knobs(case: Case) -> Knobs:
    """Give the knobs as the recipe has them."""
    return Knobs(
        axial_depth=case["axial_depth"],
        radial_width=case["radial_width"],
        feed_per_tooth=case["feed_per_tooth"],
        spindle_speed=case["spindle_speed"],
    )


def evaluate(case: Case, knobs: Knobs) -> Numbers:
    """Work out every demand of a case at the given knobs.

    Args:
        case: the resolved recipe.
        knobs: what it is run at; floats or arrays.

    Returns:
        All numbers in SI, of the knobs' shape.
    """
    cut = cut_of(case, knobs)
    loads = cut.loads
    thickest = runout.chip_thickness_runout(
        chip_thickness_max=cut.chip_thickness_max, runout=case["runout"], flutes=case["flutes"]
    )
    rates = _rates(case, knobs, cut.area)
    power = 2 * np.pi * knobs.spindle_speed * loads.torque_mean
    deflection_tool, deflection_machine, stress = _bending(case, knobs, loads.force_peak)
    factor = _dynamic_factor(case, knobs)
    growth = growth_with_runout(case, knobs, cut)
    # Where a shaped end does not reach the stock nothing is removed.
    with np.errstate(divide="ignore", invalid="ignore"):
        specific = power / rates["material_removal_rate"]
    return Numbers(
        spindle_speed=knobs.spindle_speed,
        feed_per_tooth=knobs.feed_per_tooth,
        axial_depth=knobs.axial_depth,
        radial_width=knobs.radial_width,
        **rates,
        chip_thickness_max=cut.chip_thickness_max,
        chip_thickness_mean=cut.chip_thickness_mean,
        chip_thickness_runout=thickest,
        engagement_angle=cut.engagement_angle,
        specific_cutting_force=specific,
        cutting_torque_mean=loads.torque_mean,
        cutting_torque_peak=loads.torque_peak,
        cutting_power=power,
        spindle_input_power=_input_power(case, power, loads.torque_mean),
        force_peak=loads.force_peak,
        force_x_peak=loads.force_x_peak,
        force_y_peak=loads.force_y_peak,
        force_z_peak=loads.force_z_peak,
        force_peak_runout=loads.force_peak * growth,
        deflection_tool=deflection_tool,
        deflection_machine=deflection_machine,
        deflection_total=deflection_tool + deflection_machine,
        bending_stress_peak=stress,
        dynamic_factor=factor,
        bending_demand=stress * growth * factor,
        thrust_demand=_thrust(case, loads.force_peak * growth * factor, loads.force_z_peak),
        torque_available=torque_available(case, knobs.spindle_speed),
        flute_filling=_flute_filling(case, knobs),
        descent_rate=rates["feed_rate"] * cut.descent,
    )


def _rates(case: Case, knobs: Knobs, area: Array) -> dict[str, Array]:
    # The removal rate is cross-section times feed rate, which is ap ae vf for a cutter without a shaped end.
    feed_rate = kinematics.feed_rate(
        feed_per_tooth=knobs.feed_per_tooth, flutes=case["flutes"], spindle_speed=knobs.spindle_speed
    )
    return {
        "cutting_speed": shapes.effective_cutting_speed(
            cutter=case.cutter, axial_depth=knobs.axial_depth, spindle_speed=knobs.spindle_speed
        ),
        "feed_rate": feed_rate,
        "material_removal_rate": area * feed_rate,
    }


def _bending(case: Case, knobs: Knobs, force: Array) -> tuple[Array, Array, Array]:
    shape = {
        name: case[name]
        for name in (
            "flute_length",
            "fluted_diameter",
            "neck_end",
            "neck_diameter",
            "shank_diameter",
            "stickout",
        )
    }
    load_height = np.asarray(knobs.axial_depth) / 2
    tool = beam.deflection(
        force=force, load_height=load_height, youngs_modulus=case["youngs_modulus"], **shape
    )
    stress = beam.bending_stress(force=force, load_height=load_height, **shape)
    return tool, force / case["tool_tip_stiffness"], stress


def _thrust(case: Case, in_plane: Array, along_axis: Array) -> Array:
    # Straight down it is the vertical axis that has to push.
    return np.maximum(in_plane, along_axis) if case.recipe.operation == "plunge" else in_plane


def _flute_filling(case: Case, knobs: Knobs) -> Array:
    area = clearing.flute_area(
        diameter=case["diameter"],
        core_diameter=case["core_diameter_ratio"] * case["diameter"],
        flutes=case["flutes"],
        flute_space_share=case["flute_space_share"],
    )
    return clearing.flute_filling(
        feed_per_tooth=knobs.feed_per_tooth,
        radial_width=knobs.radial_width,
        chip_volume_ratio=case["chip_volume_ratio"],
        flute_area=area,
    )


def _dynamic_factor(case: Case, knobs: Knobs) -> Array:
    return dynamic.dynamic_factor(
        tooth_passing_frequency=kinematics.tooth_passing_frequency(
            flutes=case["flutes"], spindle_speed=knobs.spindle_speed
        ),
        dynamic_low_frequency=case["dynamic_low_frequency"],
        dynamic_high_frequency=case["dynamic_high_frequency"],
        dynamic_high_factor=case["dynamic_high_factor"],
    )


def torque_available(case: Case, spindle_speed: Array) -> Array:
    """Torque the spindle gives continuously (S1) at a speed [N m]."""
    curve = case.machine.spindle.torque_curve
    if curve is not None:
        speeds, torques = zip(*curve, strict=True)
        return spindle.torque_from_curve(
            spindle_speed=spindle_speed, curve_speeds=np.array(speeds), curve_torques=np.array(torques)
        )
    return spindle.torque_available(
        spindle_speed=spindle_speed,
        rated_power=case["rated_shaft_power"],
        rated_speed=case["rated_speed"],
    )


def _input_power(case: Case, power: Array, torque: Array) -> Array:
    return spindle.input_power(
        cutting_power=power,
        torque=torque,
        rated_shaft_power=case["rated_shaft_power"],
        rated_torque=case["rated_torque"],
        efficiency=case["efficiency"],
        idle_power=case.optional("idle_power"),
    )
