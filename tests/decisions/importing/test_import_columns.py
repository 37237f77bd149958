"""The words by which columns are known: each leads to a key, and none to two."""

from __future__ import annotations

from pathlib import Path

import pytest

from swarfbook import quantities
from swarfbook.book.ids import FOLDERS
from swarfbook.book.spreadsheets.sheet import Row, Sheet
from swarfbook.decisions.importing.columns import Wish, columns_of
from swarfbook.decisions.importing.rows import slug
from swarfbook.decisions.importing.words import HEADINGS, WORDS, folded, word_at
from swarfbook.records import check_id, choices, dimension, record_keys
from swarfbook.tables import load

PAGE = Path(__file__).parents[3] / "docs/spreadsheets.md"


def column(kind, heading):
    (one,) = columns_of(kind, Sheet("t.csv", (heading,), (Row(2, ("",)),), ""), Wish({}, {}))
    return one


def test_every_code_of_iso_13399_stands_for_a_key_in_its_unit_or_is_told_as_left_out():
    for row in load("iso_13399").rows:
        one = column("tool", row.id)
        assert one.key == row.text("key")
        assert one.unit == (row.text("unit") if row.text("key") else "")
        assert row.text("name") in one.told
        assert "ISO 13399" in one.told
        if row.text("key"):
            of = dimension("tool", row.text("key"))
            assert (of is None) == (row.text("unit") == "")
            assert of is None or row.text("unit") in quantities.units(of)


def test_the_page_has_every_code_with_its_key_and_unit():
    lines = PAGE.read_text().splitlines()
    left_out = next(line for line in lines if line.startswith("| BBR"))
    for row in load("iso_13399").rows:
        if row.text("key"):
            (line,) = (line for line in lines if line.startswith(f"| {row.id} |"))
            assert f"| {row.text('name')} | `{row.text('key')}`" in line
            assert line.endswith(f"| {row.text('unit')} |".replace("|  |", "| |"))
        else:
            assert row.id in left_out


@pytest.mark.parametrize("kind", FOLDERS)
def test_plain_words_lead_to_keys_and_stand_in_nobody_s_way(kind):
    keys = record_keys(kind)
    names = {folded(key) for key in keys}
    seen = []
    for key, words in HEADINGS[kind].items():
        assert key in keys
        assert all(word == folded(word) for word in words)
        assert not names & set(words)
        seen += words
    assert {word for word in seen if seen.count(word) > 1} <= {"feed"}


def test_words_for_words_mean_one_that_may_stand():
    for key, words in WORDS.items():
        kind = "tool" if key in record_keys("tool") else "recipe"
        for word, meant in words.items():
            assert meant in (choices(kind, key) or ())
            assert word_at(key, word.upper(), choices(kind, key) or ()) == meant


@pytest.mark.parametrize(
    ("kind", "heading", "key", "unit"),
    [
        ("tool", "ID", "id", ""),
        ("tool", "Flute_Length (mm)", "flute_length", "mm"),
        ("tool", "max rpm", "max_speed", "rpm"),
        ("tool", "dc [in]", "diameter", "in"),
        ("tool", "DC_mm", "diameter", "mm"),
        ("tool", "Name (English)", "name", ""),
        ("recipe", "feed", "feed_rate", ""),
        ("recipe", "Feed (in/min)", "feed_rate", "in/min"),
        ("recipe", "feed [mm]", "feed_per_tooth", "mm"),
        ("recipe", "derived.from", "derived.from", ""),
        ("recipe", "parent digest", "derived.parent_digest", ""),
        ("machine", "max feed, m/min", "axes.max_feed", "m/min"),
        ("machine", "spindle.max_speed [rev/s]", "spindle.max_speed", "rev/s"),
        ("recipe", "DC", "", ""),
    ],
)
def test_headings_go_where_a_person_means(kind, heading, key, unit):
    one = column(kind, heading)
    assert (one.key, one.unit) == (key, unit)


@pytest.mark.parametrize(
    ("name", "record"),
    [
        ("1/4 in two-flute", "1-4-in-two-flute"),
        ("Fräser Ø6 für Alu, spitz!", "fraser-o6-fur-alu-spitz"),
        ("Maß", "mass"),
        ("漢字", ""),
        ("x" * 100, "x" * 80),
        (None, ""),
        ("-" * 5, ""),
    ],
)
def test_an_id_is_made_of_a_name(name, record):
    assert slug(name) == record
    if record:
        assert check_id(record) == record
