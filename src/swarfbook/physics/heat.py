"""Heat of a cut, and how stock gets rid of it: shares, lumps and convection.

Temperatures are kelvin, or degrees Celsius where only differences count.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from swarfbook.physics.arrays import Array, chosen, not_negative, only_where, positive
from swarfbook.physics.validity import Range

Numbers = NDArray[np.float64]

LAMINAR_PLATE = Range(
    "reynolds_number", 0.0, 5e5, "Incropera et al., ch. 7: laminar boundary layer on a plate"
)
HOT_FACE_UP = Range("rayleigh_number", 1e4, 1e7, "Incropera et al., ch. 9: 0.54 Ra^(1/4)")
HOT_FACE_DOWN = Range("rayleigh_number", 1e4, 1e9, "Incropera et al., ch. 9: 0.27 Ra^(1/4)")
LUMP = Range("biot_number", 0.0, 0.1, "Incropera et al., ch. 5: one temperature for the whole body")
WORK_SHARE = Range(
    "thermal_number x tan(shear_angle)",
    0.04,
    10.0,
    "Boothroyd, in Ghosh & Mallik, Manufacturing Science, p. 199",
)
ROUND_JET_REYNOLDS = Range("reynolds_number", 2e3, 4e5, "Martin, Adv. Heat Transfer 13 (1977) 1")
ROUND_JET_DISTANCE = Range("distance / nozzle_diameter", 2.0, 12.0, "Martin, Adv. Heat Transfer 13 (1977) 1")
ROUND_JET_SPREAD = Range("nozzle_diameter / radius", 0.127, 0.4, "Martin, Adv. Heat Transfer 13 (1977) 1")


def thermal_diffusivity(*, conductivity: Array, density: Array, specific_heat: Array) -> Array:
    """How fast warmth spreads in a material, k / (rho c).

    Args:
        conductivity: k [W/(m K)], any shape.
        density: rho [kg/m^3], broadcasts.
        specific_heat: c [J/(kg K)], broadcasts.

    Returns:
        alpha [m^2/s].
    """
    return positive(conductivity) / (positive(density) * positive(specific_heat))


def prandtl_number(*, viscosity: Array, diffusivity: Array) -> Array:
    """Spread of momentum over spread of heat in a fluid, nu / alpha.

    Args:
        viscosity: nu, kinematic [m^2/s], any shape.
        diffusivity: alpha [m^2/s], broadcasts.

    Returns:
        Pr [1].
    """
    return positive(viscosity) / positive(diffusivity)


def conductivity_polynomial(*, temperature: Array, fit_coefficients: Numbers) -> Array:
    """Thermal conductivity from a fit in logarithms.

    Args:
        temperature: T [K], any shape.
        fit_coefficients: a_i of log10 k = sum a_i (log10 T)^i, constant first [1], shape (k,).

    Returns:
        k [W/(m K)].

    References:
        NIST, cryogenic material properties (the form of its fits).
    """
    fit = np.polynomial.polynomial.polyval(np.log10(positive(temperature)), fit_coefficients)
    conductivity: Array = np.power(10.0, np.asarray(fit, dtype=np.float64))[()]
    return conductivity


def thermal_number(*, cutting_speed: Array, chip_thickness: Array, diffusivity: Array) -> Array:
    """Speed at which the cut outruns its heat, v h / alpha.

    Args:
        cutting_speed: v [m/s], any shape.
        chip_thickness: h [m], broadcasts.
        diffusivity: alpha of the work [m^2/s], broadcasts.

    Returns:
        R [1].
    """
    return not_negative(cutting_speed) * not_negative(chip_thickness) / positive(diffusivity)


def work_share(*, thermal_number: Array, shear_angle: Array) -> Array:
    """Share of the shear plane's heat that is conducted into the work.

    Args:
        thermal_number: R [1], any shape.
        shear_angle: phi [rad], broadcasts.

    Returns:
        0.15 ln(27.5 / (R tan phi)), held between 0 and 1 [1].

    Validity:
        `WORK_SHARE`. Part of that heat is cut away by the next teeth; of the whole cut a smaller share stays
        in the stock, and for milled aluminium no measured one was found.

    References:
        Boothroyd; Ghosh & Mallik, Manufacturing Science, Problem 6 p. 199.
    """
    outrun = positive(thermal_number) * np.tan(positive(shear_angle))
    share: Array = np.clip(0.15 * np.log(27.5 / outrun), 0, 1)
    return share


def reynolds_number(*, flow_speed: Array, flow_length: Array, viscosity: Array) -> Array:
    """Flow along a length, V L / nu.

    Args:
        flow_speed: V [m/s], any shape.
        flow_length: L along the flow, or a nozzle's diameter [m], broadcasts.
        viscosity: nu, kinematic [m^2/s], broadcasts.

    Returns:
        Re [1].
    """
    return not_negative(flow_speed) * positive(flow_length) / positive(viscosity)


def rayleigh_number(
    *,
    warmer_by: Array,
    film_temperature: Array,
    flow_length: Array,
    viscosity: Array,
    prandtl: Array,
    gravity: Array = 9.81,
) -> Array:
    """Drive of natural convection in a gas, g dT L^3 Pr / (T nu^2).

    Args:
        warmer_by: dT of the face over the gas [K], any shape.
        film_temperature: mean of the two, absolute [K], broadcasts.
        flow_length: height of the face, or area over perimeter of a level one [m], broadcasts.
        viscosity: nu, kinematic [m^2/s], broadcasts.
        prandtl: Pr [1], broadcasts.
        gravity: g [m/s^2], broadcasts.

    Returns:
        Ra [1].

    References:
        Incropera et al., Fundamentals of Heat and Mass Transfer, ch. 9.
    """
    lift = gravity * not_negative(warmer_by) / positive(film_temperature)
    reach: Array = positive(flow_length) ** 3 * positive(prandtl) / np.square(positive(viscosity))
    return lift * reach


def plate_nusselt(*, reynolds: Array, prandtl: Array) -> Array:
    """Forced convection along a flat plate, mean over its length.

    Args:
        reynolds: Re of the whole length [1], any shape.
        prandtl: Pr, 0.6 to 60 [1], broadcasts.

    Returns:
        0.664 Re^(1/2) Pr^(1/3) on `LAMINAR_PLATE`, (0.037 Re^0.8 - 871) Pr^(1/3) beyond [1].

    References:
        Incropera et al., ch. 7; Holman, Heat Transfer, ch. 5.
    """
    flow = not_negative(reynolds)
    laminar, mixed = 0.664 * np.sqrt(flow), 0.037 * flow**0.8 - 871
    nusselt: Array = chosen(LAMINAR_PLATE.covers(flow), laminar, mixed) * positive(prandtl) ** (1 / 3)
    return nusselt


def vertical_plate_nusselt(*, rayleigh: Array, prandtl: Array) -> Array:
    """Natural convection on a vertical face.

    Args:
        rayleigh: Ra by its height [1], any shape.
        prandtl: Pr [1], broadcasts.

    Returns:
        (0.825 + 0.387 Ra^(1/6) / (1 + (0.492/Pr)^(9/16))^(8/27))^2 [1].

    References:
        Churchill & Chu, Int. J. Heat Mass Transfer 18 (1975) 1323.
    """
    fluid = (1 + (0.492 / positive(prandtl)) ** (9 / 16)) ** (8 / 27)
    nusselt: Array = np.square(0.825 + 0.387 * not_negative(rayleigh) ** (1 / 6) / fluid)
    return nusselt


def hot_face_up_nusselt(*, rayleigh: Array) -> Array:
    """Natural convection above a hot level face, 0.54 Ra^(1/4) [1], of `rayleigh` by area/perimeter [1].

    Validity:
        `HOT_FACE_UP`.

    References:
        Incropera et al., ch. 9.
    """
    nusselt: Array = 0.54 * np.power(not_negative(rayleigh), 0.25)
    return nusselt


def hot_face_down_nusselt(*, rayleigh: Array) -> Array:
    """Natural convection below a hot level face, 0.27 Ra^(1/4) [1], of `rayleigh` by area/perimeter [1].

    Validity:
        `HOT_FACE_DOWN`.

    References:
        Incropera et al., ch. 9.
    """
    nusselt: Array = 0.27 * np.power(not_negative(rayleigh), 0.25)
    return nusselt


def round_jet_nusselt(
    *, reynolds: Array, prandtl: Array, nozzle_diameter: Array, nozzle_distance: Array, radius: Array
) -> Array:
    """Cooling by a round air jet square to a face, mean over a disc, by the nozzle's diameter.

    Args:
        reynolds: Re of the nozzle [1], any shape.
        prandtl: Pr [1], broadcasts.
        nozzle_diameter: D [m], broadcasts.
        nozzle_distance: H from the nozzle to the face [m], broadcasts.
        radius: r of the disc [m], broadcasts.

    Returns:
        D/r (1 - 1.1 D/r) / (1 + 0.1 (H/D - 6) D/r) 2 sqrt(Re (1 + Re^0.55 / 200)) Pr^0.42 [1].

    Validity:
        `ROUND_JET_REYNOLDS`, `ROUND_JET_DISTANCE`, `ROUND_JET_SPREAD`.

    References:
        Martin, Adv. Heat Transfer 13 (1977) 1; Incropera et al., ch. 7.
    """
    nozzle = positive(nozzle_diameter)
    spread, away = nozzle / positive(radius), positive(nozzle_distance) / nozzle
    place = spread * positive(1 - 1.1 * spread) / (1 + 0.1 * (away - 6) * spread)
    flow = not_negative(reynolds)
    nusselt: Array = place * 2 * np.sqrt(flow * (1 + flow**0.55 / 200)) * positive(prandtl) ** 0.42
    return nusselt


def film_coefficient(*, nusselt: Array, conductivity: Array, flow_length: Array) -> Array:
    """Heat a face gives a fluid per area and degree, Nu k / L.

    Args:
        nusselt: Nu [1], any shape.
        conductivity: k of the fluid [W/(m K)], broadcasts.
        flow_length: the one Nu was made with [m], broadcasts.

    Returns:
        h [W/(m^2 K)].
    """
    return not_negative(nusselt) * positive(conductivity) / positive(flow_length)


def convected_heat(*, film_coefficient: Array, area: Array, warmer_by: Array) -> Array:
    """Heat that a face gives off, h A dT.

    Args:
        film_coefficient: h [W/(m^2 K)], any shape.
        area: A [m^2], broadcasts.
        warmer_by: dT of the face over the fluid [K], broadcasts.

    Returns:
        heat flow [W].
    """
    return not_negative(film_coefficient) * not_negative(area) * warmer_by


def biot_number(*, film_coefficient: Array, lump_length: Array, conductivity: Array) -> Array:
    """Resistance inside a body over the one at its face, h Lc / k.

    Args:
        film_coefficient: h [W/(m^2 K)], any shape.
        lump_length: Lc, volume over cooled area [m], broadcasts.
        conductivity: k of the body [W/(m K)], broadcasts.

    Returns:
        Bi [1]: on `LUMP` the body has one temperature.

    References:
        Incropera et al., ch. 5.
    """
    return not_negative(film_coefficient) * positive(lump_length) / positive(conductivity)


def lump_thermal_time(
    *, film_coefficient: Array, lump_length: Array, density: Array, specific_heat: Array
) -> Array:
    """Time constant of a body with one temperature, rho c Lc / h.

    Args:
        film_coefficient: h [W/(m^2 K)], any shape.
        lump_length: Lc, volume over cooled area [m], broadcasts; a sixth of the diameter of a ball.
        density: rho of the body [kg/m^3], broadcasts.
        specific_heat: c of the body [J/(kg K)], broadcasts.

    Returns:
        tau [s].

    Validity:
        `LUMP`.

    References:
        Incropera et al., ch. 5.
    """
    stored = positive(density) * positive(specific_heat) * positive(lump_length)
    return stored / positive(film_coefficient)


def lump_time(
    *, start_temperature: Array, surroundings: Array, temperature: Array, thermal_time: Array
) -> Array:
    """Time in which a body with one temperature comes to another.

    Args:
        start_temperature: of the body [K], any shape.
        surroundings: temperature around it [K], broadcasts.
        temperature: to be reached [K], between the two, broadcasts.
        thermal_time: tau [s], broadcasts.

    Returns:
        tau ln((T0 - Ts) / (T - Ts)) [s]; nan for a temperature the body never has.

    References:
        Incropera et al., Ex. 5.1 p. 261.
    """
    left = (temperature - surroundings) / only_where(
        np.not_equal(start_temperature, surroundings), start_temperature - surroundings
    )
    time: Array = -np.log(only_where(np.less_equal(left, 1), positive(left))) * positive(thermal_time)
    return time


def lump_temperature(
    *, start_temperature: Array, surroundings: Array, duration: Array, thermal_time: Array
) -> Array:
    """Temperature of a body with one temperature after a time.

    Args:
        start_temperature: T0 of the body [K], any shape.
        surroundings: Ts around it [K], broadcasts; with a steady heat P into it Ts + P / (h A).
        duration: t [s], broadcasts.
        thermal_time: tau [s], broadcasts.

    Returns:
        Ts + (T0 - Ts) exp(-t/tau) [K].

    References:
        Incropera et al., ch. 5.
    """
    decay: Array = np.exp(-not_negative(duration) / positive(thermal_time))
    return surroundings + (start_temperature - surroundings) * decay
