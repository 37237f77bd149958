"""Speeds, feeds, removal rate: worked by hand, and there and back."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from swarfbook.physics import kinematics

sizes = st.floats(1e-4, 0.1)
speeds = st.floats(0.1, 1000.0)
teeth = st.integers(1, 12)


def test_six_millimetres_at_18000_rpm():
    speed = kinematics.cutting_speed(diameter=6e-3, spindle_speed=300.0)
    assert speed == pytest.approx(5.654866776461628, rel=1e-14)
    assert speed * 60 == pytest.approx(339.292, abs=5e-4)


def test_a_turn_is_a_turn_and_not_two_pi():
    assert kinematics.feed_rate(feed_per_tooth=0.05e-3, flutes=3, spindle_speed=300.0) == pytest.approx(0.045)
    assert kinematics.tooth_passing_frequency(flutes=3, spindle_speed=300.0) == 900.0


def test_removal_rate_is_a_volume():
    rate = kinematics.material_removal_rate(axial_depth=3e-3, radial_width=1.5e-3, feed_rate=0.015)
    assert rate * 60 * 1e6 == pytest.approx(4.05)


@given(diameter=sizes, speed=speeds)
def test_cutting_speed_and_back(diameter, speed):
    cutting = kinematics.cutting_speed(diameter=diameter, spindle_speed=speed)
    assert kinematics.spindle_speed(cutting_speed=cutting, diameter=diameter) == pytest.approx(speed)


@given(feed=st.floats(1e-6, 1e-3), flutes=teeth, speed=speeds)
def test_feed_rate_and_back(feed, flutes, speed):
    rate = kinematics.feed_rate(feed_per_tooth=feed, flutes=flutes, spindle_speed=speed)
    back = kinematics.feed_per_tooth(feed_rate=rate, flutes=flutes, spindle_speed=speed)
    assert back == pytest.approx(feed)


@given(depth=sizes, width=sizes, feed=st.floats(1e-4, 1.0), factor=st.floats(0.1, 10.0))
def test_removal_rate_is_proportional_to_each(depth, width, feed, factor):
    base = kinematics.material_removal_rate(axial_depth=depth, radial_width=width, feed_rate=feed)
    grown = [
        kinematics.material_removal_rate(axial_depth=factor * depth, radial_width=width, feed_rate=feed),
        kinematics.material_removal_rate(axial_depth=depth, radial_width=factor * width, feed_rate=feed),
        kinematics.material_removal_rate(axial_depth=depth, radial_width=width, feed_rate=factor * feed),
    ]
    assert grown == pytest.approx([factor * base] * 3)


@pytest.mark.parametrize(
    "value",
    [
        kinematics.cutting_speed(diameter=6e-3, spindle_speed=0.0),
        kinematics.spindle_speed(cutting_speed=0.0, diameter=6e-3),
        kinematics.feed_rate(feed_per_tooth=1e-4, flutes=2, spindle_speed=0.0),
        kinematics.feed_rate(feed_per_tooth=0.0, flutes=2, spindle_speed=300.0),
        kinematics.feed_per_tooth(feed_rate=0.0, flutes=2, spindle_speed=300.0),
        kinematics.material_removal_rate(axial_depth=0.0, radial_width=1e-3, feed_rate=0.01),
        kinematics.material_removal_rate(axial_depth=1e-3, radial_width=0.0, feed_rate=0.01),
        kinematics.material_removal_rate(axial_depth=1e-3, radial_width=1e-3, feed_rate=0.0),
        kinematics.tooth_passing_frequency(flutes=2, spindle_speed=0.0),
    ],
)
def test_standing_still_is_no_mistake(value):
    assert value == 0.0


def test_but_a_spindle_at_rest_feeds_no_tooth():
    assert math.isnan(kinematics.feed_per_tooth(feed_rate=0.01, flutes=2, spindle_speed=0.0))


@pytest.mark.parametrize(
    "value",
    [
        kinematics.cutting_speed(diameter=0.0, spindle_speed=1.0),
        kinematics.cutting_speed(diameter=1.0, spindle_speed=-1.0),
        kinematics.spindle_speed(cutting_speed=-1.0, diameter=1.0),
        kinematics.spindle_speed(cutting_speed=1.0, diameter=0.0),
        kinematics.feed_rate(feed_per_tooth=-1.0, flutes=1, spindle_speed=1.0),
        kinematics.feed_rate(feed_per_tooth=1.0, flutes=0, spindle_speed=1.0),
        kinematics.feed_per_tooth(feed_rate=1.0, flutes=0, spindle_speed=1.0),
        kinematics.material_removal_rate(axial_depth=-1.0, radial_width=1.0, feed_rate=1.0),
        kinematics.material_removal_rate(axial_depth=1.0, radial_width=-1.0, feed_rate=1.0),
        kinematics.material_removal_rate(axial_depth=1.0, radial_width=1.0, feed_rate=-1.0),
        kinematics.tooth_passing_frequency(flutes=-1, spindle_speed=1.0),
        kinematics.tooth_passing_frequency(flutes=0, spindle_speed=1.0),
        kinematics.tooth_passing_frequency(flutes=1, spindle_speed=-1.0),
    ],
)
def test_what_has_no_meaning_is_nan(value):
    assert math.isnan(value)


def test_one_bad_value_does_not_spoil_its_neighbours():
    speed = kinematics.cutting_speed(diameter=np.array([6e-3, -1.0, 12e-3]), spindle_speed=100.0)
    assert speed[[0, 2]] == pytest.approx([1.8849555921538759, 3.7699111843077517])
    assert np.isnan(speed[1])
