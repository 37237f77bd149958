"""What a spindle gives and draws, and how far a real cut peaks over a steady one."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from swarfbook.physics import dynamic, power, spindle

CURVE = {"curve_speeds": np.array([100.0, 200.0, 400.0]), "curve_torques": np.array([0.8, 0.9, 0.5])}
speeds = st.floats(1.0, 1000.0)


def available(speed: float) -> float:
    return float(spindle.torque_available(spindle_speed=speed, rated_power=1500.0, rated_speed=300.0))


def test_torque_is_held_up_to_the_rated_speed():
    rated = spindle.rated_torque(rated_power=1500.0, rated_speed=300.0)
    assert rated == pytest.approx(0.79577, abs=1e-5)
    assert available(0.0) == available(100.0) == available(300.0) == pytest.approx(rated)


@given(speed=st.floats(300.0, 900.0))
def test_power_is_held_above_it(speed):
    assert power.cutting_power(torque=available(speed), spindle_speed=speed) == pytest.approx(1500.0)


@given(speed=st.floats(0.0, 300.0))
def test_power_falls_with_speed_below_it(speed):
    watts = spindle.power_available(torque_available=available(speed), spindle_speed=speed)
    assert watts == pytest.approx(1500.0 * speed / 300.0)


@pytest.mark.parametrize("speed", [-1.0, math.nan])
def test_no_torque_at_a_speed_that_is_none(speed):
    assert math.isnan(available(speed))
    assert math.isnan(spindle.torque_from_curve(spindle_speed=speed, **CURVE))
    assert math.isnan(spindle.power_available(torque_available=1.0, spindle_speed=speed))


def test_a_curve_is_read_by_straight_lines():
    torque = spindle.torque_from_curve(spindle_speed=np.array([100.0, 150.0, 200.0, 300.0, 400.0]), **CURVE)
    assert torque == pytest.approx([0.8, 0.85, 0.9, 0.7, 0.5])


def test_below_its_first_point_a_curve_holds_its_torque():
    assert spindle.torque_from_curve(spindle_speed=10.0, **CURVE) == pytest.approx(0.8)


def test_above_its_last_point_a_curve_holds_its_power():
    assert spindle.torque_from_curve(spindle_speed=800.0, **CURVE) == pytest.approx(0.25)


def test_a_curve_of_the_motor_model_is_the_motor_model():
    points = np.linspace(100.0, 300.0, 5)
    torques = spindle.torque_available(spindle_speed=points, rated_power=1500.0, rated_speed=300.0)
    for speed in (50.0, 170.0, 300.0, 420.0):
        read = spindle.torque_from_curve(spindle_speed=speed, curve_speeds=points, curve_torques=torques)
        assert read == pytest.approx(available(speed))


def test_an_input_rating_gives_less_at_the_shaft():
    both = spindle.shaft_rating(rated_power=800.0, efficiency=0.7, is_input=np.array([True, False]))
    assert both == pytest.approx([560.0, 800.0])
    assert spindle.shaft_rating(rated_power=800.0, efficiency=0.7, is_input=True) == pytest.approx(560.0)


RATED = {"rated_shaft_power": 1500.0, "rated_torque": 0.8, "efficiency": 0.8}


def drawn(cutting_power: float, torque: float, idle: float | None) -> float:
    return float(spindle.input_power(cutting_power=cutting_power, torque=torque, idle_power=idle, **RATED))


def test_at_the_rated_point_the_loss_is_the_rated_one():
    assert drawn(1500.0, 0.8, 90.0) == pytest.approx(1500.0 / 0.8)
    assert drawn(1500.0, 0.8, 200.0) == pytest.approx(1500.0 / 0.8)


def test_without_a_cut_only_the_idle_power_is_drawn():
    assert drawn(0.0, 0.0, 90.0) == 90.0


def test_copper_losses_go_with_the_square_of_the_torque():
    """375 W of loss at the rated point, 90 of them idle: half the torque costs a quarter of 285 W."""
    assert drawn(600.0, 0.4, 90.0) == pytest.approx(600.0 + 90.0 + 285.0 / 4)


def test_an_idle_power_above_the_rated_loss_leaves_no_copper():
    assert drawn(600.0, 0.4, 500.0) == pytest.approx(1100.0)


def test_without_an_idle_figure_the_efficiency_serves():
    assert drawn(600.0, 0.4, None) == pytest.approx(750.0)


@given(load=st.floats(0.01, 1.0))
def test_idle_and_rated_losses_are_not_counted_twice(load):
    assert drawn(1500.0 * load, 0.8 * load, 90.0) < 1500.0 * load / 0.8 + 90.0


@given(load=st.floats(0.0, 1.5), speed=st.floats(20.0, 400.0), idle=st.sampled_from([None, 0.0, 90.0, 500.0]))
def test_a_reading_is_turned_back_into_the_power_that_draws_it(load, speed, idle):
    power = 1500.0 * load
    read = drawn(power, power / (2 * np.pi * speed), idle)
    turned = spindle.cutting_power_of_input(input_power=read, spindle_speed=speed, idle_power=idle, **RATED)
    assert turned == pytest.approx(power, rel=1e-9, abs=1e-9)


def test_a_reading_below_the_idle_power_is_no_cut():
    turned = spindle.cutting_power_of_input(input_power=60.0, spindle_speed=300.0, idle_power=90.0, **RATED)
    assert turned == -30.0


def test_a_short_load_may_be_higher():
    """t = tau: 1 / sqrt(1 - 1/e) = 1.25776655."""
    ratio = spindle.short_time_overload(duration=600.0, thermal_time=600.0)
    assert ratio == pytest.approx(1.25776655, rel=1e-8)
    assert spindle.short_time_overload(duration=1e9, thermal_time=600.0) == 1.0


@given(duration=st.floats(1.0, 1e4), longer=st.floats(1.01, 10.0))
def test_the_longer_the_load_the_less_of_it(duration, longer):
    ratios = spindle.short_time_overload(duration=np.array([1.0, longer]) * duration, thermal_time=900.0)
    assert ratios[0] >= ratios[1] >= 1


def test_a_rest_in_every_cycle_allows_more():
    cycle = {"loaded": 240.0, "heating_constant": 900.0, "cooling_constant": 1800.0}
    ratios = [float(spindle.intermittent_overload(resting=rest, **cycle)) for rest in (0.0, 360.0, 1e9)]
    assert ratios[0] == 1.0
    assert ratios[1] == pytest.approx(
        math.sqrt((1 - math.exp(-240 / 900 - 0.2)) / (1 - math.exp(-240 / 900)))
    )
    assert ratios[2] == pytest.approx(spindle.short_time_overload(duration=240.0, thermal_time=900.0))


def test_a_cycle_heats_like_its_root_mean_square():
    """40 % of the time loaded: sqrt(0.4) of the power."""
    rms = spindle.duty_rms(powers=np.array([1000.0, 0.0]), durations=np.array([4.0, 6.0]))
    assert rms == pytest.approx(632.4555320, rel=1e-9)
    even = spindle.duty_rms(powers=np.array([[300.0, 400.0], [5.0, 5.0]]), durations=np.array(2.0))
    assert even == pytest.approx([353.5533906, 5.0])


def test_a_cycle_takes_time():
    assert math.isnan(spindle.duty_rms(powers=np.array([1.0, 2.0]), durations=np.array([0.0, 0.0])))


def test_a_two_pole_motor_turns_with_its_field():
    assert spindle.synchronous_speed(frequency=400.0, poles=2) == 400.0
    assert spindle.synchronous_speed(frequency=50.0, poles=4) == 25.0
    assert math.isnan(spindle.synchronous_speed(frequency=50.0, poles=0))


@pytest.mark.parametrize(
    "value",
    [
        spindle.rated_torque(rated_power=1.0, rated_speed=0.0),
        spindle.rated_torque(rated_power=-1.0, rated_speed=1.0),
        spindle.torque_available(spindle_speed=1.0, rated_power=1.0, rated_speed=0.0),
        spindle.shaft_rating(rated_power=1.0, efficiency=0.0, is_input=True),
        spindle.short_time_overload(duration=0.0, thermal_time=1.0),
        spindle.short_time_overload(duration=1.0, thermal_time=0.0),
        spindle.intermittent_overload(loaded=1.0, resting=-1.0, heating_constant=1.0, cooling_constant=1.0),
        spindle.torque_available(spindle_speed=1.0, rated_power=-1.0, rated_speed=1.0),
        spindle.intermittent_overload(loaded=0.0, resting=1.0, heating_constant=1.0, cooling_constant=1.0),
        spindle.intermittent_overload(loaded=1.0, resting=1.0, heating_constant=0.0, cooling_constant=1.0),
        spindle.intermittent_overload(loaded=1.0, resting=1.0, heating_constant=1.0, cooling_constant=0.0),
        spindle.input_power(
            cutting_power=1.0,
            torque=1.0,
            rated_shaft_power=1.0,
            rated_torque=1.0,
            efficiency=0.0,
            idle_power=1.0,
        ),
        spindle.input_power(
            cutting_power=1.0, torque=1.0, rated_shaft_power=1.0, rated_torque=1.0, efficiency=0.0
        ),
        spindle.input_power(
            cutting_power=1.0,
            torque=1.0,
            rated_shaft_power=1.0,
            rated_torque=0.0,
            efficiency=0.8,
            idle_power=1.0,
        ),
    ],
)
def test_what_has_no_meaning_is_nan(value):
    assert math.isnan(value)


@pytest.mark.parametrize(
    "value",
    [
        spindle.rated_torque(rated_power=0.0, rated_speed=300.0),
        spindle.torque_available(spindle_speed=300.0, rated_power=0.0, rated_speed=300.0),
        spindle.power_available(torque_available=1.0, spindle_speed=0.0),
        spindle.synchronous_speed(frequency=0.0, poles=2),
        power.cutting_power(torque=1.0, spindle_speed=0.0),
        power.unit_power(
            unit_power_constant=1e9, feed_factor=1.0, wear_factor=1.0, material_removal_rate=0.0
        ),
    ],
)
def test_standing_still_is_no_mistake(value):
    assert value == 0.0


def test_a_curve_gives_its_first_torque_at_a_standstill():
    assert spindle.torque_from_curve(spindle_speed=0.0, **CURVE) == pytest.approx(0.8)


@given(torque=st.floats(0.001, 10.0), speed=speeds, rate=st.floats(1e-9, 1e-5))
def test_specific_force_is_power_per_volume(torque, speed, rate):
    watts = power.cutting_power(torque=torque, spindle_speed=speed)
    assert watts == pytest.approx(torque * speed * 6.283185307179586)
    assert power.specific_cutting_force(
        cutting_power=watts, material_removal_rate=rate
    ) * rate == pytest.approx(watts)


def test_power_needs_a_speed_and_a_volume():
    assert math.isnan(power.cutting_power(torque=1.0, spindle_speed=-1.0))
    assert math.isnan(power.specific_cutting_force(cutting_power=1.0, material_removal_rate=0.0))


def test_unit_power_is_a_product_of_four():
    watts = power.unit_power(
        unit_power_constant=0.9e9, feed_factor=1.4, wear_factor=1.1, material_removal_rate=1e-7
    )
    assert watts == pytest.approx(138.6)


RINGING = {"dynamic_low_frequency": 50.0, "dynamic_high_frequency": 150.0, "dynamic_high_factor": 1.5}


@pytest.mark.parametrize(
    ("frequency", "factor"), [(0.0, 1.0), (27.0, 1.0), (50.0, 1.0), (100.0, 1.25), (150.0, 1.5), (900.0, 1.5)]
)
def test_a_fast_cut_rings(frequency, factor):
    got = dynamic.dynamic_factor(tooth_passing_frequency=frequency, **RINGING)
    assert got == pytest.approx(factor, rel=1e-12)


def test_the_line_needs_two_ends():
    flat = RINGING | {"dynamic_high_frequency": 50.0}
    assert math.isnan(dynamic.dynamic_factor(tooth_passing_frequency=100.0, **flat))
    assert math.isnan(dynamic.dynamic_factor(tooth_passing_frequency=-1.0, **RINGING))
