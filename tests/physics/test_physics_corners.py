"""Corners against drawn circles: where the cutter meets the stock's edge, worked out point by point."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from swarfbook.physics import corners, engagement, turn
from swarfbook.physics.laws import LinearEdge

SHEARING = LinearEdge(ktc=631e6, krc=99e6, kac=273e6, kte=0.0, kre=0.0, kae=0.0)
sizes = st.floats(1e-3, 2e-2)


def drawn_arc(width: float, wall: float, diameter: float, inside: bool) -> float:
    """Arc of the cutter's front that lies in the stock, by sampling it [rad].

    The wall's centre is the origin, the cutter stands at (path, 0) and moves towards +y or -y alike.
    """
    radius = diameter / 2
    centre = wall - radius if inside else wall + radius
    angle = np.linspace(0, math.pi, 2_000_001)
    outward = np.cos(angle) if inside else -np.cos(angle)
    distance = np.hypot(centre + radius * outward, radius * np.sin(angle))
    in_stock = distance > wall - width if inside else distance < wall + width
    return float(in_stock.mean() * math.pi)


def equivalent(width: float, wall: float, diameter: float, inside: bool) -> float:
    return float(
        corners.equivalent_radial_width(
            radial_width=width, wall_radius=wall, diameter=diameter, inside=inside
        )
    )


@pytest.mark.parametrize("inside", [True, False])
@pytest.mark.parametrize(
    ("width", "wall", "diameter"),
    [
        (1e-3, 6e-3, 6e-3),
        (0.5e-3, 4e-3, 6e-3),
        (2e-3, 20e-3, 8e-3),
        (5e-3, 11e-3, 6e-3),
        (0.2e-3, 3.5e-3, 6e-3),
    ],
)
def test_an_arc_engages_like_the_straight_cut_it_is_said_to(inside, width, wall, diameter):
    same = equivalent(width, wall, diameter, inside)
    arc = engagement.engagement_angle(radial_width=same, diameter=diameter)
    assert arc == pytest.approx(drawn_arc(width, wall, diameter, inside), abs=3e-6)


def test_a_hollow_of_twelve_for_a_cutter_of_six():
    """ae 1, Rf 6, path 3: 1 x 11 / 6; outside 1 x 13 / 18."""
    assert equivalent(1e-3, 6e-3, 6e-3, True) * 1e3 == pytest.approx(11 / 6)
    assert equivalent(1e-3, 6e-3, 6e-3, False) * 1e3 == pytest.approx(13 / 18)


@given(wall=st.floats(1.0, 1.6), share=st.floats(0.05, 1.0))
def test_at_its_tightest_the_cut_is_a_slot(wall, share):
    assert equivalent(3e-3 * share, 3e-3, 6e-3, True) == 6e-3
    assert equivalent(6e-3 * share, 3e-3 * wall, 6e-3, True) <= 6e-3


def test_stock_that_fills_the_hollow_is_a_slot():
    assert equivalent(5e-3, 4e-3, 6e-3, True) == 6e-3
    assert equivalent(4e-3, 4e-3, 6e-3, True) == 6e-3
    assert equivalent(5.9e-3, 5e-3, 6e-3, True) == 6e-3


@given(width=st.floats(0.02, 1.0), diameter=sizes)
def test_a_wide_arc_is_a_straight_wall(width, diameter):
    for inside in (True, False):
        assert equivalent(width * diameter, 1e4, diameter, inside) == pytest.approx(
            width * diameter, rel=1e-5
        )


@given(width=st.floats(0.01, 0.99), wall=st.floats(0.51, 20.0), wider=st.floats(1.01, 3.0), diameter=sizes)
def test_the_tighter_the_arc_the_more_inside_and_the_less_outside(width, wall, wider, diameter):
    ae, radius = width * diameter, wall * diameter
    assert equivalent(ae, radius, diameter, True) >= equivalent(ae, radius * wider, diameter, True) * (
        1 - 1e-9
    )
    assert equivalent(ae, radius, diameter, True) >= ae * (1 - 1e-9)
    assert equivalent(ae, radius, diameter, False) <= equivalent(ae, radius * wider, diameter, False) * (
        1 + 1e-9
    )
    assert equivalent(ae, radius, diameter, False) <= ae * (1 + 1e-9)


def test_tight_and_wide_arcs_side_by_side():
    """The slot of an arc as tight as the cutter stands beside an ordinary one, and beside one too tight."""
    got = corners.equivalent_radial_width(
        radial_width=1e-3, wall_radius=np.array([3e-3, 6e-3, 2e-3]), diameter=6e-3, inside=True
    )
    assert got[:2] == pytest.approx([6e-3, 11e-3 / 6])
    assert np.isnan(got[2])


@pytest.mark.parametrize(
    ("width", "wall", "inside"),
    [(-1e-3, 9e-3, True), (7e-3, 9e-3, True), (7e-3, 9e-3, False), (1e-3, 2.9e-3, True), (1e-3, 0.0, False)],
)
def test_what_does_not_fit_is_nan(width, wall, inside):
    assert math.isnan(equivalent(width, wall, 6e-3, inside))


def test_path_of_the_centre():
    both = corners.path_radius(wall_radius=9e-3, diameter=6e-3, inside=np.array([True, False]))
    assert both == pytest.approx([6e-3, 12e-3])
    assert corners.path_radius(wall_radius=3e-3, diameter=6e-3, inside=True) == 0.0
    assert math.isnan(corners.path_radius(wall_radius=2e-3, diameter=6e-3, inside=True))


@given(wall=st.floats(3.1e-3, 0.1))
def test_centre_and_wall_turn_together(wall):
    """Both go round the same angle in the same time: speeds are as radii."""
    for inside in (True, False):
        share = corners.centre_feed_factor(wall_radius=wall, diameter=6e-3, inside=inside)
        path = corners.path_radius(wall_radius=wall, diameter=6e-3, inside=inside)
        assert share * wall == pytest.approx(path)
        assert (share < 1) == inside


def test_a_square_corner_adds_a_right_angle():
    along = engagement.engagement_angle(radial_width=1e-3, diameter=6e-3)
    arc = corners.corner_engagement(radial_width=1e-3, diameter=6e-3)
    assert arc == pytest.approx(along + math.pi / 2)
    flat = corners.corner_engagement(radial_width=1e-3, diameter=6e-3, corner_angle=math.pi)
    assert flat == pytest.approx(along)


def test_a_corner_is_at_most_a_slot():
    assert corners.corner_engagement(radial_width=4e-3, diameter=6e-3) == math.pi
    assert corners.corner_engagement(radial_width=1e-3, diameter=6e-3, corner_angle=0.2) == math.pi


@pytest.mark.parametrize("angle", [-0.1, 0.0, 3.2, math.nan])
def test_no_corner_no_arc(angle):
    assert math.isnan(corners.corner_engagement(radial_width=1e-3, diameter=6e-3, corner_angle=angle))


@given(width=st.floats(0.05, 0.6), wall=st.floats(0.55, 3.0))
def test_a_shearing_law_feels_the_stock_removed(width, wall):
    straight, bent = width * 6e-3, equivalent(width * 6e-3, wall * 6e-3, 6e-3, True)
    torques = [
        turn.torque_mean(
            law=SHEARING,
            diameter=6e-3,
            flutes=2,
            axial_depth=3e-3,
            feed_per_tooth=5e-5,
            entry=0.0,
            exit=engagement.engagement_angle(radial_width=ae, diameter=6e-3),
        )
        for ae in (straight, bent)
    ]
    assert torques[1] / torques[0] == pytest.approx(bent / straight)
