"""Sizes that must be above zero, and those that must not be below it: beyond that a formula has no answer.

The contract test sends ordinary values; this one takes each argument in turn out of its range. A formula
that has lost a guard, or gained one it should not have, is found here.
"""

import importlib
import inspect

import numpy as np
import pytest
from test_physics_contract import FORMULAS, ORDINARY, call, trailing

from swarfbook import physics
from swarfbook.physics import validity
from swarfbook.physics.validity import Range

# Formula: what must be above zero; what must not be below it.
RANGES: dict[str, tuple[str, str]] = {
    "adhesive.edge_peel_stress": (
        "short_side long_side",
        "lift lift_offset_short lift_offset_long force force_height",
    ),
    "adhesive.hanging_stress": ("area", "hung_mass"),
    "adhesive.safety": ("stress", "strength"),
    "adhesive.shear_stress": ("area", "force"),
    "adhesive.warm_strength": ("warm_temperature", "cool_strength warm_strength"),
    "balance.balance_grade": ("rotor_mass", "unbalance spindle_speed"),
    "balance.permissible_unbalance": ("rotor_mass spindle_speed", "balance_grade"),
    "balance.unbalance_force": ("", "unbalance spindle_speed"),
    "beam.bending_stress": ("fluted_diameter neck_diameter shank_diameter", "load_height flute_length"),
    "beam.deflection": (
        "fluted_diameter neck_diameter shank_diameter youngs_modulus",
        "load_height flute_length",
    ),
    "beam.equivalent_diameter": ("diameter", ""),
    "chatter.best_speeds": ("spindle_speed flutes ktc", ""),
    "chatter.lowest_stable_depth": ("flutes ktc", ""),
    "chatter.regenerative_coefficients": ("chip_thickness", ""),
    "chatter.stable_depth": ("spindle_speed flutes ktc", ""),
    "chip.chip_thickness_max": ("radial_width diameter", "feed_per_tooth"),
    "chip.chip_thickness_mean": ("radial_width diameter", "feed_per_tooth"),
    "chip.feed_for_chip_thickness": ("radial_width diameter edge_angle", "chip_thickness"),
    "chip.minimum_chip_thickness": ("", "min_chip_ratio edge_radius"),
    "chip.radial_thinning_factor": ("radial_width diameter", ""),
    "clamping.bolt_preload": ("nominal_diameter thread_pitch proof_stress", "friction utilisation"),
    "clamping.friction_hold": ("rubbing_faces", "clamp_force lift friction"),
    "clamping.holding_moment": ("base", "clamp_force"),
    "clamping.nut_factor_torque": ("nominal_diameter nut_factor", "preload"),
    "clamping.preload_of_torque": (
        "nominal_diameter thread_pitch bearing_diameter",
        "torque friction bearing_friction",
    ),
    "clamping.proof_preload": ("tensile_area proof_stress", "utilisation"),
    "clamping.strap_clamp_force": ("", "bolt_force work_arm heel_arm"),
    "clamping.stress_area": ("nominal_diameter thread_pitch", ""),
    "clamping.stress_diameter": ("nominal_diameter thread_pitch", ""),
    "clamping.thread_pitch_diameter": ("nominal_diameter thread_pitch", ""),
    "clamping.tightening_torque": (
        "nominal_diameter thread_pitch bearing_diameter",
        "preload friction bearing_friction",
    ),
    "clamping.tipping_moment": ("", "force force_height lift lift_arm"),
    "clearing.chip_volume": ("", "axial_depth radial_width feed_per_tooth"),
    "clearing.feed_to_fill": ("radial_width chip_volume_ratio", "flute_area"),
    "clearing.flute_area": ("diameter flutes", "core_diameter flute_space_share"),
    "clearing.flute_filling": ("chip_volume_ratio flute_area", "feed_per_tooth radial_width"),
    "clearing.loose_volume": ("chip_volume_ratio", "chip_volume"),
    "corners.centre_feed_factor": ("wall_radius diameter", ""),
    "corners.corner_engagement": ("radial_width diameter corner_angle", ""),
    "corners.equivalent_radial_width": ("radial_width wall_radius diameter", ""),
    "corners.path_radius": ("wall_radius diameter", ""),
    "discs.chips": ("axial_depth radial_width", "feed_per_tooth"),
    "discs.facing_chips": ("axial_depth stock_width", "feed_per_tooth"),
    "discs.facing_loads": ("flutes stock_width", "axial_depth feed_per_tooth"),
    "discs.loads": ("flutes radial_width", "axial_depth feed_per_tooth"),
    "discs.mean_forces": ("flutes radial_width", "axial_depth feed_per_tooth"),
    "discs.turn": ("flutes radial_width", "axial_depth feed_per_tooth"),
    "dynamic.dynamic_factor": ("dynamic_high_frequency", "tooth_passing_frequency"),
    "engagement.axial_contact_number": ("flutes diameter", ""),
    "engagement.engagement_angle": ("radial_width diameter", ""),
    "engagement.engagement_ratio": ("radial_width diameter", ""),
    "engagement.immersion": ("radial_width diameter", ""),
    "engagement.lag_angle": ("diameter", ""),
    "engagement.teeth_in_cut": ("flutes", ""),
    "engagement.tooth_pitch": ("flutes", ""),
    "entry.axial_feed_per_tooth": ("", "feed_per_tooth ramp_angle"),
    "entry.depth_along_ramp": ("", "distance ramp_angle"),
    "entry.helix_descent": ("path_diameter", "ramp_angle"),
    "entry.helix_path_diameter": ("hole_diameter diameter", ""),
    "entry.helix_ramp_angle": ("path_diameter", "descent_per_turn"),
    "entry.ramp_angle_for_relief": ("", "centre_relief dead_diameter"),
    "entry.straight_ramp_angle": ("ramp_length", "axial_depth"),
    "entry.vertical_feed_rate": ("", "feed_rate ramp_angle"),
    "facing.immersion": ("stock_width diameter", ""),
    "facing.mean_chip": ("exit", "feed_per_tooth entry"),
    "facing.thickest_chip": ("exit", "feed_per_tooth entry"),
    "facing.width_in_cut": ("exit diameter", "entry"),
    "heat.biot_number": ("lump_length conductivity", "film_coefficient"),
    "heat.conductivity_polynomial": ("temperature", ""),
    "heat.convected_heat": ("", "film_coefficient area"),
    "heat.film_coefficient": ("conductivity flow_length", "nusselt"),
    "heat.hot_face_down_nusselt": ("", "rayleigh"),
    "heat.hot_face_up_nusselt": ("", "rayleigh"),
    "heat.lump_temperature": ("thermal_time", "duration"),
    "heat.lump_time": ("thermal_time start_temperature temperature", ""),
    "heat.lump_thermal_time": ("film_coefficient lump_length density specific_heat", ""),
    "heat.plate_nusselt": ("prandtl", "reynolds"),
    "heat.prandtl_number": ("viscosity diffusivity", ""),
    "heat.rayleigh_number": ("film_temperature flow_length viscosity prandtl", "warmer_by"),
    "heat.reynolds_number": ("flow_length viscosity", "flow_speed"),
    "heat.round_jet_nusselt": ("prandtl nozzle_diameter nozzle_distance radius", "reynolds"),
    "heat.thermal_diffusivity": ("conductivity density specific_heat", ""),
    "heat.thermal_number": ("diffusivity", "cutting_speed chip_thickness"),
    "heat.vertical_plate_nusselt": ("prandtl", "rayleigh"),
    "heat.work_share": ("thermal_number shear_angle", ""),
    "kinematics.cutting_speed": ("diameter", "spindle_speed"),
    "kinematics.feed_per_tooth": ("flutes spindle_speed", "feed_rate"),
    "kinematics.feed_rate": ("flutes", "feed_per_tooth spindle_speed"),
    "kinematics.material_removal_rate": ("", "axial_depth radial_width feed_rate"),
    "kinematics.spindle_speed": ("diameter", "cutting_speed"),
    "kinematics.tooth_passing_frequency": ("flutes", "spindle_speed"),
    "modes.cantilever_mode": ("diameter shank_diameter stickout youngs_modulus density", "flute_length"),
    "modes.resonant_speed": ("frequency flutes waves", ""),
    "motion.approach_distance": ("radial_width diameter", ""),
    "motion.feed_per_tooth_reached": ("feed_rate", "feed_per_tooth speed_reached"),
    "motion.junction_speed": ("acceleration", "path_radius"),
    "motion.move_time": ("distance feed_rate acceleration", "start_speed end_speed"),
    "motion.speed_reached": ("distance feed_rate acceleration", "start_speed end_speed"),
    "operations.bore": ("flutes radial_width hole_diameter", "axial_depth feed_per_tooth"),
    "operations.bottom_loads": ("flutes radial_width", "axial_depth axial_chip"),
    "operations.chamfer": ("flutes axial_depth radial_width", "feed_per_tooth tip_drop"),
    "operations.plunge": ("flutes radial_width", "axial_depth feed_per_tooth"),
    "operations.ramp": ("flutes ramp_length", "axial_depth feed_per_tooth"),
    "oriented.oriented_depth": ("specific_force teeth_in_cut", ""),
    "oriented.single_mode_depth": ("stiffness specific_force orientation teeth_in_cut", "damping"),
    "orthogonal.friction_share": ("cutting_force chip_ratio", "thrust_force"),
    "orthogonal.rake_friction": ("cutting_force", ""),
    "orthogonal.shear_angle": ("chip_ratio", ""),
    "orthogonal.shear_strain": ("shear_angle", ""),
    "power.cutting_power": ("", "spindle_speed"),
    "power.motor_power": ("efficiency", ""),
    "power.specific_cutting_force": ("material_removal_rate", ""),
    "power.unit_power": ("", "material_removal_rate"),
    "power.unit_power_feed_factor": ("feed_per_tooth", ""),
    "runout.chip_thickness_runout": ("flutes", "chip_thickness_max runout"),
    "runout.chip_thickness_thinnest": ("flutes", "chip_thickness_max runout"),
    "runout.force_growth_runout": ("diameter flutes radial_width", "axial_depth feed_per_tooth runout"),
    "runout.force_peak_runout": ("diameter flutes radial_width", "axial_depth feed_per_tooth runout"),
    "runout.runout_that_idles_a_tooth": ("flutes", "chip_thickness_max"),
    "runout.teeth_cutting": ("chip_thickness_max flutes", "runout"),
    "shapes.edge_angle_at_depth": ("", "axial_depth"),
    "shapes.effective_cutting_speed": ("", "axial_depth spindle_speed"),
    "shapes.effective_diameter": ("", "axial_depth"),
    "sine_integrals.sine_power_integral": ("exponent", "phi"),
    "spindle.duty_overload": ("duty_share", ""),
    "spindle.heat_between_ratings": ("", "power_ratio idle_loss_share"),
    "spindle.input_power": ("rated_torque efficiency", ""),
    "spindle.intermittent_overload": ("loaded heating_constant cooling_constant", "resting"),
    "spindle.loaded_share": ("overload cycle thermal_time", "idle_loss_share"),
    "spindle.overload_duration": ("overload thermal_time", ""),
    "spindle.power_available": ("", "spindle_speed"),
    "spindle.rated_torque": ("rated_speed", "rated_power"),
    "spindle.cutting_power_of_input": ("spindle_speed rated_torque efficiency", ""),
    "spindle.shaft_rating": ("efficiency", ""),
    "spindle.short_time_overload": ("duration thermal_time", ""),
    "spindle.speed_not_above": ("spindle_speed", ""),
    "spindle.synchronous_speed": ("poles", "frequency"),
    "spindle.temperature_share": ("thermal_time", "power_ratio duration"),
    "spindle.torque_available": ("rated_speed", "spindle_speed rated_power"),
    "spindle.torque_from_curve": ("", "spindle_speed"),
    "spindle.unloaded_overload": ("loaded thermal_time", "resting idle_loss_share"),
    "surface.floor_mark_height": ("corner_radius", "mark_spacing"),
    "surface.mean_roughness_of_arcs": ("", "mark_height"),
    "surface.pass_spacing_for_scallop": ("diameter", "scallop"),
    "surface.scallop_height": ("diameter", "pass_spacing"),
    "surface.sharp_mark_height": ("end_edge_angle", "mark_spacing side_edge_angle"),
    "surface.wall_error": ("diameter flutes radial_width stiffness", "axial_depth feed_per_tooth"),
    "surface.wall_error_bound": ("stiffness", "force_y_peak"),
    "surface.wall_mark_height": ("flutes diameter marks_per_turn", "feed_per_tooth"),
    "tabs.edge_pull": ("base", "force force_height"),
    "tabs.floor_shear_stress": (
        "short_side long_side floor_thickness",
        "force lift lift_factor force_height",
    ),
    "tabs.tab_bending_stress": ("tab_width tab_thickness tab_length", "force lift"),
    "tabs.tab_shear_stress": ("tab_width tab_thickness", "force lift"),
    "taylor.cheapest_life": ("taylor_exponent cost_rate", "change_time tool_cost"),
    "taylor.fastest_life": ("taylor_exponent", "change_time"),
    "taylor.life_factor": ("change taylor_exponent", ""),
    "taylor.speed_for_life": ("life taylor_constant taylor_exponent", ""),
    "taylor.tool_life": ("known_life known_speed cutting_speed taylor_exponent", ""),
    "thrust.belt_stiffness": ("short_run long_run", "belt_rigidity"),
    "thrust.belt_thrust": ("pulley_radius", "torque efficiency"),
    "thrust.lead_angle": ("lead pitch_diameter", ""),
    "thrust.lowering_torque": ("lead pitch_diameter", "friction"),
    "thrust.screw_thrust": ("lead", "torque efficiency"),
    "thrust.screw_torque": ("lead pitch_diameter", "friction"),
    "thrust.sliding_screw_efficiency": ("lead pitch_diameter", "friction"),
    "thrust.stepper_speed": ("step_angle", "step_rate"),
    "thrust.stepper_torque": ("corner_speed", "holding_torque motor_speed"),
    "thrust.steps_per_turn": ("step_angle", ""),
    "thrust.thrust_needed": ("", "cutting_force moving_mass acceleration friction_force"),
    "turn.arc_loads": ("diameter flutes exit", "axial_depth feed_per_tooth entry"),
    "turn.loads": ("diameter flutes radial_width", "axial_depth feed_per_tooth"),
    "turn.turn": ("diameter flutes radial_width", "axial_depth feed_per_tooth"),
}
# Where the formulas hold: lowest and highest value, in SI.
HOLDS = {
    "chatter.IMMERSION": (0.2, 1.0),
    "chatter.DAMPED_SPEED": (0.1, np.inf),
    "clearing.FLUTE_SHARE": (0.6, 0.8),
    "clearing.LONG_CHIPS": (50.0, 90.0),
    "clearing.LOOSE_CHIPS": (3.0, 10.0),
    "clearing.SNARLED_CHIPS": (90.0, np.inf),
    "clearing.SPIRAL_CHIPS": (8.0, 50.0),
    "heat.HOT_FACE_DOWN": (1e4, 1e9),
    "heat.HOT_FACE_UP": (1e4, 1e7),
    "heat.LAMINAR_PLATE": (0.0, 5e5),
    "heat.LUMP": (0.0, 0.1),
    "heat.ROUND_JET_DISTANCE": (2.0, 12.0),
    "heat.ROUND_JET_REYNOLDS": (2e3, 4e5),
    "heat.ROUND_JET_SPREAD": (0.127, 0.4),
    "heat.WORK_SHARE": (0.04, 10.0),
    "surface.ROUGHNESS_FACTOR": (2.0, 5.0),
    "taylor.CARBIDE": (0.2, 0.5),
    "taylor.CERAMIC": (0.5, 0.7),
    "taylor.HIGH_SPEED_STEEL": (0.08, 0.2),
    "thrust.BALL_SCREW": (0.85, 0.95),
    "thrust.SLIDING_SCREW": (0.2, 0.5),
    "thrust.USABLE_TORQUE": (0.0, 0.6),
}
BY_NAME = {f"{f.__module__.removeprefix(physics.__name__ + '.')}.{f.__name__}": f for f in FORMULAS}
ABOVE = [(name, argument) for name, (above, _) in RANGES.items() for argument in above.split()]
NOT_BELOW = [(name, argument) for name, (_, below) in RANGES.items() for argument in below.split()]


def answers(name: str, **changed: float) -> list[np.ndarray]:
    return call(BY_NAME[name], **changed)


def no_answer(name: str, **changed: float) -> bool:
    """Whether at least one of the answers is nan throughout, as it is for a nan argument."""
    return any(np.isnan(value).all() for value in answers(name, **changed))


@pytest.mark.parametrize(("name", "argument"), ABOVE)
def test_nothing_and_less_than_nothing_have_no_answer(name, argument):
    assert no_answer(name, **{argument: 0.0})
    assert no_answer(name, **{argument: -ORDINARY[argument]})


@pytest.mark.parametrize(("name", "argument"), NOT_BELOW)
def test_less_than_nothing_has_no_answer_but_nothing_has(name, argument):
    assert no_answer(name, **{argument: -ORDINARY[argument]})
    assert not no_answer(name, **{argument: 0.0})


@pytest.mark.parametrize("name", RANGES)
def test_one_bad_value_spoils_no_neighbour(name):
    formula = BY_NAME[name]
    above, below = (side.split() for side in RANGES[name])
    plain = answers(name)
    for argument in above + below:
        mixed = answers(name, **{argument: np.array([-ORDINARY[argument], ORDINARY[argument]])})
        for value, expected in zip(mixed, plain, strict=True):
            assert value.shape == (2, *trailing(formula))
            assert value[1] == pytest.approx(expected, rel=1e-12)


def test_the_ranges_name_arguments_that_there_are():
    for name, sides in RANGES.items():
        known = set(inspect.signature(BY_NAME[name]).parameters)
        listed = " ".join(sides).split()
        assert set(listed) <= known
        assert len(listed) == len(set(listed))


GENERAL = {
    "validity.KIENZLE_CHIP": (50e-6, 2500e-6),
    "validity.CIRCULAR_PATH": (0.0, 1 / 20),
    "validity.MINIMUM_CHIP_RATIO": (0.14, 0.43),
    "validity.MINIMUM_CHIP_RATIO_HELICAL": (0.6, 0.68),
    "validity.HELIX": tuple(np.radians([-80.0, 80.0])),
    "validity.EXPONENT": (1e-9, 2.0),
}


@pytest.mark.parametrize("name", [*HOLDS, *GENERAL])
def test_a_range_ends_where_its_source_says(name):
    module, constant = name.split(".")
    known = getattr(importlib.import_module(f"{physics.__name__}.{module}"), constant)
    assert (known.low, known.high) == pytest.approx((HOLDS | GENERAL)[name])
    assert known.covers(known.low)
    assert known.covers(known.high)
    assert len(known.source) > 10


def test_a_module_with_a_listed_range_has_all_of_them_listed():
    for module in {name.split(".")[0] for name in HOLDS}:
        held = vars(importlib.import_module(f"{physics.__name__}.{module}"))
        own = {
            name for name, value in held.items() if isinstance(value, Range) and not hasattr(validity, name)
        }
        assert own == {name.split(".")[1] for name in HOLDS if name.startswith(f"{module}.")}


def test_nan_and_what_lies_beyond_the_ends_is_outside_a_range():
    known = Range("x", 1.0, 2.0, "")
    values = np.array([np.nextafter(1.0, 0.0), 1.0, 1.5, 2.0, np.nextafter(2.0, 3.0), np.nan])
    assert known.covers(values).tolist() == [False, True, True, True, False, False]
