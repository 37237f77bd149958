"""Reading a book: what is there, what is missing, what a person is told about bad files."""

from __future__ import annotations

import pytest

from support.books import RECIPE
from swarfbook.book import Book
from swarfbook.errors import SwarfbookError


def test_a_record_reads_in_si_and_keeps_what_was_typed(make_book):
    book = Book.open(make_book())
    entry = book.get("recipe", RECIPE)
    assert entry.record.axial_depth == 0.003
    assert entry.raw["axial_depth"] == "3 mm"
    assert entry.where == f"recipes/{RECIPE}.toml"
    machine, tool, material = book.resolve(entry)
    assert machine.record.spindle.max_speed == 400.0
    assert tool.record.flutes == 1
    assert material.record.overrides["kc11"] == 7e8


def test_an_unknown_id_offers_the_nearest(make_book):
    with pytest.raises(SwarfbookError) as caught:
        Book.open(make_book()).get("recipe", "long-bed-6mm-6082-ruogh")
    assert "did you mean long-bed-6mm-6082-rough?" in str(caught.value)
