"""The table of methods, and the child beside its parent."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from support import books
from swarfbook.book import Book
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import Check, check
from swarfbook.decisions.derate import MOVES, derate
from swarfbook.reports.derating import beside, method_table
from swarfbook.reports.sentence import NO_BREAK


@pytest.fixture
def parent(make_book: Callable) -> Check:
    return check(load_case(Book.open(make_book(**{"machine.axes.thrust": "600 N"})), books.RECIPE))


def test_ratios_stand_under_their_method_and_those_above_the_promise_in_brackets(parent: Check) -> None:
    speed, depth = (derate(parent.case, margin=0.25, method=method) for method in ("speed", "depth"))
    table = method_table(parent, {"speed": speed, "depth": depth, "feed": None})
    rows = {label: [column[at] for column in table.cells] for at, label in enumerate(table.labels)}
    assert rows[""] == ["short", "ready", "working"]
    assert rows["cutting power"][0] == "0.75"
    assert rows["peak side force"][0] == "(1.00)"
    assert not any(column.startswith("(") for column in rows["peak side force"][1:])
    assert rows["removal rate"][2] == "…"
    assert dict(zip(table.labels, table.now, strict=True))["removal rate"] == "4.05 cm³/min"


def test_the_parents_loads_are_in_the_units_of_the_book(parent: Check) -> None:
    table = method_table(parent, dict.fromkeys(MOVES), system="imperial")
    now = dict(zip(table.labels, table.now, strict=True))
    assert now["removal rate"].endswith(" in³/min")
    assert now["cutting power"].endswith(" hp")
    assert now["peak side force"].endswith(" lbf")
    assert now["thickest chip"].endswith(" thou")


@pytest.mark.parametrize("width", [48, 60, 80, 120])
@pytest.mark.parametrize("chosen", range(len(MOVES)))
def test_lines_fit_and_the_chosen_method_is_always_among_them(parent: Check, width: int, chosen: int) -> None:
    table = method_table(parent, dict.fromkeys(MOVES))
    lines = ["".join(line) for line in table.lines(width=width, chosen=chosen)]
    assert all(len(line) <= width for line in lines)
    assert f" [{table.methods[chosen]}]" in lines[0]
    assert len({len(line) for line in lines}) == 1


def test_at_eighty_columns_all_methods_are_in_sight(parent: Check) -> None:
    heading = "".join(method_table(parent, dict.fromkeys(MOVES)).lines(width=80, chosen=1)[0])
    assert heading.split() == ["now", "least", "time", "[engagement]", "depth", "speed", "feed"]


@pytest.mark.parametrize("width", [60, 80, 120])
def test_wide_numbers_push_a_column_out_and_are_not_cut(parent: Check, width: int) -> None:
    table = replace(method_table(parent, dict.fromkeys(MOVES)), now=("", *["0.000123456 cm³/min"] * 9))
    lines = ["".join(line) for line in table.lines(width=width, chosen=0)]
    assert all(len(line) <= width for line in lines)
    assert len({len(line) for line in lines}) == 1
    assert " 0.000123456 cm³/min " in lines[2]


def test_a_small_removal_rate_is_shown_in_the_finer_unit(make_book: Callable) -> None:
    light = {"recipe.axial_depth": "0.1 mm", "recipe.radial_width": "0.1 mm"}
    table = method_table(check(load_case(Book.open(make_book(**light)), books.RECIPE)), {})
    assert table.now[1] == "9.00 mm³/min"


def test_the_child_stands_beside_its_parent(parent: Check) -> None:
    child = derate(parent.case, margin=0.25, method="depth")
    (label, numbers, tightest), (child_label, child_numbers, _) = beside(parent, child, label="depth")
    assert (label, child_label) == ("now", "depth")
    assert numbers.replace(NO_BREAK, " ") == "18 000 rpm, 0.05 mm a tooth, 3 mm deep, 1.5 mm wide"
    assert f"{child.values['axial_depth']} deep" in child_numbers
    assert tightest == "axis thrust 0.86 tight"
