"""Chip room: volumes against each other, and the estimate's own limits."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from swarfbook.physics import clearing, kinematics

SIX = {"diameter": 6e-3, "core_diameter": 3.6e-3, "flutes": 2, "flute_space_share": 0.7}


@given(depth=st.floats(1e-4, 1e-2), width=st.floats(1e-4, 1e-2), feed=st.floats(1e-6, 1e-3))
def test_a_turns_chips_are_a_turns_removal(depth, width, feed):
    one = clearing.chip_volume(axial_depth=depth, radial_width=width, feed_per_tooth=feed)
    rate = kinematics.feed_rate(feed_per_tooth=feed, flutes=3, spindle_speed=300.0)
    removed = kinematics.material_removal_rate(axial_depth=depth, radial_width=width, feed_rate=rate)
    assert one * 3 * 300.0 == pytest.approx(removed)


def test_chips_swell():
    assert clearing.loose_volume(chip_volume=2e-9, chip_volume_ratio=6.0) == pytest.approx(12e-9)
    assert clearing.loose_volume(chip_volume=2e-9, chip_volume_ratio=1.0) == pytest.approx(2e-9)
    assert math.isnan(clearing.loose_volume(chip_volume=2e-9, chip_volume_ratio=0.5))


def test_flutes_share_the_ring_round_the_core():
    """pi/4 (36 - 12.96) = 18.096 mm^2; two flutes, 70 % empty: 6.333 mm^2 each."""
    assert clearing.flute_area(**SIX) * 1e6 == pytest.approx(6.3335, abs=1e-3)
    solid = clearing.flute_area(**SIX | {"core_diameter": 0.0, "flutes": 1, "flute_space_share": 1.0})
    assert solid == pytest.approx(math.pi / 4 * 36e-6)
    assert clearing.FLUTE_SHARE.covers(0.7)


@given(flutes=st.integers(1, 6))
def test_more_flutes_hold_less_each(flutes):
    assert clearing.flute_area(**SIX | {"flutes": flutes}) * flutes == pytest.approx(
        2 * clearing.flute_area(**SIX)
    )


@given(depth=st.floats(1e-4, 1e-2), feed=st.floats(1e-6, 1e-3), ratio=st.floats(1.0, 90.0))
def test_filling_is_loose_volume_over_flute_volume(depth, feed, ratio):
    area = float(clearing.flute_area(**SIX))
    one = clearing.chip_volume(axial_depth=depth, radial_width=6e-3, feed_per_tooth=feed)
    loose = clearing.loose_volume(chip_volume=one, chip_volume_ratio=ratio)
    share = clearing.flute_filling(
        feed_per_tooth=feed, radial_width=6e-3, chip_volume_ratio=ratio, flute_area=area
    )
    assert share == pytest.approx(loose / (area * depth))


@given(width=st.floats(1e-4, 6e-3), ratio=st.floats(1.0, 90.0))
def test_at_the_feed_that_fills_it_the_flute_is_full(width, ratio):
    feed = clearing.feed_to_fill(radial_width=width, chip_volume_ratio=ratio, flute_area=6e-6)
    share = clearing.flute_filling(
        feed_per_tooth=feed, radial_width=width, chip_volume_ratio=ratio, flute_area=6e-6
    )
    assert share == pytest.approx(1.0)


def test_a_router_slot_in_short_chips_is_far_from_full():
    share = clearing.flute_filling(
        feed_per_tooth=5e-5, radial_width=6e-3, chip_volume_ratio=8.0, flute_area=clearing.flute_area(**SIX)
    )
    assert 0.3 < share < 0.45


@pytest.mark.parametrize(
    "value",
    [
        clearing.chip_volume(axial_depth=-1.0, radial_width=1.0, feed_per_tooth=1.0),
        clearing.chip_volume(axial_depth=1.0, radial_width=-1.0, feed_per_tooth=1.0),
        clearing.chip_volume(axial_depth=1.0, radial_width=1.0, feed_per_tooth=-1.0),
        clearing.loose_volume(chip_volume=-1.0, chip_volume_ratio=3.0),
        clearing.flute_area(**SIX | {"core_diameter": 6e-3}),
        clearing.flute_area(**SIX | {"core_diameter": -1e-3}),
        clearing.flute_area(**SIX | {"flutes": 0}),
        clearing.flute_area(**SIX | {"flute_space_share": -0.1}),
        clearing.flute_filling(feed_per_tooth=1e-5, radial_width=1e-3, chip_volume_ratio=6.0, flute_area=0.0),
        clearing.feed_to_fill(radial_width=0.0, chip_volume_ratio=6.0, flute_area=1e-6),
        clearing.feed_to_fill(radial_width=1e-3, chip_volume_ratio=6.0, flute_area=-1e-6),
    ],
)
def test_what_has_no_meaning_is_nan(value):
    assert math.isnan(value)
