"""Chatter, surfaces, moves and drives against printed values."""

# ruff: noqa: N803 (arguments are named as the rows name them)

import math

import numpy as np

from support.published import each, hold
from support.semidiscretisation import Milling
from swarfbook import quantities
from swarfbook.physics import (
    beam,
    chatter,
    clearing,
    corners,
    modes,
    motion,
    oriented,
    power,
    spindle,
    surface,
    thrust,
)
from swarfbook.physics.modes import RIGID, Modes

SLOT = {"entry": 0.0, "exit": math.pi}
INCH = 0.0254


def one_mode(k_N_m, zeta, Kf_N_m2, cos2):
    shared = {"specific_force": Kf_N_m2, "orientation": cos2, "teeth_in_cut": 1.0}
    depth = oriented.single_mode_depth(stiffness=k_N_m, damping=zeta, **shared)
    fine = np.arange(250.0, 260.0, 1e-3)
    return {
        "Re_min_m_N": cos2 * Modes([250.0], [zeta], [k_N_m]).receptance(fine).real.min(),
        "alim_mm": depth * 1e3,
        "alim_small_zeta_mm": depth / (1 + zeta) * 1e3,
    }


def two_modes_at_angles(f_Hz, zeta, k_N_m, theta_deg, Kf_MPa):
    fine = np.arange(100.0, 400.0, 1e-3)
    depths = oriented.oriented_depth(
        chatter_frequency=fine,
        modes=Modes(f_Hz, zeta, k_N_m),
        orientations=np.square(np.cos(np.radians(theta_deg))),
        specific_force=Kf_MPa * 1e6,
        teeth_in_cut=1.0,
    )
    low = fine < 200.0
    first, second = np.nanargmin(depths), np.nanargmin(depths[low])
    return {
        "alim_min_mm": depths[first] * 1e3,
        "fc_Hz": fine[first],
        "local_min_150Hz_mm": depths[second] * 1e3,
        "fc2_Hz": fine[second],
    }


def stiffness_of(fn_Hz: float, m_kg: float) -> float:
    return m_kg * (2 * math.pi * fn_Hz) ** 2


def floquet_multipliers(z, rpm, fn_Hz, zeta, m_kg, Kt, Kn, ap_mm):
    """By the tests' own semi-discretisation; the core says which depths are stable."""
    stiffness = stiffness_of(fn_Hz, m_kg)
    cut = Milling([(fn_Hz, zeta, stiffness, 0.0)], [], z, 0.0, math.pi, Kt, Kn)
    coarse, fine = (
        np.array([cut.growth(rpm / 60, depth / 1e3, steps) for depth in ap_mm]) for steps in (120, 160)
    )
    limit = chatter.stable_depth(
        spindle_speed=rpm / 60,
        modes_x=Modes([fn_Hz], [zeta], [stiffness]),
        modes_y=RIGID,
        flutes=z,
        ktc=Kt,
        radial_ratio=Kn / Kt,
        **SLOT,
    )
    # The error falls with the square of the steps.
    return {
        "abs_mu": fine + (fine - coarse) / ((160 / 120) ** 2 - 1),
        "stable": (np.array(ap_mm) / 1e3 < limit).astype(float),
    }


def in_step(fn_Hz, z, k):
    return {"n_rpm": modes.resonant_speed(frequency=fn_Hz, flutes=z, waves=np.array(k)) * 60}


def benchmark_slot(z, fn_Hz, zeta, m_kg, Kt, Kn):
    stiffness = stiffness_of(fn_Hz, m_kg)
    tip = Modes([fn_Hz], [zeta], [stiffness])
    depth, _ = chatter.lowest_stable_depth(
        modes_x=tip, modes_y=tip, flutes=z, ktc=Kt, radial_ratio=Kn / Kt, **SLOT
    )
    return {"k_N_m": stiffness, "alim_min_mm": depth * 1e3}


def book_end_mill(z, Ktc, Krc, fx_Hz, zx, rx, fy_Hz, zy, ry, rpm):
    tip_x = Modes.from_residues(frequency=fx_Hz, damping=zx, residue=[complex(*pair) for pair in rx])
    tip_y = Modes.from_residues(frequency=fy_Hz, damping=zy, residue=[complex(*pair) for pair in ry])
    cut = {
        "modes_x": tip_x,
        "modes_y": tip_y,
        "flutes": z,
        "entry": math.pi / 2,
        "exit": math.pi,
        "ktc": Ktc * 1e6,
        "radial_ratio": Krc / Ktc,
    }
    depth, frequency = chatter.lowest_stable_depth(**cut)
    return {
        "alim_min_mm": depth * 1e3,
        "fc_Hz": frequency,
        "alim_at_rpm_mm": chatter.stable_depth(spindle_speed=np.array(rpm) / 60, **cut) * 1e3,
        "k_static_x_N_um": tip_x.static_stiffness() / 1e6,
    }


def static_stiffness(fn_Hz, k_N_um, zeta):
    return {"k_static_N_um": Modes(fn_Hz, zeta, np.array(k_N_um) * 1e6).static_stiffness() / 1e6}


def marks_on_a_floor(f_mm, r_mm, side_deg, end_deg):
    return {
        "Rt_mm": surface.floor_mark_height(mark_spacing=f_mm, corner_radius=r_mm),
        "Rt_sharp_mm": surface.sharp_mark_height(
            mark_spacing=f_mm,
            side_edge_angle=math.radians(side_deg),
            end_edge_angle=math.radians(end_deg),
        ),
    }


def marks_on_a_wall(z, D_mm, n_rpm, vf_mm_min):
    up, down = surface.wall_mark_height(
        feed_per_tooth=vf_mm_min / (n_rpm * z),
        flutes=z,
        diameter=D_mm,
        climb=np.array([False, True]),
        marks_per_turn=z,
    )
    return {"Rt_up_mm": up, "Rt_down_mm": down}


def ball_scallop(D_mm, stepover_mm):
    height = surface.scallop_height(pass_spacing=stepover_mm, diameter=D_mm)
    return {"scallop_mm": height, "scallop_approx_mm": height}


def trapezoid(v_mm_min, a_mm_s2, d_mm):
    move = {"distance": np.array(d_mm), "feed_rate": v_mm_min / 60, "acceleration": a_mm_s2}
    return {"t_s": motion.move_time(**move), "vpeak_mm_s": motion.speed_reached(**move)}


def feed_on_arcs(vf_edge, r_tool, Rf):
    arcs = {"wall_radius": np.array(Rf), "diameter": 2 * r_tool}
    return {
        "vf_inside": vf_edge * corners.centre_feed_factor(inside=True, **arcs),
        "vf_outside": vf_edge * corners.centre_feed_factor(inside=False, **arcs),
    }


def time_of_a_slab_cut(length_mm, ap_mm, D_mm, vf_mm_min):
    approach = motion.approach_distance(radial_width=ap_mm, diameter=D_mm)
    seconds = motion.move_time(distance=length_mm + approach, feed_rate=vf_mm_min / 60, acceleration=1e9)
    return {"approach_mm": approach, "t_s": seconds, "t_min": seconds / 60}


def time_of_a_face_cut(length_mm, D_mm, vf_m_min):
    """In and out by half the cutter each."""
    edge = motion.approach_distance(radial_width=D_mm, diameter=D_mm)
    return {
        "t_min": motion.move_time(distance=length_mm + 2 * edge, feed_rate=vf_m_min * 1e3, acceleration=1e9)
    }


def power_screw(Dp_in, F_half_lbf, lead_in, mu):
    screw = {"lead": lead_in * INCH, "pitch_diameter": Dp_in * INCH}
    force = quantities.to_si(F_half_lbf, "force", "lbf")
    torque = thrust.screw_torque(force=force, friction=mu, **screw)
    assert thrust.lowering_torque(force=force, friction=mu, **screw) > 0
    return {
        "T_lbfin": quantities.convert(torque, "torque", "lbf*in"),
        "lead_angle_deg": math.degrees(thrust.lead_angle(**screw)),
        "eff": thrust.sliding_screw_efficiency(friction=mu, **screw),
    }


def ball_screw(T_Nm, lead_mm, eta):
    return {"F_N": thrust.screw_thrust(torque=T_Nm, lead=np.array(lead_mm) / 1e3, efficiency=eta)}


def stepper(step_deg, f_pps, revs):
    step = math.radians(step_deg)
    per_turn = thrust.steps_per_turn(step_angle=step)
    return {
        "steps_rev": per_turn,
        "steps": revs * per_turn,
        "speed_rps": thrust.stepper_speed(step_rate=f_pps, step_angle=step),
    }


def chip_space(chips):
    ranges = (clearing.LONG_CHIPS, clearing.SPIRAL_CHIPS, clearing.LOOSE_CHIPS)
    assert len(ranges) == len(chips)
    return {"R": [[known.low, known.high] for known in ranges]}


def efficiency_of_light_loads(n_rpm, P0_W, a_W_per_Nm2):
    """Rated at 5 N m by the loss model; the other point follows from idle and rated losses."""
    speed, idle, copper = np.array(n_rpm) / 60, np.array(P0_W), np.array(a_W_per_Nm2)
    rated = power.cutting_power(torque=5.0, spindle_speed=speed)

    def efficiency(torque: float) -> np.ndarray:
        shaft = power.cutting_power(torque=torque, spindle_speed=speed)
        return shaft / spindle.input_power(
            cutting_power=shaft,
            torque=torque,
            rated_shaft_power=rated,
            rated_torque=5.0,
            efficiency=rated / (rated + idle + 25 * copper),
            idle_power=idle,
        )

    return {"efficiency_at_1_Nm": efficiency(1.0), "efficiency_at_5_Nm": efficiency(5.0)}


def tip_deflection(diameter: float, length: float, modulus: float) -> float:
    """Under one newton, the whole cutter fluted."""
    return float(
        beam.deflection(
            force=1.0,
            load_height=0.0,
            flute_length=length,
            fluted_diameter=beam.equivalent_diameter(diameter=diameter),
            neck_end=0.0,
            neck_diameter=diameter,
            shank_diameter=diameter,
            stickout=length,
            youngs_modulus=modulus,
        )
    )


def twice_the_diameter(D_mm, first_um):
    first, second = (tip_deflection(across, 10.0, 6e5) for across in D_mm)
    return {"deflection_um": [first_um, first_um * second / first]}


def small_cutter(D_mm, length_mm, E_GPa, F_N, k_machine_N_um):
    soft = tip_deflection(D_mm / 1e3, length_mm / 1e3, E_GPa * 1e9)
    machine = surface.wall_error_bound(force_y_peak=F_N, stiffness=k_machine_N_um * 1e6)
    return {"k_tool_N_um": 1 / soft / 1e6, "machine_deflection_um": machine * 1e6}


FORMS = {name: item for name, item in globals().items() if callable(item)}


@each("stability")
def test_chatter(row):
    hold(row, FORMS)


@each("surface")
def test_surfaces(row):
    hold(row, FORMS)


@each("paths")
def test_moves_and_drives(row):
    hold(row, FORMS)


@each("spindles")
def test_spindles_and_stiffness(row):
    hold(row, FORMS)


def test_the_duty_types_mean_what_the_standard_says():
    """Row mot-06, IEC 60034-1 as listed on motor vendors' pages: text, not a number."""
    assert spindle.DUTY_TYPES == {
        "S1": "continuous",
        "S2": "short-time, cools to ambient",
        "S3": "intermittent periodic, de-energised rest",
        "S6": "continuous-operation periodic, runs unloaded between loads",
    }
