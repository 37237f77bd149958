"""Moves against a control that is stepped through time, and joints against a plain look-ahead."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from swarfbook.physics import motion

lengths = st.floats(1e-5, 0.5)
feeds = st.floats(1e-3, 0.3)
accelerations = st.floats(0.05, 10.0)


def stepped(
    distance: float, feed: float, acceleration: float, start: float, end: float
) -> tuple[float, float]:
    """Time and top speed, by looking for the top speed at which up, along and down make up the distance."""

    def ways(top: float) -> float:
        return (2 * top**2 - start**2 - end**2) / (2 * acceleration)

    top = feed
    if ways(feed) > distance:
        top = brentq(lambda v: ways(v) - distance, max(start, end), feed, xtol=1e-15)
    along = max(distance - ways(top), 0.0)
    return (2 * top - start - end) / acceleration + along / top, top


@pytest.mark.parametrize(
    ("distance", "seconds", "top"), [(5e-3, 0.2, 0.05), (20e-3, 0.4, 0.1), (100e-3, 1.2, 0.1)]
)
def test_short_and_long_moves_at_six_metres_a_minute(distance, seconds, top):
    move = {"distance": distance, "feed_rate": 0.1, "acceleration": 0.5}
    assert motion.move_time(**move) == pytest.approx(seconds)
    assert motion.speed_reached(**move) == pytest.approx(top)


@given(distance=lengths, feed=feeds, acceleration=accelerations, one=st.floats(0, 1), other=st.floats(0, 1))
def test_moves_between_two_speeds(distance, feed, acceleration, one, other):
    start = one * feed
    reach = math.sqrt(2 * acceleration * distance)
    end = min(
        max(other * feed, math.sqrt(max(start**2 - 0.999 * reach**2, 0))), math.hypot(start, 0.999 * reach)
    )
    move = {"distance": distance, "feed_rate": feed, "acceleration": acceleration}
    seconds, top = stepped(distance, feed, acceleration, start, end)
    speeds = {"start_speed": start, "end_speed": end}
    assert motion.speed_reached(**move, **speeds) == pytest.approx(top, rel=1e-6)
    assert motion.move_time(**move, **speeds) == pytest.approx(seconds, rel=1e-6)


def test_up_and_down_are_the_same_way_round():
    move = {"distance": 0.01, "feed_rate": 0.1, "acceleration": 0.5}
    up = motion.move_time(**move, start_speed=0.01, end_speed=0.06)
    down = motion.move_time(**move, start_speed=0.06, end_speed=0.01)
    assert up == pytest.approx(down)
    assert up < motion.move_time(**move)


def test_the_whole_move_may_be_one_change_of_speed():
    """From rest over 1 mm at 0.5 m/s^2: sqrt(2 a d) = 31.6 mm/s after 63 ms."""
    end = math.sqrt(2 * 0.5 * 1e-3)
    seconds = motion.move_time(distance=1e-3, feed_rate=0.1, acceleration=0.5, end_speed=end)
    assert seconds == pytest.approx(end / 0.5)


@pytest.mark.parametrize(
    "move",
    [
        {"start_speed": 0.09},
        {"end_speed": 0.09},
        {"start_speed": 0.2, "end_speed": 0.2},
        {"start_speed": -0.01},
        {"distance": -1.0},
        {"acceleration": 0.0},
        {"feed_rate": 0.0},
    ],
)
def test_what_cannot_be_moved_is_nan(move):
    move = {"distance": 1e-3, "feed_rate": 0.1, "acceleration": 0.5} | move
    assert math.isnan(motion.move_time(**move))
    assert math.isnan(motion.speed_reached(**move))


def test_a_move_of_no_length_takes_no_time():
    assert motion.move_time(distance=0.0, feed_rate=0.1, acceleration=0.5) == 0.0
    assert motion.speed_reached(distance=0.0, feed_rate=0.1, acceleration=0.5) == 0.0


def test_round_a_bend_the_acceleration_is_centripetal():
    """v^2 / r = a."""
    speed = motion.junction_speed(path_radius=3e-3, acceleration=0.5)
    assert speed**2 / 3e-3 == pytest.approx(0.5)
    assert motion.junction_speed(path_radius=0.0, acceleration=0.5) == 0.0
    assert math.isnan(motion.junction_speed(path_radius=-1e-3, acceleration=0.5))


@given(share=st.floats(0.05, 1.0))
def test_half_the_speed_is_half_the_chip(share):
    chip = motion.feed_per_tooth_reached(feed_per_tooth=5e-5, feed_rate=0.03, speed_reached=0.03 * share)
    assert chip == pytest.approx(5e-5 * share)


def test_no_feed_no_chip_to_speak_of():
    assert math.isnan(motion.feed_per_tooth_reached(feed_per_tooth=5e-5, feed_rate=0.0, speed_reached=0.0))
    assert motion.feed_per_tooth_reached(feed_per_tooth=5e-5, feed_rate=0.1, speed_reached=0.0) == 0.0


@pytest.mark.parametrize(
    ("width", "way"),
    [(1e-3, math.sqrt(5)), (3e-3, 3.0), (4.5e-3, 3.0), (6e-3, 3.0), (0.5e-3, math.sqrt(2.75))],
)
def test_the_way_in(width, way):
    assert motion.approach_distance(radial_width=width, diameter=6e-3) * 1e3 == pytest.approx(way)


def test_no_way_in_for_a_cut_wider_than_the_cutter():
    assert math.isnan(motion.approach_distance(radial_width=7e-3, diameter=6e-3))
