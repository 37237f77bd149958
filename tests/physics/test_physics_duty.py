"""Duties against a motor that is heated and cooled step by step; fixed speeds; the handbooks' power form."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from swarfbook.physics import power, spindle

DIAL = np.array([10_000, 14_000, 18_000, 22_000, 26_000]) / 60
minutes = st.floats(0.5, 60.0)


def hottest(load: float, idle: float, loaded: float, resting: float, tau: float) -> float:
    """Highest temperature of a steady cycle over the continuous one; each stretch leans towards its loss."""
    temperature = 0.0
    top = 0.0
    for _ in range(int(40 * tau / (loaded + resting)) + 40):
        temperature = load + (temperature - load) * math.exp(-loaded / tau)
        top = temperature
        temperature = idle + (temperature - idle) * math.exp(-resting / tau)
    return top


@given(loaded=minutes, resting=minutes, tau=st.floats(5.0, 90.0), idle=st.floats(0.0, 0.9))
def test_an_idling_motor_comes_back_to_its_temperature(loaded, resting, tau, idle):
    ratio = spindle.unloaded_overload(loaded=loaded, resting=resting, thermal_time=tau, idle_loss_share=idle)
    assert hottest(float(ratio) ** 2, idle, loaded, resting, tau) == pytest.approx(1.0, abs=1e-6)
    assert ratio >= 1


@given(loaded=minutes, resting=minutes, tau=st.floats(5.0, 90.0), idle=st.floats(0.0, 0.9))
def test_the_share_of_a_cycle_gives_the_load_back(loaded, resting, tau, idle):
    root = spindle.unloaded_overload(loaded=loaded, resting=resting, thermal_time=tau, idle_loss_share=idle)
    share = spindle.loaded_share(
        overload=root, cycle=loaded + resting, thermal_time=tau, idle_loss_share=idle
    )
    assert share == pytest.approx(loaded / (loaded + resting), rel=1e-6)


def test_up_to_the_rating_all_of_the_cycle_is_there():
    cycle = {"cycle": 600.0, "thermal_time": 900.0, "idle_loss_share": 0.3}
    assert spindle.loaded_share(overload=np.array([0.4, 1.0]), **cycle).tolist() == [1.0, 1.0]
    assert spindle.loaded_share(overload=1.001, **cycle) < 1.0


PLATE = {"overload_ratio": 1.2, "overload_heat": 2.1, "idle_loss_share": 0.3}


def test_the_heat_meets_both_ratings():
    heat = spindle.heat_between_ratings(power_ratio=np.array([0.0, 1.0, 1.2]), **PLATE)
    assert heat == pytest.approx([0.3, 1.0, 2.1], rel=1e-12)
    half = math.sqrt((1.0 + 1.44) / 2)
    assert spindle.heat_between_ratings(power_ratio=half, **PLATE) == pytest.approx(1.55, rel=1e-12)


def test_beyond_the_overload_rating_nobody_says():
    assert math.isnan(spindle.heat_between_ratings(power_ratio=1.2001, **PLATE))


def test_a_plate_that_promises_more_than_copper_allows_is_not_believed_between():
    """An overload of ten times, at 40 % of the time: below it heat is idle and copper loss at the least."""
    generous = PLATE | {"overload_ratio": 10.0}
    heat = spindle.heat_between_ratings(power_ratio=1.5, **generous)
    assert heat == pytest.approx(0.3 + 0.7 * 2.25, rel=1e-12)


def test_without_idle_loss_it_is_the_intermittent_duty():
    cycle = {"loaded": 240.0, "resting": 360.0}
    running = spindle.unloaded_overload(**cycle, thermal_time=900.0, idle_loss_share=0.0)
    resting = spindle.intermittent_overload(**cycle, heating_constant=900.0, cooling_constant=900.0)
    assert running == pytest.approx(resting, rel=1e-12)


def test_full_loss_at_idle_leaves_no_room():
    cycle = {"loaded": 240.0, "resting": 360.0, "thermal_time": 900.0}
    assert spindle.unloaded_overload(**cycle, idle_loss_share=1.0) == pytest.approx(1.0)
    assert spindle.unloaded_overload(**cycle | {"resting": 0.0}, idle_loss_share=0.3) == pytest.approx(1.0)


@pytest.mark.parametrize("share", [0.25, 0.4, 0.6, 1.0])
def test_a_short_cycle_counts_by_its_share(share):
    loaded = 0.5 * share
    ratio = spindle.unloaded_overload(
        loaded=loaded, resting=0.5 - loaded, thermal_time=900.0, idle_loss_share=0.0
    )
    assert ratio == pytest.approx(spindle.duty_overload(duty_share=share), rel=1e-3)
    assert spindle.duty_overload(duty_share=0.25) == pytest.approx(2.0)


def test_the_standard_cycle_heats_a_little_more_than_its_share():
    """S6-40 %: 4 of 10 minutes, a small motor of 15 minutes."""
    assert spindle.DUTY_CYCLE == 600.0
    loaded = 0.4 * spindle.DUTY_CYCLE
    ratio = spindle.unloaded_overload(
        loaded=loaded, resting=spindle.DUTY_CYCLE - loaded, thermal_time=900.0, idle_loss_share=0.0
    )
    assert 1.35 < ratio < float(spindle.duty_overload(duty_share=0.4)) == pytest.approx(1.5811388)


@given(duration=st.floats(1.0, 5000.0), tau=st.floats(60.0, 5000.0))
def test_overload_and_its_duration_and_back(duration, tau):
    ratio = spindle.short_time_overload(duration=duration, thermal_time=tau)
    back = spindle.overload_duration(overload=ratio, thermal_time=tau)
    if duration < 10 * tau:
        assert back == pytest.approx(duration, rel=1e-6)
    warm = spindle.temperature_share(power_ratio=ratio, duration=duration, thermal_time=tau)
    assert warm == pytest.approx(1.0)


@pytest.mark.parametrize("load", [0.2, 1.0])
def test_the_rating_is_borne_for_ever(load):
    assert spindle.overload_duration(overload=load, thermal_time=900.0) == math.inf


def test_a_motor_warms_up():
    """After one time constant at full power 63 % of the way, at half power a quarter of that."""
    shares = spindle.temperature_share(power_ratio=np.array([1.0, 0.5]), duration=900.0, thermal_time=900.0)
    assert shares == pytest.approx([1 - math.exp(-1), (1 - math.exp(-1)) / 4])
    assert spindle.temperature_share(power_ratio=1.0, duration=0.0, thermal_time=900.0) == 0.0


@pytest.mark.parametrize(
    ("wanted", "below", "above"),
    [
        (12_000, 10_000, 14_000),
        (11_800, 10_000, 14_000),
        (18_000, 18_000, 18_000),
        (25_000, 22_000, 26_000),
    ],
)
def test_speeds_on_a_dial(wanted, below, above):
    at = {"spindle_speed": wanted / 60, "speeds": DIAL}
    assert spindle.speed_not_above(**at) * 60 == pytest.approx(below)
    assert spindle.speed_not_below(**at) * 60 == pytest.approx(above)


def test_speeds_beyond_the_dial():
    slow, fast = {"spindle_speed": 100.0, "speeds": DIAL}, {"spindle_speed": 500.0, "speeds": DIAL}
    assert math.isnan(spindle.speed_not_above(**slow))
    assert math.isnan(spindle.speed_not_below(**fast))
    assert spindle.speed_not_below(**slow) == DIAL[0]
    assert spindle.speed_not_above(**fast) == DIAL[-1]


def test_a_speed_worked_out_another_way_still_meets_the_dial():
    wanted = 18_000 * (1 / 60)
    for off in (-1e-12, 0.0, 1e-12):
        at = {"spindle_speed": wanted * (1 + off), "speeds": DIAL}
        assert spindle.speed_not_above(**at) == spindle.speed_not_below(**at) == DIAL[2]


def test_one_speed_is_a_dial_too():
    only = np.array([400.0])
    for wanted, pick in ((300.0, math.nan), (500.0, 400.0)):
        assert spindle.speed_not_above(spindle_speed=wanted, speeds=only) == pytest.approx(pick, nan_ok=True)


def test_duty_types_are_told_apart():
    assert set(spindle.DUTY_TYPES) == {"S1", "S2", "S3", "S6"}
    assert "unloaded" in spindle.DUTY_TYPES["S6"]
    assert len(set(spindle.DUTY_TYPES.values())) == 4


FEEDS = np.array([0.02, 0.05, 0.1, 0.3, 1.5]) * 1e-3
FACTORS = np.array([1.7, 1.4, 1.25, 1.0, 0.72])


def test_feed_factors_at_the_table_are_the_table():
    got = power.unit_power_feed_factor(feed_per_tooth=FEEDS, table_feeds=FEEDS, table_factors=FACTORS)
    assert got == pytest.approx(FACTORS)


@given(exponent=st.floats(0.05, 0.5), feed=st.floats(1e-6, 5e-3))
def test_between_and_beyond_they_are_a_power_law(exponent, feed):
    factors = (FEEDS / 3e-4) ** -exponent
    got = power.unit_power_feed_factor(feed_per_tooth=feed, table_feeds=FEEDS, table_factors=factors)
    assert got == pytest.approx((feed / 3e-4) ** -exponent)


def test_a_feed_factor_needs_a_feed():
    table = {"table_feeds": FEEDS, "table_factors": FACTORS}
    assert math.isnan(power.unit_power_feed_factor(feed_per_tooth=0.0, **table))
    halfway = power.unit_power_feed_factor(feed_per_tooth=math.sqrt(0.05 * 0.1) * 1e-3, **table)
    assert halfway == pytest.approx(math.sqrt(1.4 * 1.25))


def test_the_motor_gives_more_than_the_edge_gets():
    assert power.motor_power(cutting_power=800.0, efficiency=0.8) == pytest.approx(1000.0)
    assert math.isnan(power.motor_power(cutting_power=800.0, efficiency=0.0))


CYCLE = {"loaded": 240.0, "resting": 360.0, "thermal_time": 900.0, "idle_loss_share": 0.2}


@pytest.mark.parametrize(
    "value",
    [
        spindle.unloaded_overload(**CYCLE | {"loaded": 0.0}),
        spindle.unloaded_overload(**CYCLE | {"resting": -1.0}),
        spindle.unloaded_overload(**CYCLE | {"thermal_time": 0.0}),
        spindle.unloaded_overload(**CYCLE | {"idle_loss_share": 1.1}),
        spindle.unloaded_overload(**CYCLE | {"idle_loss_share": -0.1}),
        spindle.duty_overload(duty_share=0.0),
        spindle.duty_overload(duty_share=1.1),
        spindle.overload_duration(overload=0.0, thermal_time=900.0),
        spindle.overload_duration(overload=1.5, thermal_time=0.0),
        spindle.temperature_share(power_ratio=-1.0, duration=1.0, thermal_time=1.0),
        spindle.temperature_share(power_ratio=1.0, duration=-1.0, thermal_time=1.0),
        spindle.temperature_share(power_ratio=1.0, duration=1.0, thermal_time=0.0),
        spindle.speed_not_above(spindle_speed=math.nan, speeds=DIAL),
        spindle.speed_not_below(spindle_speed=math.nan, speeds=DIAL),
    ],
)
def test_what_has_no_meaning_is_nan(value):
    assert math.isnan(value)
