"""Stock that warms while it is cut away, against a general integrator of differential equations."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from swarfbook.physics import paths, warming


def integrated(*, start, surroundings, heat, conductance, capacity, lost, duration):
    """Integrate the balance of a body whose mass falls evenly, step by step."""

    def rate(at, temperature):
        return (heat - conductance * (temperature - surroundings)) / (capacity * (1 - lost * at / duration))

    found = solve_ivp(rate, (0, duration), [start], rtol=1e-11, atol=1e-11, method="DOP853")
    return float(found.y[0, -1])


@settings(max_examples=60, deadline=None)
@given(
    start=st.floats(270, 360),
    heat=st.floats(0, 500),
    conductance=st.one_of(st.just(0.0), st.floats(1e-3, 20)),
    capacity=st.floats(50, 5000),
    lost=st.one_of(st.just(0.0), st.floats(1e-12, 0.9)),
    duration=st.floats(1, 7200),
)
def test_a_shrinking_lump_follows_its_differential_equation(
    start, heat, conductance, capacity, lost, duration
):
    told = {"start": start, "heat": heat, "conductance": conductance, "capacity": capacity}
    expected = integrated(surroundings=293.0, lost=lost, duration=duration, **told)
    found = warming.shrinking_lump_temperature(
        start_temperature=start,
        surroundings=293.0,
        heat=heat,
        conductance=conductance,
        heat_capacity=capacity,
        share_lost=lost,
        duration=duration,
    )
    assert found == pytest.approx(expected, rel=1e-7)


def test_two_halves_are_as_good_as_the_whole():
    common = {"surroundings": 290.0, "heat": 80.0, "conductance": 1.5}
    whole = warming.shrinking_lump_temperature(
        start_temperature=300.0, heat_capacity=1800.0, share_lost=0.4, duration=1000.0, **common
    )
    half = warming.shrinking_lump_temperature(
        start_temperature=300.0, heat_capacity=1800.0, share_lost=0.2, duration=500.0, **common
    )
    again = warming.shrinking_lump_temperature(
        start_temperature=half, heat_capacity=1440.0, share_lost=0.25, duration=500.0, **common
    )
    assert again == pytest.approx(whole, rel=1e-13)


def test_nothing_lost_is_the_plain_lump_and_no_way_out_is_a_straight_line():
    plain = warming.shrinking_lump_temperature(
        start_temperature=300.0,
        surroundings=290.0,
        heat=40.0,
        conductance=2.0,
        heat_capacity=1000.0,
        share_lost=0.0,
        duration=500.0,
    )
    assert plain == pytest.approx(310.0 - 10.0 * np.exp(-1.0), rel=1e-13)
    closed = warming.shrinking_lump_temperature(
        start_temperature=300.0,
        surroundings=290.0,
        heat=40.0,
        conductance=0.0,
        heat_capacity=1000.0,
        share_lost=0.0,
        duration=500.0,
    )
    assert closed == pytest.approx(320.0, rel=1e-13)


def test_many_at_once_and_what_has_no_meaning():
    times = np.array([0.0, 10.0, 1e5])
    found = warming.shrinking_lump_temperature(
        start_temperature=300.0,
        surroundings=290.0,
        heat=40.0,
        conductance=2.0,
        heat_capacity=1000.0,
        share_lost=0.0,
        duration=times,
    )
    assert found[0] == 300.0
    assert found[2] == pytest.approx(310.0, rel=1e-12)
    gone = warming.shrinking_lump_temperature(
        start_temperature=300.0,
        surroundings=290.0,
        heat=40.0,
        conductance=2.0,
        heat_capacity=1000.0,
        share_lost=1.0,
        duration=5.0,
    )
    assert np.isnan(gone)


def test_layers_add_their_resistances():
    # 0.3 m x 0.1 m of 18 mm board at 0.18 W/(m K) and 0.25 mm of tape at 0.2: 0.1 and 0.00125 K m^2/W.
    layers = {"layer_thickness": 0.00025, "layer_conductivity": 0.2, "bed_conductivity": 0.18}
    found = warming.bed_conductance(area=0.03, bed_thickness=0.018, **layers)
    assert found == pytest.approx(0.03 / 0.10125, rel=1e-12)
    nothing = layers | {"layer_thickness": 0.0}
    assert np.isnan(warming.bed_conductance(area=0.03, bed_thickness=0.0, **nothing))


def test_a_helix_is_as_long_as_the_polyline_drawn_along_it():
    turns = np.linspace(0, 7, 200_001)
    line = np.array([np.cos(2 * np.pi * turns) * 3, np.sin(2 * np.pi * turns) * 3, 0.5 * turns])
    drawn = np.linalg.norm(np.diff(line), axis=0).sum() + 2 * np.pi * 3
    assert paths.helix_length(path_diameter=6.0, helix_pitch=0.5, hole_depth=3.5) == pytest.approx(
        drawn, rel=1e-8
    )


def test_an_outline_is_as_long_as_the_edge_of_the_grown_rectangle():
    corner = np.linspace(0, np.pi / 2, 20_001)
    arc = np.linalg.norm(np.diff(np.array([np.cos(corner), np.sin(corner)]) * 3), axis=0).sum()
    expected = 2 * 80 + 2 * 50 + 4 * arc
    assert paths.outline_length(part_length=80.0, part_width=50.0, cutter_radius=3.0) == pytest.approx(
        expected, rel=1e-8
    )


def test_passes_are_whole_and_a_hair_buys_none():
    assert paths.passes(whole=0.009, each=0.003) == 3
    assert paths.passes(whole=0.1 + 0.2, each=0.1) == 3
    assert paths.passes(whole=0.0091, each=0.003) == 4
    assert paths.passes(whole=0.0, each=0.003) == 1
    assert np.isnan(paths.passes(whole=1.0, each=0.0))


LUMP = {
    "start_temperature": 300.0,
    "surroundings": 290.0,
    "heat": 40.0,
    "conductance": 2.0,
    "heat_capacity": 1000.0,
    "share_lost": 0.1,
    "duration": 500.0,
}
BED = {
    "area": 0.03,
    "layer_thickness": 0.00025,
    "layer_conductivity": 0.2,
    "bed_thickness": 0.018,
    "bed_conductivity": 0.18,
}
HOLE = {"path_diameter": 6.0, "helix_pitch": 0.5, "hole_depth": 3.5}
PART = {"part_length": 80.0, "part_width": 50.0, "cutter_radius": 3.0}
ARC = {"path_radius": 3.0, "arc_angle": 1.0}
PASSES = {"whole": 0.009, "each": 0.003}


@pytest.mark.parametrize(
    ("formula", "good", "name", "value"),
    [
        *((warming.shrinking_lump_temperature, LUMP, name, -1e-9) for name in ("conductance", "share_lost")),
        (warming.shrinking_lump_temperature, LUMP, "duration", -1e-9),
        *((warming.shrinking_lump_temperature, LUMP, "heat_capacity", value) for value in (0.0, -1.0)),
        (warming.shrinking_lump_temperature, LUMP, "share_lost", 1.0),
        *(
            (warming.bed_conductance, BED, name, -1e-9)
            for name in ("area", "layer_thickness", "bed_thickness")
        ),
        *((warming.bed_conductance, BED, "layer_conductivity", value) for value in (0.0, -0.2)),
        *((warming.bed_conductance, BED, "bed_conductivity", value) for value in (0.0, -0.2)),
        *((paths.helix_length, HOLE, "path_diameter", value) for value in (0.0, -6.0)),
        *((paths.helix_length, HOLE, "helix_pitch", value) for value in (0.0, -0.5)),
        (paths.helix_length, HOLE, "hole_depth", -1e-9),
        *((paths.outline_length, PART, "part_length", value) for value in (0.0, -80.0)),
        *((paths.outline_length, PART, "part_width", value) for value in (0.0, -50.0)),
        (paths.outline_length, PART, "cutter_radius", -1e-9),
        (paths.passes, PASSES, "whole", -1e-9),
        *((paths.passes, PASSES, "each", value) for value in (0.0, -0.003)),
    ],
)
def test_what_has_no_meaning_is_nan_and_no_number(formula, good, name, value):
    assert np.isfinite(formula(**good))
    assert np.isnan(formula(**good | {name: value}))


@pytest.mark.parametrize(
    ("formula", "good", "name"),
    [
        (warming.shrinking_lump_temperature, LUMP, "conductance"),
        (warming.shrinking_lump_temperature, LUMP, "share_lost"),
        (warming.shrinking_lump_temperature, LUMP, "duration"),
        (warming.bed_conductance, BED, "area"),
        (warming.bed_conductance, BED, "layer_thickness"),
        (warming.bed_conductance, BED, "bed_thickness"),
        (paths.helix_length, HOLE, "hole_depth"),
        (paths.outline_length, PART, "cutter_radius"),
        (paths.passes, PASSES, "whole"),
    ],
)
def test_nought_has_a_meaning_where_there_may_be_none_of_it(formula, good, name):
    assert np.isfinite(formula(**good | {name: 0.0}))
