"""Pens for keys of machines, cutters and materials: what is typed as it goes into the file."""

from __future__ import annotations

import pytest

from swarfbook.quantities import QuantityError
from swarfbook.records import example
from swarfbook.tui.line_edit import LineEdit
from swarfbook.tui.pens import WordPen
from swarfbook.tui.record_pens import pen_for


def written(kind: str, key: str, value: object, text: str) -> object:
    pen = pen_for(kind, key, value, None)
    assert pen is not None
    pen.line = LineEdit.holding(text)  # type: ignore[attr-defined]
    return dict(pen.changes()).get(key, "unchanged")


@pytest.mark.parametrize(
    ("kind", "key", "value", "text", "stands"),
    [
        ("machine", "axes.thrust", "250 N", "300", "300 N"),
        ("machine", "axes.thrust", None, "70 lbf", "70 lbf"),
        ("machine", "axes.thrust", "250 N", "", None),
        ("machine", "spindle.efficiency", 0.8, "0.75", 0.75),
        ("machine", "spindle.efficiency", None, "75 %", "75 %"),
        ("machine", "spindle.efficiency", 0.8, "", None),
        ("machine", "name", "Old", "New one", "New one"),
        ("machine", "spindle.overload.duty", "S6 40%", "S3 25%", "S3 25%"),
        ("machine", "spindle.overload.duty", "S6 40%", "", None),
        ("machine", "spindle.speeds", None, '["10000 rpm", "12000 rpm"]', ["10000 rpm", "12000 rpm"]),
        (
            "machine",
            "spindle.speeds",
            None,
            "10000, 12000rpm , 200 rev/s",
            ["10000 rpm", "12000 rpm", "200 rev/s"],
        ),
        ("machine", "spindle.torque_curve", None, '[["6000 rpm", "0.8 N*m"]]', [["6000 rpm", "0.8 N*m"]]),
        ("machine", "spindle.speeds", ["10000 rpm"], "", None),
        ("tool", "flutes", 1, "3", 3),
        ("tool", "helix", "30 deg", "-30", "-30 deg"),
        ("material", "overrides.mc", None, "0.2", 0.2),
    ],
)
def test_what_is_typed_stands_in_the_file_as_a_person_would_write_it(
    kind: str, key: str, value: object, text: str, stands: object
) -> None:
    found = written(kind, key, value, text)
    assert found == stands
    assert type(found) is type(stands)


@pytest.mark.parametrize(
    ("kind", "key", "text", "words"),
    [
        ("tool", "flutes", "0", "whole number from 1 to 24"),
        ("tool", "flutes", "2.5", "whole number"),
        ("tool", "diameter", "", "mm"),
        ("machine", "name", "", "1 to 200"),
        ("machine", "spindle.overload.duty", "all day", "IEC 60034-1"),
        ("machine", "spindle.speeds", "10000 rpm, 12000 mm", "spindle speed takes rpm"),
        ("machine", "spindle.speeds", '["10000 rpm"', "brackets"),
        ("machine", "spindle.torque_curve", '"6000 rpm", "1 N*m"', "brackets"),
        ("machine", "spindle.efficiency", "1.5", "at most 1"),
    ],
)
def test_what_will_not_do_is_refused_with_what_would(kind: str, key: str, text: str, words: str) -> None:
    with pytest.raises(QuantityError, match=words):
        written(kind, key, example(kind, key), text)


def test_words_are_walked_and_what_may_be_left_out_has_a_place_for_that() -> None:
    rating = pen_for("machine", "spindle.rating", None, None)
    assert isinstance(rating, WordPen)
    assert [option.value for option in rating.options] == ["", "shaft", "input"]
    assert rating.place == 0
    motor = pen_for("machine", "spindle.motor", "servo", None)
    assert isinstance(motor, WordPen)
    assert [option.value for option in motor.options] == ["induction", "universal", "servo"]
    assert motor.place == 2


def test_a_list_that_no_line_holds_is_left_to_the_editor() -> None:
    assert (
        pen_for("machine", "spindle.speeds", [f"{speed} rpm" for speed in range(10000, 10040)], None) is None
    )
