"""Numbers shown to people and written to files, and the way back."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from swarfbook.quantities import (
    DIMENSIONS,
    Quantity,
    QuantityError,
    convert,
    preferred_unit,
    pretty,
    read,
    show,
    to_si,
    units,
    write,
)

EVERY_UNIT = [(dimension, unit) for dimension in DIMENSIONS for unit in units(dimension)]
ORDINARY = st.floats(1.1e-6, 9.9e8) | st.floats(-9.9e8, -1.1e-6) | st.just(0.0)

SHOWN = [
    (5e-5, "feed_per_tooth", {}, "0.0500 mm"),
    (5e-5, "feed_per_tooth", {"figures": 2}, "0.050 mm"),
    (5.08e-5, "feed_per_tooth", {"system": "imperial"}, "0.00200 in"),
    (5.08e-5, "feed_per_tooth", {"system": "imperial", "figures": 2}, "0.0020 in"),
    (0.003, "length", {}, "3.00 mm"),
    (0.003, "length", {"figures": 2}, "3.0 mm"),
    (0.024, "length", {"figures": 2}, "24 mm"),
    (4.3e-5, "length", {"unit": "um"}, "43.0 µm"),
    (0.028575, "length", {"system": "imperial"}, "1.13 in"),
    (300.0, "spindle_speed", {}, "18\u00a0000 rpm"),
    (300.0, "spindle_speed", {"system": "imperial"}, "18\u00a0000 rpm"),
    (18432 / 60, "spindle_speed", {}, "18\u00a0432 rpm"),
    (0.015, "feed_rate", {}, "900 mm/min"),
    (5 / 60, "feed_rate", {}, "5000 mm/min"),
    (0.0423333333, "feed_rate", {"system": "imperial"}, "100 in/min"),
    (5.08, "surface_speed", {"system": "imperial"}, "1000 ft/min"),
    (5.0, "surface_speed", {}, "300 m/min"),
    (312.4, "power", {}, "312 W"),
    (745.69987158, "power", {"system": "imperial"}, "1.00 hp"),
    (0.52, "torque", {}, "0.520 N·m"),
    (0.52, "torque", {"system": "imperial"}, "4.60 lbf·in"),
    (173.0, "force", {"system": "imperial"}, "38.9 lbf"),
    (6.5e8, "stress", {}, "650 N/mm²"),
    (6.5e8, "stress", {"system": "imperial"}, "94.3 ksi"),
    (6.75e-8, "volume_rate", {}, "4.05 cm³/min"),
    (6.75e-8, "volume_rate", {"system": "imperial"}, "0.247 in³/min"),
    (3e6, "stiffness", {}, "3.00 N/µm"),
    (math.pi / 6, "angle", {}, "30.0°"),
    (0.25, "ratio", {}, "0.250"),
    (0.25, "ratio", {"unit": "%"}, "25.0 %"),
    (293.15, "temperature", {}, "20.0 °C"),
    (293.15, "temperature", {"system": "imperial"}, "68.0 °F"),
    (170.0, "conductivity", {}, "170 W/(m·K)"),
    (-1e-5, "length", {}, "-0.0100 mm"),
    (0.0, "length", {}, "0 mm"),
    (-0.0, "length", {}, "0 mm"),
    (math.nan, "length", {}, "not known"),
    (math.inf, "length", {}, "unlimited"),
]


@pytest.mark.parametrize(("si", "dimension", "options", "text"), SHOWN)
def test_what_people_see(si, dimension, options, text):
    assert show(si, dimension, **options) == text


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (9.994, "9.99"),
        (9.995, "10.0"),
        (0.09996, "0.100"),
        (99.96, "100"),
        (999.4, "999"),
        (1234.5, "1235"),
        (9999.4, "9999"),
        (9999.5, "10\u00a0000"),
        (-12345.0, "-12\u00a0345"),
        (123456789.0, "123\u00a0456\u00a0789"),
        (999999999.0, "999\u00a0999\u00a0999"),
        (1e-6, "0.00000100"),
        (9.99e-7, "9.99e-7"),
        (1e9, "1.00e9"),
        (-1.23456e-8, "-1.23e-8"),
    ],
)
def test_figures(number, text):
    assert show(number, "ratio") == text


@given(ORDINARY, st.sampled_from(["metric", "imperial"]), st.sampled_from(DIMENSIONS), st.integers(2, 6))
def test_what_is_shown_reads_back(number, system, dimension, figures):
    unit = preferred_unit(dimension, system)
    si = to_si(number, dimension, unit)
    if dimension == "temperature" and si < 0:
        return
    text = show(si, dimension, system=system, figures=figures)
    assert "e" not in text.replace("deg", "").removesuffix(pretty(unit))
    back = read(text, dimension)
    assert back.unit == unit
    assert back.number == pytest.approx(convert(si, dimension, unit), rel=0.51 * 10.0 ** (1 - figures), abs=0)


@given(ORDINARY.filter(bool), st.integers(2, 6))
def test_a_number_keeps_its_figures(number, figures):
    digits = show(number, "ratio", figures=figures).replace("\u00a0", "").lstrip("-0.").replace(".", "")
    assert len(digits) >= figures
    assert "." not in show(number, "ratio", figures=figures) or len(digits) == figures


def test_numbers_of_numpy_are_shown_and_written_as_any_other():
    assert show(np.float64(0.1) / 3, "length") == "33.3 mm"
    assert type(convert(np.float64(0.1) / 3, "length", "mm")) is float
    assert write(np.float64(0.1), "mm") == "0.1 mm"


@pytest.mark.parametrize(
    ("number", "unit", "text"),
    [
        (3.25, "mm", "3.25 mm"),
        (18000.0, "rpm", "18000 rpm"),
        (18000, "rpm", "18000 rpm"),
        (100.0, "N", "100 N"),
        (1e-7, "m", "0.0000001 m"),
        (1.5e14, "Pa", "150000000000000 Pa"),
        (0.1 + 0.2, "mm", "0.30000000000000004 mm"),
        (-2.0, "deg", "-2 deg"),
        (-0.0, "mm", "0 mm"),
        (0.25, "", "0.25"),
        (25.0, "%", "25 %"),
        (700.0, "N/mm^2", "700 N/mm^2"),
    ],
)
def test_what_files_hold(number, unit, text):
    assert write(number, unit) == text


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf, 1e15, -1e15, 9e-16, 1e300])
def test_files_hold_ordinary_numbers_only(number):
    with pytest.raises(QuantityError, match="ordinary size, for example '1 mm'"):
        write(number, "mm")


@pytest.mark.parametrize("unit", ["MM", "\u00b5m", '"', "furlong", "Nm"])
def test_files_hold_canonical_units_only(unit):
    with pytest.raises(QuantityError, match="not a unit known here"):
        write(1.0, unit)


@given(
    st.floats(1e-15, 1e15, exclude_max=True) | st.floats(-1e15, -1e-15, exclude_min=True) | st.just(0.0),
    st.sampled_from(EVERY_UNIT),
)
def test_what_is_written_reads_back_exactly(number, where):
    dimension, unit = where
    if dimension == "temperature" and number < 0:
        return
    text = write(number, unit)
    assert len(text) <= 48
    assert text.isascii()
    assert read(text, dimension) == Quantity(to_si(number, dimension, unit), number, unit)


@given(st.decimals(-1e6, 1e6, places=4), st.sampled_from(EVERY_UNIT))
def test_a_typed_number_survives_the_way_through_si(number, where):
    dimension, unit = where
    si = to_si(float(number), dimension, unit)
    back = convert(si, dimension, unit)
    if dimension == "temperature":
        assert to_si(back, dimension, unit) == pytest.approx(si, rel=1e-15)
    else:
        assert back == float(number)


@given(st.floats(1e-200, 1e200), st.sampled_from(EVERY_UNIT))
def test_si_survives_the_way_through_a_unit(si, where):
    dimension, unit = where
    back = to_si(convert(si, dimension, unit), dimension, unit)
    slack = 1e-12 if dimension == "temperature" else 0
    assert back == pytest.approx(si, rel=1e-15, abs=slack)


@pytest.mark.parametrize(("dimension", "unit"), EVERY_UNIT)
def test_pretty_units_are_read(dimension, unit):
    assert read(f"300 {pretty(unit)}", dimension).unit == unit


def test_converting_into_another_dimension_is_refused():
    for call in (convert, to_si):
        with pytest.raises(QuantityError, match="rpm is a spindle speed; a length takes mm"):
            call(1.0, "length", "rpm")
    with pytest.raises(QuantityError, match="rpm is a spindle speed"):
        show(1.0, "length", unit="rpm")


def test_infinity_and_nan_pass_through():
    assert convert(math.inf, "length", "mm") == math.inf
    assert math.isnan(convert(math.nan, "length", "mm"))
