"""Tabs and floors against frames and beams worked out the long way, and bolts tightened by their torque."""

import math

import numpy as np
import pytest

from swarfbook.physics import clamping, tabs

COARSE = {5: (0.8, 6.3), 6: (1.0, 7.8), 8: (1.25, 10.36)}  # pitch and bearing ring [mm], as in bolt-02


@pytest.mark.parametrize(
    ("diameter", "pitch", "ring", "friction", "preload", "torque"),
    [
        # bolt-01: VDI 2230 (2001/2003), M8x1 class 8.8, as a fastener catalogue prints it. Published.
        (8, 1.0, 10.35, 0.10, 20.7, 22.8),
        (8, 1.0, 10.35, 0.12, 20.2, 26.1),
        (8, 1.0, 10.35, 0.14, 19.7, 29.2),
        # bolt-02: VDI 2230-1, Table A1, coarse threads, class 8.8. Recalled.
        *[
            (d, *COARSE[d], mu, load, turn)
            for d, loads, turns in (
                (5, (7.4, 7.2, 7.0), (5.2, 5.9, 6.5)),
                (6, (10.4, 10.2, 9.9), (9.0, 10.1, 11.3)),
                (8, (19.1, 18.6, 18.1), (21.6, 24.6, 27.3)),
            )
            for mu, load, turn in zip((0.10, 0.12, 0.14), loads, turns, strict=True)
        ],
    ],
)
def test_a_torque_of_the_tables_gives_the_preload_beside_it(diameter, pitch, ring, friction, preload, torque):
    got = clamping.preload_of_torque(
        torque=torque,
        nominal_diameter=diameter / 1e3,
        thread_pitch=pitch / 1e3,
        friction=friction,
        bearing_friction=friction,
        bearing_diameter=ring / 1e3,
    )
    assert got / 1e3 == pytest.approx(preload, rel=0.015)


def test_a_block_on_an_edge_turns_over_where_the_moments_say():
    """100 N at 20 mm and a lift of 30 N 60 mm from the edge: 2 + 1.8 N m; 200 N over 60 mm: 6 N m."""
    asked = clamping.tipping_moment(force=100.0, force_height=0.02, lift=30.0, lift_arm=0.06)
    assert asked == pytest.approx(3.8)
    assert clamping.holding_moment(clamp_force=200.0, base=0.06) == pytest.approx(6.0)


def test_a_tab_shears_over_its_section():
    """30 N sideways and 40 N up are 50 N, on 5 mm^2."""
    got = tabs.tab_shear_stress(force=30.0, lift=40.0, tab_width=5e-3, tab_thickness=1e-3)
    assert got == pytest.approx(10e6)


def root_stress(load: float, span: float, width: float, depth: float) -> float:
    """Bending stress of a beam with held ends one of which is moved sideways, by finite differences [Pa].

    v'''' = 0 with v(0) = v'(0) = v'(g) = 0 and the end shear given: M runs from P g / 2 to -P g / 2.
    """
    x = np.linspace(0.0, span, 2001)
    # The slope is the integral of M / EI = P (a - x) / EI; it is nothing at the far end for one a only.
    far_slope = [np.trapezoid(load * (a - x), x) for a in (0.0, span)]
    a = np.interp(0.0, far_slope, [0.0, span])
    return float(load * a * (depth / 2) / (width * depth**3 / 12))


def test_a_tab_bends_like_a_beam_held_at_both_ends():
    size = {"tab_width": 5e-3, "tab_thickness": 1.2e-3, "tab_length": 7e-3}
    up = tabs.tab_bending_stress(force=0.0, lift=12.0, **size)
    assert up == pytest.approx(root_stress(12.0, 7e-3, 5e-3, 1.2e-3), rel=1e-6)
    along = tabs.tab_bending_stress(force=30.0, lift=0.0, **size)
    assert along == pytest.approx(root_stress(30.0, 7e-3, 1.2e-3, 5e-3), rel=1e-6)
    both = tabs.tab_bending_stress(force=30.0, lift=12.0, **size)
    assert both == pytest.approx(up + along)


def test_a_part_is_kept_from_turning_by_a_pull_at_its_edge():
    assert tabs.edge_pull(force=120.0, force_height=0.02, base=0.06) == pytest.approx(40.0)


FLOOR = {"short_side": 0.06, "long_side": 0.1, "floor_thickness": 3e-4}


def frame_line_load(lift: float, moment: float) -> float:
    """Largest line load [N/m] of springs along the four edges of a stiff part, summed edge by edge."""
    steps = (np.arange(4000) + 0.5) / 4000
    across = np.concatenate([np.full(4000, 0.03), np.full(4000, -0.03), *[steps * 0.06 - 0.03] * 2])
    share = np.concatenate([np.full(8000, 0.1 / 4000), np.full(8000, 0.06 / 4000)])
    return lift / share.sum() + moment / (share * across**2).sum() * 0.03


def test_a_floor_under_a_lift_in_the_middle_and_a_force_above_it():
    got = tabs.floor_shear_stress(force=80.0, lift=40.0, lift_factor=1.0, force_height=0.02, **FLOOR)
    upwards = frame_line_load(40.0, 80.0 * 0.02) / 3e-4
    sideways = 2 * 80.0 / (0.32 * 3e-4)
    assert got == pytest.approx(math.hypot(upwards, sideways), rel=1e-4)


def test_a_corner_counts_more_than_a_frame_of_lines_says():
    """A square part: 1 + 1.5 + 1.5 times the mean at a corner of its outline; an even layer has 7."""
    side = 0.08
    square = {"short_side": side, "long_side": side, "floor_thickness": 3e-4}
    mean, corner = (
        float(tabs.floor_shear_stress(force=0.0, lift=20.0, lift_factor=k, force_height=0.0, **square))
        for k in (1.0, 7.0)
    )
    turned = float(
        tabs.floor_shear_stress(force=20.0, lift=0.0, lift_factor=1.0, force_height=side / 2, **square)
    )
    flat = float(tabs.floor_shear_stress(force=20.0, lift=0.0, lift_factor=1.0, force_height=0.0, **square))
    assert math.sqrt(turned**2 - flat**2) == pytest.approx(1.5 * mean)
    assert corner > mean + 2 * 1.5 * mean
