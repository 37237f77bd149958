"""The reply to a customer: what is said of a job worked out by hand, in lines that fit a letter."""

from __future__ import annotations

from copy import deepcopy

import pytest

from support.books import values
from swarfbook.decisions.jobs.making import feature_tools, feature_verdict
from swarfbook.decisions.jobs.stocking import stock_plan
from swarfbook.records import parse
from swarfbook.records.examples import EXAMPLES
from swarfbook.reports.reply import reply

WINDOW = {"id": "window", "kind": "pocket", "depth": "10 mm", "inside_corner": "0 mm"}
OUTLINE = {"id": "outline", "kind": "outside", "depth": "10 mm"}


def drawer(**more):
    three = {"diameter": "3 mm", "shank_diameter": "3 mm", "flute_length": "12 mm"}
    raw = {"three": three, "six": {}} | more
    return {name: parse("tool", values("tool", changes), where="x") for name, changes in raw.items()}


def job(*features, **changes):
    raw = deepcopy(EXAMPLES["job"])
    raw["features"] = list(features)
    raw["steps"] = [{"recipe": "x", "feature": features[0]["id"], "path": "1 m"}]
    for dotted, value in changes.items():
        *tables, key = dotted.split("__")
        table = raw
        for name in tables:
            table = table[name]
        table[key] = value
    return parse("job", raw, where="jobs/x.toml")


def letter(*features, tools=None, system="metric", family="wrought-aluminium", **changes):
    one = job(*features, **changes)
    found = {
        feature.id: feature_verdict(
            feature, feature_tools(feature, drawer() if tools is None else tools, machine_stiffness=3e6)
        )
        for feature in one.features
    }
    return reply(one, found, stock_plan(one, family), system=system)


def flat(text):
    return " ".join(text.split())


def test_a_sharp_window_is_told_with_its_cures():
    text = flat(letter(WINDOW, OUTLINE))
    assert "Can be made as drawn: 'outline'." in text
    # 1.5 mm is the 3 mm cutter's radius; 1.5 / 0.9 rounded up is 1.7 mm.
    assert (
        "1. The inside corners of 'window' are drawn sharp; our smallest cutter leaves 1.5 mm. A corner of "
        "1.7 mm, or a relief hole in each corner, or corners finished with a file, would do."
    ) in text


@pytest.mark.parametrize(
    ("feature", "said"),
    [
        (
            {"id": "notch", "kind": "pocket", "depth": "10 mm", "inside_corner": "1 mm"},
            "'notch' are drawn with 1 mm; our smallest cutter leaves 1.5 mm. A corner of 1.7 mm, or another "
            "cutter of at most 1.8 mm with a reach of at least 10.5 mm, would do.",
        ),
        (
            {"id": "slot", "kind": "slot", "depth": "10 mm", "width": "2.5 mm"},
            "'slot' is 2.5 mm wide; our smallest cutter for it is 3 mm. A width of 3.1 mm, or another cutter "
            "of at most 2.5 mm with a reach of at least 10.5 mm, would do.",
        ),
        (
            {"id": "rim", "kind": "edge", "depth": "0.5 mm"},
            "None of our cutters can make 'rim' as drawn. A chamfer cutter of the drawn angle with a reach "
            "of at least 0.5 mm would do.",
        ),
    ],
)
def test_each_feature_that_cannot_be_made_says_why_and_what_would_do(feature, said):
    assert said in flat(letter(feature))


def test_a_wall_beyond_the_longest_cutter_says_both_depths():
    # 50 mm long, 15 mm of it gripped: 35 mm reach, 34.5 mm with room.
    deep = {"id": "well", "kind": "pocket", "depth": "40 mm"}
    text = flat(letter(deep, tools={"six": drawer()["six"]}, stock__thickness="50 mm"))
    assert "The wall of 'well' takes a reach of 40 mm; ours is 35 mm. A depth of at most 34.5 mm, or" in text


def test_what_can_be_made_with_trouble_says_which():
    # 3.0 / 0.9 is 3.34 mm, rounded up.
    tall = {"id": "tall", "kind": "outside", "depth": "20 mm", "inside_corner": "3.2 mm"}
    text = flat(letter(tall, tools={"six": drawer()["six"]}))
    assert "'tall': above 16 mm our cutter rubs on the wall of 20 mm; corners of 3.34 mm or more" in text
    slot = {"id": "slot", "kind": "slot", "depth": "10 mm", "width": "3 mm"}
    assert "'slot': as wide as our cutter" in flat(letter(slot))


def test_a_part_as_tall_as_its_bar_says_what_would_do():
    text = flat(letter(OUTLINE, part__thickness="25.4 mm"))
    assert (
        "The part is 25.4 mm thick; the bar of 25.4 mm leaves 25 mm. A part of at most 25 mm, or stock of "
        "30 mm, the next size sold, would do."
    ) in text
    assert "would save" not in text


def test_parts_too_many_for_the_piece_are_told_in_a_row():
    # Two of 90 mm and 2 mm between are 182 mm of 101.2 mm; along, two of 280 and 2 are 562 of 304.6 mm.
    text = flat(letter(OUTLINE, pieces=2))
    assert "2 parts side by side are 562 mm long; the bar of 305 mm leaves 304.6 mm." in text
    # (304.6 - 2) / 2 = 151.3 mm; 305 + 257.4 = 562.4 mm.
    assert "A part of at most 151.3 mm, or stock of 562.4 mm or more, would do." in text


def test_stock_under_its_size_is_told():
    text = flat(letter(OUTLINE))
    assert "The bar may be 0.3 mm under its thickness of 25.4 mm; a part 0.3 mm smaller would be sure" in text


def test_a_smaller_part_that_saves_a_fifth_is_told_with_the_size():
    wide = {"stock__width": "5 in", "stock__sold_width": "5 in", "part__width": "103 mm"}
    text = flat(letter(OUTLINE, **wide))
    assert (
        "A part 1.8 mm less in width, at 101.2 mm, comes out of a bar 101.6 mm wide: saves about 20 %" in text
    )


def test_inches_never_ask_for_less_than_is_needed():
    text = flat(letter(WINDOW, system="imperial"))
    # 1.7 mm is 0.06693 in: 0.067 in and not 0.066 in. 1.5 mm is 0.059 in.
    assert "leaves 0.059 in. A corner of 0.067 in" in text
    assert " mm" not in text
    # A slot of 2.5 mm is 0.0984 in, which a cutter of 0.099 in is not in.
    slot = {"id": "slot", "kind": "slot", "depth": "10 mm", "width": "2.5 mm"}
    assert "cutter of at most 0.098 in with a reach of at least 0.414 in" in flat(
        letter(slot, system="imperial")
    )


@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_a_letter_fits_its_columns_and_ends_with_the_caution(system):
    text = letter(
        WINDOW, OUTLINE, system=system, name="Mast clamp plates with a rather long name of their own"
    )
    assert max(map(len, text.splitlines())) <= 76
    assert "\u00a0" not in text
    assert "This is an estimate" in text.split("\n\n")[-1]
    assert text.startswith("Mast clamp plates")
    assert "Dear" not in text
