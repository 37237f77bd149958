"""The why as text: what is assumed says how to measure it, and only that."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from support import books
from swarfbook.book import Book
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import check
from swarfbook.decisions.why import Why, why
from swarfbook.reports.measuring import topics_for
from swarfbook.reports.why import why_lines


def found(make_book: Callable[..., Path], name: str, **changes: object) -> Why:
    return why(check(load_case(Book.open(make_book(**changes)), books.RECIPE)), name)


@pytest.mark.parametrize(
    ("key", "limit", "page"),
    [
        ("machine.tool_tip", "deflection", "stiffness"),
        ("machine.axes.thrust", "axis-thrust", "thrust"),
        ("machine.spindle.runout", "axis-thrust", "run-out"),
        ("tool.edge_radius", "chip-thin", "edge-radius"),
        ("machine.spindle.rating", "spindle-power", "rating"),
    ],
)
def test_what_is_assumed_says_which_page_tells_how_to_measure_it(
    make_book: Callable[..., Path], key: str, limit: str, page: str
) -> None:
    lines = why_lines(found(make_book, limit, **{key: None}), width=80)
    assert f"  measure it: swarfbook measure {page}" in lines


def test_what_is_known_needs_no_measuring(make_book: Callable[..., Path]) -> None:
    known = found(
        make_book, "axis-thrust", **{"machine.axes.thrust": "250 N", "machine.spindle.runout": "0 mm"}
    )
    assert "measure it" not in "\n".join(why_lines(known, width=80))


def test_the_screen_may_word_the_way_to_a_page_itself(make_book: Callable[..., Path]) -> None:
    lines = why_lines(
        found(make_book, "axis-thrust", **{"machine.axes.thrust": None}), width=80, page="m {topic.title}"
    )
    assert any(line.startswith("  measure it: m thrust: how hard an axis pushes") for line in lines)


def test_every_page_is_found_by_its_inputs_in_the_pages_order() -> None:
    assert [one.name for one in topics_for(["rating", "efficiency", "idle_power", "runout"])] == [
        "run-out", "power", "rating",
    ]  # fmt: skip
    assert topics_for(["helix"]) == ()


@pytest.mark.parametrize("width", [60, 80, 120])
def test_lines_fit(make_book: Callable[..., Path], width: int) -> None:
    lines = why_lines(found(make_book, "deflection", **{"machine.tool_tip": None}), width=width)
    assert max(map(len, lines)) <= width
