"""Forces, coefficients, deflection, motors and measured cuts against printed values."""

# ruff: noqa: N803 (arguments are named as the rows name them)

import math

import numpy as np
from scipy.integrate import quad

from support.published import each, hold, rows
from swarfbook import quantities
from swarfbook.physics import beam, kinematics, power, spindle, turn
from swarfbook.physics.laws import Kienzle, LinearEdge

AXES = ("t", "r", "a")
SLOT = {"entry": 0.0, "exit": math.pi}


def linear_law(Ktc, Kte=0.0, Krc=0.0, Kre=0.0, Kac=math.nan, Kae=math.nan):
    """N/mm^2 and N/mm to SI."""
    return LinearEdge(Ktc * 1e6, Krc * 1e6, Kac * 1e6, Kte * 1e3, Kre * 1e3, Kae * 1e3)


def refit(z, ap_mm, fz_mm, mean_F_normal_N, mean_F_feed_N, mean_F_axial_N):
    """Coefficients from mean forces of a slot, by a straight line of each against the feed (in mm, N)."""
    slopes = {}
    for name, force in zip(AXES, (mean_F_normal_N, mean_F_feed_N, mean_F_axial_N), strict=True):
        slope, start = np.polyfit(fz_mm, np.asarray(force) / (z * ap_mm), 1)
        slopes[f"K{name}c"], slopes[f"K{name}e"] = 4 * slope, math.pi * start
    return slopes | {"Kac": slopes["Kac"] * math.pi / 4, "Kae": slopes["Kae"] * 2 / math.pi}


def identified_coefficients(**printed):
    """Mean forces of a slot at five feeds from the law, and the coefficients back from them."""
    feeds = np.array([0.02, 0.04, 0.06, 0.08, 0.1])
    x, y, lift = turn.mean_forces(
        law=linear_law(**printed), flutes=2, axial_depth=3e-3, feed_per_tooth=feeds / 1e3, **SLOT
    )
    return refit(2, 3.0, feeds, y, -x, np.nan_to_num(lift))


def resultant_coefficient(kt_N_mm2, kn_N_mm2):
    """A straight single flute at the thickest chip of a slot feels Ks, at beta from the radius."""
    cut = {"diameter": 6e-3, "flutes": 1, "helix": 0.0, "axial_depth": 1e-3, "radial_width": 6e-3}
    law = linear_law(kt_N_mm2, Krc=kn_N_mm2)
    loads = turn.loads(law=law, feed_per_tooth=1e-4, climb=True, **cut)
    top = turn.turn(law=law, feed_per_tooth=1e-4, climb=True, angles=np.array([math.pi / 2]), **cut)
    angle = math.degrees(math.atan2(top.force_y[0], -top.force_x[0]))
    return {"Ks_N_mm2": loads.force_peak / 0.1, "beta_deg": angle}


def mean_and_peak(D_mm, z, helix_deg, ap_mm, fz_mm, **coefficients):
    law = linear_law(**coefficients)
    shared = {"law": law, "flutes": z, "axial_depth": ap_mm / 1e3, "feed_per_tooth": fz_mm / 1e3}
    x, y, lift = turn.mean_forces(**shared, **SLOT)
    loads = turn.loads(
        **shared, diameter=D_mm / 1e3, helix=math.radians(helix_deg), radial_width=D_mm / 1e3, climb=False
    )
    return {
        "mean_Fx_N": x,
        "mean_Fy_N": y,
        "mean_Fz_N": lift,
        "mean_T_Nmm": loads.torque_mean * 1e3,
        "peak_Fxy_N": loads.force_peak,
        "peak_T_Nmm": loads.torque_peak * 1e3,
    }


def rod(diameter: float, stickout: float, **cutter: float) -> dict[str, float]:
    """A plain rod, or a stepped one where `cutter` says so."""
    plain = {
        "flute_length": stickout,
        "fluted_diameter": diameter,
        "neck_end": 0.0,
        "neck_diameter": diameter,
    }
    return plain | {"shank_diameter": diameter, "stickout": stickout} | cutter


def superposition(E, I, P_N, L, w_N_mm, a):  # noqa: E741
    """Tip load and a spread load: the slope at a load is half the rate at which its own deflection grows."""
    diameter = (64 * I / math.pi) ** 0.25

    def own(x: float) -> float:
        geometry = rod(diameter, L)
        return float(beam.deflection(force=1.0, load_height=L - x, youngs_modulus=E, **geometry))

    def at_tip(x: float) -> float:
        slope = (own(x + 0.5) - own(x - 0.5)) / 2
        return own(x) + (L - x) * slope

    return {"delta_mm": P_N * own(L) + w_N_mm * quad(at_tip, 0.5, a)[0]}


def stepped_cutter(F_tip_N, DC_mm, flute_len_mm, reach_mm, shank_mm, E_MPa, d_eff_mm):
    np.testing.assert_allclose(beam.equivalent_diameter(diameter=DC_mm), d_eff_mm, rtol=1e-12)
    load = {"force": F_tip_N, "load_height": 0.0, "youngs_modulus": E_MPa}
    fluted = rod(shank_mm, reach_mm, flute_length=flute_len_mm, fluted_diameter=d_eff_mm)
    stepped, solid = beam.deflection(**load, **fluted), beam.deflection(**load, **rod(shank_mm, reach_mm))
    return {"delta_mm": stepped, "delta_solid_mm": solid, "ratio": stepped / solid}


def fluted_ratio(d_ratio):
    assert d_ratio == beam.FLUTED_RATIO
    load = {"force": 1.0, "load_height": 0.0, "youngs_modulus": 1.0}
    plain = beam.deflection(**load, **rod(1.0, 10.0))
    fluted = beam.deflection(**load, **rod(float(beam.equivalent_diameter(diameter=1.0)), 10.0))
    return {"I_ratio": plain / fluted, "compliance_ratio": fluted / plain}


def equivalent_diameters(flutes):
    return {"De_over_D": [beam.equivalent_diameter(diameter=1.0)] * len(flutes)}


def tip_load(F_N, L_mm, d_mm):
    stress = beam.bending_stress(force=F_N, load_height=0.0, **rod(d_mm, L_mm))
    return {"sigma_MPa": stress}


def torque_of_power(P_kW, n_rpm):
    return {"T_Nm": spindle.rated_torque(rated_power=P_kW * 1e3, rated_speed=n_rpm / 60)}


def two_pole_spindle(f_Hz, poles, P_kW):
    base = spindle.synchronous_speed(frequency=f_Hz, poles=poles)
    rating = {"rated_power": P_kW * 1e3, "rated_speed": base}

    def kilowatts(rpm: float) -> float:
        torque = spindle.torque_available(spindle_speed=rpm / 60, **rating)
        return float(spindle.power_available(torque_available=torque, spindle_speed=rpm / 60)) / 1e3

    return {
        "n_rpm": base * 60,
        "T_Nm": spindle.torque_available(spindle_speed=base, **rating),
        "P_at_12000_kW": kilowatts(12_000),
        "P_at_6000_kW": kilowatts(6_000),
    }


def short_and_intermittent(P_cont_kW, tau_heat_min, tau_cool_min, on_min, off_min):
    short = spindle.short_time_overload(duration=on_min, thermal_time=tau_heat_min)
    repeated = spindle.intermittent_overload(
        loaded=on_min, resting=off_min, heating_constant=tau_heat_min, cooling_constant=tau_cool_min
    )
    return {"P_10min_kW": P_cont_kW * short, "P_intermittent_kW": P_cont_kW * repeated}


def loss_model(f_Hz, torque_Nm, rpm, P_shaft_W, idle_W, efficiency_at_most_load):
    """The highest load stands for the rated point: idle and its efficiency fix the losses of all others."""
    shaft, torque = np.array(P_shaft_W, dtype=float), np.array(torque_Nm)
    read = power.cutting_power(torque=torque, spindle_speed=np.array(rpm) / 60)
    np.testing.assert_allclose(read, shaft, rtol=2e-3)
    assert max(rpm) < spindle.synchronous_speed(frequency=f_Hz, poles=4) * 60
    drawn = spindle.input_power(
        cutting_power=shaft,
        torque=torque,
        rated_shaft_power=shaft[-1],
        rated_torque=torque[-1],
        efficiency=efficiency_at_most_load,
        idle_power=idle_W,
    )
    return {"P_in_W": drawn}


def energy_of_a_slot(Ktc, Kte, fz_mm):
    """Power over removal rate of a slot, and the share of it that rubs."""
    feed, flutes, depth, diameter, speed = np.array(fz_mm) / 1e3, 2, 3e-3, 25e-3, 100.0
    rate = kinematics.feed_rate(feed_per_tooth=feed, flutes=flutes, spindle_speed=speed)
    removed = kinematics.material_removal_rate(axial_depth=depth, radial_width=diameter, feed_rate=rate)

    def energy(law: LinearEdge) -> np.ndarray:
        torque = turn.torque_mean(
            law=law, diameter=diameter, flutes=flutes, axial_depth=depth, feed_per_tooth=feed, **SLOT
        )
        watts = power.cutting_power(torque=torque, spindle_speed=speed)
        return power.specific_cutting_force(cutting_power=watts, material_removal_rate=removed) / 1e6

    whole = energy(linear_law(Ktc, Kte))
    return {"u_N_mm2": whole, "edge_share": 1 - energy(linear_law(Ktc)) / whole}


def fitted_pair(fz_mm, k1_N_mm2, m):
    feeds = np.array(fz_mm) / 1e3
    law = Kienzle(kc11=k1_N_mm2 * 1e6, mc=m, force_ratio_radial=0.0, force_ratio_axial=0.0)
    return {"kc_N_mm2": law.edge_forces(feeds)[0] / feeds / 1e6}


def face_mill_example(ap_mm, ae_mm, vf_mm_min, vc_m_min, D_mm, z, kc_N_mm2, efficiency):
    turns = kinematics.spindle_speed(cutting_speed=vc_m_min / 60, diameter=D_mm / 1e3)
    rate = vf_mm_min / 60e3
    removed = kinematics.material_removal_rate(
        axial_depth=ap_mm / 1e3, radial_width=ae_mm / 1e3, feed_rate=rate
    )
    watts = power.unit_power(
        unit_power_constant=kc_N_mm2 * 1e6, feed_factor=1.0, wear_factor=1.0, material_removal_rate=removed
    )
    drawn = spindle.input_power(
        cutting_power=watts, torque=1.0, rated_shaft_power=watts, rated_torque=1.0, efficiency=efficiency
    )
    feed = kinematics.feed_per_tooth(feed_rate=rate, flutes=z, spindle_speed=turns)
    return {"n_rpm": turns * 60, "fz_mm": feed * 1e3, "P_kW": drawn / 1e3}


def si_units():
    return {
        "hp_W": quantities.to_si(1.0, "power", "hp"),
        "lbf_N": quantities.to_si(1.0, "force", "lbf"),
        "psi_kPa": quantities.to_si(1.0, "stress", "psi") / 1e3,
        "in3_cm3": quantities.convert(
            quantities.to_si(1.0, "volume_rate", "in^3/min"), "volume_rate", "cm^3/min"
        ),
        "ftlbf_J": quantities.to_si(1.0, "torque", "lbf*ft"),
    }


def derived_units():
    per_cubic_inch = quantities.to_si(1.0, "power", "hp") / quantities.to_si(1.0, "volume_rate", "in^3/min")
    return {
        "hp_per_in3min_in_Ws_mm3": per_cubic_inch / 1e9,
        "in3min_in_cm3min": si_units()["in3_cm3"],
        "sfm_in_m_min": quantities.to_si(1.0, "surface_speed", "ft/min") * 60,
        "lbfin_Nm": quantities.to_si(1.0, "torque", "lbf*in"),
        "ksi_MPa": quantities.to_si(1.0, "stress", "ksi") / 1e6,
    }


FORMS = {name: item for name, item in globals().items() if callable(item)}


@each("forces")
def test_coefficients_and_forces(row):
    hold(row, FORMS)


@each("beams")
def test_deflection_and_bending(row):
    hold(row, FORMS)


@each("motors")
def test_motors(row):
    hold(row, FORMS)


@each("measured")
def test_measured_cuts(row):
    hold(row, FORMS)


@each("units")
def test_factors_between_units(row):
    hold(row, FORMS)


def test_the_law_refitted_from_a_measured_slot_follows_the_measurement():
    """The normal force is straight in the feed and followed to 5 %; feed and axial ones bend."""
    row = next(row for row in rows("measured") if row.id == "mm-coef-01")
    measured = row.inputs
    law = linear_law(**refit(**measured))
    x, y, lift = turn.mean_forces(
        law=law, flutes=2, axial_depth=3e-3, feed_per_tooth=np.array(measured["fz_mm"]) / 1e3, **SLOT
    )
    np.testing.assert_allclose(y, measured["mean_F_normal_N"], rtol=0.05)
    np.testing.assert_allclose(-x, measured["mean_F_feed_N"], rtol=0.2)
    np.testing.assert_allclose(lift, measured["mean_F_axial_N"], rtol=0.12)
