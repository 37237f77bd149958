"""Inside corners: exact geometry, and loads that never fall."""

from __future__ import annotations

import pytest

from support.books import RECIPE
from swarfbook.book import Book
from swarfbook.decisions.case import load_case
from swarfbook.decisions.corner import corner
from swarfbook.errors import SwarfbookError


@pytest.fixture
def case(make_book):
    return load_case(Book.open(make_book(**{"machine.axes.thrust": "700 N"})), RECIPE)


def test_width_and_feed_are_the_exact_geometry(case):
    found = corner(case, radius=0.006)
    assert found.radial_width == pytest.approx(1.5e-3 * (12 - 1.5) / (2 * (6 - 3)))
    assert found.feed_factor == pytest.approx(0.5)


def test_a_wide_corner_is_a_straight_wall(case):
    found = corner(case, radius=100.0)
    assert found.radial_width == pytest.approx(1.5e-3, rel=1e-3)
    assert all(ratio == pytest.approx(1, rel=1e-3) for ratio in found.loads.values())


@pytest.mark.parametrize("radius", [0.0031, 0.004, 0.006, 0.02])
def test_a_tighter_corner_never_asks_less(case, radius):
    tight, wide = corner(case, radius=radius), corner(case, radius=2 * radius)
    assert all(tight.loads[name] >= wide.loads[name] - 1e-9 for name in tight.loads)
    assert set(wide.over) <= set(tight.over)


def test_outside_the_cutter_is_engaged_less_and_runs_faster(case):
    found = corner(case, radius=0.006, inside=False)
    assert found.radial_width < 1.5e-3
    assert found.feed_factor == pytest.approx(1.5)


def test_a_corner_that_the_cutter_does_not_fit_is_told(case):
    with pytest.raises(SwarfbookError, match="wider than the cutter"):
        corner(case, radius=0.003)
