"""The pages on measuring: each names a key that exists, and fits the page."""

from __future__ import annotations

import pytest

from swarfbook import records
from swarfbook.reports.measuring import topic, topic_lines, topics

KEYS = {
    "stiffness": ("machine", ["tool_tip.stiffness"]),
    "run-out": ("machine", ["spindle.runout"]),
    "thrust": ("machine", ["axes.thrust"]),
    "edge-radius": ("tool", ["edge_radius"]),
    "power": ("machine", ["spindle.idle_power", "spindle.efficiency"]),
    "rating": ("machine", ["spindle.rating"]),
}


def test_every_unknown_has_a_page():
    assert {one.name for one in topics()} == set(KEYS)


@pytest.mark.parametrize("name", KEYS)
def test_a_page_says_where_the_value_goes_and_the_key_exists(name):
    one = topic(name)
    kind, keys = KEYS[name]
    assert one.key.startswith(f"{kind}s/ID.toml")
    for key in keys:
        assert key.rpartition(".")[2] in one.key
        assert key in records.record_keys(kind)


@pytest.mark.parametrize("width", [60, 80, 120])
@pytest.mark.parametrize("one", topics(), ids=lambda one: one.name)
def test_a_page_fits_and_warns(one, width):
    lines = topic_lines(one, width=width)
    assert max(map(len, lines)) <= width
    assert "hands off" in " ".join(lines)
    assert len(one.steps) >= 3


def test_there_is_no_page_for_what_is_not_asked():
    assert topic("colour") is None
