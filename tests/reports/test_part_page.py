"""The pages of machines, cutters and materials: every key said, and what stands in for each left out."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from support import books
from swarfbook import records
from swarfbook.book import Book
from swarfbook.decisions.case import load_case
from swarfbook.decisions.stand_ins import MEASURED, stand_ins
from swarfbook.reports.measuring import topics
from swarfbook.reports.part_page import Fact, as_typed, fact_json, facts, origin_lines, page_lines, topic_of
from swarfbook.reports.part_words import HINTS, LABELS, PLURALS

KINDS = ("machine", "tool", "material")
IDS = {"machine": books.MACHINE, "tool": books.TOOL, "material": books.MATERIAL}


@pytest.fixture
def page(make_book: Callable[..., Path]) -> Callable[..., dict[str, Fact]]:
    def read(kind: str, **changes: object) -> dict[str, Fact]:
        book = Book.open(make_book(**{f"{kind}.{key}": value for key, value in changes.items()}))
        entry = book.get(kind, IDS[kind])
        return {fact.id: fact for fact in facts(kind, entry.raw, entry.record, book.settings)}

    return read


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_has_a_label_of_its_own_that_fits_its_column(kind: str) -> None:
    labels = LABELS[kind]
    assert set(labels) == set(records.record_keys(kind))
    assert len(set(labels.values())) == len(labels)
    assert max(map(len, labels.values())) <= 20
    assert kind in PLURALS


def test_hints_are_of_keys_there_are() -> None:
    known = {key for kind in KINDS for key in records.record_keys(kind)}
    assert set(HINTS) <= known


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_that_may_be_left_out_says_what_serves(kind: str, make_book: Callable[..., Path]) -> None:
    book = Book.open(make_book())
    found = stand_ins(kind, book.get(kind, IDS[kind]).record, book.settings)
    optional = {key for key in records.record_keys(kind) if not records.required(kind, key)}
    shapes = {"corner_radius", "point_angle", "taper"}  # needed by the shape that has them
    silent = optional - shapes - set(found)
    assert silent <= {"spindle.overload.duty"}
    assert set(found) <= optional


@pytest.mark.parametrize(
    ("kind", "key", "name"),
    [
        ("machine", "spindle.efficiency", "efficiency"),
        ("machine", "spindle.runout", "runout"),
        ("machine", "spindle.rated_speed", "rated_speed"),
        ("machine", "axes.max_plunge", "max_plunge"),
        ("machine", "axes.acceleration", "acceleration"),
        ("machine", "axes.thrust", "thrust"),
        ("machine", "tool_tip.stiffness", "tool_tip_stiffness"),
        ("tool", "edge_radius", "edge_radius"),
        ("tool", "youngs_modulus", "youngs_modulus"),
        ("tool", "neck_diameter", "neck_diameter"),
        ("material", "overrides.min_chip_ratio", "min_chip_ratio"),
    ],
)
def test_what_a_page_says_serves_is_what_a_check_takes(
    kind: str, key: str, name: str, make_book: Callable[..., Path]
) -> None:
    book = Book.open(make_book(**{f"{kind}.{key}": None}))
    entry = book.get(kind, IDS[kind])
    fact = next(one for one in facts(kind, entry.raw, entry.record, book.settings) if one.key == key)
    taken = load_case(book, books.RECIPE).inputs[name]
    assert fact.value == taken.value
    assert fact.assumed == taken.assumed
    assert fact.given is None


def test_numbers_of_the_law_are_those_the_check_takes(make_book: Callable[..., Path]) -> None:
    book = Book.open(make_book(**{"material.cutting_law": "linear-edge"}))
    entry = book.get("material", books.MATERIAL)
    page = {one.key: one for one in facts("material", entry.raw, entry.record, book.settings)}
    coefficients = load_case(book, books.RECIPE).choice.coefficients
    assert {f"overrides.{key}": value for key, value in coefficients.items()}.items() <= {
        key: fact.value for key, fact in page.items()
    }.items()
    assert "not used by this law" in page["overrides.kc11"].shown


def test_a_default_is_starred_and_names_its_row_and_what_is_typed_is_not(page) -> None:
    fact = page("machine", **{"axes.thrust": None})["axes.thrust"]
    assert fact.titled == "thrust*"
    assert fact.shown == "not given: 200 N assumed"
    assert "  thrust, defaults.csv" in origin_lines(fact)
    fact = page("machine")["axes.thrust"]
    assert (fact.titled, fact.shown) == ("thrust", "250 N")
    assert "left out, this would serve" in origin_lines(fact)
    assert fact_json("machine", fact)["rows"] == []
    assert [row["id"] for row in fact_json("machine", fact)["left_out"]] == ["thrust"]


def test_keys_of_other_shapes_stand_only_where_somebody_wrote_them(page) -> None:
    assert "point_angle" not in page("tool")
    assert "point_angle" in page("tool", shape="chamfer", point_angle="90 deg")


def test_lists_are_written_legibly() -> None:
    assert as_typed(["10000 rpm", "12000 rpm"]) == "10000 rpm, 12000 rpm"
    assert (
        as_typed([["6000 rpm", "0.8 N*m"], ["9000 rpm", "0.7 N*m"]]) == "6000 rpm, 0.8 N*m; 9000 rpm, 0.7 N*m"
    )
    assert as_typed([{"axis": "x", "damping": 0.03}]) == "axis x, damping 0.03"


def test_what_can_be_measured_leads_to_its_page() -> None:
    names = {name for topic in topics() for name in topic.inputs}
    assert len(names & set(MEASURED.values())) >= 5
    for key, name in MEASURED.items():
        found = topic_of(Fact(key, key, "", None, ""))
        assert (found is not None) == (name in names)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("width", [60, 80, 120])
def test_the_page_fits_its_width(kind: str, width: int, page) -> None:
    assert max(map(len, page_lines(page(kind).values(), width=width))) <= width
