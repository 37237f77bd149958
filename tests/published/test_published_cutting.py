"""Speeds, chips, cutting laws and unit power against printed values."""

# ruff: noqa: N803 (arguments are named as the rows name them)

import math
from itertools import pairwise

import numpy as np

from support.published import each, hold
from swarfbook import quantities
from swarfbook.physics import chip, engagement, kinematics, power, spindle
from swarfbook.physics.laws import Kienzle
from swarfbook.physics.validity import MINIMUM_CHIP_RATIO, MINIMUM_CHIP_RATIO_HELICAL

INCH = 0.0254
FOOT_PER_MINUTE = 0.3048 / 60
CUBIC_INCH_PER_MINUTE = INCH**3 / 60


def inch_side_cut(D_in, vc_sfm, fz_in, z, ap_in, ae_in):
    turns = kinematics.spindle_speed(cutting_speed=vc_sfm * FOOT_PER_MINUTE, diameter=D_in * INCH)
    rate = kinematics.feed_rate(feed_per_tooth=fz_in * INCH, flutes=z, spindle_speed=turns)
    removed = kinematics.material_removal_rate(
        axial_depth=ap_in * INCH, radial_width=ae_in * INCH, feed_rate=rate
    )
    mean = chip.chip_thickness_mean(
        feed_per_tooth=fz_in * INCH, radial_width=ae_in * INCH, diameter=D_in * INCH
    )
    return {
        "n_rpm": turns * 60,
        "vf_ipm": rate / INCH * 60,
        "Q_in3min": removed / CUBIC_INCH_PER_MINUTE,
        "hm_in": mean / INCH,
    }


def slab_cut(width_mm, fz_mm, ap_mm, z, n_rpm, u_Ws_mm3):
    rate = kinematics.feed_rate(feed_per_tooth=fz_mm / 1e3, flutes=z, spindle_speed=n_rpm / 60)
    removed = kinematics.material_removal_rate(
        axial_depth=width_mm / 1e3, radial_width=ap_mm / 1e3, feed_rate=rate
    )
    watts = power.unit_power(
        unit_power_constant=u_Ws_mm3 * 1e9, feed_factor=1.0, wear_factor=1.0, material_removal_rate=removed
    )
    return {
        "vf_mm_min": rate * 60e3,
        "MRR_mm3_min": removed * 60e9,
        "P_kW": watts / 1e3,
        "T_Nm": spindle.rated_torque(rated_power=watts, rated_speed=n_rpm / 60),
    }


def face_cut(width_mm, vf_m_min, ap_mm, z, n_rpm, u_Ws_mm3):
    feed = kinematics.feed_per_tooth(feed_rate=vf_m_min / 60, flutes=z, spindle_speed=n_rpm / 60)
    return slab_cut(width_mm, feed * 1e3, ap_mm, z, n_rpm, u_Ws_mm3) | {"fz_mm": feed * 1e3}


def drilled_hole(d_mm, f_mm_rev, n_rpm, u_Ws_mm3):
    """A drill as a cutter of one tooth whose cross-section is d wide and pi d / 4 deep."""
    rate = kinematics.feed_rate(feed_per_tooth=f_mm_rev / 1e3, flutes=1, spindle_speed=n_rpm / 60)
    removed = kinematics.material_removal_rate(
        axial_depth=math.pi * d_mm / 4e3, radial_width=d_mm / 1e3, feed_rate=rate
    )
    watts = power.unit_power(
        unit_power_constant=u_Ws_mm3 * 1e9, feed_factor=1.0, wear_factor=1.0, material_removal_rate=removed
    )
    torque = spindle.rated_torque(rated_power=watts, rated_speed=n_rpm / 60)
    return {"MRR_mm3_s": removed * 1e9, "P_W": watts, "T_Nm": torque}


def horsepower_at_the_motor(width_cm, depth_cm, z, fz_cm, n_rpm, K_cm3min_per_hp, eff):
    """The machinability factor is removal rate over power: its inverse is a unit power."""
    rate = kinematics.feed_rate(feed_per_tooth=fz_cm / 100, flutes=z, spindle_speed=n_rpm / 60)
    removed = kinematics.material_removal_rate(
        axial_depth=depth_cm / 100, radial_width=width_cm / 100, feed_rate=rate
    )
    horse = quantities.to_si(1.0, "power", "hp")
    constant = horse / quantities.to_si(K_cm3min_per_hp, "volume_rate", "cm^3/min")
    watts = power.unit_power(
        unit_power_constant=constant, feed_factor=1.0, wear_factor=1.0, material_removal_rate=removed
    )
    drawn = spindle.input_power(
        cutting_power=watts, torque=0.0, rated_shaft_power=watts, rated_torque=1.0, efficiency=eff
    )
    return {"MRR_cm3_min": removed * 60e6, "hp_cutter": watts / horse, "hp_motor": drawn / horse}


def speeds_and_feeds(width_mm, D_mm, z, vc_m_min, fz_mm, ap_mm):
    turns = kinematics.spindle_speed(cutting_speed=vc_m_min / 60, diameter=D_mm / 1e3)
    rate = kinematics.feed_rate(feed_per_tooth=fz_mm / 1e3, flutes=z, spindle_speed=turns)
    removed = kinematics.material_removal_rate(
        axial_depth=ap_mm / 1e3, radial_width=width_mm / 1e3, feed_rate=rate
    )
    return {"n_rpm": turns * 60, "vf_mm_min": rate * 60e3, "MRR_mm3_min": removed * 60e9}


def dial_speeds(vc_m_min, D_mm):
    turns = kinematics.spindle_speed(cutting_speed=np.array(vc_m_min) / 60, diameter=np.array(D_mm) / 1e3)
    return {"n_rpm": turns * 60}


def feed_per_turn(fz_mm, z):
    return {"f_mm_rev": kinematics.feed_rate(feed_per_tooth=fz_mm, flutes=z, spindle_speed=1.0)}


def circular_path(ae_over_D, fz):
    where = {"radial_width": ae_over_D, "diameter": 1.0}
    return {
        "phi_s_deg": math.degrees(engagement.engagement_angle(**where)),
        "hmax": chip.chip_thickness_max(feed_per_tooth=fz, **where),
        "hm": chip.chip_thickness_mean(feed_per_tooth=fz, **where),
    }


def entering_angle(h_mm, kappa_deg):
    feed = chip.feed_for_chip_thickness(
        chip_thickness=h_mm, radial_width=1.0, diameter=1.0, edge_angle=math.radians(kappa_deg)
    )
    return {"fz_mm": feed}


def power_law(k_N_mm2: float, exponent: float) -> Kienzle:
    return Kienzle(kc11=k_N_mm2 * 1e6, mc=exponent, force_ratio_radial=0.0, force_ratio_axial=0.0)


def specific_force(law: Kienzle, h_mm) -> np.ndarray:
    """kc in N/mm^2 at chips in mm."""
    h = np.asarray(h_mm) / 1e3
    return law.edge_forces(h)[0] / h / 1e6


def size_effect_power(B_mm, t_mm, vf_mm_min, t1max_mm, nu, lam):
    removed = kinematics.material_removal_rate(
        axial_depth=B_mm / 1e3, radial_width=t_mm / 1e3, feed_rate=vf_mm_min / 60e3
    )
    return {"P_W": specific_force(power_law(nu, lam), t1max_mm / 2) * 1e6 * removed}


def energy_power(U0_J_mm3, t_av_mm, vf_mm_min, ap_mm, B_mm):
    watts = size_effect_power(B_mm, ap_mm, vf_mm_min, 2 * t_av_mm, U0_J_mm3 * 1e3, 0.4)["P_W"]
    return {"P_W_code": watts, "P_W_book": watts}


def energy_force(U0_J_mm3, t1_mm, w_mm):
    force = power_law(U0_J_mm3 * 1e3, 0.4).edge_forces(t1_mm / 1e3)[0] * w_mm / 1e3
    return {"Fc_N_code": force, "Fc_N_book": force}


def floor_ratios(process):
    """The ranges the core states, by the floors they make of an edge of 5 um."""
    ranges = (MINIMUM_CHIP_RATIO, MINIMUM_CHIP_RATIO_HELICAL)
    assert len(ranges) == len(process)
    ends = [[known.low, known.high] for known in ranges]
    return {
        "hmin_over_re": chip.minimum_chip_thickness(min_chip_ratio=np.array(ends), edge_radius=5e-6) / 5e-6
    }


def orthogonal_force(Fc_N, b_mm, h_mm):
    removed = kinematics.material_removal_rate(axial_depth=b_mm / 1e3, radial_width=h_mm / 1e3, feed_rate=1.0)
    return {"kc_N_mm2": power.specific_cutting_force(cutting_power=Fc_N, material_removal_rate=removed) / 1e6}


def specific_force_by_feed(kc11_N_mm2, mc, feed_mm, kappa_deg):
    chips = np.array(feed_mm) * math.sin(math.radians(kappa_deg))
    return {"kc_kN_mm2": specific_force(power_law(kc11_N_mm2, mc), chips) / 1e3}


def same_steels(kc11_N_mm2, mc, other_kc11_N_mm2, other_mc):
    one = Kienzle(np.array(kc11_N_mm2), np.array(mc), 0.0, 0.0)
    other = Kienzle(np.array(other_kc11_N_mm2), np.array(other_mc), 0.0, 0.0)
    return {"ratio_at_0_3_mm": specific_force(one, 0.3) / specific_force(other, 0.3)}


def constants(kc11, mc):
    law = Kienzle(np.array(kc11) * 1e6, np.array(mc), 0.0, 0.0)
    slope = np.log(specific_force(law, 0.1) / specific_force(law, 1.0)) / math.log(10)
    return {"kc11": specific_force(law, 1.0), "mc": slope}


def unit_power_of_a_law(kc11, mc, hm_mm):
    kc = specific_force(power_law(kc11, mc), hm_mm)
    horse = quantities.to_si(1.0, "power", "hp") / quantities.to_si(1.0, "volume_rate", "in^3/min")
    return {"kc_N_mm2": kc, "u_Ws_mm3": kc / 1e3, "u_hpmin_in3": kc * 1e6 / horse}


def both_unit_systems(Kp_hp_in3min):
    """The power of one cubic inch a minute, said in kilowatts of one cubic centimetre a second."""
    constant = Kp_hp_in3min * quantities.to_si(1.0, "power", "hp")
    constant /= quantities.to_si(1.0, "volume_rate", "in^3/min")
    watts = power.unit_power(
        unit_power_constant=constant,
        feed_factor=1.0,
        wear_factor=1.0,
        material_removal_rate=quantities.to_si(1.0, "volume_rate", "cm^3/s"),
    )
    return {"Kp_kW_cm3s": watts / 1e3}


def feed_factors(anchor, f_in=None, f_mm=None):
    """C is kc at the feed over kc at the anchor, for a law of exponent 0.19."""
    law = power_law(1000.0, 0.19)
    return {"C": specific_force(law, f_in or f_mm) / specific_force(law, anchor)}


def wear_and_efficiency(wear, efficiency):
    cut = {"unit_power_constant": 1e9, "feed_factor": 1.0, "material_removal_rate": 1e-6}
    sharp = power.unit_power(wear_factor=1.0, **cut)
    drawn = spindle.input_power(
        cutting_power=sharp,
        torque=1.0,
        rated_shaft_power=sharp,
        rated_torque=1.0,
        efficiency=np.array(efficiency),
    )
    return {
        "power_over_sharp": power.unit_power(wear_factor=np.array(wear), **cut) / sharp,
        "cutting_over_motor": sharp / drawn,
    }


def turned_shaft(Kp, C, W, E, V_fpm, f_in, d_in, Kp_SI, V_m_min, f_mm, d_mm):
    """Turning removes speed x feed x depth: the core's removal rate with the speed for the feed rate."""
    horse, inch = quantities.to_si(1.0, "power", "hp"), CUBIC_INCH_PER_MINUTE
    volumes = kinematics.material_removal_rate(
        axial_depth=np.array([d_in * INCH, d_mm / 1e3]),
        radial_width=np.array([f_in * INCH, f_mm / 1e3]),
        feed_rate=np.array([V_fpm * FOOT_PER_MINUTE, V_m_min / 60]),
    )
    watts = power.unit_power(
        unit_power_constant=np.array([Kp * horse / inch, Kp_SI * 1e9]),
        feed_factor=C,
        wear_factor=W,
        material_removal_rate=volumes,
    )
    drawn = spindle.input_power(
        cutting_power=watts, torque=1.0, rated_shaft_power=watts, rated_torque=1.0, efficiency=E
    )
    return {
        "Q_in3min": volumes[0] / inch,
        "Pc_hp": watts[0] / horse,
        "Pm_hp": drawn[0] / horse,
        "Q_cm3s": volumes[1] * 1e6,
        "Pc_kW": watts[1] / 1e3,
        "Pm_kW": drawn[1] / 1e3,
    }


def drill_factors(f_mm_rev, drill_mm):
    """Thrust and torque of a drill go with the 0.8th power of feed and diameter: a law with mc = 0.2."""
    law = power_law(1.0, 0.2)
    feed = law.edge_forces(np.array(f_mm_rev) / 1e3)[0] / law.edge_forces(1e-3)[0]
    thrust = law.edge_forces(np.array(drill_mm) / 1e3)[0] / law.edge_forces(1e-3)[0]
    return {"Ff": feed, "FT": thrust, "FM": thrust * drill_mm}


FORMS = {name: item for name, item in globals().items() if callable(item)}


@each("kinematics")
def test_speeds_feeds_and_removal_rates(row):
    hold(row, FORMS)


@each("chips")
def test_chips_and_size_effect(row):
    hold(row, FORMS)


@each("kienzle")
def test_the_kienzle_law(row):
    hold(row, FORMS)


@each("unit_power")
def test_unit_power(row):
    hold(row, FORMS)


def test_the_swept_angle_of_the_rows_grows_with_the_width():
    """Guards the rows themselves: ae/D 0.05, 0.1, 0.5 and 1 were copied in order."""
    shares = [0.05, 0.1, 0.5, 1.0]
    arcs = [circular_path(share, 1.0)["phi_s_deg"] for share in shares]
    assert all(after > before for before, after in pairwise(arcs))
