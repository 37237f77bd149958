"""Ramps and helices, unrolled and walked down step by step."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from swarfbook.physics import entry

angles = st.floats(0.001, 1.4)


def test_a_hole_of_ten_with_a_cutter_of_six():
    path = entry.helix_path_diameter(hole_diameter=10e-3, diameter=6e-3)
    assert path == pytest.approx(4e-3)
    angle = entry.helix_ramp_angle(descent_per_turn=1e-3, path_diameter=path)
    assert math.degrees(angle) == pytest.approx(4.5499, abs=1e-4)


def test_a_hole_no_wider_than_the_cutter_is_a_plunge():
    assert math.isnan(entry.helix_path_diameter(hole_diameter=6e-3, diameter=6e-3))
    assert math.isnan(entry.helix_path_diameter(hole_diameter=5e-3, diameter=6e-3))


@given(pitch=st.floats(1e-5, 1e-2), diameter=st.floats(1e-3, 0.1))
def test_pitch_and_angle_and_back(pitch, diameter):
    angle = entry.helix_ramp_angle(descent_per_turn=pitch, path_diameter=diameter)
    assert entry.helix_descent(ramp_angle=angle, path_diameter=diameter) == pytest.approx(pitch)


def test_a_helix_walked_down_point_by_point():
    """Length and drop of one turn, drawn as 100 000 chords."""
    turned = np.linspace(0, 2 * math.pi, 100_001)
    path = np.stack([2e-3 * np.cos(turned), 2e-3 * np.sin(turned), -1e-3 * turned / (2 * math.pi)])
    length = np.linalg.norm(np.diff(path, axis=1), axis=0).sum()
    angle = entry.helix_ramp_angle(descent_per_turn=1e-3, path_diameter=4e-3)
    assert math.sin(angle) == pytest.approx(1e-3 / length, rel=1e-8)
    seconds = length / 0.02
    assert entry.vertical_feed_rate(feed_rate=0.02, ramp_angle=angle) == pytest.approx(1e-3 / seconds)


@given(depth=st.floats(1e-4, 1e-2), length=st.floats(1e-3, 0.2), share=st.floats(0.0, 1.0))
def test_a_straight_ramp_is_a_straight_line(depth, length, share):
    angle = entry.straight_ramp_angle(axial_depth=depth, ramp_length=length)
    reached = entry.depth_along_ramp(distance=share * length, ramp_angle=angle)
    assert reached == pytest.approx(share * depth)


@given(angle=angles, feed=st.floats(1e-6, 1e-3), rate=st.floats(1e-4, 0.5))
def test_chip_and_speed_share_the_slope(angle, feed, rate):
    chip = entry.axial_feed_per_tooth(feed_per_tooth=feed, ramp_angle=angle)
    down = entry.vertical_feed_rate(feed_rate=rate, ramp_angle=angle)
    assert chip / feed == pytest.approx(down / rate)
    assert chip == pytest.approx(feed * math.sin(angle))


def test_upright_a_ramp_is_a_plunge():
    assert entry.vertical_feed_rate(feed_rate=0.01, ramp_angle=math.pi / 2) == pytest.approx(0.01)
    assert entry.axial_feed_per_tooth(feed_per_tooth=1e-5, ramp_angle=0.0) == 0.0


@given(relief=st.floats(1e-6, 1e-3), dead=st.floats(1e-4, 5e-3))
def test_the_dead_middle_just_clears_at_its_limit(relief, dead):
    """Over its own width the cutter goes down by exactly the relief."""
    angle = entry.ramp_angle_for_relief(centre_relief=relief, dead_diameter=dead)
    assert entry.depth_along_ramp(distance=dead, ramp_angle=angle) == pytest.approx(relief)


def test_a_cutter_that_cuts_to_its_centre_may_go_straight_down():
    assert entry.ramp_angle_for_relief(centre_relief=0.0, dead_diameter=0.0) == math.pi / 2
    assert entry.ramp_angle_for_relief(centre_relief=0.0, dead_diameter=1e-3) == 0.0


@pytest.mark.parametrize(
    "value",
    [
        entry.helix_ramp_angle(descent_per_turn=-1e-3, path_diameter=4e-3),
        entry.helix_ramp_angle(descent_per_turn=1e-3, path_diameter=0.0),
        entry.helix_descent(ramp_angle=math.pi / 2, path_diameter=4e-3),
        entry.helix_descent(ramp_angle=-0.1, path_diameter=4e-3),
        entry.straight_ramp_angle(axial_depth=1e-3, ramp_length=0.0),
        entry.straight_ramp_angle(axial_depth=-1e-3, ramp_length=0.1),
        entry.depth_along_ramp(distance=-1.0, ramp_angle=0.1),
        entry.depth_along_ramp(distance=1.0, ramp_angle=1.6),
        entry.vertical_feed_rate(feed_rate=-1.0, ramp_angle=0.1),
        entry.vertical_feed_rate(feed_rate=1.0, ramp_angle=1.6),
        entry.axial_feed_per_tooth(feed_per_tooth=1e-5, ramp_angle=-0.1),
        entry.ramp_angle_for_relief(centre_relief=-1e-4, dead_diameter=1e-3),
        entry.ramp_angle_for_relief(centre_relief=1e-4, dead_diameter=-1e-3),
    ],
)
def test_what_has_no_meaning_is_nan(value):
    assert math.isnan(value)
