"""Pens: numbers and words being written."""

from __future__ import annotations

import pytest

from swarfbook.quantities import QuantityError
from swarfbook.tui.line_edit import LineEdit
from swarfbook.tui.pens import NumberPen, Option, WordPen


def number(key: str, before: str, text: str) -> NumberPen:
    return NumberPen(key, before, LineEdit.holding(text))


def words(*values: str) -> WordPen:
    return WordPen("tool", [Option(value, value.replace("-", " ")) for value in values])


def press(pen: WordPen, text: str) -> str:
    for character in text:
        pen.press(character, character)
    return pen.changes()["tool"]


def test_either_feed_takes_the_others_place() -> None:
    assert number("feed_rate", "900 mm/min", "800").changes() == {
        "feed_rate": "800 mm/min",
        "feed_per_tooth": None,
    }
    assert number("feed_per_tooth", "0.05 mm", "0.04").changes() == {
        "feed_per_tooth": "0.04 mm",
        "feed_rate": None,
    }


def test_what_may_be_left_out_goes_when_it_is_emptied() -> None:
    assert number("tolerance", "0.1 mm", " ").changes() == {"tolerance": None}
    with pytest.raises(QuantityError):
        number("axial_depth", "3 mm", "").changes()


def test_a_value_out_of_its_range_is_refused() -> None:
    with pytest.raises(QuantityError, match="above 0"):
        number("axial_depth", "3 mm", "0").changes()


def of_tool(key: str, before: str, text: str) -> dict[str, object]:
    return dict(NumberPen(key, before, LineEdit.holding(text), kind="tool").changes())


def test_a_pen_writes_the_keys_of_other_records() -> None:
    assert of_tool("flute_length", "16 mm", "+2") == {"flute_length": "18 mm"}
    assert of_tool("edge_radius", "5 um", "") == {"edge_radius": None}
    with pytest.raises(QuantityError, match="mm"):
        of_tool("flute_length", "16 mm", "")
    with pytest.raises(QuantityError, match="above -80 deg"):
        of_tool("helix", "30 deg", "85")


def test_a_minus_is_the_sign_of_an_angle_that_may_have_one() -> None:
    assert of_tool("helix", "30 deg", "-25") == {"helix": "-25 deg"}
    assert of_tool("taper", "2 deg", "-0.5") == {"taper": "1.5 deg"}


def test_the_unit_stands_by_until_one_is_typed() -> None:
    assert number("axial_depth", "3 mm", "2.").shown() == ("2. mm", 2)
    assert number("axial_depth", "", "2").shown() == ("2 mm", 1)
    assert number("axial_depth", "3 mm", "2 i").shown() == ("2 i", 3)
    assert number("axial_depth", "3 mm", "+5 %").shown() == ("+5 %", 4)


def test_up_and_down_walk_the_words_round() -> None:
    pen = words("ball", "em-4mm", "em-6mm")
    assert pen.press("up", None)
    assert pen.changes() == {"tool": "em-6mm"}
    pen.press("down", None)
    pen.press("down", None)
    assert pen.shown() == ("em 4mm", None)


def test_letters_find_words_that_begin_so_first_and_a_slip_starts_afresh() -> None:
    pen = words("semi-finish", "finish", "face-finish", "slot")
    assert press(pen, "fi") == "finish"
    assert press(pen, "x") == "finish"
    pen.letters = ""
    assert press(pen, "facx") == "face-finish"
    assert press(pen, "s") == "semi-finish"
    pen.press("backspace", None)
    assert press(pen, "slo") == "slot"


def test_keys_a_pen_has_no_use_for_are_not_taken() -> None:
    assert not words("a").press("pagedown", None)
    assert not number("axial_depth", "3 mm", "3").press("up", None)
