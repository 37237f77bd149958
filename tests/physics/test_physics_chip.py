"""Chip thickness, thinning, the rubbing floor and run-out."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from swarfbook.physics import chip, engagement, runout
from swarfbook.physics.validity import CIRCULAR_PATH

ratios = st.floats(1e-4, 1.0)
feeds = st.floats(1e-6, 1e-3)
FEED, DIAMETER = 0.04e-3, 8e-3


@given(share=ratios)
def test_the_thickest_chip_is_the_highest_sine_of_the_arc(share):
    entry, leave = engagement.immersion(radial_width=share * DIAMETER, diameter=DIAMETER, climb=False)
    highest = 1.0 if leave > math.pi / 2 else math.sin(leave)
    thickest = chip.chip_thickness_max(feed_per_tooth=FEED, radial_width=share * DIAMETER, diameter=DIAMETER)
    assert thickest == pytest.approx(FEED * highest, rel=1e-9)
    assert entry == 0.0


@given(share=ratios, climb=st.booleans())
def test_the_mean_chip_is_the_mean_of_the_sine_over_the_arc(share, climb):
    entry, leave = engagement.immersion(radial_width=share * DIAMETER, diameter=DIAMETER, climb=climb)
    mean = quad(math.sin, entry, leave)[0] / (leave - entry)
    got = chip.chip_thickness_mean(feed_per_tooth=FEED, radial_width=share * DIAMETER, diameter=DIAMETER)
    assert got == pytest.approx(FEED * mean, rel=1e-8)


def test_at_half_immersion_the_two_branches_meet():
    widths = np.array([0.4999999999, 0.5, 0.5000000001]) * DIAMETER
    thickest = chip.chip_thickness_max(feed_per_tooth=FEED, radial_width=widths, diameter=DIAMETER)
    assert thickest == pytest.approx([FEED] * 3, rel=1e-12)


def test_past_half_immersion_the_chip_no_longer_grows():
    widths = np.array([0.5, 0.502, 0.51, 0.6, 0.8, 1.0]) * DIAMETER
    thickest = chip.chip_thickness_max(feed_per_tooth=FEED, radial_width=widths, diameter=DIAMETER)
    assert (thickest == FEED).all()


def test_a_slot_has_two_over_pi_of_the_feed_as_its_mean():
    mean = chip.chip_thickness_mean(feed_per_tooth=FEED, radial_width=DIAMETER, diameter=DIAMETER)
    assert mean == pytest.approx(2 / math.pi * FEED, rel=1e-14)


@given(share=ratios, feed=feeds)
def test_mean_below_thickest_below_feed(share, feed):
    where = {"radial_width": share * DIAMETER, "diameter": DIAMETER}
    mean = chip.chip_thickness_mean(feed_per_tooth=feed, **where)
    thickest = chip.chip_thickness_max(feed_per_tooth=feed, **where)
    assert 0 < mean < thickest <= feed


@given(share=ratios)
def test_thinning_never_thickens(share):
    factor = chip.radial_thinning_factor(radial_width=share * DIAMETER, diameter=DIAMETER)
    thickest = chip.chip_thickness_max(
        feed_per_tooth=factor * FEED, radial_width=share * DIAMETER, diameter=DIAMETER
    )
    assert factor >= 1
    assert thickest == pytest.approx(FEED, rel=1e-12)


def test_the_thinning_factor_of_a_tenth():
    assert chip.radial_thinning_factor(radial_width=0.6e-3, diameter=6e-3) == pytest.approx(1 / 0.6)


@given(share=ratios, wanted=feeds)
def test_the_feed_for_a_chip_gives_that_chip(share, wanted):
    where = {"radial_width": share * DIAMETER, "diameter": DIAMETER}
    feed = chip.feed_for_chip_thickness(chip_thickness=wanted, **where)
    assert chip.chip_thickness_max(feed_per_tooth=feed, **where) == pytest.approx(wanted, rel=1e-12)


def test_a_slanted_edge_thins_the_chip_once_more():
    """At 30 degrees half as thick, so twice the feed."""
    slot = {"chip_thickness": 1e-5, "radial_width": DIAMETER, "diameter": DIAMETER}
    assert chip.feed_for_chip_thickness(**slot, edge_angle=math.radians(30)) == pytest.approx(2e-5)
    assert math.isnan(chip.feed_for_chip_thickness(**slot, edge_angle=0.0))
    assert math.isnan(chip.feed_for_chip_thickness(**slot | {"chip_thickness": -1e-5}))


@pytest.mark.parametrize("width", [0.0, -1.0, 1.001 * DIAMETER, math.nan])
def test_no_chip_without_a_cut(width):
    where = {"radial_width": width, "diameter": DIAMETER}
    assert math.isnan(chip.chip_thickness_max(feed_per_tooth=FEED, **where))
    assert math.isnan(chip.chip_thickness_mean(feed_per_tooth=FEED, **where))
    assert math.isnan(chip.radial_thinning_factor(**where))


def test_a_feed_backwards_has_no_chip():
    where = {"radial_width": 1e-3, "diameter": DIAMETER}
    assert math.isnan(chip.chip_thickness_max(feed_per_tooth=-1e-6, **where))
    assert math.isnan(chip.chip_thickness_mean(feed_per_tooth=-1e-6, **where))


def test_without_feed_there_is_no_chip_to_speak_of():
    where = {"radial_width": 1e-3, "diameter": DIAMETER}
    assert chip.chip_thickness_max(feed_per_tooth=0.0, **where) == 0.0
    assert chip.chip_thickness_mean(feed_per_tooth=0.0, **where) == 0.0
    assert chip.feed_for_chip_thickness(chip_thickness=0.0, **where) == 0.0


def test_the_rubbing_floor_is_a_share_of_the_edge_radius():
    assert chip.minimum_chip_thickness(min_chip_ratio=0.4, edge_radius=5e-6) == pytest.approx(2e-6)
    assert chip.minimum_chip_thickness(min_chip_ratio=0.4, edge_radius=0.0) == 0.0
    assert chip.minimum_chip_thickness(min_chip_ratio=0.0, edge_radius=5e-6) == 0.0
    assert math.isnan(chip.minimum_chip_thickness(min_chip_ratio=-0.4, edge_radius=5e-6))
    assert math.isnan(chip.minimum_chip_thickness(min_chip_ratio=0.4, edge_radius=-5e-6))


def test_where_the_circle_stands_for_the_real_path():
    assert CIRCULAR_PATH.covers(0.05e-3 / 3e-3)
    assert CIRCULAR_PATH.covers(np.array([0.0, 0.05])).all()
    assert not CIRCULAR_PATH.covers(np.array([-0.001, 0.0502])).any()
    assert not CIRCULAR_PATH.covers(math.nan)


def excess(tir: float, flutes: int, thickest: float = 1e-3) -> float:
    both = runout.chip_thickness_runout(chip_thickness_max=thickest, runout=tir, flutes=flutes)
    return float(both) - thickest


def test_two_flutes_see_the_whole_indicator_reading():
    assert excess(10e-6, 2) == pytest.approx(10e-6, rel=1e-9)


@pytest.mark.parametrize("flutes", [2, 3, 4, 5, 8])
def test_the_excess_is_the_step_between_neighbouring_teeth(flutes):
    """Radii of evenly spaced teeth on a centre off by rho: the largest step from one to the next."""
    rho = 5e-6
    phases = np.linspace(0, 2 * np.pi, 20001)
    tooth = np.arange(flutes)[:, None] * 2 * np.pi / flutes
    radii = rho * np.cos(phases + tooth)
    steps = np.abs(radii - np.roll(radii, 1, axis=0))
    assert excess(2 * rho, flutes) == pytest.approx(steps.max(), rel=1e-6)


@given(tir=st.floats(0, 1e-3), thickest=feeds)
def test_one_flute_sees_no_run_out(tir, thickest):
    assert runout.chip_thickness_runout(chip_thickness_max=thickest, runout=tir, flutes=1) == thickest


def test_run_out_has_no_meaning_below_nought():
    assert math.isnan(runout.chip_thickness_runout(chip_thickness_max=1e-5, runout=-1e-6, flutes=2))
    assert math.isnan(runout.chip_thickness_runout(chip_thickness_max=-1e-5, runout=1e-6, flutes=2))
    assert math.isnan(runout.chip_thickness_runout(chip_thickness_max=1e-5, runout=1e-6, flutes=0))
