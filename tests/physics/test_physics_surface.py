"""Marks against drawn tooth paths, wall errors against forces worked out a second way."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.milling import Cut, Linear, Power, random_cuts
from swarfbook.physics import surface, turn

HEIGHTS = np.linspace(0, 1, 9)
SIX = {"diameter": 6e-3, "flutes": 2}


def marks(**changed: float | bool) -> float:
    cut = {"feed_per_tooth": 2e-4, "climb": False, "marks_per_turn": 2} | SIX | changed
    return float(surface.wall_mark_height(**cut))


def drawn_marks(feed: float, flutes: int, diameter: float, climb: bool) -> float:
    """Cusp between two neighbouring tooth paths, by points on the trochoid of each [m].

    The centre moves along x by fz z a turn; a tooth at immersion phi stands at R (sin, cos) from it. The
    wall is at y = R (conventional) or -R (climb).
    """
    advance, side = feed * flutes / (2 * math.pi), -1.0 if climb else 1.0
    phi = np.linspace(-0.5, 0.5, 400_001) + (math.pi if climb else 0.0)
    x = advance * (phi - (math.pi if climb else 0.0)) + diameter / 2 * np.sin(phi)
    gap = diameter / 2 - side * diameter / 2 * np.cos(phi)
    half = np.argmin(np.abs(x - feed / 2))
    return float(gap[half])


@pytest.mark.parametrize("climb", [False, True])
@pytest.mark.parametrize(("feed", "flutes", "diameter"), [(2e-4, 2, 6e-3), (5e-4, 4, 12e-3), (1e-4, 1, 3e-3)])
def test_marks_on_a_wall_against_drawn_tooth_paths(climb, feed, flutes, diameter):
    got = surface.wall_mark_height(
        feed_per_tooth=feed, flutes=flutes, diameter=diameter, climb=climb, marks_per_turn=flutes
    )
    assert got == pytest.approx(drawn_marks(feed, flutes, diameter, climb), rel=0.02)


def test_climb_marks_are_the_higher_ones():
    """2 R = 6 mm and 0.4 mm a turn: 3 mm -+ 0.127 mm."""
    assert marks(climb=False) == pytest.approx(0.04e-6 / (8 * (3e-3 + 0.4e-3 / math.pi)))
    assert marks(climb=True) == pytest.approx(0.04e-6 / (8 * (3e-3 - 0.4e-3 / math.pi)))
    assert marks(climb=True) > 1.08 * marks(climb=False)


@given(flutes=st.integers(2, 8))
def test_run_out_leaves_one_mark_a_turn(flutes):
    """The spacing grows by the number of teeth and the height by its square."""
    exact = marks(flutes=flutes, marks_per_turn=flutes)
    assert marks(flutes=flutes, marks_per_turn=1) == pytest.approx(flutes**2 * exact)


@pytest.mark.parametrize(
    "wrong", [{"feed_per_tooth": -1e-4}, {"diameter": 0.0}, {"flutes": 0}, {"marks_per_turn": 0}]
)
def test_no_marks_where_there_is_no_cutter(wrong):
    assert math.isnan(marks(**wrong))


def test_a_feed_that_outruns_the_tooth_leaves_no_marks_to_speak_of():
    assert math.isnan(marks(feed_per_tooth=6e-3, climb=True))


@given(radius=st.floats(1e-4, 5e-3), share=st.floats(0.001, 2.0))
def test_marks_on_a_floor_are_cusps_between_circles(radius, share):
    spacing = share * radius
    height = surface.floor_mark_height(mark_spacing=spacing, corner_radius=radius)
    assert (radius - height) ** 2 + (spacing / 2) ** 2 == pytest.approx(radius**2)
    assert height >= spacing**2 / (8 * radius) * (1 - 1e-12)


def test_fine_marks_on_a_floor_keep_their_digits():
    assert surface.floor_mark_height(mark_spacing=1e-9, corner_radius=1e-3) == pytest.approx(1.25e-16)
    assert surface.floor_mark_height(mark_spacing=1e-4, corner_radius=5e-4) == pytest.approx(
        2.5e-6, rel=0.003
    )


def test_corners_that_do_not_meet_leave_no_cusp():
    assert math.isnan(surface.floor_mark_height(mark_spacing=2.1e-3, corner_radius=1e-3))
    assert surface.floor_mark_height(mark_spacing=2e-3, corner_radius=1e-3) == pytest.approx(1e-3)
    assert math.isnan(surface.floor_mark_height(mark_spacing=1e-4, corner_radius=0.0))


def test_sharp_corners_leave_ridges():
    """Side edge 30 degrees, end edge 45 degrees, 0.1 mm: h tan 30 + h cot 45 = 0.1."""
    height = surface.sharp_mark_height(
        mark_spacing=1e-4, side_edge_angle=math.radians(30), end_edge_angle=math.radians(45)
    )
    assert height * (math.tan(math.radians(30)) + 1) == pytest.approx(1e-4)
    steep = surface.sharp_mark_height(mark_spacing=1e-4, side_edge_angle=0.0, end_edge_angle=0.1)
    assert steep == pytest.approx(1e-4 * math.tan(0.1))
    assert math.isnan(surface.sharp_mark_height(mark_spacing=1e-4, side_edge_angle=0.1, end_edge_angle=0.0))


def test_a_ball_of_six_millimetres_stepped_by_half_of_one():
    height = surface.scallop_height(pass_spacing=0.5e-3, diameter=6e-3)
    assert height * 1e3 == pytest.approx(3 - math.sqrt(9 - 0.0625))
    assert height * 1e3 == pytest.approx(0.5**2 / 24, rel=0.002)


@given(diameter=st.floats(1e-3, 2e-2), share=st.floats(0.01, 0.9), slope=st.floats(0.0, 1.2))
def test_a_step_for_a_scallop_and_back(diameter, share, slope):
    height = surface.scallop_height(
        pass_spacing=share * diameter * math.cos(slope), diameter=diameter, slope=slope
    )
    assert height == pytest.approx(surface.scallop_height(pass_spacing=share * diameter, diameter=diameter))
    step = surface.pass_spacing_for_scallop(scallop=height, diameter=diameter, slope=slope)
    assert step == pytest.approx(share * diameter * math.cos(slope))


def test_scallops_end_where_passes_do_not_meet():
    assert math.isnan(surface.scallop_height(pass_spacing=6.1e-3, diameter=6e-3))
    assert math.isnan(surface.scallop_height(pass_spacing=4e-3, diameter=6e-3, slope=1.2))
    assert math.isnan(surface.pass_spacing_for_scallop(scallop=3.1e-3, diameter=6e-3))
    assert math.isnan(surface.pass_spacing_for_scallop(scallop=-1e-6, diameter=6e-3))
    assert surface.pass_spacing_for_scallop(scallop=3e-3, diameter=6e-3) == pytest.approx(6e-3)


def test_mean_roughness_of_drawn_marks():
    x = np.linspace(-1, 1, 200_001)
    drawn = x**2
    wanted = np.abs(drawn - drawn.mean()).mean()
    assert surface.mean_roughness_of_arcs(mark_height=1.0) == pytest.approx(wanted, rel=1e-4)
    assert math.isnan(surface.mean_roughness_of_arcs(mark_height=-1.0))


def test_ra_of_corner_marks_is_about_a_thirty_second():
    """f^2 / (18 sqrt 3 RE), which handbooks round to f^2 / (32 RE)."""
    height = surface.floor_mark_height(mark_spacing=1e-4, corner_radius=1e-3)
    roughness = surface.mean_roughness_of_arcs(mark_height=height)
    assert roughness == pytest.approx(1e-8 / (18 * math.sqrt(3) * 1e-3), rel=1e-3)
    assert roughness == pytest.approx(1e-8 / 32e-3, rel=0.03)


def error(cut: Cut, **changed: float) -> np.ndarray:
    return surface.wall_error(**cut.inputs() | changed, stiffness=2e6, heights=HEIGHTS)


def test_the_wall_is_shaped_by_the_force_as_each_point_is_passed():
    """Against quadrature along each edge, a hair on the inner side of the moment an edge passes the wall."""
    for cut in random_cuts(60, seed=11, helix=(8.0, 45.0)):
        got = error(cut)
        entry, leave = cut.arc
        wall = leave - 1e-9 if cut.climb else entry + 1e-9
        sign = 1 if cut.climb else -1
        lag = cut.twist * cut.depth
        wanted = [sign * cut.edges(wall + lag * height)[1] / 2e6 for height in HEIGHTS]
        scale = np.abs(wanted).max()
        np.testing.assert_allclose(got, wanted, atol=2e-3 * scale, rtol=2e-3)


def test_a_left_hand_helix_shapes_the_wall_from_the_top():
    cut = Cut(helix=30.0, depth=4.0)
    turned = Cut(helix=-30.0, depth=4.0)
    np.testing.assert_allclose(error(turned), error(cut)[::-1], rtol=1e-9)
    assert np.ptp(error(cut)) > 0.1 * np.abs(error(cut)).max()


def test_climb_leaves_stock_and_conventional_takes_too_much():
    """Pushed off the wall climbing; pulled into it conventionally, where several teeth or a wide cut pull."""
    for width in (1.0, 3.0, 5.5):
        climb = Cut(width=width, depth=6.0, flutes=4, helix=40.0)
        assert (error(climb) > 0).all()
    pulled = Cut(width=3.0, depth=6.0, flutes=4, helix=40.0, climb=False)
    assert error(pulled).min() < 0
    assert abs(error(pulled).min()) > abs(error(pulled).max())


@pytest.mark.parametrize("forces", [Linear(), Power()], ids=["linear-edge", "kienzle"])
@pytest.mark.parametrize("climb", [True, False])
def test_a_straight_flute_makes_the_whole_height_at_once(forces, climb):
    """With one tooth in the stock only its rubbing is left at the wall, where the chip has no thickness."""
    cut = Cut(forces=forces, helix=0.0, climb=climb, flutes=1)
    rubbing = float(forces(np.array([0.0]))[1][0]) * cut.depth
    np.testing.assert_allclose(error(cut), np.full(9, rubbing / 2e6), rtol=2e-5, atol=1e-9)


def test_a_nearly_straight_flute_joins_the_straight_one_at_its_last_point():
    straight, nearly = error(Cut(helix=0.0, flutes=1)), error(Cut(helix=1e-3, flutes=1))
    assert straight[0] == pytest.approx(nearly[0], rel=1e-3)


@given(factor=st.floats(0.1, 10.0))
def test_twice_as_stiff_is_half_the_error(factor):
    cut = Cut()
    plain = error(cut)
    np.testing.assert_allclose(
        surface.wall_error(**cut.inputs(), stiffness=2e6 * factor, heights=HEIGHTS),
        plain / factor,
        rtol=1e-12,
    )


def test_no_point_of_the_wall_is_off_by_more_than_the_bound():
    for cut in random_cuts(25, seed=5):
        peak = turn.loads(**cut.inputs()).force_y_peak
        bound = surface.wall_error_bound(force_y_peak=peak, stiffness=2e6)
        assert np.abs(error(cut)).max() <= bound * 1.001


def test_many_walls_at_once_are_each_alone():
    climb, stiffness = np.array([True, False]), np.array([[1e6], [2e6], [4e6]])
    inputs = Cut().inputs() | {"climb": climb}
    many = surface.wall_error(**inputs, stiffness=stiffness, heights=HEIGHTS)
    assert many.shape == (3, 2, 9)
    one = surface.wall_error(**inputs | {"climb": False}, stiffness=2e6, heights=HEIGHTS)
    np.testing.assert_allclose(many[1, 1], one, rtol=1e-12)


def test_what_has_no_meaning_is_nan():
    assert np.isnan(error(Cut(), radial_width=7e-3)).all()
    assert np.isnan(surface.wall_error(**Cut().inputs(), stiffness=0.0, heights=HEIGHTS)).all()
    assert math.isnan(surface.wall_error_bound(force_y_peak=10.0, stiffness=0.0))
    assert math.isnan(surface.wall_error_bound(force_y_peak=-10.0, stiffness=1e6))
    assert surface.wall_error_bound(force_y_peak=10.0, stiffness=1e6) == pytest.approx(1e-5)
