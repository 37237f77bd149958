"""The rows themselves: complete, sourced, no wide tolerance without a reason, none twice."""

import re

import pytest

from support.published import FOLDER, SOURCE_KINDS, half_digit, rows, tolerance, topics

ALL = [row for topic in topics() for row in rows(topic)]


def left_out() -> set[str]:
    """Ids in the first column of the README's second table."""
    table = (FOLDER / "README.md").read_text(encoding="utf-8").split("## Left out", 1)[1]
    cells = [line.split("|")[1] for line in table.splitlines() if line.startswith("| `")]
    return set(re.findall(r"`([a-z-]+-\d\d)`", " ".join(cells)))


def test_no_row_stands_twice():
    ids = [row.id for row in ALL]
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("row", [pytest.param(row, id=row.id) for row in ALL])
def test_a_row_says_where_it_comes_from(row):
    assert row.source_kind in SOURCE_KINDS
    assert len(row.source) > 10
    assert row.locator


@pytest.mark.parametrize("row", [pytest.param(row, id=row.id) for row in ALL])
def test_a_wider_tolerance_has_a_reason(row):
    assert bool(row.within) == bool(row.reason)
    assert set(row.within) <= set(row.printed)


def test_a_row_is_tested_or_left_out_but_not_both():
    assert len(left_out()) > 20
    assert not left_out() & {row.id for row in ALL}


@pytest.mark.parametrize(
    ("printed", "half"), [("4584", 0.5), ("73.3", 0.05), ("0.91", 0.005), ("1.0", 0.05), ("2e8", 0.5e8)]
)
def test_half_of_the_last_printed_digit(printed, half):
    assert half_digit(printed) == pytest.approx(half)


def test_tolerances_as_rows_write_them():
    assert tolerance("200", "2 %") == pytest.approx(4.0)
    assert tolerance("200", "0.01") == 0.01
    assert tolerance("200", None) == 0.5
