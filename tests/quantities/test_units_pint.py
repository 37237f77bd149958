"""Quantities of pint on the way in and out: revolutions and teeth count as themselves."""

import math

import pint
import pytest

from swarfbook.quantities import DIMENSIONS, QuantityError, from_pint, to_pint


@pytest.fixture(scope="module")
def pints_own():
    ureg = pint.UnitRegistry()
    ureg.define("tooth = [tooth] = _ = teeth")
    return ureg


@pytest.mark.parametrize("dimension", DIMENSIONS)
def test_out_and_back(dimension):
    assert from_pint(to_pint(12.5, dimension), dimension) == pytest.approx(12.5, rel=1e-15)


def test_rpm_is_never_radians():
    speed = to_pint(300.0, "spindle_speed")
    assert speed.to("rpm").magnitude == pytest.approx(18000.0, rel=1e-14)
    assert speed.to("revolution/second").magnitude == 300.0
    for wrong in ("rad/s", "1/s", "Hz", "deg/s", "degree/minute"):
        with pytest.raises(pint.DimensionalityError):
            speed.to(wrong)


def test_revolutions_and_teeth_cancel_as_they_should():
    teeth = to_pint(3.0, "ratio") * to_pint(1.0, "feed_per_tooth").units ** -1 * to_pint(1.0, "length").units
    a_turn = to_pint(1.0, "spindle_speed").units * to_pint(1.0, "time").units
    feed = to_pint(300.0, "spindle_speed") * (teeth / a_turn) * to_pint(5e-5, "feed_per_tooth")
    assert feed.to("mm/min").magnitude == pytest.approx(2700.0, rel=1e-14)


def test_the_default_registry_would_have_been_wrong(pints_own):
    # What the own registry is for: were this ever put right in pint, the own registry could go.
    assert pints_own.Quantity(18000.0, "rpm").to("1/s").magnitude == pytest.approx(300.0 * math.tau)


@pytest.mark.parametrize(
    ("number", "unit", "dimension", "si"),
    [
        (18000.0, "rpm", "spindle_speed", 300.0),
        (300.0, "revolution/second", "spindle_speed", 300.0),
        (0.25, "inch", "length", 0.00635),
        (900.0, "mm/min", "feed_rate", 0.015),
        (0.05, "mm/tooth", "feed_per_tooth", 5e-5),
        (0.05, "mm", "feed_per_tooth", 5e-5),
        (1.0, "hp", "power", 745.6998715822702),
        (700.0, "N/mm**2", "stress", 7e8),
        (20.0, "degC", "temperature", 293.15),
        (180.0, "degree", "angle", math.pi),
        (25.0, "percent", "ratio", 0.25),
        (0.25, "dimensionless", "ratio", 0.25),
        (310.0, "Hz", "frequency", 310.0),
    ],
)
def test_quantities_of_a_foreign_registry(pints_own, number, unit, dimension, si):
    assert from_pint(pints_own.Quantity(number, unit), dimension) == pytest.approx(si, rel=1e-14)


@pytest.mark.parametrize(
    ("unit", "dimension"),
    [
        ("rad/s", "spindle_speed"),
        ("1/s", "spindle_speed"),
        ("Hz", "spindle_speed"),
        ("rpm", "frequency"),
        ("revolution", "angle"),
        ("mm/tooth", "length"),
        ("mm", "mass"),
        ("dimensionless", "length"),
        ("mm/m", "length"),
    ],
)
def test_other_dimensions_are_refused(pints_own, unit, dimension):
    with pytest.raises(QuantityError, match=" takes "):
        from_pint(pints_own.Quantity(1.0, unit), dimension)


def test_units_of_a_foreign_registry_that_are_not_known_here(pints_own):
    pints_own.define("zork = 7 * meter")
    with pytest.raises(QuantityError, match="zork will not do; a length takes mm"):
        from_pint(pints_own.Quantity(1.0, "zork"), "length")


@pytest.mark.parametrize("given", ["6 mm", 6.0, None])
def test_only_quantities_are_quantities(given):
    with pytest.raises(QuantityError, match="goes through read"):
        from_pint(given, "length")
