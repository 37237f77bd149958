"""Engagement: arc of contact, entry and exit, lag, teeth in cut."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from swarfbook.physics import engagement

ratios = st.floats(1e-6, 1.0)


@pytest.mark.parametrize(
    ("share", "degrees"), [(0.05, 25.841933), (0.1, 36.869898), (0.25, 60.0), (0.5, 90.0), (0.75, 120.0)]
)
def test_the_arc_of_known_widths(share, degrees):
    arc = engagement.engagement_angle(radial_width=share * 8e-3, diameter=8e-3)
    assert math.degrees(arc) == pytest.approx(degrees, rel=1e-7)


def test_a_slot_takes_half_a_turn_exactly():
    assert engagement.engagement_angle(radial_width=6e-3, diameter=6e-3) == math.pi


@given(share=ratios)
def test_the_arc_is_the_textbook_arc_cosine(share):
    arc = engagement.engagement_angle(radial_width=share * 10e-3, diameter=10e-3)
    assert math.cos(arc) == pytest.approx(1 - 2 * share, abs=1e-12)


def test_the_arc_of_a_hair_keeps_its_digits():
    """arccos(1 - 2 ae/D) has only eight digits left here; the small-angle series has them all."""
    share = 1e-12
    exact = 2 * math.sqrt(share) * (1 + share / 6)
    assert engagement.engagement_angle(radial_width=share, diameter=1.0) == pytest.approx(exact, rel=1e-14)


@pytest.mark.parametrize("width", [0.0, -1e-3, 6.0000001e-3, 12e-3, math.inf, math.nan])
def test_a_width_that_no_cutter_takes_has_no_arc(width):
    assert math.isnan(engagement.engagement_angle(radial_width=width, diameter=6e-3))
    assert all(math.isnan(end) for end in engagement.immersion(radial_width=width, diameter=6e-3, climb=True))
    assert all(
        math.isnan(end) for end in engagement.immersion(radial_width=width, diameter=6e-3, climb=False)
    )


@pytest.mark.parametrize("diameter", [0.0, -6e-3, math.nan])
def test_a_diameter_that_is_none_has_no_arc(diameter):
    assert math.isnan(engagement.engagement_ratio(radial_width=1e-3, diameter=diameter))


@given(share=ratios)
def test_climb_leaves_at_half_a_turn_and_conventional_enters_at_nought(share):
    width, diameter = share * 8e-3, 8e-3
    arc = engagement.engagement_angle(radial_width=width, diameter=diameter)
    entry, leave = engagement.immersion(radial_width=width, diameter=diameter, climb=True)
    assert (entry, leave) == (math.pi - arc, math.pi)
    entry, leave = engagement.immersion(radial_width=width, diameter=diameter, climb=False)
    assert (entry, leave) == (0.0, arc)


def test_direction_may_differ_from_cut_to_cut():
    entry, leave = engagement.immersion(
        radial_width=np.array([1.5e-3, 1.5e-3]), diameter=6e-3, climb=np.array([True, False])
    )
    assert np.degrees(entry) == pytest.approx([120.0, 0.0])
    assert np.degrees(leave) == pytest.approx([180.0, 60.0])


def test_the_lag_of_a_helix():
    """45 degrees over half a diameter: the edge has gone round by as much as the radius is long, 1 rad."""
    lag = engagement.lag_angle(axial_depth=3e-3, helix=math.radians(45), diameter=6e-3)
    assert lag == pytest.approx(1.0, rel=1e-14)
    lag = engagement.lag_angle(axial_depth=3e-3, helix=math.radians(30), diameter=6e-3)
    assert lag == pytest.approx(0.5773502691896258, rel=1e-14)


def test_the_lag_does_not_mind_the_hand_of_the_helix():
    right = engagement.lag_angle(axial_depth=4e-3, helix=0.5, diameter=6e-3)
    assert engagement.lag_angle(axial_depth=4e-3, helix=-0.5, diameter=6e-3) == right


@pytest.mark.parametrize(("helix", "known"), [(80.0, True), (80.1, False), (-80.1, False), (90.0, False)])
def test_a_helix_past_eighty_degrees_is_no_side_edge(helix, known):
    lag = engagement.lag_angle(axial_depth=1e-3, helix=math.radians(helix), diameter=6e-3)
    assert math.isfinite(lag) is known


@pytest.mark.parametrize(("flutes", "degrees"), [(1, 360.0), (2, 180.0), (3, 120.0), (5, 72.0)])
def test_teeth_stand_evenly(flutes, degrees):
    assert math.degrees(engagement.tooth_pitch(flutes=flutes)) == pytest.approx(degrees)


def test_there_is_no_cutter_without_a_tooth():
    assert np.isnan(engagement.tooth_pitch(flutes=np.array([0, -2, 0.5, np.nan]))).all()


def test_teeth_in_cut_of_a_slot_are_half_of_them():
    assert engagement.teeth_in_cut(flutes=3, engagement_angle=math.pi) == pytest.approx(1.5)
    assert engagement.teeth_in_cut(flutes=4, engagement_angle=math.pi / 2) == pytest.approx(1.0)


@given(flutes=st.integers(1, 6), depth=st.floats(1e-4, 20e-3), helix=st.floats(0.01, 0.8))
def test_the_contact_number_counts_pitches_of_lag(flutes, depth, helix):
    number = engagement.axial_contact_number(axial_depth=depth, flutes=flutes, helix=helix, diameter=6e-3)
    expected = depth * flutes * math.tan(helix) / (math.pi * 6e-3)
    assert number == pytest.approx(expected, rel=1e-12)
