"""Bores, ramps, plunges and chamfers through a check: what their numbers mean and are held to."""

from __future__ import annotations

import math

import pytest

from support.books import QUANTITIES, RECIPE
from swarfbook.book import Book
from swarfbook.decisions.as_json import check_json
from swarfbook.decisions.case import load_case, with_values
from swarfbook.decisions.check import check
from swarfbook.decisions.derate import derate
from swarfbook.decisions.leaves import leavings
from swarfbook.errors import SwarfbookError

CONE = {"tool.shape": "chamfer", "tool.point_angle": "90 deg", "tool.tip_diameter": "0.2 mm"}
BORE = {"recipe.operation": "bore", "recipe.axial_depth": "1 mm", "recipe.radial_width": "4 mm",
        "recipe.hole_diameter": "10 mm"}  # fmt: skip
RAMP = {"recipe.operation": "ramp", "recipe.axial_depth": "1 mm", "recipe.ramp_angle": "3 deg"}
PLUNGE = {"recipe.operation": "plunge", "recipe.radial_width": "6 mm", "recipe.feed_per_tooth": "0.02 mm",
          "tool.flutes": 2}  # fmt: skip
CHAMFER = {
    **CONE,
    "recipe.operation": "chamfer",
    "recipe.axial_depth": "0.5 mm",
    "recipe.radial_width": "0.5 mm",
}
ALL = {"bore": BORE, "ramp": RAMP, "plunge": PLUNGE, "chamfer": CHAMFER}


@pytest.fixture
def case(make_book):
    def of(**changes):
        return load_case(Book.open(make_book(**changes)), RECIPE)

    return of


def value(case, name):
    figure = check(case).figures[name]
    return figure.in_unit(figure.value)


def rung(case, name):
    return next((limit for limit in check(case).limits if limit.name == name), None)


@pytest.mark.parametrize("operation", ALL)
def test_every_operation_is_worked_out(case, operation):
    said = check_json(check(case(**ALL[operation])))
    for name in QUANTITIES:
        assert math.isfinite(said["quantities"][name]["value"]), name
    assert said["quantities"]["cutting_power"]["value"] > 0
    assert said["quantities"]["engagement_angle"]["value"] > 0


def test_a_wide_bore_is_a_straight_cut(case):
    wide = case(**{**BORE, "recipe.hole_diameter": "50 m"})
    straight = case(**{**BORE, "recipe.operation": "rough", "recipe.hole_diameter": None})
    for name in ("cutting_power", "cutting_torque_peak", "material_removal_rate"):
        assert value(wide, name) == pytest.approx(value(straight, name), rel=5e-3), name


def test_a_bore_closes_in_on_the_cutter(case):
    tight = case(**{**BORE, "recipe.radial_width": "1 mm"})
    straight = case(
        **{**BORE, "recipe.radial_width": "1 mm", "recipe.operation": "rough", "recipe.hole_diameter": None}
    )
    assert value(tight, "engagement_angle") > value(straight, "engagement_angle")
    assert value(tight, "cutting_power") > value(straight, "cutting_power")


def test_the_way_down_is_held_to_the_plunge_feed(case):
    bore = case(**BORE)
    slope = math.atan(1 / (math.pi * 4))
    entry = rung(bore, "entry")
    assert entry.demand == pytest.approx(0.05e-3 * 300 * math.sin(slope))
    assert entry.limit == pytest.approx(1.0 / 60)
    ramp = rung(case(**RAMP), "entry")
    assert ramp.demand == pytest.approx(0.05e-3 * 300 * math.sin(math.radians(3)))


def test_without_a_hole_or_an_angle_entry_is_left_out_and_the_loads_stand(case):
    unknown = case(**{**BORE, "recipe.hole_diameter": None})
    assert rung(unknown, "entry") is None
    assert value(unknown, "cutting_power") > 0
    assert rung(case(**{**RAMP, "recipe.ramp_angle": None}), "entry") is None


def test_a_ramp_without_an_angle_is_a_slot_of_the_full_step(case):
    flat = case(**{**RAMP, "recipe.ramp_angle": None})
    slot = case(**{"recipe.operation": "slot", "recipe.axial_depth": "1 mm", "recipe.radial_width": "6 mm"})
    for name in ("cutting_power", "force_peak", "material_removal_rate"):
        assert value(flat, name) == pytest.approx(value(slot, name), rel=5e-3), name


def test_a_steeper_ramp_never_asks_less(case):
    shallow, steep = case(**RAMP), case(**{**RAMP, "recipe.ramp_angle": "12 deg"})
    assert value(steep, "cutting_power") > value(shallow, "cutting_power")


def test_a_plunge_pushes_straight_down_at_the_plunge_feed(case):
    plunge = case(**PLUNGE)
    feed = rung(plunge, "feed-rate")
    assert feed.limit == pytest.approx(1.0 / 60)
    assert feed.demand == pytest.approx(0.02e-3 * 2 * 300)
    thrust = rung(plunge, "axis-thrust")
    assert thrust.demand == pytest.approx(check(plunge).figures["force_z_peak"].value)
    area = math.pi * 9
    assert value(plunge, "material_removal_rate") == pytest.approx(area * 0.02 * 2 * 18000 / 1000)


def test_an_unknown_plunge_feed_is_assumed(case):
    feed = rung(case(**{**RAMP, "machine.axes.max_plunge": None}), "entry")
    assert "max_plunge" in feed.assumed_inputs
    assert feed.limit == pytest.approx(0.3 * 5.0 / 60)


def test_a_chamfer_thins_the_chip_by_its_angle(case):
    found = case(**CHAMFER)
    assert value(found, "chip_thickness_max") < 0.05 * math.cos(math.pi / 4)
    assert value(found, "material_removal_rate") == pytest.approx(0.5 * 0.5 / 2 * 900 / 1000)


@pytest.mark.parametrize(
    ("changes", "line"),
    [
        ({**BORE, "recipe.hole_diameter": "6 mm"}, "wider than its cutter"),
        ({**BORE, "recipe.operation": "rough"}, "only for the operation bore"),
        ({**RAMP, "recipe.ramp_angle": "70 deg"}, "ramp_angle"),
        ({"recipe.operation": "chamfer"}, "chamfer cutter"),
        ({**CHAMFER, "recipe.axial_depth": "4 mm", "recipe.radial_width": "4 mm"}, "cone"),
    ],
)  # fmt: skip
def test_what_an_operation_cannot_do_is_told(case, changes, line):
    with pytest.raises(SwarfbookError, match=line):
        case(**changes)


@pytest.mark.parametrize("operation", ALL)
def test_the_promise_holds_for_every_operation(case, operation):
    parent = case(**ALL[operation])
    result = derate(parent, margin=0.25)
    assert result.reached
    before, after = check(parent), check(with_values(parent, result.values))
    for name in (
        "cutting_power",
        "cutting_torque_peak",
        "force_peak",
        "bending_stress_peak",
        "deflection_total",
    ):
        assert after.figures[name].value <= 0.75 * before.figures[name].value + 1e-12, name


FACE = {"recipe.operation": "face-rough", "recipe.radial_width": "4 mm", "recipe.axial_depth": "0.5 mm"}


def test_a_face_at_the_cutters_edge_is_a_side_cut(case):
    edge = case(**FACE, **{"recipe.stock_offset": "1 mm"})
    side = case(**FACE)
    for name in (
        "cutting_power",
        "force_peak",
        "chip_thickness_max",
        "engagement_angle",
        "material_removal_rate",
    ):
        assert value(edge, name) == pytest.approx(value(side, name), rel=5e-3), name


def test_a_centred_face_enters_and_leaves_at_the_stocks_edges(case):
    centred = case(**FACE, **{"recipe.stock_offset": "0 mm"})
    assert value(centred, "engagement_angle") == pytest.approx(2 * math.degrees(math.asin(4 / 6)), rel=1e-4)
    assert value(centred, "chip_thickness_max") == pytest.approx(0.05, rel=1e-4)


def test_a_stock_offset_is_a_faces_alone(case):
    with pytest.raises(SwarfbookError, match="only for the operation face-rough or face-finish"):
        case(**{"recipe.stock_offset": "1 mm"})


def test_runout_idles_teeth_and_says_how_many(case):
    thin = case(
        **{"tool.flutes": 3, "recipe.feed_per_tooth": "0.008 mm", "machine.spindle.runout": "0.03 mm"}
    )
    left = leavings(check(thin))
    assert left["teeth_cutting"].value < 3
    assert left["chip_thickness_thinnest"].value == 0
    assert "teeth_cutting" not in leavings(check(case()))
