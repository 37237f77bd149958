"""Heat against equations stepped through time, classic correlations at their joints, and energy."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from swarfbook.physics import heat

AIR = {"viscosity": 1.589e-5, "prandtl": 0.707}


def test_how_fast_warmth_spreads_in_aluminium():
    alpha = heat.thermal_diffusivity(conductivity=167.0, density=2700.0, specific_heat=896.0)
    assert alpha == pytest.approx(6.903e-5, rel=1e-3)
    assert heat.prandtl_number(viscosity=1.589e-5, diffusivity=2.25e-5) == pytest.approx(0.7062, rel=1e-3)


@given(constant=st.floats(-1.0, 2.0), slope=st.floats(-1.0, 1.5), temperature=st.floats(4.0, 400.0))
def test_a_straight_fit_in_logarithms_is_a_power_law(constant, slope, temperature):
    got = heat.conductivity_polynomial(temperature=temperature, fit_coefficients=np.array([constant, slope]))
    assert got == pytest.approx(10**constant * temperature**slope, rel=1e-9)


def test_the_faster_and_thicker_the_cut_the_less_stays_in_the_work():
    """As dry milling of aerospace aluminium shows: heating falls with speed and with feed."""
    numbers = heat.thermal_number(
        cutting_speed=np.array([5.0, 10.0, 5.0]),
        chip_thickness=np.array([3e-5, 3e-5, 6e-5]),
        diffusivity=6.9e-5,
    )
    assert numbers == pytest.approx([2.1739, 4.3478, 4.3478], rel=1e-4)
    shares = heat.work_share(thermal_number=numbers, shear_angle=math.atan(0.6))
    assert shares[0] == pytest.approx(0.15 * math.log(27.5 / (2.1739 * 0.6)), rel=1e-4)
    assert shares[0] > shares[1] == pytest.approx(shares[2])
    assert shares[0] - shares[1] == pytest.approx(0.15 * math.log(2))


def test_a_share_is_neither_above_one_nor_below_none():
    shares = heat.work_share(thermal_number=np.array([1e-9, 1e9]), shear_angle=0.5)
    assert list(shares) == [1.0, 0.0]
    assert heat.WORK_SHARE.covers(2.17 * 0.6)
    assert not heat.WORK_SHARE.covers(20.0)


def test_reynolds_of_a_breeze_along_a_plate():
    assert heat.reynolds_number(flow_speed=2.0, flow_length=0.2, viscosity=1.736e-5) == pytest.approx(
        23041, rel=1e-4
    )


@given(factor=st.floats(1.1, 3.0))
def test_rayleigh_goes_with_the_cube_of_the_height(factor):
    face = {"warmer_by": 60.0, "film_temperature": 333.0, "flow_length": 0.6} | AIR
    plain = heat.rayleigh_number(**face)
    assert heat.rayleigh_number(**face | {"flow_length": 0.6 * factor}) == pytest.approx(plain * factor**3)
    assert heat.rayleigh_number(**face | {"warmer_by": 60 * factor}) == pytest.approx(plain * factor)
    assert heat.rayleigh_number(**face, gravity=9.81 * factor) == pytest.approx(plain * factor)
    assert heat.rayleigh_number(**face | {"film_temperature": 333 * factor}) == pytest.approx(plain / factor)


def test_laminar_and_mixed_flow_meet():
    """The constant 871 stands for the laminar front: at Re 500 000 both are within 1 %."""
    below, above = heat.plate_nusselt(reynolds=np.array([5e5, 5e5 * (1 + 1e-9)]), prandtl=1.0)
    assert below == pytest.approx(0.664 * math.sqrt(5e5))
    assert above == pytest.approx(below, rel=0.01)
    assert above != below


def test_a_turbulent_plate():
    got = heat.plate_nusselt(reynolds=1e6, prandtl=0.7)
    assert got == pytest.approx((0.037 * 1e6**0.8 - 871) * 0.7 ** (1 / 3))


def test_still_air_still_conducts():
    assert heat.vertical_plate_nusselt(rayleigh=0.0, prandtl=0.7) == pytest.approx(0.825**2)


def test_a_vertical_face_by_hand():
    """Ra 1e9, Pr 0.7: (0.825 + 0.387 x 31.623 / 1.1942)^2."""
    fluid = (1 + (0.492 / 0.7) ** 0.5625) ** (8 / 27)
    assert fluid == pytest.approx(1.1942, rel=1e-4)
    got = heat.vertical_plate_nusselt(rayleigh=1e9, prandtl=0.7)
    assert got == pytest.approx((0.825 + 0.387 * 31.6228 / fluid) ** 2, rel=1e-5)


@given(rayleigh=st.floats(1e4, 1e7))
def test_a_hot_face_gives_twice_as_much_upwards(rayleigh):
    up, down = heat.hot_face_up_nusselt(rayleigh=rayleigh), heat.hot_face_down_nusselt(rayleigh=rayleigh)
    assert up == pytest.approx(2 * down)
    assert up**4 == pytest.approx(0.54**4 * rayleigh)


def test_an_air_blast_on_stock():
    """A 3 mm nozzle at 53 m/s, 18 mm away, over a disc of 15 mm: about 317 W/m^2 K."""
    flow = heat.reynolds_number(flow_speed=53.0, flow_length=3e-3, viscosity=1.589e-5)
    nusselt = heat.round_jet_nusselt(
        reynolds=flow, prandtl=0.707, nozzle_diameter=3e-3, nozzle_distance=18e-3, radius=15e-3
    )
    film = heat.film_coefficient(nusselt=nusselt, conductivity=0.0263, flow_length=3e-3)
    assert film == pytest.approx(317, rel=0.005)
    assert heat.ROUND_JET_REYNOLDS.covers(flow)
    assert heat.ROUND_JET_DISTANCE.covers(6.0)
    assert heat.ROUND_JET_SPREAD.covers(0.2)


def test_a_jet_in_martins_own_form():
    """By area, f = D^2 / (4 r^2): 2 sqrt f (1 - 2.2 sqrt f) / (1 + 0.2 (H/D - 6) sqrt f)."""
    share = math.sqrt(3e-3**2 / (4 * 12e-3**2))
    place = 2 * share * (1 - 2.2 * share) / (1 + 0.2 * (9 - 6) * share)
    flow = 2 * math.sqrt(2e4) * math.sqrt(1 + 0.005 * 2e4**0.55)
    got = heat.round_jet_nusselt(
        reynolds=2e4, prandtl=0.7, nozzle_diameter=3e-3, nozzle_distance=27e-3, radius=12e-3
    )
    assert got == pytest.approx(place * flow * 0.7**0.42)
    near = heat.round_jet_nusselt(
        reynolds=2e4, prandtl=0.7, nozzle_diameter=3e-3, nozzle_distance=18e-3, radius=12e-3
    )
    assert near > got


def test_a_jet_on_its_own_nozzle_is_none():
    assert math.isnan(
        heat.round_jet_nusselt(
            reynolds=2e4, prandtl=0.7, nozzle_diameter=3e-3, nozzle_distance=18e-3, radius=3e-3
        )
    )


BLOCK = {"film_coefficient": 25.0, "lump_length": 4e-3, "density": 2700.0, "specific_heat": 896.0}


@given(start=st.floats(280.0, 400.0), around=st.floats(280.0, 400.0), seconds=st.floats(1.0, 2000.0))
def test_a_lump_against_its_equation_stepped_through_time(start, around, seconds):
    tau = float(heat.lump_thermal_time(**BLOCK))

    def rate(_: float, temperature: np.ndarray) -> np.ndarray:
        return -25.0 * (temperature - around) / (2700.0 * 896.0 * 4e-3)

    wanted = solve_ivp(rate, (0, seconds), [start], rtol=1e-9, atol=1e-9).y[0, -1]
    got = heat.lump_temperature(
        start_temperature=start, surroundings=around, duration=seconds, thermal_time=tau
    )
    assert got == pytest.approx(wanted, abs=1e-5)


@given(seconds=st.floats(0.1, 1000.0))
def test_a_temperature_and_its_time_and_back(seconds):
    body = {"start_temperature": 350.0, "surroundings": 295.0, "thermal_time": 400.0}
    temperature = heat.lump_temperature(duration=seconds, **body)
    assert heat.lump_time(temperature=temperature, **body) == pytest.approx(seconds, rel=1e-9)


@pytest.mark.parametrize("temperature", [294.0, 295.0, 351.0])
def test_a_temperature_the_lump_never_has(temperature):
    body = {"start_temperature": 350.0, "surroundings": 295.0, "thermal_time": 400.0}
    assert math.isnan(heat.lump_time(temperature=temperature, **body))


def test_a_lump_as_warm_as_its_surroundings_stays():
    assert math.isnan(
        heat.lump_time(start_temperature=295.0, surroundings=295.0, temperature=295.0, thermal_time=1.0)
    )


def test_a_small_lump_has_one_temperature():
    biot = heat.biot_number(film_coefficient=25.0, lump_length=4e-3, conductivity=167.0)
    assert biot == pytest.approx(25 * 4e-3 / 167)
    assert heat.LUMP.covers(biot)
    plastic = heat.biot_number(film_coefficient=25.0, lump_length=4e-3, conductivity=0.2)
    assert not heat.LUMP.covers(plastic)


def test_heat_given_off():
    assert heat.convected_heat(film_coefficient=25.0, area=0.02, warmer_by=40.0) == pytest.approx(20.0)
    assert heat.convected_heat(film_coefficient=25.0, area=0.02, warmer_by=-40.0) == pytest.approx(-20.0)


FACE = {"warmer_by": 60.0, "film_temperature": 333.0, "flow_length": 0.6} | AIR
JET = {"reynolds": 2e4, "prandtl": 0.7, "nozzle_diameter": 3e-3, "nozzle_distance": 18e-3, "radius": 15e-3}


@pytest.mark.parametrize(
    "value",
    [
        heat.thermal_diffusivity(conductivity=0.0, density=1.0, specific_heat=1.0),
        heat.thermal_diffusivity(conductivity=1.0, density=0.0, specific_heat=1.0),
        heat.thermal_diffusivity(conductivity=1.0, density=1.0, specific_heat=0.0),
        heat.prandtl_number(viscosity=0.0, diffusivity=1.0),
        heat.prandtl_number(viscosity=1.0, diffusivity=0.0),
        heat.conductivity_polynomial(temperature=0.0, fit_coefficients=np.array([1.0])),
        heat.thermal_number(cutting_speed=-1.0, chip_thickness=1.0, diffusivity=1.0),
        heat.thermal_number(cutting_speed=1.0, chip_thickness=-1.0, diffusivity=1.0),
        heat.thermal_number(cutting_speed=1.0, chip_thickness=1.0, diffusivity=0.0),
        heat.work_share(thermal_number=0.0, shear_angle=0.5),
        heat.work_share(thermal_number=1.0, shear_angle=0.0),
        heat.reynolds_number(flow_speed=-1.0, flow_length=1.0, viscosity=1.0),
        heat.reynolds_number(flow_speed=1.0, flow_length=0.0, viscosity=1.0),
        heat.reynolds_number(flow_speed=1.0, flow_length=1.0, viscosity=0.0),
        *(heat.rayleigh_number(**FACE | {name: -1.0}) for name in FACE),
        heat.plate_nusselt(reynolds=-1.0, prandtl=0.7),
        heat.plate_nusselt(reynolds=1e4, prandtl=0.0),
        heat.vertical_plate_nusselt(rayleigh=-1.0, prandtl=0.7),
        heat.vertical_plate_nusselt(rayleigh=1e6, prandtl=0.0),
        heat.hot_face_up_nusselt(rayleigh=-1.0),
        heat.hot_face_down_nusselt(rayleigh=-1.0),
        *(heat.round_jet_nusselt(**JET | {name: -1.0}) for name in JET),
        heat.film_coefficient(nusselt=-1.0, conductivity=1.0, flow_length=1.0),
        heat.film_coefficient(nusselt=1.0, conductivity=0.0, flow_length=1.0),
        heat.film_coefficient(nusselt=1.0, conductivity=1.0, flow_length=0.0),
        heat.convected_heat(film_coefficient=-1.0, area=1.0, warmer_by=1.0),
        heat.convected_heat(film_coefficient=1.0, area=-1.0, warmer_by=1.0),
        heat.biot_number(film_coefficient=-1.0, lump_length=1.0, conductivity=1.0),
        heat.biot_number(film_coefficient=1.0, lump_length=0.0, conductivity=1.0),
        heat.biot_number(film_coefficient=1.0, lump_length=1.0, conductivity=0.0),
        *(heat.lump_thermal_time(**BLOCK | {name: 0.0}) for name in BLOCK),
        heat.lump_temperature(start_temperature=1.0, surroundings=0.0, duration=-1.0, thermal_time=1.0),
        heat.lump_temperature(start_temperature=1.0, surroundings=0.0, duration=1.0, thermal_time=0.0),
        heat.lump_time(start_temperature=1.0, surroundings=0.0, temperature=0.5, thermal_time=0.0),
    ],
)
def test_what_has_no_meaning_is_nan(value):
    assert math.isnan(value)
