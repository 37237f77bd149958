"""Orthogonal cutting by its circle of forces, tool life by its law, and unbalance by turning a mass."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from swarfbook.physics import balance, orthogonal, taylor

rakes = st.floats(-0.3, 0.5)
forces = st.floats(10.0, 2000.0)


@given(ratio=st.floats(0.1, 0.9), rake=rakes)
def test_the_chip_is_as_thick_as_its_shear_plane_makes_it(ratio, rake):
    """A plane of length h / sin phi stands at phi - gamma to the chip: r = sin phi / cos(phi - gamma)."""
    phi = float(orthogonal.shear_angle(chip_ratio=ratio, rake=rake))
    assert math.sin(phi) / math.cos(phi - rake) == pytest.approx(ratio)


@given(phi=st.floats(0.1, 1.2), rake=rakes)
def test_strain_is_the_slide_of_one_layer_over_its_thickness(phi, rake):
    """Velocities close a triangle: v_s / (v sin phi) with v_s = v cos gamma / cos(phi - gamma)."""
    wanted = math.cos(rake) / (math.cos(phi - rake) * math.sin(phi))
    assert orthogonal.shear_strain(shear_angle=phi, rake=rake) == pytest.approx(wanted)


@given(cutting=forces, push=forces, phi=st.floats(0.05, 1.3), rake=rakes, ratio=st.floats(0.1, 0.9))
def test_shear_and_friction_share_all_of_the_power(cutting, push, phi, rake, ratio):
    """Power per cutting speed: F_s cos gamma / cos(phi - gamma) + F r = Fc."""
    phi = float(orthogonal.shear_angle(chip_ratio=ratio, rake=rake))
    shear = orthogonal.shear_force(cutting_force=cutting, thrust_force=push, shear_angle=phi)
    shearing = shear * math.cos(rake) / math.cos(phi - rake)
    rubbing = (cutting * math.sin(rake) + push * math.cos(rake)) * ratio
    assert shearing + rubbing == pytest.approx(cutting)
    share = orthogonal.friction_share(cutting_force=cutting, thrust_force=push, rake=rake, chip_ratio=ratio)
    if rubbing >= 0:
        assert share == pytest.approx(rubbing / cutting)
    else:
        assert math.isnan(share)


@given(cutting=forces, push=forces, rake=rakes)
def test_friction_is_the_angle_of_the_resultant_to_the_rake_face(cutting, push, rake):
    angle = math.atan2(push, cutting) + rake
    got = orthogonal.rake_friction(cutting_force=cutting, thrust_force=push, rake=rake)
    if abs(angle) < math.pi / 2 - 1e-6:
        assert got == pytest.approx(math.tan(angle), rel=1e-6)
    elif angle > math.pi / 2 + 1e-6:
        assert math.isnan(got)


LIFE = {"known_life": 3600.0, "known_speed": 2.0, "taylor_exponent": 0.25}


@given(speed=st.floats(0.5, 10.0), exponent=st.floats(0.1, 0.7))
def test_speed_times_life_to_the_n_is_constant(speed, exponent):
    life = taylor.tool_life(**LIFE | {"taylor_exponent": exponent}, cutting_speed=speed)
    assert speed * life**exponent == pytest.approx(2.0 * 3600.0**exponent)


def test_changes_multiply():
    """Twice the speed and half the feed at n = 0.25, feed exponent 0.5: 1/16 times 4."""
    speed = taylor.life_factor(change=2.0, exponent_of_change=1.0, taylor_exponent=0.25)
    feed = taylor.life_factor(change=0.5, exponent_of_change=0.5, taylor_exponent=0.25)
    assert speed == pytest.approx(1 / 16)
    assert feed == pytest.approx(4.0)
    assert speed == pytest.approx(taylor.tool_life(**LIFE, cutting_speed=4.0) / 3600.0)


def test_a_life_of_a_minute_is_the_constant():
    shared = {"taylor_constant": 1.25, "taylor_exponent": 0.25}
    assert taylor.speed_for_life(life=60.0, **shared) == pytest.approx(1.25)
    assert taylor.speed_for_life(life=960.0, **shared) == pytest.approx(0.625)


@given(exponent=st.floats(0.1, 0.45), change=st.floats(30.0, 600.0), cost=st.floats(0.0, 20.0))
def test_the_cheapest_life_is_cheapest(exponent, change, cost):
    """Cost per part: rate x cutting time + (rate x change + edge) per life, cutting time as T^n."""
    rate = 0.01

    def part(log_life: float) -> float:
        life = math.exp(log_life)
        return life**exponent * (rate + (rate * change + cost) / life)

    best = math.exp(minimize_scalar(part, bounds=(0.0, 20.0), method="bounded", options={"xatol": 1e-9}).x)
    got = taylor.cheapest_life(taylor_exponent=exponent, change_time=change, tool_cost=cost, cost_rate=rate)
    assert got == pytest.approx(best, rel=1e-3)
    fastest = taylor.fastest_life(taylor_exponent=exponent, change_time=change)
    assert fastest == pytest.approx(
        taylor.cheapest_life(taylor_exponent=exponent, change_time=change, tool_cost=0.0, cost_rate=rate)
    )
    assert fastest <= got


def test_exponents_by_the_material_of_the_tool():
    assert taylor.HIGH_SPEED_STEEL.covers(0.125)
    assert taylor.CARBIDE.covers(0.25)
    assert taylor.CERAMIC.covers(0.6)
    assert not taylor.CARBIDE.covers(0.125)


def test_a_mass_off_centre_pulls():
    """1 g at 1 mm at 24 000 rpm: m r w^2."""
    force = balance.unbalance_force(unbalance=1e-6, spindle_speed=400.0)
    assert force == pytest.approx(1e-3 * 1e-3 * (2 * math.pi * 400) ** 2)


@given(grade=st.floats(1e-4, 1e-2), mass=st.floats(0.05, 5.0), speed=st.floats(10.0, 1000.0))
def test_grade_and_unbalance_and_back(grade, mass, speed):
    allowed = balance.permissible_unbalance(balance_grade=grade, rotor_mass=mass, spindle_speed=speed)
    assert balance.balance_grade(unbalance=allowed, rotor_mass=mass, spindle_speed=speed) == pytest.approx(
        grade
    )
    # The centre of mass goes round at the grade's speed.
    assert allowed / mass * 2 * math.pi * speed == pytest.approx(grade)


COST = {"taylor_exponent": 0.25, "change_time": 60.0, "tool_cost": 1.0, "cost_rate": 0.01}


@pytest.mark.parametrize(
    "value",
    [
        orthogonal.shear_angle(chip_ratio=0.0, rake=0.1),
        orthogonal.shear_angle(chip_ratio=3.0, rake=0.5),
        orthogonal.shear_strain(shear_angle=0.0, rake=0.1),
        orthogonal.rake_friction(cutting_force=1.0, thrust_force=4.0, rake=0.5),
        orthogonal.friction_share(cutting_force=0.0, thrust_force=1.0, rake=0.1, chip_ratio=0.4),
        orthogonal.friction_share(cutting_force=1.0, thrust_force=1.0, rake=0.1, chip_ratio=0.0),
        *(
            taylor.tool_life(**LIFE | {"cutting_speed": 1.0} | {name: 0.0})
            for name in (*LIFE, "cutting_speed")
        ),
        taylor.life_factor(change=0.0, exponent_of_change=1.0, taylor_exponent=0.25),
        taylor.life_factor(change=1.0, exponent_of_change=1.0, taylor_exponent=0.0),
        taylor.speed_for_life(life=0.0, taylor_constant=1.0, taylor_exponent=0.25),
        taylor.speed_for_life(life=1.0, taylor_constant=0.0, taylor_exponent=0.25),
        taylor.speed_for_life(life=1.0, taylor_constant=1.0, taylor_exponent=0.0),
        *(taylor.cheapest_life(**COST | {name: -1.0}) for name in COST),
        taylor.fastest_life(taylor_exponent=0.25, change_time=-1.0),
        taylor.fastest_life(taylor_exponent=0.0, change_time=1.0),
        balance.permissible_unbalance(balance_grade=-1.0, rotor_mass=1.0, spindle_speed=1.0),
        balance.permissible_unbalance(balance_grade=1.0, rotor_mass=0.0, spindle_speed=1.0),
        balance.permissible_unbalance(balance_grade=1.0, rotor_mass=1.0, spindle_speed=0.0),
        balance.balance_grade(unbalance=-1.0, rotor_mass=1.0, spindle_speed=1.0),
        balance.balance_grade(unbalance=1.0, rotor_mass=0.0, spindle_speed=1.0),
        balance.balance_grade(unbalance=1.0, rotor_mass=1.0, spindle_speed=-1.0),
        balance.unbalance_force(unbalance=-1.0, spindle_speed=1.0),
        balance.unbalance_force(unbalance=1.0, spindle_speed=-1.0),
    ],
)
def test_what_has_no_meaning_is_nan(value):
    assert math.isnan(value)


def test_arrays_and_scalars_take_the_same_path():
    speeds = np.array([1.0, 2.0, 4.0])
    together = taylor.tool_life(**LIFE, cutting_speed=speeds)
    assert together == pytest.approx([taylor.tool_life(**LIFE, cutting_speed=float(v)) for v in speeds])


def test_without_friction_none_of_the_power_goes_into_it():
    """A face square to the cut and no thrust; a pull on the face is no friction."""
    smooth = {"cutting_force": 100.0, "rake": 0.0, "chip_ratio": 0.5}
    assert orthogonal.friction_share(**smooth, thrust_force=0.0) == 0.0
    assert math.isnan(orthogonal.friction_share(**smooth, thrust_force=-1.0))
