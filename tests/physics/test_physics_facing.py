"""Facing: where teeth meet stock wider or narrower than the cutter, and what they make of it."""

import math
from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.milling import Cut, Linear, Power
from support.shapes import LAWS, Shape, ShapedCut, random_shape
from swarfbook.physics import chip, discs, engagement, facing, power, turn
from swarfbook.physics.turn import Loads

RIGHT = math.pi / 2
ratios = st.floats(0.001, 1.0)
offsets = st.floats(-0.9, 0.9)


def row(got: Loads) -> np.ndarray:
    return np.stack([np.asarray(getattr(got, field.name)) for field in fields(got)])


def arc(width: float, offset: float, diameter: float = 50.0) -> tuple[float, float]:
    """Entry and exit [rad] of millimetres."""
    entry, leave = facing.immersion(
        stock_width=width / 1e3, stock_offset=offset / 1e3, diameter=diameter / 1e3
    )
    return float(entry), float(leave)


@given(share=ratios)
def test_a_centred_face_cut_stands_evenly_about_the_feed(share):
    """pi/2 -+ arcsin(width / D)."""
    half = math.asin(share)
    assert arc(50.0 * share, 0.0) == pytest.approx((RIGHT - half, RIGHT + half), rel=1e-9)


@given(share=ratios, offset=offsets)
def test_both_edges_are_measured_from_the_axis(share, offset):
    """A point at immersion phi on the tooth circle lies at y = R cos(phi)."""
    width, middle = 50.0 * share, 25.0 * offset
    entry, leave = arc(width, middle)
    if math.isnan(entry):
        assert middle - width / 2 >= 25.0 * (1 - 1e-9) or middle + width / 2 <= -25.0 * (1 - 1e-9)
        return
    assert 25.0 * math.cos(entry) == pytest.approx(min(middle + width / 2, 25.0), abs=1e-9)
    assert 25.0 * math.cos(leave) == pytest.approx(max(middle - width / 2, -25.0), abs=1e-9)
    assert 0 <= entry < leave <= math.pi


@given(width=st.floats(50.0, 500.0))
def test_stock_wider_than_the_cutter_is_a_slot(width):
    assert arc(width, 0.0) == (0.0, pytest.approx(math.pi))


@given(share=ratios)
def test_stock_that_ends_under_the_cutter_is_a_side_cut(share):
    """Its far edge beyond the cutter: conventional on the side of +y, climb on that of -y."""
    width = 6.0 * share
    far = 100.0
    for climb, sign in ((False, 1.0), (True, -1.0)):
        middle = sign * (3.0 - width + far / 2)
        expected = engagement.immersion(radial_width=width / 1e3, diameter=6e-3, climb=climb)
        assert arc(far, middle, 6.0) == pytest.approx([float(angle) for angle in expected], abs=1e-7)


@pytest.mark.parametrize("offset", [45.0, -45.0, 200.0])
def test_stock_beside_the_cutter_is_not_met(offset):
    assert np.isnan(arc(20.0, offset)).all()


@pytest.mark.parametrize("width", [0.0, -1.0, math.nan])
def test_stock_of_no_width_has_no_meaning(width):
    assert np.isnan(arc(width, 0.0)).all()


def test_a_hair_decides_whether_the_stock_is_met():
    assert np.isnan(arc(10.0, 30.001)).all()
    assert not np.isnan(arc(10.0, 29.99)).any()


@given(share=ratios, offset=offsets)
def test_the_other_side_is_the_mirror_image(share, offset):
    one, other = arc(50.0 * share, 25.0 * offset), arc(50.0 * share, -25.0 * offset)
    if not math.isnan(one[0]):
        assert other == pytest.approx((math.pi - one[1], math.pi - one[0]), abs=1e-7)


@given(entry=st.floats(0.0, 1.5), more=st.floats(0.01, 1.6))
def test_thickest_and_mean_chip_are_those_of_a_fine_walk_along_the_arc(entry, more):
    angles = np.linspace(entry, entry + more, 20_001)
    chips = 0.1 * np.sin(angles)
    shared = {"feed_per_tooth": 1e-4, "entry": entry, "exit": entry + more}
    assert facing.thickest_chip(**shared) * 1e3 == pytest.approx(chips.max(), rel=1e-6)
    mean = np.trapezoid(chips, angles) / more
    assert facing.mean_chip(**shared) * 1e3 == pytest.approx(mean, rel=1e-6)


@given(share=ratios)
def test_the_mean_chip_of_a_centred_face_cut_is_the_printed_one(share):
    """hm = fz (ae/D) / arcsin(ae/D)."""
    entry, leave = arc(50.0 * share, 0.0)
    mean = facing.mean_chip(feed_per_tooth=2e-4, entry=entry, exit=leave)
    assert mean == pytest.approx(2e-4 * share / math.asin(share), rel=1e-9)
    assert facing.thickest_chip(feed_per_tooth=2e-4, entry=entry, exit=leave) == 2e-4


@given(share=ratios, climb=st.booleans())
def test_chips_of_a_side_cut_are_the_plain_ones(share, climb):
    width, feed = 6e-3 * share, 5e-5
    entry, leave = engagement.immersion(radial_width=width, diameter=6e-3, climb=climb)
    plain = {"feed_per_tooth": feed, "radial_width": width, "diameter": 6e-3}
    shared = {"feed_per_tooth": feed, "entry": entry, "exit": leave}
    assert facing.thickest_chip(**shared) == pytest.approx(chip.chip_thickness_max(**plain), rel=1e-6)
    assert facing.mean_chip(**shared) == pytest.approx(chip.chip_thickness_mean(**plain), rel=1e-6)
    got = facing.width_in_cut(entry=entry, exit=leave, diameter=6e-3)
    assert got == pytest.approx(width, rel=1e-6)


@given(share=ratios, offset=offsets)
def test_the_width_in_cut_is_what_of_the_stock_the_cutter_covers(share, offset):
    width, middle = 50.0 * share, 25.0 * offset
    entry, leave = arc(width, middle)
    if not math.isnan(entry):
        covered = min(middle + width / 2, 25.0) - max(middle - width / 2, -25.0)
        got = facing.width_in_cut(entry=entry, exit=leave, diameter=50e-3)
        assert got * 1e3 == pytest.approx(covered, abs=1e-9)


@pytest.mark.parametrize(
    ("entry", "leave"), [(1.0, 0.9), (-0.1, 1.0), (1.0, 3.2), (math.nan, 1.0), (1.0, math.nan)]
)
def test_an_arc_that_cannot_be_is_nan(entry, leave):
    shared = {"entry": entry, "exit": leave}
    assert math.isnan(facing.thickest_chip(feed_per_tooth=1e-4, **shared))
    assert math.isnan(facing.mean_chip(feed_per_tooth=1e-4, **shared))
    assert math.isnan(facing.width_in_cut(diameter=6e-3, **shared))


def test_an_arc_of_one_angle_has_a_thickest_chip_and_no_mean():
    shared = {"feed_per_tooth": 1e-4, "entry": 0.5, "exit": 0.5}
    assert facing.thickest_chip(**shared) == pytest.approx(1e-4 * math.sin(0.5))
    assert math.isnan(facing.mean_chip(**shared))


@pytest.mark.parametrize(
    ("entry", "leave", "widest"),
    [
        (0.2, 1.0, math.sin(1.0)),
        (0.2, 2.0, 1.0),
        (2.0, 3.0, math.sin(2.0)),
        (RIGHT, 2.0, 1.0),
        (0.0, RIGHT, 1.0),
    ],
)
def test_the_widest_sine(entry, leave, widest):
    assert facing.widest_sine(entry=entry, exit=leave) == pytest.approx(widest, rel=1e-12)


settings = st.fixed_dictionaries(
    {
        "flutes": st.integers(1, 4),
        "helix": st.floats(0.0, 45.0),
        "depth": st.floats(0.3, 8.0),
        "feed": st.floats(0.01, 0.15),
    }
)


def arc_loads(cut: Cut, entry: float, leave: float) -> np.ndarray:
    inputs = cut.inputs()
    kept = {name: inputs[name] for name in inputs if name not in ("radial_width", "climb")}
    return row(turn.arc_loads(**kept, entry=entry, exit=leave))


@given(setting=settings, law=st.sampled_from(LAWS), width=st.floats(0.1, 6.0), climb=st.booleans())
def test_loads_over_the_arc_of_a_side_cut_are_the_side_cuts(setting, law, width, climb):
    cut = Cut(forces=law, width=width, climb=climb, **setting)
    assert arc_loads(cut, *cut.arc) == pytest.approx(row(turn.loads(**cut.inputs())), rel=1e-6)


def edges(cut: Cut, entry: float, leave: float, angles: int) -> np.ndarray:
    """Fx, Fy, lift and torque over a pitch of the teeth, by a sum over discs of any arc."""

    class Faced(Cut):
        arc = (entry, leave)

    faced = Faced(**cut.__dict__)
    return faced.discs(faced.while_cutting(angles), 1500)


@pytest.mark.parametrize(("entry", "leave"), [(0.6, 2.4), (1.2, 1.9), (0.3, 1.1), (2.0, 2.9)])
@pytest.mark.parametrize("law", [Linear(), Power()])
@pytest.mark.parametrize("flutes", [1, 3])
def test_loads_over_any_arc_agree_with_a_sum_over_discs(entry, leave, law, flutes):
    cut = Cut(forces=law, flutes=flutes, depth=2.5, helix=25.0)
    x, y, lift, torque = edges(cut, entry, leave, 800)
    expected = [np.abs(torque).max() / 1e3, np.hypot(x, y).max()] + [np.abs(f).max() for f in (x, y, lift)]
    assert arc_loads(cut, entry, leave)[1:] == pytest.approx(expected, rel=5e-3)


@pytest.mark.parametrize(("entry", "leave"), [(1.0, 0.5), (-0.1, 1.0), (1.0, 3.2), (math.nan, 1.0)])
def test_loads_over_an_arc_that_cannot_be_are_nan(entry, leave):
    assert np.isnan(arc_loads(Cut(), entry, leave)).all()


def faced(cut: ShapedCut) -> np.ndarray:
    return row(discs.facing_loads(**cut.inputs()))


@given(setting=settings, law=st.sampled_from(LAWS), share=st.floats(0.02, 1.5), offset=offsets)
def test_a_square_cutter_faces_as_over_its_arc(setting, law, share, offset):
    middle, half = 3.0 * offset, 3.0 * share
    cut = ShapedCut(forces=law, band=(middle - half, middle + half), **setting)
    entry, leave = arc(2 * half, middle, 6.0)
    if math.isnan(entry):
        assert (faced(cut) == 0).all()
    else:
        plain = Cut(forces=law, **setting)
        assert faced(cut) == pytest.approx(arc_loads(plain, entry, leave), rel=2e-3)


BANDS = [(-2.0, 2.0), (-0.5, 1.5), (0.2, 2.2), (-2.6, -1.2), (-20.0, 20.0)]


@pytest.mark.parametrize("band", BANDS)
@pytest.mark.parametrize("kind", ["ball", "corner-radius", "chamfer", "tapered", "compression"])
def test_shaped_cutters_face_as_a_direct_sum_has_it(kind, band):
    rng = np.random.default_rng(KIND_SEEDS[kind])
    shape = replace(random_shape(kind, rng), diameter=6.0, tip=0.6)
    size = {"corner-radius": 0.8, "compression": 1.0}.get(kind, shape.size)
    cut = ShapedCut(
        shape=replace(shape, size=size),
        forces=LAWS[BANDS.index(band) % 4],
        flutes=1 + BANDS.index(band) % 3,
        helix=20.0,
        depth=2.2,
        band=band,
    )
    expected = np.array(cut.loads(angles=600, discs=1500))
    allowed = 0.01 * expected
    allowed[3:] = np.maximum(allowed[3:], 0.004 * expected[2])
    assert (np.abs(faced(cut) - expected) <= allowed).all(), faced(cut) / expected


KIND_SEEDS = {"ball": 1, "corner-radius": 2, "chamfer": 3, "tapered": 4, "compression": 5}


@given(setting=settings, law=st.sampled_from(LAWS), offset=offsets)
def test_facing_on_the_other_side_takes_the_same_power(setting, law, offset):
    one = ShapedCut(
        shape=Shape("corner-radius", size=1.0), forces=law, band=(3 * offset - 1, 3 * offset + 1), **setting
    )
    other = replace(one, band=(-3 * offset - 1, -3 * offset + 1))
    assert faced(one)[0] == pytest.approx(faced(other)[0], rel=1e-6, abs=1e-12)


@given(setting=settings, kind=st.sampled_from(["ball", "corner-radius", "tapered"]), offset=offsets)
def test_what_facing_removes_is_its_section_times_the_feed(setting, kind, offset):
    cut = ShapedCut(
        shape=Shape(kind, size={"tapered": 4.0}.get(kind, 1.0)),
        forces=Linear(kte=0.0, kre=0.0, kae=0.0),
        band=(3 * offset - 1.5, 3 * offset + 1.5),
        **setting,
    )
    inputs = cut.inputs()
    names = ("cutter", "axial_depth", "stock_width", "stock_offset", "feed_per_tooth")
    chips = discs.facing_chips(**{name: inputs[name] for name in names})
    speed = 200.0
    watts = power.cutting_power(torque=faced(cut)[0], spindle_speed=speed)
    removed = chips.area * cut.feed / 1e3 * cut.flutes * speed
    assert watts == pytest.approx(631e6 * removed, rel=5e-3, abs=1e-9)


@given(share=ratios, offset=offsets)
def test_chips_of_a_square_cutter_that_faces(share, offset):
    width, middle = 6.0 * share, 3.0 * offset
    cut = ShapedCut(band=(middle - width / 2, middle + width / 2), depth=1.5)
    inputs = cut.inputs()
    names = ("cutter", "axial_depth", "stock_width", "stock_offset", "feed_per_tooth")
    got = discs.facing_chips(**{name: inputs[name] for name in names})
    entry, leave = arc(width, middle, 6.0)
    if math.isnan(entry):
        assert got.area == 0
        return
    shared = {"feed_per_tooth": 5e-5, "entry": entry, "exit": leave}
    assert got.engagement_angle == pytest.approx(leave - entry, abs=1e-9)
    assert got.chip_thickness_max == pytest.approx(facing.thickest_chip(**shared), rel=1e-9)
    assert got.chip_thickness_mean == pytest.approx(facing.mean_chip(**shared), rel=1e-6)
    covered = facing.width_in_cut(entry=entry, exit=leave, diameter=6e-3)
    assert got.area == pytest.approx(1.5e-3 * covered, rel=1e-6)
