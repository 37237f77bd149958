"""The recipe as a sentence: words, values as typed, the feed that follows, and lines that fit."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from support import books
from swarfbook import records
from swarfbook.book import Book
from swarfbook.decisions.case import load_case
from swarfbook.decisions.following import Facts, leading
from swarfbook.reports.sentence import (
    NO_BREAK,
    VERBS,
    follows,
    sentence,
    sentence_lines,
    sentence_of,
    sentence_text,
    shown,
    trimmed,
)

NAMES = {"material": "6082-T6 flat bar", "tool": "6 mm one-flute end mill", "machine": "Long-bed router"}

FACTS = Facts(flutes=1, diameter=6e-3, edge_path=math.pi * 6e-3)


def said(system: str | None = None, width: int = 1000, **changes: object) -> str:
    values = books.values("recipe", {"allowance": None, **changes})
    text = sentence_text(sentence(values, names=NAMES, facts=FACTS, system=system), width=width)
    return text.replace(NO_BREAK, " ")


def test_a_recipe_is_said_as_a_person_would() -> None:
    assert said() == (
        "Rough 6082-T6 flat bar with the 6 mm one-flute end mill in the Long-bed router: "
        "18 000 rpm (339 m/min), 0.05 mm a tooth (900 mm/min), 3 mm deep, 1.5 mm (25 %) wide, climbing, "
        "24 mm out of the collet, air blast."
    )


def test_every_operation_direction_and_cooling_has_its_words() -> None:
    assert set(VERBS) == set(records.choices("recipe", "operation"))
    assert said(operation="through-cut").startswith("Cut through 6082-T6")
    assert said(operation="face-rough").startswith("Rough-face 6082-T6")
    assert ", cutting conventionally, " in said(direction="conventional")
    for cooling in records.choices("recipe", "cooling"):
        assert said(cooling=cooling).endswith(f", {cooling.replace('-', ' ')}.")


def test_the_feed_that_is_written_stands_first_and_the_other_follows() -> None:
    assert "720 mm/min (0.04 mm a tooth)" in said(feed_per_tooth=None, feed_rate="720 mm/min")
    assert "0.002 in a tooth (36 in/min)" in said(feed_per_tooth="0.002 in/tooth")
    assert "0.05 mm a tooth, 3 mm deep" in said(spindle_speed="fast")


def test_what_follows_is_right_for_the_cutter() -> None:
    values = books.values("recipe")
    three = replace(FACTS, flutes=3)
    assert follows("feed_rate", values, three).text.replace(NO_BREAK, " ") == "2700 mm/min"
    assert follows("feed_rate", values, None) is None
    assert follows("feed_per_tooth", values, three) is None
    # 6 mm at 18 000 rpm, and the same in feet: pi x 6 mm x 18 000 / min = 339.3 m/min = 1113 ft/min
    assert follows("cutting_speed", values, FACTS).text == "339 m/min"
    assert follows("cutting_speed", values, FACTS, "imperial").text.replace(NO_BREAK, " ") == "1113 ft/min"
    assert follows("radial_share", {**values, "radial_width": "0.06 in"}, FACTS).text == "25.4 %"


def test_a_value_that_follows_can_lead() -> None:
    values = books.values("recipe", {"radial_width": "0.06 in"})
    assert leading("radial_share", 0.5, values, FACTS) == {"radial_width": "0.11811 in"}
    assert leading("cutting_speed", 300 / 60, values, FACTS) == {"spindle_speed": "15915 rpm"}
    dial = replace(FACTS, dial=(10_000 / 60, 15_000 / 60, 16_000 / 60))
    assert leading("cutting_speed", 300 / 60, values, dial) == {"spindle_speed": "15000 rpm"}


def test_what_is_left_and_the_tolerance_are_said_where_they_are_given() -> None:
    text = said(allowance="0.5 mm", tolerance="0.1 mm", wear=1.3)
    assert text.endswith("air blast, leaving 0.5 mm on the wall, to within 0.1 mm, wear factor 1.3.")


@pytest.mark.parametrize(
    ("raw", "key", "system", "text"),
    [
        ("3 mm", "axial_depth", None, "3 mm"),
        ("3.0 mm", "axial_depth", None, "3.0 mm"),
        ("1/4 in", "axial_depth", None, "1/4 in"),
        ("1 1/4 in", "axial_depth", None, "1 1/4 in"),
        ('0.25"', "axial_depth", None, "0.25 in"),
        ("20 um", "allowance", None, "20 µm"),
        ("18000 rpm", "spindle_speed", None, "18 000 rpm"),
        ("18 000 rpm", "spindle_speed", None, "18 000 rpm"),
        ("9000 rpm", "spindle_speed", None, "9000 rpm"),
        ("1e3 rpm", "spindle_speed", None, "1000 rpm"),
        ("0.05 mm/tooth", "feed_per_tooth", None, "0.05 mm"),
        ("24 mm", "stickout", "metric", "24 mm"),
        ("24.0 mm", "stickout", "metric", "24.0 mm"),
        ("0.05 mm/tooth", "feed_per_tooth", "metric", "0.05 mm"),
        ("20 um", "allowance", "metric", "20 µm"),
        ("1/4 in", "axial_depth", "imperial", "1/4 in"),
        ("2 thou", "feed_per_tooth", "imperial", "2 thou"),
        ("20.50 in/min", "feed_rate", "imperial", "20.50 in/min"),
        ("18000 rpm", "spindle_speed", "metric", "18 000 rpm"),
        ("18000 rpm", "spindle_speed", "imperial", "18 000 rpm"),
        ("300 rev/s", "spindle_speed", "imperial", "300 rev/s"),
        ("1.30", "wear", "imperial", "1.30"),
        ("3 mm", "axial_depth", "imperial", "0.118 in"),
        ("0.005 in", "axial_depth", "metric", "0.127 mm"),
        ("0.12 in", "axial_depth", "metric", "3.05 mm"),
        ("2 in", "stickout", "metric", "50.8 mm"),
        ("0.5 in", "stickout", "metric", "12.7 mm"),
        ("25.4 mm", "stickout", "imperial", "1 in"),
        ("100 in/min", "feed_rate", "metric", "2540 mm/min"),
        ("2540 mm/min", "feed_rate", "imperial", "100 in/min"),
        ("0.1 in", "axial_depth", "metric", "2.54 mm"),
        ("3 furlongs", "axial_depth", None, "3 furlongs"),
        ("3 furlongs", "axial_depth", "metric", "3 furlongs"),
        (None, "axial_depth", None, "…"),
        ("rough", "operation", None, "rough"),
    ],
)
def test_values_stand_as_typed_unless_a_system_is_asked_for(
    raw: object, key: str, system: str | None, text: str
) -> None:
    assert shown(raw, key, system).replace(NO_BREAK, " ") == text


def test_every_value_of_a_recipe_is_a_piece_with_its_key() -> None:
    pieces = sentence(books.values("recipe"), names=NAMES, facts=FACTS)
    keys = [piece.key for piece in pieces if piece.key]
    assert keys == [
        "operation", "material", "tool", "machine", "spindle_speed", "cutting_speed", "feed_per_tooth",
        "feed_rate", "axial_depth", "radial_width", "radial_share", "direction", "stickout", "cooling",
        "allowance",
    ]  # fmt: skip


@pytest.mark.parametrize("width", [20, 34, 60, 80, 120])
def test_lines_fit_and_values_hold_together(width: int) -> None:
    pieces = sentence(books.values("recipe"), names=NAMES, facts=FACTS)
    lines = sentence_lines(pieces, width=width)
    texts = ["".join(piece.text for piece in line) for line in lines]
    assert all(len(text) <= width for text in texts)
    whole = " ".join(texts).replace(NO_BREAK, " ")
    assert whole == "".join(piece.text for piece in pieces).replace(NO_BREAK, " ")
    for value in ("18 000 rpm", "0.05 mm", "1.5 mm", "24 mm"):
        assert any(value.replace(" ", NO_BREAK) in text for text in texts)


def test_a_word_longer_than_the_line_stands_alone() -> None:
    pieces = sentence(books.values("recipe"), names={**NAMES, "tool": "x" * 50}, facts=FACTS)
    texts = ["".join(piece.text for piece in line) for line in sentence_lines(pieces, width=30)]
    assert "x" * 50 in texts


def test_a_resolved_recipe_is_said_with_the_names_of_its_records(make_book) -> None:
    root: Path = make_book(**{"tool.flutes": 2})
    text = sentence_text(sentence_of(load_case(Book.open(root), books.RECIPE)), width=500)
    assert "with the 6 mm one-flute end mill in the Long-bed router" in text
    assert "1800 mm/min" in text.replace(NO_BREAK, " ")


def test_a_book_in_metric_says_the_metric_recipe_as_typed() -> None:
    assert said("metric") == said()
    assert said("imperial", feed_per_tooth="0.002 in/tooth", axial_depth="1/8 in").endswith(
        "18 000 rpm (1113 ft/min), 0.002 in a tooth (36 in/min), 1/8 in deep, 0.0591 in (25 %) wide, "
        "climbing, 0.945 in out of the collet, air blast."
    )


@pytest.mark.parametrize(
    ("text", "short"),
    [
        ("3.050 mm", "3.05 mm"), ("24.0 mm", "24 mm"), ("0.0500 mm", "0.05 mm"), ("900 mm/min", "900 mm/min"),
        ("18 000 rpm", "18 000 rpm"), ("30.0°", "30°"), ("1.005 in", "1.005 in"), ("100 mm", "100 mm"),
    ],
)  # fmt: skip
def test_only_zeros_that_end_a_fraction_go(text: str, short: str) -> None:
    assert trimmed(text) == short
