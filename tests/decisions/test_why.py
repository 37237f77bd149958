"""The why of every number: complete, sourced, and honest about what is assumed."""

from __future__ import annotations

import pytest

from support.books import RECIPE
from swarfbook.book import Book
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import check
from swarfbook.decisions.figures import RUNG_SPECS, SPECS
from swarfbook.decisions.limits import RUNG_ORDER
from swarfbook.decisions.why import why
from swarfbook.errors import SwarfbookError
from swarfbook.reports.why import why_lines

MODE = {"axis": "x", "frequency": "400 Hz", "damping": 0.04, "stiffness": "10 N/um"}
EVERYTHING = {
    "machine.spindle.overload": {"power": "2 kW", "duty": "S6 40%"},
    "machine.tool_tip.modes": [MODE],
    "recipe.radial_width": "6 mm",
}
"""A slot on a machine that everything is known of: every limit is judged."""
RAMP = {"recipe.operation": "ramp", "recipe.ramp_angle": "3 deg"}
LINEAR = {"material.cutting_law": None, "material.overrides": None}
NAMES = [spec.name for spec in (*SPECS, *RUNG_SPECS)]


@pytest.fixture
def checked(make_book):
    def of(**changes):
        return check(load_case(Book.open(make_book(**changes)), RECIPE))

    return of


@pytest.mark.parametrize("name", NAMES)
def test_every_quantity_has_a_formula_and_inputs_with_origins(checked, name):
    found = why(checked(), name)
    assert found.formula
    assert found.rests_on
    assert all(rest.origin for rest in found.rests_on)
    assert all(rest.value for rest in found.rests_on)
    text = "\n".join(why_lines(found, width=80))
    assert found.value in text
    assert max(len(line) for line in text.splitlines()) <= 80


@pytest.mark.parametrize("name", [rule.name for rule in RUNG_ORDER])
def test_every_limit_says_what_it_is_held_against(checked, name):
    found = why(checked(**(RAMP if name == "entry" else EVERYTHING)), name)
    assert found.limit.startswith((">= ", "<= "))
    assert found.formula
    assert all(rest.value for rest in found.rests_on)


def test_the_force_names_its_coefficients_and_their_source(checked):
    found = why(checked(**LINEAR), "force_peak")
    law = next(rest for rest in found.rests_on if rest.name == "law")
    assert "ktc 631 N/mm²" in law.value
    assert law.spread == 0.25
    row = next(row for row in found.rows if row.table == "cutting_coefficients")
    assert row.source_kind == "published"
    text = "\n".join(why_lines(found, width=100))
    assert "Table 5" in text
    assert "published" in text


def test_assumed_inputs_are_named_at_the_end(checked):
    lines = why_lines(why(checked(**{"tool.edge_radius": None}), "chip-thin"), width=80)
    said = " ".join(lines[lines.index("") :])
    assert "* assumed, because the book does not say:" in said
    assert "edge radius" in said.split("* assumed")[1]


def test_an_unjudged_limit_says_what_to_give(checked):
    assert "max_speed" in why(checked(**{"tool.max_speed": None}), "tool-speed").limit


def test_inches_where_asked(checked):
    found = why(checked(), "axial_depth", system="imperial")
    assert found.value.endswith(" in")
    assert found.rests_on[0].value.endswith(" in")


def test_an_unknown_name_offers_the_nearest(checked):
    with pytest.raises(SwarfbookError, match="did you mean force_peak"):
        why(checked(), "force_pek")


@pytest.mark.parametrize(
    ("asked", "name"),
    [
        ("peak side force", "force_peak"),
        ("Thickest chip  with run-out", "chip_thickness_runout"),
        ("cut depth", "cut-depth"),
        ("most stock left on the wall", "wall_error_most"),
    ],
)
def test_a_title_as_printed_is_as_good_as_the_name(checked, asked, name):
    one = checked()
    assert why(one, asked) == why(one, name)
    assert why(one, asked).name == name


def test_a_word_that_several_titles_hold_is_asked_about(checked):
    with pytest.raises(SwarfbookError) as caught:
        why(checked(), "power")
    assert "did you mean cutting_power (cutting power), spindle-power (spindle power)" in str(caught.value)
