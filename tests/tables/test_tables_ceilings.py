"""The thickest chip for a diameter: on a row, between two, outside them."""

import pytest

from swarfbook import tables
from swarfbook.tables import ceilings
from swarfbook.tables.loader import Row, Table


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
        values = {"family": "x", "diameter_mm": diameter, "chip_ceiling_mm": ceiling, "note": ""}
        return Row("chip_ceilings", f"x:{diameter}", values, "", "", "common-practice")

    shuffled = Table("chip_ceilings", (), (row("12", "0.4"), row("3", "0.1"), row("6", "0.3")))
    monkeypatch.setattr(ceilings, "load", lambda _name: shuffled)
    assert tables.chip_ceiling(family="x", diameter=9e-3).value == pytest.approx(0.35e-3, rel=1e-12)
