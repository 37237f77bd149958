"""The table of units against pint and against printed conversion factors; the cost of importing it."""

import math
import subprocess
import sys

import generate_units
import pytest

from swarfbook._spellings import EXAMPLES, FOLD, HINTS, IMPERIAL, NOUNS, PARTS, WHOLES
from swarfbook.quantities import DIMENSIONS, QuantityError, convert, preferred_unit, read, to_si, units

EVERY_UNIT = [(dimension, unit) for dimension in DIMENSIONS for unit in units(dimension)]
LENGTHS_PER_TOOTH = {"mm", "in", "um", "thou"}


@pytest.fixture(scope="module")
def pints_own():
    return generate_units.registry()


@pytest.mark.parametrize(("dimension", "unit"), EVERY_UNIT)
def test_every_unit_is_pints(pints_own, dimension, unit):
    name = unit.replace("^", "**").replace("rev/", "revolution/").replace("%", "percent") or "dimensionless"
    if dimension == "feed_per_tooth" and unit in LENGTHS_PER_TOOTH:
        name += "/tooth"
    for number in (1.0, 17.3):
        expected = pints_own.Quantity(number, name).to(generate_units.SPEC[dimension][0]).magnitude
        assert to_si(number, dimension, unit) == pytest.approx(expected, rel=1e-12, abs=0)
        assert convert(expected, dimension, unit) == pytest.approx(number, rel=1e-12, abs=0)


def test_the_table_is_what_the_script_writes():
    assert generate_units.TARGET.read_text(encoding="utf-8") == generate_units.render()


# Factors as printed in NIST SP 811 (2008), appendix B: those of hp, lbf, psi and the foot-pound were read in
# a printed table of them, the others are recalled and stand here to be confirmed. All hold to half their
# last digit, or exactly.
NIST_SP_811 = [
    ("power", "hp", "745.6999"),
    ("force", "lbf", "4.448222"),
    ("stress", "psi", "6894.757"),
    ("volume_rate", "in^3/min", "2.731177e-07"),
    ("torque", "lbf*ft", "1.355818"),
    ("torque", "lbf*in", "0.1129848"),
    ("edge_force", "lbf/in", "175.1268"),
    ("stress", "ksi", "6.894757e+06"),
    ("density", "lb/in^3", "27679.90"),
    ("density", "lb/ft^3", "16.01846"),
    ("mass", "lb", "0.4535924"),
    ("angle", "deg", "0.01745329"),
]
NIST_EXACT = [
    ("length", "in", 0.0254),
    ("length", "ft", 0.3048),
    ("length", "thou", 0.0000254),
    ("feed_rate", "ft/min", 0.00508),
    ("feed_rate", "in/s", 0.0254),
    ("surface_speed", "ft/min", 0.00508),
    ("acceleration", "ft/s^2", 0.3048),
    ("time", "h", 3600.0),
]


@pytest.mark.parametrize(("dimension", "unit", "printed"), NIST_SP_811)
def test_printed_factors(dimension, unit, printed):
    decimals = len(printed.split("e")[0].split(".")[1])
    exponent = int(printed.split("e")[1]) if "e" in printed else 0
    assert to_si(1.0, dimension, unit) == pytest.approx(
        float(printed), rel=0, abs=0.5 * 10.0 ** (exponent - decimals)
    )


@pytest.mark.parametrize(("dimension", "unit", "value"), NIST_EXACT)
def test_exact_factors(dimension, unit, value):
    assert to_si(1.0, dimension, unit) == value


def test_a_cubic_inch_is_16_387064_cubic_centimetres():
    assert convert(to_si(1.0, "volume_rate", "in^3/min"), "volume_rate", "cm^3/min") == 16.387064


def test_unit_power_of_one_horsepower_per_cubic_inch_a_minute():
    # 396 000 in*lbf/min to the horsepower: 2.730324 W s/mm^3, from the exact definitions.
    removed = convert(to_si(1.0, "volume_rate", "in^3/min"), "volume_rate", "mm^3/s")
    assert to_si(1.0, "power", "hp") / removed == pytest.approx(2.730324, rel=1e-6, abs=0)


@pytest.mark.parametrize(
    ("celsius", "fahrenheit", "kelvin"),
    [(0.0, 32.0, 273.15), (100.0, 212.0, 373.15), (-40.0, -40.0, 233.15), (20.0, 68.0, 293.15)],
)
def test_temperatures_carry_their_offset(celsius, fahrenheit, kelvin):
    assert to_si(celsius, "temperature", "degC") == pytest.approx(kelvin, rel=1e-15)
    assert to_si(fahrenheit, "temperature", "degF") == pytest.approx(kelvin, rel=1e-15)
    assert convert(kelvin, "temperature", "degC") == celsius
    assert convert(kelvin, "temperature", "degF") == pytest.approx(fahrenheit, abs=1e-12)


def test_one_rpm_is_a_sixtieth_of_a_turn_a_second_and_no_radians():
    assert to_si(18000.0, "spindle_speed", "rpm") == 300.0
    assert to_si(18000.0, "spindle_speed", "rev/min") == 300.0
    assert to_si(300.0, "spindle_speed", "rev/s") == 300.0
    assert math.tau not in {to_si(1.0, "spindle_speed", unit) for unit in units("spindle_speed")}


@pytest.mark.parametrize("unit", ["rad/s", "1/s", "1/min", "Hz", "deg/s", "", "deg"])
def test_a_spindle_speed_is_counted_in_revolutions_only(unit):
    with pytest.raises(QuantityError, match=r"rev/s|rpm"):
        to_si(1.0, "spindle_speed", unit)


@pytest.mark.parametrize("unit", ["rpm", "rev/min", "rev/s"])
def test_a_frequency_is_not_counted_in_revolutions(unit):
    with pytest.raises(QuantityError, match="is a spindle speed; a frequency takes Hz"):
        to_si(1.0, "frequency", unit)


def test_every_dimension_has_its_words():
    assert set(NOUNS) == set(EXAMPLES) == set(DIMENSIONS) == set(generate_units.SPEC)
    assert set(IMPERIAL) <= set(DIMENSIONS)


@pytest.mark.parametrize("dimension", DIMENSIONS)
def test_examples_read_in_the_preferred_unit(dimension):
    unit = read(EXAMPLES[dimension], dimension).unit
    assert unit in units(dimension)
    if dimension != "power":
        assert unit == preferred_unit(dimension, "metric") == units(dimension)[0]


@pytest.mark.parametrize("dimension", DIMENSIONS)
def test_inch_units_belong_to_their_dimension(dimension):
    assert preferred_unit(dimension, "imperial") in units(dimension)


def test_every_other_spelling_leads_to_a_known_unit():
    known = {unit for _, unit in EVERY_UNIT}
    parts = {part for unit in known for part in unit.replace("*", "/").split("/")} | {"rev", "ft^3"}
    assert set(WHOLES.values()) <= known
    assert set(PARTS.values()) <= parts


def test_no_other_spelling_hides_a_unit_or_a_hint():
    known = {unit for _, unit in EVERY_UNIT}
    assert not known & (set(WHOLES) | (set(PARTS) - set(PARTS.values())) | set(HINTS))
    assert not set(HINTS) & (set(WHOLES) | set(PARTS))
    assert all(chr(code) not in unit for code in FOLD for unit in known)


def test_importing_it_loads_nothing_heavy():
    program = "import sys, swarfbook.quantities as q; q.show(q.parse('6 mm', 'length'), 'length')"
    program += "; print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    heavy = {"pint", "numpy", "pydantic", "pandas", "scipy", "textual", "click"}
    assert heavy.isdisjoint(loaded.stdout.split())
    assert "swarfbook._units" in loaded.stdout.split()


def test_systems_are_two():
    assert preferred_unit("length") == preferred_unit("length", "metric") == "mm"
    assert preferred_unit("length", "imperial") == "in"
    with pytest.raises(QuantityError, match="write metric or imperial"):
        preferred_unit("length", "nautical")
