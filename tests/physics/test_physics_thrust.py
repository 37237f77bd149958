"""Drives by the work they do: what goes in less what rubs comes out."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from swarfbook.physics import thrust

leads = st.floats(1e-3, 20e-3)
diameters = st.floats(6e-3, 40e-3)
frictions = st.floats(0.0, 0.4)


@given(torque=st.floats(0.0, 10.0), lead=leads, efficiency=st.floats(0.1, 1.0))
def test_a_screw_does_no_more_work_than_its_torque(torque, lead, efficiency):
    push = thrust.screw_thrust(torque=torque, lead=lead, efficiency=efficiency)
    assert push * lead == pytest.approx(efficiency * torque * 2 * math.pi)


def test_one_newton_metre_on_five_millimetres():
    assert thrust.screw_thrust(torque=1.0, lead=5e-3, efficiency=0.9) == pytest.approx(1130.97, abs=0.01)
    assert thrust.BALL_SCREW.covers(0.9)
    assert thrust.SLIDING_SCREW.covers(0.3)
    assert not thrust.SLIDING_SCREW.covers(0.9)


@given(lead=leads, diameter=diameters)
def test_without_friction_nothing_is_lost(lead, diameter):
    perfect = {"lead": lead, "pitch_diameter": diameter, "friction": 0.0}
    assert thrust.sliding_screw_efficiency(**perfect) == pytest.approx(1.0)
    assert thrust.screw_torque(force=100.0, **perfect) == pytest.approx(100 * lead / (2 * math.pi))
    assert thrust.lowering_torque(force=100.0, **perfect) == pytest.approx(-100 * lead / (2 * math.pi))


@given(lead=leads, diameter=diameters, friction=frictions)
def test_forces_on_an_unrolled_thread_are_in_balance(lead, diameter, friction):
    """On the slope stand F down, the push P sideways, the thread's normal N and its friction mu N."""
    slope = math.atan(lead / (math.pi * diameter))
    thread = {"lead": lead, "pitch_diameter": diameter, "friction": friction}
    for formula, sense in ((thrust.screw_torque, 1), (thrust.lowering_torque, -1)):
        push = formula(force=100.0, **thread) / (diameter / 2) * sense
        normal = 100.0 / (math.cos(slope) - sense * friction * math.sin(slope))
        assert push == pytest.approx(
            normal * (math.sin(slope) + sense * friction * math.cos(slope)), abs=1e-9
        )


@given(lead=leads, diameter=diameters, friction=st.floats(0.01, 0.4))
def test_a_screw_that_holds_is_at_most_half_efficient(lead, diameter, friction):
    thread = {"lead": lead, "pitch_diameter": diameter, "friction": friction}
    if thrust.lowering_torque(force=1.0, **thread) >= 0:
        assert thrust.sliding_screw_efficiency(**thread) <= 0.5 + 1e-12
        assert math.tan(thrust.lead_angle(lead=lead, pitch_diameter=diameter)) <= friction * (1 + 1e-12)


def test_a_steep_rough_thread_jams():
    assert math.isnan(thrust.sliding_screw_efficiency(lead=0.1, pitch_diameter=10e-3, friction=0.4))
    assert math.isnan(thrust.screw_torque(force=1.0, lead=0.1, pitch_diameter=10e-3, friction=0.4))
    assert thrust.lowering_torque(force=1.0, lead=0.1, pitch_diameter=10e-3, friction=0.4) < 0


def test_a_belt_is_a_lever():
    assert thrust.belt_thrust(torque=0.6, pulley_radius=12e-3, efficiency=0.95) == pytest.approx(47.5)


@given(short=st.floats(0.05, 1.0), rest=st.floats(0.05, 2.0))
def test_both_sides_of_a_belt_pull(short, rest):
    """Two springs side by side, stiffest next to the motor."""
    here = thrust.belt_stiffness(belt_rigidity=2e5, short_run=short, long_run=short + rest)
    assert here == pytest.approx(2e5 / short + 2e5 / (short + rest))
    nearer = thrust.belt_stiffness(belt_rigidity=2e5, short_run=short / 2, long_run=1.5 * short + rest)
    assert nearer > here


def test_two_hundred_steps_are_a_turn():
    step = math.radians(1.8)
    assert thrust.steps_per_turn(step_angle=step) == pytest.approx(200)
    assert thrust.stepper_speed(step_rate=1000.0, step_angle=step) == pytest.approx(5.0)


def test_a_stepper_holds_its_torque_and_then_its_power():
    speeds = np.array([0.0, 4.0, 5.0, 10.0, 20.0])
    torque = thrust.stepper_torque(holding_torque=1.2, corner_speed=5.0, motor_speed=speeds)
    assert torque == pytest.approx([1.2, 1.2, 1.2, 0.6, 0.3])
    assert thrust.USABLE_TORQUE.covers(0.5)


@given(cut=st.floats(0, 500), mass=st.floats(0, 50), rate=st.floats(0, 10), rub=st.floats(0, 100))
def test_a_drive_needs_the_cut_the_speeding_up_and_the_friction(cut, mass, rate, rub):
    need = thrust.thrust_needed(cutting_force=cut, moving_mass=mass, acceleration=rate, friction_force=rub)
    assert need == pytest.approx(cut + mass * rate + rub)


@pytest.mark.parametrize(
    "value",
    [
        thrust.screw_thrust(torque=-1.0, lead=5e-3, efficiency=0.9),
        thrust.screw_thrust(torque=1.0, lead=0.0, efficiency=0.9),
        thrust.screw_thrust(torque=1.0, lead=5e-3, efficiency=-0.1),
        thrust.lead_angle(lead=0.0, pitch_diameter=10e-3),
        thrust.lead_angle(lead=5e-3, pitch_diameter=0.0),
        thrust.sliding_screw_efficiency(lead=5e-3, pitch_diameter=10e-3, friction=-0.1),
        thrust.lowering_torque(force=1.0, lead=5e-3, pitch_diameter=10e-3, friction=-0.1),
        thrust.belt_thrust(torque=1.0, pulley_radius=0.0, efficiency=0.9),
        thrust.belt_thrust(torque=-1.0, pulley_radius=0.1, efficiency=0.9),
        thrust.belt_thrust(torque=1.0, pulley_radius=0.1, efficiency=-0.9),
        thrust.belt_stiffness(belt_rigidity=-1.0, short_run=1.0, long_run=1.0),
        thrust.belt_stiffness(belt_rigidity=1.0, short_run=0.0, long_run=1.0),
        thrust.belt_stiffness(belt_rigidity=1.0, short_run=1.0, long_run=0.0),
        thrust.steps_per_turn(step_angle=0.0),
        thrust.stepper_speed(step_rate=-1.0, step_angle=0.03),
        thrust.stepper_torque(holding_torque=-1.0, corner_speed=5.0, motor_speed=1.0),
        thrust.stepper_torque(holding_torque=1.0, corner_speed=0.0, motor_speed=1.0),
        thrust.stepper_torque(holding_torque=1.0, corner_speed=5.0, motor_speed=-1.0),
        thrust.thrust_needed(cutting_force=-1.0, moving_mass=1.0, acceleration=1.0, friction_force=1.0),
        thrust.thrust_needed(cutting_force=1.0, moving_mass=-1.0, acceleration=1.0, friction_force=1.0),
        thrust.thrust_needed(cutting_force=1.0, moving_mass=1.0, acceleration=-1.0, friction_force=1.0),
        thrust.thrust_needed(cutting_force=1.0, moving_mass=1.0, acceleration=1.0, friction_force=-1.0),
    ],
)
def test_what_has_no_meaning_is_nan(value):
    assert math.isnan(value)
