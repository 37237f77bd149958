"""Outlines of cutters: sizes as drawn, what becomes of them at their limits, and arrays of them."""

import math
from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.shapes import Shape, random_shape
from swarfbook.physics import shapes
from swarfbook.physics.shapes import Ball, Chamfer, Compression, CornerRadius, Profile, Square, Tapered

RIGHT = math.pi / 2
ALL: dict[str, Profile] = {
    "square": Square(6e-3),
    "compression": Compression(6e-3, 2e-3),
    "ball": Ball(6e-3),
    "corner-radius": CornerRadius(6e-3, 0.5e-3),
    "chamfer": Chamfer(6e-3, math.radians(90), 0.4e-3),
    "tapered": Tapered(6e-3, math.radians(3)),
}
KINDS = list(ALL)
each_kind = pytest.mark.parametrize("kind", KINDS)


def draw(kind: str, seed: int) -> Shape:
    return random_shape(kind, np.random.default_rng(seed))


@each_kind
@given(seed=st.integers(0, 10_000), share=st.floats(0.001, 2.0))
def test_radius_and_edge_angle_are_as_drawn(kind, seed, share):
    """The other drawing works with the angle of the arc, in millimetres."""
    shape = draw(kind, seed)
    height = share * shape.diameter
    radius, angle = shape.edge(np.array([height]))
    profile = shape.profile()
    assert profile.radius(height=height / 1e3) == pytest.approx(radius[0] / 1e3, rel=1e-9)
    assert profile.edge_angle(height=height / 1e3) == pytest.approx(angle[0], rel=1e-7)


@each_kind
@given(seed=st.integers(0, 10_000), share=st.floats(0.01, 0.9))
def test_the_edge_angle_is_the_slope_of_the_outline(kind, seed, share):
    """tan(kappa) = dz/dr, by a difference over a little height on one side of the bend."""
    profile = draw(kind, seed).profile()
    height = share * float(profile.diameter)
    step = 1e-6 * float(profile.diameter)
    if abs(height - float(profile.bend())) < 2 * step:
        return
    run = float(profile.radius(height=height + step)) - float(profile.radius(height=height - step))
    angle = float(profile.edge_angle(height=height))
    assert math.atan2(2 * step, run) == pytest.approx(angle, abs=2e-5)


@each_kind
@given(seed=st.integers(0, 10_000), shares=st.tuples(st.floats(0, 2.0), st.floats(0, 2.0)))
def test_no_outline_narrows_upwards(kind, seed, shares):
    profile = draw(kind, seed).profile()
    low, high = (share * float(profile.diameter) for share in sorted(shares))
    assert profile.radius(height=low) <= profile.radius(height=high) * (1 + 1e-12)
    assert profile.edge_angle(height=low) <= profile.edge_angle(height=high) + 1e-12


@each_kind
@given(seed=st.integers(0, 10_000), share=st.floats(0.01, 1.2))
def test_height_and_radius_undo_each_other(kind, seed, share):
    """The lowest height that stands so far out: a flat bottom and a cylinder have it at their lower end."""
    profile = draw(kind, seed).profile()
    radius = share * float(profile.diameter) / 2
    height = float(profile.height(radius=radius))
    if math.isinf(height):
        assert share > 1
        assert kind != "tapered"
        return
    reached = float(profile.radius(height=height))
    assert reached >= radius * (1 - 1e-9)
    if height > 0:
        assert reached == pytest.approx(radius, rel=1e-6)
        assert float(profile.radius(height=0.999 * height)) < radius


@each_kind
def test_above_the_bend_stands_a_cylinder(kind):
    profile = ALL[kind]
    bend = float(profile.bend())
    if not profile.bends:
        assert math.isinf(bend)
        return
    for height in (bend, 1.5 * bend, 7e-3):
        assert profile.radius(height=height) == pytest.approx(3e-3, rel=1e-12)
        assert profile.edge_angle(height=height) == RIGHT
    assert {"ball": 3e-3, "corner-radius": 0.5e-3, "chamfer": 2.8e-3, "compression": 2e-3}[
        kind
    ] == pytest.approx(bend)


def test_the_bottom_of_each():
    assert ALL["ball"].radius(height=0.0) == 0.0
    assert ALL["ball"].edge_angle(height=0.0) == 0.0
    assert ALL["corner-radius"].radius(height=0.0) == pytest.approx(2.5e-3)
    assert ALL["corner-radius"].edge_angle(height=0.0) == 0.0
    assert ALL["chamfer"].radius(height=0.0) == pytest.approx(0.2e-3)
    assert ALL["chamfer"].edge_angle(height=0.0) == pytest.approx(RIGHT / 2)
    assert ALL["tapered"].radius(height=0.0) == pytest.approx(3e-3)
    assert ALL["tapered"].edge_angle(height=0.0) == pytest.approx(math.radians(87))


def test_only_a_compression_cutter_turns_back():
    assert [kind for kind, profile in ALL.items() if profile.turns_back] == ["compression"]


def effective(profile: Profile, depth: float) -> float:
    return float(shapes.effective_diameter(cutter=profile, axial_depth=depth))


@given(depth=st.floats(1e-5, 3e-3))
def test_effective_diameter_of_a_ball(depth):
    """2 sqrt(ap (D - ap))."""
    assert effective(ALL["ball"], depth) == pytest.approx(2 * math.sqrt(depth * (6e-3 - depth)), rel=1e-9)


@given(depth=st.floats(1e-5, 3e-3))
def test_the_other_form_of_a_balls_diameter_agrees(depth):
    """D sin(arccos(1 - 2 ap/D)), what the form for tilted balls comes to upright."""
    printed = 6e-3 * math.sin(math.acos(1 - 2 * depth / 6e-3))
    assert effective(ALL["ball"], depth) == pytest.approx(printed, rel=1e-6)


@given(depth=st.floats(1e-6, 0.5e-3))
def test_effective_diameter_of_a_rounded_corner(depth):
    """D - 2 RE + 2 sqrt(RE^2 - (RE - ap)^2)."""
    corner = 0.5e-3
    printed = 6e-3 - 2 * corner + 2 * math.sqrt(corner**2 - (corner - depth) ** 2)
    assert effective(ALL["corner-radius"], depth) == pytest.approx(printed, rel=1e-9)


@given(depth=st.floats(0.0, 2.8e-3))
def test_effective_diameter_of_a_point_and_of_a_taper(depth):
    assert effective(ALL["chamfer"], depth) == pytest.approx(0.4e-3 + 2 * depth, rel=1e-9)
    widened = 6e-3 + 2 * depth * math.tan(math.radians(3))
    assert effective(ALL["tapered"], depth) == pytest.approx(widened, rel=1e-9)


@given(depth=st.floats(0.0, 20e-3))
def test_effective_diameter_of_a_cylinder(depth):
    assert effective(ALL["square"], depth) == 6e-3
    assert effective(ALL["compression"], depth) == 6e-3


@each_kind
def test_deep_down_the_effective_diameter_is_the_cutters(kind):
    profile = ALL[kind]
    if kind != "tapered":
        assert effective(profile, 4e-3) == pytest.approx(6e-3, rel=1e-12)


@given(depth=st.floats(1e-5, 3e-3))
def test_the_mean_slant_of_a_ball_is_known(depth):
    """Mean of sin(kappa) along the edge: (ap/R) / kappa_max."""
    angles = np.linspace(0, math.acos(1 - depth / 3e-3), 4001)
    heights = 3e-3 * (1 - np.cos(angles))
    slant = np.sin(ALL["ball"].edge_angle(height=heights))
    assert np.trapezoid(slant, angles) / angles[-1] == pytest.approx(depth / 3e-3 / angles[-1], rel=1e-6)


@given(depth=st.floats(1e-5, 10e-3), speed=st.floats(1.0, 500.0))
@each_kind
def test_cutting_speed_goes_by_the_effective_diameter(kind, depth, speed):
    got = shapes.effective_cutting_speed(cutter=ALL[kind], axial_depth=depth, spindle_speed=speed)
    assert got == pytest.approx(math.pi * effective(ALL[kind], depth) * speed, rel=1e-12)


def test_at_the_tip_of_a_ball_nothing_moves():
    speed = shapes.effective_cutting_speed(cutter=ALL["ball"], axial_depth=0.0, spindle_speed=300.0)
    assert speed == 0.0
    assert shapes.edge_angle_at_depth(cutter=ALL["ball"], axial_depth=0.0) == 0.0


def test_edge_angle_at_the_depth_used():
    at = shapes.edge_angle_at_depth(cutter=ALL["ball"], axial_depth=1.5e-3)
    assert at == pytest.approx(math.acos(0.5))
    assert shapes.edge_angle_at_depth(cutter=ALL["chamfer"], axial_depth=1e-3) == pytest.approx(RIGHT / 2)
    assert shapes.edge_angle_at_depth(cutter=ALL["square"], axial_depth=1e-3) == RIGHT


@pytest.mark.parametrize("height", [0.0, 1e-9, 1e-3, 8e-3])
def test_a_corner_or_taper_of_nothing_is_a_square(height):
    for profile in (CornerRadius(6e-3, 0.0), Tapered(6e-3, 0.0), Compression(6e-3, 0.0)):
        assert profile.radius(height=height) == 3e-3
        assert profile.edge_angle(height=height) == RIGHT
    for profile in (CornerRadius(6e-3, 1e-12), Tapered(6e-3, 1e-12)):
        assert profile.radius(height=height) == pytest.approx(3e-3, abs=2e-12)


def test_a_corner_of_half_the_diameter_is_a_ball():
    heights = np.linspace(0, 5e-3, 30)
    corner, ball = CornerRadius(6e-3, 3e-3), Ball(6e-3)
    np.testing.assert_allclose(corner.radius(height=heights), ball.radius(height=heights), rtol=1e-12)
    np.testing.assert_allclose(corner.edge_angle(height=heights), ball.edge_angle(height=heights), rtol=1e-12)


def test_a_cone_of_two_tapers_is_a_tapered_cutter():
    """A chamfer cutter of included angle 2 taper and the tip's diameter, as high as its cone goes."""
    taper = math.radians(8)
    cone, tapered = Chamfer(6e-3, 2 * taper, 4e-3), Tapered(4e-3, taper)
    heights = np.linspace(0, 0.99 * float(cone.bend()), 20)
    np.testing.assert_allclose(cone.radius(height=heights), tapered.radius(height=heights), rtol=1e-12)
    np.testing.assert_allclose(
        cone.edge_angle(height=heights), tapered.edge_angle(height=heights), rtol=1e-12
    )


IMPOSSIBLE = [
    Square(0.0),
    Square(-6e-3),
    Square(math.nan),
    Compression(6e-3, -1e-3),
    Compression(6e-3, math.nan),
    Ball(-1e-3),
    CornerRadius(6e-3, 3.1e-3),
    CornerRadius(6e-3, -0.1e-3),
    Chamfer(6e-3, 0.0, 0.0),
    Chamfer(6e-3, math.pi, 0.0),
    Chamfer(6e-3, 1.5, 7e-3),
    Chamfer(6e-3, 1.5, -1e-3),
    Tapered(6e-3, -0.1),
    Tapered(6e-3, RIGHT),
]


@pytest.mark.parametrize("profile", IMPOSSIBLE, ids=repr)
def test_sizes_that_cannot_be_give_nan(profile):
    radius = profile.radius(height=1e-3)
    assert math.isnan(float(radius)) or math.isnan(float(profile.bend()))
    if not isinstance(profile, Compression):
        assert math.isnan(float(radius))
        assert math.isnan(float(shapes.effective_diameter(cutter=profile, axial_depth=1e-3)))


@each_kind
@pytest.mark.parametrize("shape", [(), (1,), (3,), (2, 3), (0,)])
def test_sizes_may_be_arrays(kind, shape):
    profile = ALL[kind].each(lambda size: np.full(shape, size))
    for height in (0.3e-3, np.full((4, *[1] * len(shape)), 0.3e-3)):
        full = np.broadcast_shapes(np.shape(height), shape)
        for name in ("radius", "edge_angle"):
            got = getattr(profile, name)(height=height)
            plain = getattr(ALL[kind], name)(height=0.3e-3)
            assert np.shape(got) == full
            np.testing.assert_allclose(got, np.full(full, plain), rtol=1e-12)
    found = profile.height(radius=np.full(shape, 1e-3))
    assert np.shape(found) == shape
    assert np.shape(profile.bend()) == shape


@each_kind
def test_one_bad_size_spoils_no_neighbour(kind):
    for name in (field.name for field in fields(ALL[kind])):
        holed = replace(ALL[kind], **{name: np.array([math.nan, getattr(ALL[kind], name)])})
        radius, bend = np.ravel(holed.radius(height=1e-3)), np.ravel(holed.bend())
        assert math.isnan(radius[0]) or math.isnan(bend[0]), name
        assert radius[-1] == pytest.approx(float(ALL[kind].radius(height=1e-3)), rel=1e-12)
        assert bend[-1] == pytest.approx(float(ALL[kind].bend()))


def test_sizes_come_in_the_order_of_their_fields():
    assert list(ALL["chamfer"].sizes()) == [6e-3, math.radians(90), 0.4e-3]
    doubled = ALL["chamfer"].each(lambda size: 2 * size)
    assert list(doubled.sizes()) == [12e-3, math.radians(180), 0.8e-3]
    assert isinstance(doubled, Chamfer)
