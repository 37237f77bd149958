"""What people type: spellings that are read, spellings that are not, and what they are told."""

import math
import string
import unicodedata

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from swarfbook.quantities import DIMENSIONS, Quantity, QuantityError, parse, read, units

MAX_MESSAGE = 260

READ = [
    # lengths and inch fractions
    ("6 mm", "length", 0.006, 6.0, "mm"),
    ("6mm", "length", 0.006, 6.0, "mm"),
    ("  6   mm ", "length", 0.006, 6.0, "mm"),
    ("+6 mm", "length", 0.006, 6.0, "mm"),
    ("-6 mm", "length", -0.006, -6.0, "mm"),
    ("\u22120.01 mm", "length", -1e-5, -0.01, "mm"),
    (".5 mm", "length", 0.0005, 0.5, "mm"),
    ("5. mm", "length", 0.005, 5.0, "mm"),
    ("1e-3 m", "length", 0.001, 0.001, "m"),
    ("1.5E+1 mm", "length", 0.015, 15.0, "mm"),
    ("2.54 cm", "length", 0.0254, 2.54, "cm"),
    ("10 um", "length", 1e-5, 10.0, "um"),
    ("10 \u00b5m", "length", 1e-5, 10.0, "um"),
    ("10 \u03bcm", "length", 1e-5, 10.0, "um"),
    ("10 microns", "length", 1e-5, 10.0, "um"),
    ("0.25 in", "length", 0.00635, 0.25, "in"),
    ("0.25 inch", "length", 0.00635, 0.25, "in"),
    ("0.25 inches", "length", 0.00635, 0.25, "in"),
    ('0.250"', "length", 0.00635, 0.25, "in"),
    ("1/4 in", "length", 0.00635, 0.25, "in"),
    ('1/4"', "length", 0.00635, 0.25, "in"),
    ("1/4\u2033", "length", 0.00635, 0.25, "in"),
    ("1/4\u201d", "length", 0.00635, 0.25, "in"),
    ("-1/4 in", "length", -0.00635, -0.25, "in"),
    ("1 1/4 in", "length", 0.03175, 1.25, "in"),
    ("1-1/4 in", "length", 0.03175, 1.25, "in"),
    ('1 1/4"', "length", 0.03175, 1.25, "in"),
    ("-1 1/4 in", "length", -0.03175, -1.25, "in"),
    ("1\u00a01/4 in", "length", 0.03175, 1.25, "in"),
    ("10 125/1000 in", "length", 0.257175, 10.125, "in"),
    ("5/4 in", "length", 0.03175, 1.25, "in"),
    ("0/4 in", "length", 0.0, 0.0, "in"),
    ("0e-5 mm", "length", 0.0, 0.0, "mm"),
    ("2 thou", "length", 5.08e-5, 2.0, "thou"),
    ("1 ft", "length", 0.3048, 1.0, "ft"),
    ("6.".ljust(45, "0") + " mm", "length", 0.006, 6.0, "mm"),
    # speeds, with thousands grouped as they are shown
    ("18000 rpm", "spindle_speed", 300.0, 18000.0, "rpm"),
    ("18 000 rpm", "spindle_speed", 300.0, 18000.0, "rpm"),
    ("18\u00a0000 rpm", "spindle_speed", 300.0, 18000.0, "rpm"),
    ("18\u202f000\u00a0rpm", "spindle_speed", 300.0, 18000.0, "rpm"),
    ("18 000.5 rpm", "spindle_speed", 300.00833333333333, 18000.5, "rpm"),
    ("1 200 000 rpm", "spindle_speed", 20000.0, 1.2e6, "rpm"),
    ("18000 RPM", "spindle_speed", 300.0, 18000.0, "rpm"),
    ("18000 rev/min", "spindle_speed", 300.0, 18000.0, "rev/min"),
    ("300 rev / s", "spindle_speed", 300.0, 300.0, "rev/s"),
    ("300 rev per second", "spindle_speed", 300.0, 300.0, "rev/s"),
    # feeds and surface speeds
    ("900 mm/min", "feed_rate", 0.015, 900.0, "mm/min"),
    ("900 mm / min", "feed_rate", 0.015, 900.0, "mm/min"),
    ("900 mm per min", "feed_rate", 0.015, 900.0, "mm/min"),
    ("0.9 m/min", "feed_rate", 0.015, 0.9, "m/min"),
    ("15 mm/s", "feed_rate", 0.015, 15.0, "mm/s"),
    ("100 in/min", "feed_rate", 0.042333333333333334, 100.0, "in/min"),
    ("100 inch/min", "feed_rate", 0.042333333333333334, 100.0, "in/min"),
    ('100 "/min', "feed_rate", 0.042333333333333334, 100.0, "in/min"),
    ("100 ipm", "feed_rate", 0.042333333333333334, 100.0, "in/min"),
    ("2 in/s", "feed_rate", 0.0508, 2.0, "in/s"),
    ("1000 ft/min", "surface_speed", 5.08, 1000.0, "ft/min"),
    ("1000 sfm", "surface_speed", 5.08, 1000.0, "ft/min"),
    ("300 m/min", "surface_speed", 5.0, 300.0, "m/min"),
    ("0.05 mm", "feed_per_tooth", 5e-5, 0.05, "mm"),
    ("0.05 mm/tooth", "feed_per_tooth", 5e-5, 0.05, "mm/tooth"),
    ("0.050 mm a tooth", "feed_per_tooth", 5e-5, 0.05, "mm/tooth"),
    ("0.05 mm/flute", "feed_per_tooth", 5e-5, 0.05, "mm/tooth"),
    ("50 um/tooth", "feed_per_tooth", 5e-5, 50.0, "um/tooth"),
    ("50 \u00b5m/tooth", "feed_per_tooth", 5e-5, 50.0, "um/tooth"),
    ("0.002 in/tooth", "feed_per_tooth", 5.08e-5, 0.002, "in/tooth"),
    ("0.002 ipt", "feed_per_tooth", 5.08e-5, 0.002, "in/tooth"),
    ("2 thou/tooth", "feed_per_tooth", 5.08e-5, 2.0, "thou/tooth"),
    ("0.002 in", "feed_per_tooth", 5.08e-5, 0.002, "in"),
    # loads
    ("1.5 kW", "power", 1500.0, 1.5, "kW"),
    ("90 W", "power", 90.0, 90.0, "W"),
    ("2 hp", "power", 1491.3997431645404, 2.0, "hp"),
    ("0.80 N*m", "torque", 0.8, 0.8, "N*m"),
    ("0.80 Nm", "torque", 0.8, 0.8, "N*m"),
    ("0.80 N m", "torque", 0.8, 0.8, "N*m"),
    ("0.80 N\u00b7m", "torque", 0.8, 0.8, "N*m"),
    ("0.80 N\u22c5m", "torque", 0.8, 0.8, "N*m"),
    ("800 N*mm", "torque", 0.8, 800.0, "N*mm"),
    ("7 lbf*in", "torque", 0.7908938031933219, 7.0, "lbf*in"),
    ("7 in*lbf", "torque", 0.7908938031933219, 7.0, "lbf*in"),
    ("1 ft-lbf", "torque", 1.3558179483314004, 1.0, "lbf*ft"),
    ("0.25 kN", "force", 250.0, 0.25, "kN"),
    ("10 lbf", "force", 44.482216152605, 10.0, "lbf"),
    ("700 N/mm^2", "stress", 7e8, 700.0, "N/mm^2"),
    ("700 N/mm\u00b2", "stress", 7e8, 700.0, "N/mm^2"),
    ("700 N/mm2", "stress", 7e8, 700.0, "N/mm^2"),
    ("700 N/mm**2", "stress", 7e8, 700.0, "N/mm^2"),
    ("700 MPa", "stress", 7e8, 700.0, "MPa"),
    ("600 GPa", "stress", 6e11, 600.0, "GPa"),
    ("100 ksi", "stress", 689475729.3168361, 100.0, "ksi"),
    ("20 N/mm", "edge_force", 20000.0, 20.0, "N/mm"),
    ("3 N/um", "stiffness", 3e6, 3.0, "N/um"),
    ("3 N/\u00b5m", "stiffness", 3e6, 3.0, "N/um"),
    ("3000 N/mm", "stiffness", 3e6, 3000.0, "N/mm"),
    # the rest
    ("180 deg", "angle", math.pi, 180.0, "deg"),
    ("180\u00b0", "angle", math.pi, 180.0, "deg"),
    ("1 rad", "angle", 1.0, 1.0, "rad"),
    ("25 %", "ratio", 0.25, 25.0, "%"),
    ("25%", "ratio", 0.25, 25.0, "%"),
    ("0.25", "ratio", 0.25, 0.25, ""),
    ("1/4", "ratio", 0.25, 0.25, ""),
    ("310 Hz", "frequency", 310.0, 310.0, "Hz"),
    ("500 mm/s^2", "acceleration", 0.5, 500.0, "mm/s^2"),
    ("0.5 m/s\u00b2", "acceleration", 0.5, 0.5, "m/s^2"),
    ("6 cm^3/min", "volume_rate", 1e-7, 6.0, "cm^3/min"),
    ("6 cm\u00b3/min", "volume_rate", 1e-7, 6.0, "cm^3/min"),
    ("6000 mm3/min", "volume_rate", 1e-7, 6000.0, "mm^3/min"),
    ("2700 kg/m^3", "density", 2700.0, 2700.0, "kg/m^3"),
    ("20 degC", "temperature", 293.15, 20.0, "degC"),
    ("20 \u00b0C", "temperature", 293.15, 20.0, "degC"),
    ("68 \u00b0F", "temperature", 293.15, 68.0, "degF"),
    ("293.15 K", "temperature", 293.15, 293.15, "K"),
    ("0 K", "temperature", 0.0, 0.0, "K"),
    ("5 min", "time", 300.0, 5.0, "min"),
    ("2 hours", "time", 7200.0, 2.0, "h"),
    ("200 g", "mass", 0.2, 200.0, "g"),
    ("170 W/(m*K)", "conductivity", 170.0, 170.0, "W/(m*K)"),
    ("170 W/(m\u00b7K)", "conductivity", 170.0, 170.0, "W/(m*K)"),
    ("170 W/m/K", "conductivity", 170.0, 170.0, "W/(m*K)"),
    ("0.9 kJ/(kg K)", "specific_heat", 900.0, 0.9, "kJ/(kg*K)"),
]


@pytest.mark.parametrize(("text", "dimension", "si", "number", "unit"), READ)
def test_spellings_that_are_read(text, dimension, si, number, unit):
    got = read(text, dimension)
    assert got == Quantity(si=pytest.approx(si, rel=1e-14, abs=0), number=number, unit=unit)
    assert parse(text, dimension) == got.si


# A text, and words its refusal must hold. All are asked for as a length.
REFUSED_AS_LENGTH = [
    ("3,5 mm", "write 3.5 "),
    ("3, 5 mm", "write 3.5 "),
    (",5 mm", "write 0.5 "),
    ("-3,5 mm", "write -3.5 "),
    ("1,500 mm", "write 1500, or 1.500 "),
    ("1,500.5 mm", "write 1500.5"),
    ("1,500,000 mm", "write 1500000"),
    ("1.500,5 mm", "without commas"),
    ("\uff15 mm", "write '5' for"),
    ("\u0663 mm", "write '3' for"),
    ("\U0001d7d3 mm", "write '5' for"),
    ("5\u00b2 mm", "inside a unit only"),
    ("\u00b25 mm", "inside a unit only"),
    ("5\u2074 mm", "write '4' for"),
    ("\u00bd in", "write '1/2' for"),
    ("\u2167 mm", "digits are 0 to 9"),
    ("0x1F mm", "ordinary digits"),
    ("0b11 mm", "ordinary digits"),
    ("1 \u00b1 0.1 mm", "without a tolerance"),
    ("1 +/- 0.1 mm", "without a tolerance"),
    ("1_000 mm", "without _"),
    ("1\x00 mm", "U+0000"),
    ("1 mm\n", "U+000A"),
    ("1\tmm", "U+0009"),
    ("1 mm\x1b[2J", "U+001B"),
    ("1\x1cmm", "U+001C"),
    ("1\x85mm", "U+0085"),
    ("1\u200bmm", "U+200B"),
    ("\u202e1 mm", "U+202E"),
    ("1\ud800mm", "U+D800"),
    ("nan mm", "measured"),
    ("-inf mm", "measured"),
    ("Infinity mm", "measured"),
    ("1e400 mm", "ordinary size"),
    ("1e-400 mm", "ordinary size"),
    ("1e15 mm", "ordinary size"),
    ("9e-16 mm", "ordinary size"),
    ("1e1000 mm", "at most three digits"),
    ("1e-0001 mm", "at most three digits"),
    ("9" * 46 + " mm", "too long"),
    ("9" * 44 + " mm", "ordinary size"),
    ("6 mm" + " " * 45, "too long"),
    ("1/0 in", "must not be 0"),
    ("1 1/0 in", "must not be 0"),
    ("1 1/00 in", "must not be 0"),
    ("1 5/4 in", "between 0 and 1"),
    ("1 0/4 in", "between 0 and 1"),
    ("1.5/2 in", "whole numbers"),
    ("1/2.5 in", "whole numbers"),
    ("1 1.5 in", "in one piece"),
    ("1.5 1/4 in", "one"),
    ("18 00 mm", "in one piece"),
    ("1800 000 mm", "in one piece"),
    ("0 500 mm", "in one piece"),
    ("1 000 1/2 in", "one piece"),
    ("1 1/4/2 in", "mixed fraction"),
    ("1.5.2 mm", "one number and one unit"),
    ("--3 mm", "one number and one unit"),
    ("- 3 mm", "one number"),
    ("3-4 mm", "one number and one unit"),
    ("", "a number with its unit is needed"),
    ("   ", "a number with its unit is needed"),
    ("mm", "a number is needed before the unit"),
    ("mm 6", "a number is needed before the unit"),
    ("6", "for example '6 mm'"),
    ("1/4", "for example '0.25 mm'"),
    ("3 mm mm", "did you mean mm"),
    ("3 mm + 4 in", "nothing is worked out"),
    ("1 ft 2 in", "nothing is worked out"),
    ("1 mm; 2", "nothing is worked out"),
    ("1 mm #c", "nothing is worked out"),
    ("1 mm/", "nothing is worked out"),
    ("1 e5 mm", "nothing is worked out"),
    ("10**10**10 mm", "nothing is worked out"),
    ("1 mil", "thou (0.001 in) or mm"),
    ("1'", "write ft"),
    ("1 MM", "did you mean mm?"),
    ("1 Mm", "did you mean mm?"),
    ("1 IN", "did you mean in?"),
    ("1 Inch", "did you mean in?"),
    ("1 mmm", "did you mean mm"),
    ("1 tho", "did you mean thou"),
    ("1 \u043c\u043c", "not a unit known here; a length takes mm, in"),
    ("1 furlong", "not a unit known here; a length takes mm, in"),
    ("1 rpm", "rpm is a spindle speed; a length takes mm, in"),
    ("1 Nm", "N*m is a torque; a length takes mm"),
    ("1 m/min", "m/min is a feed rate or a surface speed; a length takes mm"),
    ("25 %", "% is a ratio; a length takes mm"),
]


@pytest.mark.parametrize(("text", "words"), REFUSED_AS_LENGTH)
def test_refusals_say_what_would_do(text, words):
    refusal = refused(text, "length")
    assert words in refusal


REFUSED = [
    ("6 mm", "spindle_speed", "mm is a length or a feed per tooth; a spindle speed takes rpm, rev/min, rev"),
    ("18000", "spindle_speed", "for example '18000 rpm'"),
    ("18000 1/min", "spindle_speed", "write rpm for a spindle speed, Hz for a frequency"),
    ("18000 min^-1", "spindle_speed", "write rpm"),
    ("18000 min\u207b\u00b9", "spindle_speed", "digits are 0 to 9"),
    ("300 1/s", "spindle_speed", "write rev/s for a spindle speed"),
    ("300 Hz", "spindle_speed", "Hz is a frequency"),
    ("1885 rad/s", "spindle_speed", "in rpm or rev/s"),
    ("18,000 rpm", "spindle_speed", "write 18000, or 18.000 "),
    ("18k rpm", "spindle_speed", "did you mean rpm?"),
    ("18000 Rpm", "spindle_speed", "did you mean rpm?"),
    ("300 rpm", "frequency", "rpm is a spindle speed; a frequency takes Hz, kHz"),
    ("0.1 mm/rev", "feed_per_tooth", "divide by the flutes and write mm/tooth"),
    ("900 mm/min", "feed_per_tooth", "mm/min is a feed rate; a feed per tooth takes mm"),
    ("0.05 mm/tooth", "feed_rate", "mm/tooth is a feed per tooth; a feed rate takes mm/min"),
    ("0.05 mm/tooth", "length", "mm/tooth is a feed per tooth"),
    ("900 MM/MIN", "feed_rate", "did you mean mm/min?"),
    ("5 M/min", "feed_rate", "did you mean m/min?"),
    ("2 PS", "power", "write W or kW"),
    ("1 KW", "power", "did you mean kW?"),
    ("2 HP", "power", "did you mean hp?"),
    ("10 mpa", "stress", "did you mean MPa?"),
    ("5 lb", "force", "lb is a mass; a force takes N, lbf, kN"),
    ("5 kg", "force", "kg is a mass; a force takes"),
    ("5 in-lb", "torque", "write lbf*in"),
    ("1 g", "acceleration", "g is a mass; an acceleration takes mm/s^2"),
    ("20 C", "temperature", "write degC"),
    ("-300 degC", "temperature", "below absolute zero"),
    ("-0.5 K", "temperature", "below absolute zero"),
    ("1 W/m K", "conductivity", "did you mean W/(m*K)"),
    ("0,25", "ratio", "write 0.25 "),
    ("25 percentage", "ratio", "did you mean %? A ratio takes no unit, %"),
    ("2 min", "angle", "min is a time; an angle takes deg, rad"),
]


@pytest.mark.parametrize(("text", "dimension", "words"), REFUSED)
def test_refusals_in_other_dimensions(text, dimension, words):
    assert words in refused(text, dimension)


def refused(text, dimension):
    """Give the refusal of a text, held to one printable line of a bounded length."""
    with pytest.raises(QuantityError) as caught:
        read(text, dimension)
    message = str(caught.value)
    assert message.isprintable()
    assert len(message) <= MAX_MESSAGE
    return message


@pytest.mark.parametrize(
    ("text", "dimension", "line"),
    [
        ("3,5 mm", "length", "write 3.5 with a decimal point"),
        ("1,500 mm", "length", "write 1500, or 1.500 with a decimal point"),
        ("1,500.5 mm", "length", "write 1500.5"),
        ("1,500,000 mm", "length", "write 1500000"),
        ("\u0663 rpm", "spindle_speed", "write '3' for '\u0663': digits are 0 to 9, fractions like 1/4"),
        (
            "5\u00b2 rpm",
            "spindle_speed",
            "'\u00b2' is read inside a unit only; write the number out in digits 0 to 9",
        ),
        ("5", "length", "a unit is needed, for example '5 mm'; a length takes mm, in, um, cm, m, thou, ft"),
        (
            "5 rpm",
            "feed_per_tooth",
            "rpm is a spindle speed; a feed per tooth takes "
            "mm, in, um, thou, mm/tooth, in/tooth, um/tooth, ...",
        ),
        (
            "5 Rpm",
            "spindle_speed",
            "'Rpm' is not a unit known here; did you mean rpm? A spindle speed takes rpm, rev/min, rev/s",
        ),
        (
            "1 mmm",
            "length",
            "'mmm' is not a unit known here; did you mean mm or m? "
            "A length takes mm, in, um, cm, m, thou, ft",
        ),
        ("1 tab\t", "length", "remove the character U+0009, which cannot be seen"),
        ("6 / mm", "length", "write one number and one unit, for example '6 mm'; nothing is worked out here"),
        ("", "power", "a number with its unit is needed, for example '800 W'"),
    ],
)
def test_whole_lines(text, dimension, line):
    assert refused(text, dimension) == line


@pytest.mark.parametrize("dimension", [name for name in DIMENSIONS if name != "ratio"])
def test_a_missing_unit_names_those_that_would_do(dimension):
    for bare in ("5", 5, 5.0):
        message = refused(bare, dimension)
        assert f"for example '5 {units(dimension)[0]}'" in message
        assert all(unit in message for unit in units(dimension)[:7])


@pytest.mark.parametrize(
    "given_value",
    [True, False, None, [], ["6 mm"], {"mm": 6}, b"6 mm", 6j, object(), math.nan, math.inf, 10**5000, 1e15],
    ids=lambda value: type(value).__name__,
)
@pytest.mark.parametrize("dimension", ["length", "ratio"])
def test_other_things_than_texts_and_numbers(given_value, dimension):
    refused(given_value, dimension)


def test_a_bare_number_serves_where_no_unit_is_needed():
    assert read(0.25, "ratio") == Quantity(0.25, 0.25, "")
    assert read(1, "ratio") == Quantity(1.0, 1.0, "")
    assert type(read(1, "ratio").si) is float


def test_a_default_unit_serves_a_bare_number_only():
    assert read("25", "ratio", default_unit="%") == Quantity(0.25, 25.0, "%")
    assert read("2.5", "length", default_unit="mm") == Quantity(0.0025, 2.5, "mm")
    assert read(2.5, "length", default_unit="in") == Quantity(0.0635, 2.5, "in")
    assert read("1/8", "length", default_unit="in") == Quantity(0.003175, 0.125, "in")
    assert read("0.1 in", "length", default_unit="mm") == Quantity(0.00254, 0.1, "in")
    with pytest.raises(QuantityError, match="rpm is a spindle speed"):
        read("2.5", "length", default_unit="rpm")


def test_zero_has_no_sign():
    for text in ("-0 mm", "-0.0 mm", "-0/4 in"):
        got = read(text, "length")
        assert math.copysign(1.0, got.si) == math.copysign(1.0, got.number) == 1.0


def test_subclasses_of_text_are_texts():
    class Marked(str):
        __slots__ = ()

    assert read(Marked("6 mm"), "length") == Quantity(0.006, 6.0, "mm")


# None of these may run, open, import, compute or expand anything: each is refused as a text.
HOSTILE = [
    "__import__('os').system('true') mm",
    "1 __import__('os')",
    "(lambda: 1)() mm",
    "().__class__ mm",
    "{0.__class__} mm",
    "%s mm",
    "${HOME} mm",
    "`id` mm",
    "9**9**9**9 mm",
    "10**10**8 mm",
    "(10**9 mm)**(10**9)",
    "1 mm**10**10**10",
    "1 mm**0",
    "1 " + "k" * 40 + "m",
    "(" * 40 + "1 mm",
    "1 " + "(" * 40,
    "1 " + "m*" * 20,
    "1 " + "m " * 20,
    "1 " + "-" * 40,
    "1" + " 000" * 11 + "x",
    "1 " + "\u00b0" * 40,
    "2*3 mm",
    "2+3 mm",
    "sqrt(4) mm",
    "1 mm if 1 else 2",
    "1 os.getcwd",
]


@pytest.mark.parametrize("dimension", DIMENSIONS)
def test_nothing_is_evaluated(dimension):
    for text in HOSTILE:
        refused(text, dimension)


@pytest.mark.parametrize("size", [49, 10_000, 1_000_000])
@pytest.mark.parametrize("piece", ["9", "1 ", "0", "m", "(", "\u0663", "1 000 ", "k", "\x00", "1/"])
def test_long_texts_are_not_looked_at(piece, size):
    assert "too long" in refused((piece * size)[:size], "length")


TELLING = string.digits + ".,/+-eE *^()%\"'_\u00b5\u00b2\u00b0\u00a0" + "mincuftrpsNWKgPahHzdlbk"
PLAUSIBLE = st.from_regex(
    r"[+-]?[0-9]{1,4}([. /-][0-9]{1,3}){0,2}(e-?[0-9])? ?[a-zA-Z%/*^\"]{0,7}", fullmatch=True
)


@given(st.text(max_size=60) | st.text(TELLING, max_size=48) | PLAUSIBLE, st.sampled_from(DIMENSIONS))
@example("1 {0}", "length")
@example("{0} mm", "length")
@example("1e", "ratio")
def test_any_text_is_read_or_refused_in_one_line(text, dimension):
    got = read_or_none(text, dimension)
    if got is None:
        assert refused(text, dimension)
    else:
        assert math.isfinite(got.si)
        assert got.unit in units(dimension)
        assert "," not in text


def read_or_none(text, dimension):
    """Read a text, or give None where it is refused as it should be."""
    try:
        return read(text, dimension)
    except QuantityError:
        return None


FOREIGN_DIGITS = [chr(code) for code in range(128, 0x110000) if unicodedata.category(chr(code))[0] == "N"]


@given(st.sampled_from(FOREIGN_DIGITS), st.sampled_from(["{} mm", "1{} mm", "{}5 mm", "1.{} mm", "1/{} in"]))
def test_digits_are_0_to_9(digit, form):
    assert "digits" in refused(form.format(digit), "length")


@given(st.integers(0, 999), st.integers(1, 99), st.integers(2, 100), st.sampled_from([" ", "-"]))
def test_mixed_fractions_add_up(whole, top, bottom, joint):
    if top >= bottom:
        refused(f"{whole}{joint}{top}/{bottom} in", "length")
    else:
        got = read(f"{whole}{joint}{top}/{bottom} in", "length")
        assert got.number == pytest.approx(whole + top / bottom, rel=1e-15)


@given(st.integers(1000, 999_999_999), st.sampled_from([" ", "\u00a0", "\u202f", "\u2009"]))
def test_thousands_in_threes_are_one_number(number, space):
    assert read(f"{number:,} rpm".replace(",", space), "spindle_speed").number == number
