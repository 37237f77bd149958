"""Comparison: what differs, and only that."""

from __future__ import annotations

import pytest

from support.books import RECIPE
from swarfbook.book import Book
from swarfbook.decisions.as_json import compare_json
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import check
from swarfbook.decisions.compare import compare


@pytest.fixture
def two(make_book):
    def checks(**changes):
        books = make_book("first"), make_book("second", **changes)
        return [check(load_case(Book.open(book), RECIPE)) for book in books]

    return checks


def test_the_same_recipe_twice_differs_in_nothing(two):
    assert compare(two()).differences == ()


def test_a_deeper_cut_differs_in_depth_and_what_follows(two):
    rows = {
        row["name"]: row
        for row in compare_json(compare(two(**{"recipe.axial_depth": "4.5 mm"})))["differences"]
    }
    assert rows["axial_depth"]["values"] == [pytest.approx(3.0), pytest.approx(4.5)]
    assert rows["axial_depth"]["ratio"] == pytest.approx(1.5)
    assert rows["cutting_power"]["ratio"] == pytest.approx(1.5)
    assert rows["use of cut-depth"]["ratio"] == pytest.approx(1.5)
    assert "radial_width" not in rows
    assert "cutting_speed" not in rows


def test_words_come_first_and_have_no_ratio(two):
    rows = compare_json(compare(two(**{"recipe.direction": "conventional"})))["differences"]
    assert rows[0]["name"] == "direction"
    assert rows[0]["values"] == ["climb", "conventional"]
    assert rows[0]["ratio"] is None


def test_json_holds_both_checks(two):
    assert [one["recipe"] for one in compare_json(compare(two()))["recipes"]] == [RECIPE, RECIPE]
