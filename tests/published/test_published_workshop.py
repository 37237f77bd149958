"""Tool life, balance, orthogonal cutting, heat, bolts and tape against printed values."""

# ruff: noqa: N803 (arguments are named as the rows name them)

import math

import numpy as np

from support.published import each, hold
from swarfbook import quantities
from swarfbook.physics import adhesive, balance, clamping, heat, orthogonal, taylor

GRAM_MILLIMETRE = 1e-6
KELVIN = 273.0


def life_at_another_speed(v1, T1_min, n, v2):
    life = taylor.tool_life(known_life=T1_min, known_speed=v1, cutting_speed=v2, taylor_exponent=n)
    return {"T2_min": life}


def increase_of_life(n, v_ratio):
    factor = taylor.life_factor(change=v_ratio, exponent_of_change=1.0, taylor_exponent=n)
    return {"increase_pct": (factor - 1) * 100}


def extended_law(T, a, b, c):
    speed, feed, depth = (
        taylor.life_factor(change=1.2, exponent_of_change=exponent, taylor_exponent=a)
        for exponent in (1.0, b, c)
    )
    return {
        "T_v_plus20": T * speed,
        "T_f_plus20": T * feed,
        "T_d_plus20": T * depth,
        "T_all": T * speed * feed * depth,
    }


def economic_speeds(n, C, Lc, Tc, t):
    """Minutes and the book's own speed unit."""
    cheapest = taylor.cheapest_life(taylor_exponent=n, change_time=t * 60, tool_cost=Tc, cost_rate=Lc / 60)
    fastest = taylor.fastest_life(taylor_exponent=n, change_time=t * 60)
    law = {"taylor_constant": C, "taylor_exponent": n}
    return {
        "v_mincost": taylor.speed_for_life(life=cheapest, **law),
        "v_maxrate": taylor.speed_for_life(life=fastest, **law),
    }


def sensitivities(n, width_exponent):
    """Slopes of life against speed and width, both as logarithms."""
    slopes = [
        math.log(taylor.life_factor(change=1.1, exponent_of_change=exponent, taylor_exponent=n))
        / math.log(1.1)
        for exponent in (1.0, width_exponent)
    ]
    return {"dlnT_dlnvc": slopes[0], "dlnT_dlnae": slopes[1]}


def allowed_unbalance(m_kg, n_rpm, G):
    allowed = balance.permissible_unbalance(balance_grade=G / 1e3, rotor_mass=m_kg, spindle_speed=n_rpm / 60)
    return {"Uper_gmm": allowed / GRAM_MILLIMETRE}


def turning_force(U_gmm, n_rpm):
    force = balance.unbalance_force(unbalance=U_gmm * GRAM_MILLIMETRE, spindle_speed=n_rpm / 60)
    return {"F_N": force}


def shear_and_friction(Fc_N, Ft_N, h_mm, hc_mm, rake_deg):
    rake = math.radians(rake_deg)
    phi = orthogonal.shear_angle(chip_ratio=h_mm / hc_mm, rake=rake)
    forces = {"cutting_force": Fc_N, "thrust_force": Ft_N}
    return {
        "Fs_N": orthogonal.shear_force(shear_angle=phi, **forces),
        "mu": orthogonal.rake_friction(rake=rake, **forces),
    }


def shear_geometry(rake_deg, h_mm, hc_mm):
    rake = math.radians(rake_deg)
    phi = orthogonal.shear_angle(chip_ratio=h_mm / hc_mm, rake=rake)
    return {
        "phi_deg": math.degrees(phi),
        "shear_strain": orthogonal.shear_strain(shear_angle=phi, rake=rake),
    }


def friction_percent(Fc_N, Ft_N, rake_deg, h_mm, hc_mm):
    share = orthogonal.friction_share(
        cutting_force=Fc_N, thrust_force=Ft_N, rake=math.radians(rake_deg), chip_ratio=h_mm / hc_mm
    )
    return {"friction_pct": share * 100}


def conductivity_fit(coef, T_K):
    return {"k_W_mK": heat.conductivity_polynomial(temperature=T_K, fit_coefficients=np.array(coef))}


def plate_loss(V, L, nu, k, Pr, dT):
    """Heat of one side of a plate a metre wide [W/m], and Re."""
    reynolds = heat.reynolds_number(flow_speed=V, flow_length=L, viscosity=nu)
    film = heat.film_coefficient(
        nusselt=heat.plate_nusselt(reynolds=reynolds, prandtl=Pr), conductivity=k, flow_length=L
    )
    return heat.convected_heat(film_coefficient=film, area=L, warmer_by=dT), reynolds


def laminar_plate(V_m_s, L_m, nu_m2_s, k, Pr, dT):
    loss, reynolds = plate_loss(V_m_s, L_m, nu_m2_s, k, Pr, dT)
    return {"Re": reynolds, "q_W_m": loss}


def two_lengths(V, nu, k, Pr, dT, L):
    return {"q_W": plate_loss(V, np.array(L), nu, k, Pr, dT)[0]}


def plate_in_three_positions(L_m, Ts, Tinf, k, Pr, nu):
    """Upright by its height, level by area over perimeter, a quarter of the side."""
    air = {
        "warmer_by": Ts - Tinf,
        "film_temperature": (Ts + Tinf) / 2 + KELVIN,
        "viscosity": nu,
        "prandtl": Pr,
    }
    tall, flat = (heat.rayleigh_number(flow_length=length, **air) for length in (L_m, L_m / 4))
    upright = heat.vertical_plate_nusselt(rayleigh=tall, prandtl=Pr)

    def loss(nusselt: float, length: float) -> float:
        film = heat.film_coefficient(nusselt=nusselt, conductivity=k, flow_length=length)
        return float(heat.convected_heat(film_coefficient=film, area=L_m**2, warmer_by=Ts - Tinf))

    return {
        "Ra_vert": tall,
        "Nu_vert": upright,
        "Q_vert_W": loss(upright, L_m),
        "Q_hot_up_W": loss(heat.hot_face_up_nusselt(rayleigh=flat), L_m / 4),
        "Q_hot_down_W": loss(heat.hot_face_down_nusselt(rayleigh=flat), L_m / 4),
    }


def tall_plate(H_m, W_m, Ts, Tinf, nu, k, Pr, g):
    rayleigh = heat.rayleigh_number(
        warmer_by=Ts - Tinf,
        film_temperature=(Ts + Tinf) / 2 + KELVIN,
        flow_length=H_m,
        viscosity=nu,
        prandtl=Pr,
        gravity=g,
    )
    film = heat.film_coefficient(
        nusselt=heat.vertical_plate_nusselt(rayleigh=rayleigh, prandtl=Pr), conductivity=k, flow_length=H_m
    )
    return {"Q_W": heat.convected_heat(film_coefficient=film, area=H_m * W_m, warmer_by=Ts - Tinf)}


def thermocouple(h, rho, c, tau_s, Ti, Tinf, T):
    """The ball's diameter that makes the time constant: it grows in proportion."""
    body = {"film_coefficient": h, "density": rho, "specific_heat": c}
    per_metre = heat.lump_thermal_time(lump_length=1 / 6, **body)
    time = heat.lump_time(start_temperature=Ti, surroundings=Tinf, temperature=T, thermal_time=tau_s)
    return {"D_m": tau_s / per_metre, "t_s": time}


def junction(D_m, rho, c, h, k):
    tau = heat.lump_thermal_time(film_coefficient=h, lump_length=D_m / 6, density=rho, specific_heat=c)
    return {
        "Bi": heat.biot_number(film_coefficient=h, lump_length=D_m / 6, conductivity=k),
        "b_1_s": 1 / tau,
        "t99_s": heat.lump_time(start_temperature=0.0, surroundings=1.0, temperature=0.99, thermal_time=tau),
    }


def partition(rho, c, v_m_s, h_mm, k, tan_phi):
    number = heat.thermal_number(
        cutting_speed=v_m_s,
        chip_thickness=h_mm / 1e3,
        diffusivity=heat.thermal_diffusivity(conductivity=k, density=rho, specific_heat=c),
    )
    share = heat.work_share(thermal_number=number, shear_angle=math.atan(tan_phi))
    return {"R": number, "share_to_work": share}


def air(k, nu, rho, cp):
    spread = heat.thermal_diffusivity(conductivity=k, density=rho, specific_heat=cp)
    return {"Pr": heat.prandtl_number(viscosity=nu, diffusivity=spread)}


def sign_of_heating(v_m_s, h_mm, alpha_m2_s, tan_phi):
    numbers = heat.thermal_number(
        cutting_speed=np.array(v_m_s), chip_thickness=np.array(h_mm) / 1e3, diffusivity=alpha_m2_s
    )
    shares = heat.work_share(thermal_number=numbers, shear_angle=math.atan(tan_phi))
    return {"sign": np.sign(shares[1:] - shares[0])}


def bolts(d_mm, P_mm, Dkm_mm, Rp_MPa, mu, util):
    thread = {"nominal_diameter": np.array(d_mm) / 1e3, "thread_pitch": np.array(P_mm) / 1e3}
    rub = np.array(mu)
    preload = clamping.bolt_preload(**thread, proof_stress=Rp_MPa * 1e6, friction=rub, utilisation=util)
    torque = clamping.tightening_torque(
        preload=preload,
        friction=rub,
        bearing_friction=rub,
        bearing_diameter=np.array(Dkm_mm) / 1e3,
        **thread,
    )
    return {"FM_kN": preload / 1e3, "MA_Nm": torque}


def proof_and_torque(d_mm, P_mm, Dkm_mm, Sp_MPa, util):
    thread = {"nominal_diameter": np.array(d_mm) / 1e3, "thread_pitch": np.array(P_mm) / 1e3}
    preload = clamping.proof_preload(
        tensile_area=clamping.stress_area(**thread), proof_stress=Sp_MPa * 1e6, utilisation=util
    )
    dry, oiled = (
        clamping.tightening_torque(
            preload=preload,
            friction=rub,
            bearing_friction=rub,
            bearing_diameter=np.array(Dkm_mm) / 1e3,
            **thread,
        )
        for rub in (0.2, 0.15)
    )
    return {"F_kN": preload / 1e3, "T_dry_Nm": dry, "T_lub_Nm": oiled}


def nut_factor(As_in2, Sp_psi, D_in, K, util):
    preload = clamping.proof_preload(tensile_area=As_in2, proof_stress=Sp_psi, utilisation=util)
    return {"T_lbfin": clamping.nut_factor_torque(preload=preload, nominal_diameter=D_in, nut_factor=K)}


def static_load(area_cm2, load_g):
    stress = adhesive.hanging_stress(hung_mass=np.array(load_g) / 1e3, area=area_cm2 / 1e4)
    return {"stress_kPa": stress / 1e3}


def design_stress(static_psi, weight_lbf, area_in2, dynamic_kPa, design_kPa):
    pounds = quantities.to_si(weight_lbf, "force", "lbf")
    hung = adhesive.shear_stress(force=pounds, area=area_in2 * 0.0254**2)
    ratio = adhesive.safety(strength=dynamic_kPa, stress=design_kPa)
    return {
        "static_design_kPa": [quantities.to_si(static_psi, "stress", "psi") / 1e3, hung / 1e3],
        "at_least_five": float(ratio >= 5),
    }


FORMS = {name: item for name, item in globals().items() if callable(item)}


@each("life")
def test_tool_life_balance_and_shear(row):
    hold(row, FORMS)


@each("heat")
def test_heat(row):
    hold(row, FORMS)


@each("holding")
def test_bolts_and_tape(row):
    hold(row, FORMS)
