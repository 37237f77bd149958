"""What a list names: the cut, and a speed only where it is strained."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from support import books
from swarfbook.book import Book
from swarfbook.cli.text import list_text
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import Check, check
from swarfbook.reports.listing import SPEED_MARKS, telling
from swarfbook.tui.shelf import Told

LIGHT = {"machine.axes.thrust": "900 N"}


def checked(make_book: Callable[..., Path], **changes: object) -> Check:
    return check(load_case(Book.open(make_book(**changes)), books.RECIPE))


def test_a_speed_that_holds_gives_way_to_the_tightest_of_the_cut(make_book: Callable[..., Path]) -> None:
    one = checked(make_book, **LIGHT)
    assert one.tightest.name == "spindle-speed"
    hard = [limit for limit in one.limits if limit.severity == "hard" and limit.use is not None]
    assert telling(one) == max(
        (limit for limit in hard if limit.name not in SPEED_MARKS), key=lambda at: at.use
    )


@pytest.mark.parametrize(("speed", "verdict"), [("20000 rpm", "tight"), ("17000 rpm", "over")])
def test_a_strained_speed_is_named(make_book: Callable[..., Path], speed: str, verdict: str) -> None:
    one = checked(make_book, **LIGHT, **{"tool.max_speed": speed})
    assert (telling(one).name, telling(one).verdict) == ("tool-speed", verdict)


def test_the_tightest_is_named_where_it_is_of_the_cut(make_book: Callable[..., Path]) -> None:
    one = checked(make_book)
    assert telling(one) == one.tightest
    assert one.tightest.name == "axis-thrust"


def test_both_lists_name_it(make_book: Callable[..., Path]) -> None:
    one = checked(make_book, **LIGHT)
    assert "highest speed" not in list_text("Workshop", [one]) + Told.of(one).title
    assert Told.of(one).verdict == "holds"
