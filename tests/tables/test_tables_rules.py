"""The rules that answer from more than one row."""

import pytest

from swarfbook import tables
from swarfbook.tables import rules
from swarfbook.tables.loader import Row, Table


def test_complete_measured_coefficients_make_linear_edge_the_default():
    laws = {row.id: tables.default_law(row.id) for row in tables.load("materials").rows}
    assert {key for key, law in laws.items() if law == "linear-edge"} == {
        "aluminium-wrought-6082-t6",
        "aluminium-wrought-7075-t6",
    }


def test_a_row_without_axial_terms_is_not_complete():
    assert tables.load("cutting_coefficients").get("aluminium-wrought-6061-t6").si("kac_n_per_mm2") is None
    assert tables.coefficients("aluminium-wrought-6061-t6") is None
    assert tables.default_law("aluminium-wrought-6061-t6") == "kienzle"


def test_a_complete_row_is_handed_out():
    row = tables.coefficients("aluminium-wrought-6082-t6")
    assert row is not None
    assert [row.number(column) for column in tables.COEFFICIENTS] == [631, 99, 273, 13, 10, 2.8]


@pytest.mark.parametrize(
    ("material", "law", "in_range", "spread"),
    [
        ("aluminium-wrought-6082-t6", "linear-edge", True, "force-linear-edge"),
        ("aluminium-wrought-6082-t6", "linear-edge", False, "force-linear-edge"),
        ("aluminium-wrought-6082-t6", "kienzle", False, "force-kienzle"),
        ("steel-mild", "kienzle", True, "force-kienzle-in-range"),
        ("acetal", "kienzle", True, "force-kienzle-assumed"),
        ("mdf", "kienzle", False, "force-kienzle-assumed"),
    ],
)
def test_the_spread_of_a_force_follows_law_and_source(material, law, in_range, spread):
    assert tables.force_spread(material=material, law=law, in_range=in_range).id == spread


def test_a_ceiling_at_a_diameter_of_the_table_carries_no_flag():
    found = tables.chip_ceiling(family="wrought-aluminium", diameter=6e-3)
    assert found.value == pytest.approx(0.08e-3, rel=1e-14)
    assert (found.flag, [row.id for row in found.rows]) == ("", ["wrought-aluminium:6"])


def test_between_two_diameters_the_ceiling_is_linear_and_says_so():
    found = tables.chip_ceiling(family="wrought-aluminium", diameter=4e-3)
    assert found.value == pytest.approx((0.04 + 0.04 / 3.0) * 1e-3, rel=1e-12)
    assert found.flag == "interpolated"
    assert [row.id for row in found.rows] == ["wrought-aluminium:3", "wrought-aluminium:6"]


@pytest.mark.parametrize(
    ("diameter", "value", "key"), [(1e-3, 0.02e-3, "steel:3"), (20e-3, 0.08e-3, "steel:12")]
)
def test_outside_the_diameters_the_nearest_row_holds_and_says_so(diameter, value, key):
    found = tables.chip_ceiling(family="steel", diameter=diameter)
    assert found.value == pytest.approx(value, rel=1e-14)
    assert (found.flag, [row.id for row in found.rows]) == ("held", [key])


def test_a_family_without_rows_is_refused():
    with pytest.raises(tables.TableError, match="found butter; no rows"):
        tables.chip_ceiling(family="butter", diameter=6e-3)


def test_the_order_of_the_file_does_not_matter(monkeypatch):
    def row(diameter, ceiling):
        values = {"family": "x", "diameter_mm": diameter, "ceiling_mm": ceiling, "note": ""}
        return Row("chip_ceilings", f"x:{diameter}", values, "", "", "common-practice")

    shuffled = Table("chip_ceilings", (), (row("12", "0.4"), row("3", "0.1"), row("6", "0.3")))
    monkeypatch.setattr(rules, "load", lambda _name: shuffled)
    assert tables.chip_ceiling(family="x", diameter=9e-3).value == pytest.approx(0.35e-3, rel=1e-12)
