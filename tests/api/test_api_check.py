"""`swarfbook.check` in Python: numbers with units, and what-ifs that save nothing."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

import swarfbook
from support.books import RECIPE, TOOL
from swarfbook import records
from swarfbook.api.checking import Changes

ROUGH = "long-bed-6mm-6082-rough"


@pytest.fixture(scope="module")
def rough(demo):
    return swarfbook.check(demo, ROUGH)


def test_every_number_has_what_json_has_of_it(rough):
    told = rough.to_dict()
    assert list(rough.quantities) == list(told["quantities"])
    for name, one in told["quantities"].items():
        value = rough.quantities[name]
        assert (value.value, value.unit, value.low, value.high) == tuple(
            one[key] for key in ("value", "unit", "low", "high")
        )
        assert (value.origin, value.assumed, list(value.assumed_inputs)) == tuple(
            one[key] for key in ("from", "assumed", "assumed_inputs")
        )
        assert float(value) == value.value


def test_every_limit_has_what_json_has_of_it(rough):
    for one in rough.to_dict()["limits"]:
        limit = rough.limits[one["name"]]
        same = (
            "severity",
            "sense",
            "demand",
            "limit",
            "unit",
            "use",
            "mark",
            "verdict",
            "chance_over",
            "remedy",
        )
        assert {key: getattr(limit, key) for key in same} == {key: one[key] for key in same}
        assert (limit.origin, limit.assumed) == (one["from"], one["assumed"])
    assert rough.tightest.name == rough.to_dict()["tightest"]
    assert (rough.verdict, rough.covered, list(rough.cautions)) == tuple(
        rough.to_dict()[key] for key in ("verdict", "covered", "cautions")
    )


def test_every_number_is_a_pint_quantity_in_its_unit(rough):
    for value in rough.quantities.values():
        assert value.quantity.magnitude == value.value
        assert swarfbook.quantities.from_pint(value.quantity, value._figure.dimension) == pytest.approx(
            value.si, rel=1e-14
        )
    assert rough.quantities["spindle_speed"].quantity.to("rpm").magnitude == pytest.approx(16000)
    assert str(rough.quantities["feed_per_tooth"].quantity.units) == "millimeter / tooth"


def test_si_is_what_physics_takes(rough):
    numbers = rough.quantities
    turning = 2 * math.pi * numbers["spindle_speed"].si * numbers["cutting_torque_mean"].si
    assert turning == pytest.approx(numbers["cutting_power"].si, rel=1e-12)


def test_a_what_if_by_text_and_by_pint_is_the_same_and_saves_nothing(book, ureg):
    before = {path: path.read_bytes() for path in book.root.rglob("*.toml")}
    typed = swarfbook.check(
        book, RECIPE, spindle_speed="16000 rpm", axial_depth="2.5 mm", feed_per_tooth="40 um"
    )
    given = swarfbook.check(
        book,
        RECIPE,
        spindle_speed=16000 * ureg.rpm,
        axial_depth=2.5 * ureg.mm,
        feed_per_tooth=0.04 * ureg.mm,
    )
    assert typed.to_dict() == given.to_dict()
    assert given.values["axial_depth"] == "2.5 mm"
    assert typed.quantities["feed_rate"].value == pytest.approx(640)
    assert {path: path.read_bytes() for path in book.root.rglob("*.toml")} == before


def test_a_feed_rate_takes_the_place_of_a_feed_per_tooth(book, ureg):
    result = swarfbook.check(book, RECIPE, feed_rate=900 * ureg.mm / ureg.minute)
    assert result.values["feed_rate"] == "900 mm/min"
    assert "feed_per_tooth" not in result.values
    assert result.quantities["feed_per_tooth"].value == pytest.approx(0.05)


def test_a_what_if_may_take_a_key_out_and_change_words_shares_and_lists(book):
    result = swarfbook.check(
        book, RECIPE, allowance=None, direction="conventional", wear=1.3, keep=["radial_width"]
    )
    assert "allowance" not in result.values
    assert result.limits["deflection"].verdict == "not judged"
    assert result.values["wear"] == 1.3
    plain = swarfbook.check(book, RECIPE, direction="conventional")
    assert result.quantities["cutting_power"].value == pytest.approx(
        1.3 * plain.quantities["cutting_power"].value
    )


def test_another_cutter_of_the_book_may_be_tried(demo):
    other = swarfbook.check(demo, ROUGH, tool="em-6mm-3f")
    assert other.quantities["feed_rate"].value == pytest.approx(3 * 800)


@pytest.mark.parametrize("bare", [16000, 16000.0, math.nan, True])
def test_a_bare_number_is_a_type_error_that_says_which_units_would_do(book, bare):
    with pytest.raises(TypeError, match="spindle_speed: ") as error:
        swarfbook.check(book, RECIPE, spindle_speed=bare)
    assert "pint quantity" in str(error.value)


def test_what_will_not_do_is_a_line_for_each_problem(book, ureg):
    with pytest.raises(swarfbook.SwarfbookError, match="did you mean spindle_speed"):
        swarfbook.check(book, RECIPE, spindel_speed="1 rpm")
    with pytest.raises(swarfbook.SwarfbookError, match=r"spindle_speed: found 3 .*a spindle speed takes rpm"):
        swarfbook.check(book, RECIPE, spindle_speed=3 * ureg.mm)
    with pytest.raises(swarfbook.SwarfbookError, match="axial_depth"):
        swarfbook.check(book, RECIPE, axial_depth=[1, 2] * ureg.mm)
    with pytest.raises(swarfbook.SwarfbookError) as error:
        swarfbook.check(book, RECIPE, axial_depth="0 mm", radial_width="9 mm")
    assert {problem.key for problem in error.value.problems} >= {"axial_depth"}
    with pytest.raises(swarfbook.SwarfbookError, match=RECIPE):
        swarfbook.check(book, "long-bed-6mm-6082")


def test_the_keys_that_may_change_are_those_of_a_recipe():
    known = {key for key in records.record_keys("recipe") if not key.startswith("derived")}
    assert set(Changes.__annotations__) == known


def test_a_book_in_hand_gives_its_records_by_id(book):
    assert list(book.recipes) == [RECIPE]
    assert len(book.machines) == len(book.tools) == len(book.materials) == 1
    assert len(book.jobs) == 0
    assert book.tools[TOOL].diameter == 0.006
    assert "em-7mm" not in book.tools
    assert book.tools.get("em-7mm") is None
    with pytest.raises(KeyError, match="did you mean em-6mm-1f"):
        book.tools["em-6mm"]
    with pytest.raises(swarfbook.SwarfbookError, match="did you mean em-6mm-1f"):
        book.tools["em-6mm"]
    assert repr(book) == "<Book 'Test workshop', 1 recipes>"
    assert repr(book.tools) == "tool (1): em-6mm-1f"
    assert book.tools._ipython_key_completions_() == [TOOL]


def test_a_book_opens_by_text_and_by_path(book):
    for root in (str(book.root), Path(book.root)):
        assert swarfbook.Book.open(root).recipes[RECIPE] == book.recipes[RECIPE]


def test_a_file_that_does_not_read_says_so_from_the_mapping(book):
    (book.root / "tools" / f"{TOOL}.toml").write_text("diameter = 3")
    with pytest.raises(swarfbook.SwarfbookError, match=f"tools/{TOOL}.toml"):
        list(book.tools.values())
