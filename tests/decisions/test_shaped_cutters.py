"""Cutters of every shape through a check: limits against the square one, and what the shape changes."""

from __future__ import annotations

import math

import pytest

from support.books import QUANTITIES, RECIPE
from swarfbook.book import Book
from swarfbook.decisions.as_json import check_json
from swarfbook.decisions.case import load_case, with_values
from swarfbook.decisions.check import check
from swarfbook.decisions.derate import derate
from swarfbook.errors import SwarfbookError

SHAPES = {
    "ball": {"tool.shape": "ball"},
    "corner-radius": {"tool.shape": "corner-radius", "tool.corner_radius": "0.5 mm"},
    "chamfer": {"tool.shape": "chamfer", "tool.point_angle": "90 deg", "tool.tip_diameter": "0.2 mm"},
    "tapered": {"tool.shape": "tapered", "tool.taper": "3 deg"},
    "compression": {"tool.upcut_length": "1.5 mm"},
    "down-cut": {"tool.helix": "-30 deg"},
}


@pytest.fixture
def values(make_book):
    def of(**changes):
        said = check_json(check(load_case(Book.open(make_book(**changes)), RECIPE)))
        return {name: item["value"] for name, item in said["quantities"].items()}

    return of


@pytest.mark.parametrize("shape", SHAPES)
def test_every_shape_is_worked_out(values, shape):
    found = values(**SHAPES[shape])
    assert all(math.isfinite(value) for value in found.values())
    assert found["cutting_power"] > 0
    assert found["force_peak"] > 0


@pytest.mark.parametrize("changes", [
    {"tool.shape": "corner-radius", "tool.corner_radius": "0.0001 mm"},
    {"tool.shape": "tapered", "tool.taper": "0.0001 deg"},
    {"tool.upcut_length": "4 mm"},
])  # fmt: skip
def test_shapes_that_vanish_are_the_square_cutter(values, changes):
    square, shaped = values(), values(**changes)
    for name in QUANTITIES:
        assert shaped[name] == pytest.approx(square[name], rel=5e-3), name


def test_a_ball_cuts_slower_and_thinner_near_its_tip(values):
    square = values(**{"recipe.axial_depth": "0.5 mm"})
    ball = values(**SHAPES["ball"], **{"recipe.axial_depth": "0.5 mm"})
    share = 2 * math.sqrt(0.5 * 5.5) / 6
    assert ball["cutting_speed"] == pytest.approx(share * square["cutting_speed"])
    assert ball["chip_thickness_max"] < square["chip_thickness_max"]
    assert ball["material_removal_rate"] < square["material_removal_rate"]


def test_a_down_cut_cutter_differs_from_an_up_cut_one_in_nothing_but_the_sign_of_the_lift(values):
    up, down = values(), values(**SHAPES["down-cut"])
    for name in QUANTITIES:
        assert down[name] == pytest.approx(up[name], rel=1e-9), name


def test_compression_lifts_less(values):
    assert values(**SHAPES["compression"])["force_z_peak"] < 0.8 * values()["force_z_peak"]


@pytest.mark.parametrize("shape", ["ball", "corner-radius"])
@pytest.mark.parametrize("method", ["least-time", "depth", "engagement", "feed"])
def test_the_promise_holds_for_shaped_cutters(make_book, shape, method):
    parent = load_case(Book.open(make_book(**SHAPES[shape])), RECIPE)
    result = derate(parent, margin=0.25, method=method)
    assert result.reached
    before, after = check(parent), check(with_values(parent, result.values))
    for name in (
        "cutting_power",
        "cutting_torque_peak",
        "force_peak",
        "bending_stress_peak",
        "deflection_total",
    ):
        assert after.figures[name].value <= 0.75 * before.figures[name].value, name


def test_a_ball_that_does_not_reach_the_stock_is_told(make_book):
    changes = {**SHAPES["ball"], "recipe.axial_depth": "0.1 mm", "recipe.radial_width": "0.5 mm"}
    with pytest.raises(SwarfbookError, match="does not reach the stock"):
        load_case(Book.open(make_book(**changes)), RECIPE)
