"""What may be typed over a value, and what stands in the file after it."""

from __future__ import annotations

import pytest

from swarfbook.quantities import QuantityError
from swarfbook.tui.amend import amended


@pytest.mark.parametrize(
    ("typed", "before", "dimension", "text"),
    [
        ("2.5", "3 mm", "length", "2.5 mm"),
        (" 2.5 ", "0.1 in", "length", "2.5 in"),
        ("2.5mm", "3 mm", "length", "2.5 mm"),
        ("0.10 in", "3 mm", "length", "0.1 in"),
        ("1/4", "0.25 in", "length", "1/4 in"),
        ("1 1/4 in", "3 mm", "length", "1 1/4 in"),
        ('1/4"', "3 mm", "length", "0.25 in"),
        ("+10 %", "3 mm", "length", "3.3 mm"),
        ("+10%", "3 mm", "length", "3.3 mm"),
        ("-5 %", "18000 rpm", "spindle_speed", "17100 rpm"),
        ("-0.2", "3 mm", "length", "2.8 mm"),
        ("+0.5 mm", "1/4 in", "length", "0.269685 in"),
        ("+1000", "18 000 rpm", "spindle_speed", "19000 rpm"),
        ("18 000", "16000 rpm", "spindle_speed", "18000 rpm"),
        ("0.002 in/tooth", "0.05 mm", "feed_per_tooth", "0.002 in/tooth"),
        ("0.04", "0.05 mm/tooth", "feed_per_tooth", "0.04 mm/tooth"),
        ("0.1", "", "length", "0.1 mm"),
        ("1.3", "1.0", "ratio", "1.3"),
    ],
)
def test_a_value_is_taken_in_the_unit_it_stood_in(typed: str, before: str, dimension: str, text: str) -> None:
    assert amended(typed, before=before, dimension=dimension) == text


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("3,5", "3.5"),
        ("", "mm"),
        ("mm", "mm"),
        ("3 rpm", "length"),
        ("3 furlongs", "mm"),
        ("0x10", "mm"),
        ("10**10**10 mm", "mm"),
        ("-3", "nothing"),
        ("-100 %", "nothing"),
        ("+x %", "0.25"),
        ("-", "mm"),
    ],
)
def test_what_is_no_value_is_refused_with_what_would_do(typed: str, words: str) -> None:
    with pytest.raises(QuantityError, match=words):
        amended(typed, before="3 mm", dimension="length")
