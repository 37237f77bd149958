"""Stock of a job: what the workshop counts by hand, and counts that only grow with the stock."""

from __future__ import annotations

import json
from copy import deepcopy

import pytest
from hypothesis import given
from hypothesis import strategies as st

from swarfbook.decisions.jobs import sizes
from swarfbook.decisions.jobs.stocking import as_json, stock_plan
from swarfbook.records import parse
from swarfbook.records.examples import EXAMPLES

ALUMINIUM = "wrought-aluminium"


def job(*, stock=None, part=None, bed=None, **changes):
    """Give a bar job, 25.4 x 101.6 x 305 mm for a part of 25 x 90 x 280 mm; None takes a key out."""
    raw = deepcopy(EXAMPLES["job"])
    raw["features"] = [{"id": "outline", "kind": "outside", "depth": "1 mm"}]
    raw["steps"] = [{"recipe": "x", "feature": "outline", "path": "1 m"}]
    for table, change in ((raw["stock"], stock), (raw["part"], part), (raw["bed"], bed), (raw, changes)):
        table.update(change or {})
        for key in [key for key, value in table.items() if value is None]:
            del table[key]
    return parse("job", raw, where="jobs/x.toml")


SHEET = {
    "form": "sheet", "thickness": "3 mm", "width": "1000 mm", "length": "600 mm", "skim": None,
    "sold_length": None, "sold_width": None, "clamp_loss": None, "saw": None, "gap": "4 mm",
}  # fmt: skip
TILE = {"thickness": "3 mm", "width": "200 mm", "length": "110 mm"}


def sheet_job(*, stock=None, part=None, **changes):
    return job(stock=SHEET | (stock or {}), part=TILE | (part or {}), **changes)


def plan(*, family=ALUMINIUM, cutter_width=None, **changes):
    return stock_plan(job(**changes), family, cutter_width=cutter_width)


def rooms(found):
    return {room.way: room for room in found.rooms}


def test_a_skim_off_each_face_of_an_inch_bar_gives_25_mm():
    # Given: 0.2 mm off each face of a 25.4 mm bar gives 25.0 mm (common practice).
    found = plan()
    assert found.fits
    assert rooms(found)["thickness"].left == pytest.approx(0.0, abs=1e-9)
    assert (rooms(found)["width"].left, rooms(found)["length"].left) == (
        pytest.approx(0.1016 - 0.0904), pytest.approx(0.305 - 0.2804),
    )  # fmt: skip
    assert not plan(part={"thickness": "25.01 mm"}).fits


def test_a_part_as_tall_as_the_nominal_bar_cannot_be_cut_from_it():
    found = plan(part={"thickness": "25.4 mm"})
    assert not found.fits
    assert rooms(found)["thickness"].left == pytest.approx(-0.0004)
    assert found.savings == ()
    # The next thickness that holds 25.8 mm is 30 mm in millimetres and 1 1/4 in in inches.
    assert min(size.thickness for size in found.sizes if size.inch) == pytest.approx(0.03175)
    assert found.sizes[0].thickness == pytest.approx(0.030)


def test_a_bar_at_the_low_end_of_its_tolerance_may_be_too_thin():
    # ASTM B221 as the table has it: 0.3 mm either way from 25 to 40 mm.
    room = rooms(plan())["thickness"]
    assert (room.tolerance.minus, room.fits, room.sure) == (pytest.approx(0.0003), True, False)
    assert rooms(plan(part={"thickness": "24.7 mm"}))["thickness"].sure
    assert rooms(plan(part={"thickness": "24.75 mm"}))["thickness"].sure is False
    assert rooms(plan(family=None))["thickness"].tolerance is None
    assert rooms(plan(family=None))["thickness"].sure is None


@pytest.mark.parametrize(
    ("form", "family", "size", "width", "minus"),
    [
        # Rows of stock_tolerances.csv, picked by hand.
        ("round-bar", ALUMINIUM, 20, None, 0.35),
        ("round-bar", ALUMINIUM, 25, None, 0.35),
        ("round-bar", "steel", 20, None, 0.13),
        ("flat-bar", ALUMINIUM, 10, 40, 0.25),
        ("flat-bar", ALUMINIUM, 10, 80, 0.20),
        ("sheet", ALUMINIUM, 3, 1000, 0.11),
        ("plate", ALUMINIUM, 12, 1200, 0.38),
        ("sheet", "plastic-brittle", 3, 1220, 0.7),
        ("board", "plywood", 18, 1220, 0.9),
        ("board", "mdf", 18, 1220, 0.2),
        ("board", "plywood", 18.5, 1220, None),
        ("sheet", "brass", 3, 1000, None),
    ],
)
def test_the_widest_tolerance_row_that_matches_is_taken(form, family, size, width, minus):
    found = sizes.tolerance(form, family, size / 1000, width and width / 1000)
    assert (found and round(found.minus * 1000, 6)) == minus


def test_a_three_metre_bar_gives_nine_pieces():
    # 9 x (305 + 3) + 20 = 2792 mm; a tenth takes 3100 mm. 12 parts take two bars.
    found = plan()
    assert (found.per_sold, found.parts_per_sold, found.buy) == (9, 9, 2)
    assert (found.material_cost, found.cost_per_part) == (pytest.approx(120.0), pytest.approx(10.0))
    # Nine parts of 25 x 90 x 280 mm out of 25.4 x 101.6 x 3000 mm.
    assert found.waste == pytest.approx(1 - 5.670e6 / 7.74192e6, rel=1e-5)
    # 1/9 of the bar is 860213 mm3; the smallest blank is 25.4 x 90.4 x 280.4 mm, 643843 mm3.
    assert found.relative == pytest.approx(860213 / 643843, rel=1e-4)


def test_the_gripped_end_counts_only_where_there_is_one():
    # 3000 mm in nine of 305 mm with 3 mm between is 2769; ten are 3077; of 297.3 mm ten are exactly 3000.
    bar = {"clamp_loss": None, "length": "297.3 mm"}
    assert plan(stock=bar).per_sold == 10
    assert plan(stock=bar | {"clamp_loss": "0.1 mm"}).per_sold == 9


def test_the_bar_in_the_job_is_held_against_others_that_hold_the_part():
    found = plan(stock={"width": "5 in", "sold_width": "5 in"})
    best = found.sizes[0]
    # 1 in by 4 in holds 25.4 by 90.4 mm: four fifths of 1 in by 5 in.
    assert (best.thickness, best.width, best.inch) == (pytest.approx(0.0254), pytest.approx(0.1016), True)
    assert best.ratio == pytest.approx(0.8)
    assert [size.ratio for size in found.sizes] == sorted(size.ratio for size in found.sizes)
    assert any(size.ratio == pytest.approx(1.0) for size in found.sizes)
    # Millimetres go with millimetres: 30 by 100 mm over 25.4 by 127 mm.
    metric = next(size for size in found.sizes if not size.inch)
    assert (metric.thickness, metric.width) == (pytest.approx(0.030), pytest.approx(0.100))
    assert metric.ratio == pytest.approx(3000 / 3225.8, rel=1e-4)
    assert (best.sure, metric.sure) == (False, True)


def test_a_round_bar_goes_by_the_square_of_its_diameter():
    stock = {
        "form": "round-bar", "thickness": "30 mm", "width": None, "sold_width": None, "length": "105 mm",
    }  # fmt: skip
    rod = {"thickness": "24.6 mm", "width": "24.6 mm", "length": "100 mm"}
    found = plan(stock=stock, part=rod)
    # 24.6 mm round and 0.2 mm off all round is 25 mm: 25 / 30 squared.
    assert (found.sizes[0].thickness, found.sizes[0].ratio) == (
        pytest.approx(0.025),
        pytest.approx(0.6944, rel=1e-3),
    )
    saving = next(one for one in found.savings if one.less == 0 and one.way == "diameter")
    assert saving.share == pytest.approx(1 - 0.6944, rel=1e-3)
    # A block of 15 x 20 mm stands in a circle of 25 mm.
    block = plan(stock=stock, part=rod | {"thickness": "15 mm", "width": "20 mm"})
    assert rooms(block)["diameter"].taken == pytest.approx(0.025)
    assert block.fits


def test_from_a_five_inch_to_a_four_inch_bar_saves_about_a_fifth():
    # Given: common practice. 103 mm and two skims of 0.2 mm are 1.8 mm more than 101.6 mm.
    found = plan(stock={"width": "5 in", "sold_width": "5 in"}, part={"width": "103 mm"})
    saving = next(one for one in found.savings if one.way == "width" and one.inch)
    assert (saving.less, saving.part) == (pytest.approx(0.0018), pytest.approx(0.1012))
    assert saving.size == pytest.approx(0.1016)
    assert saving.share == pytest.approx(0.2, abs=0.001)


def test_a_piece_sawn_shorter_gives_one_more_before_the_part_gives_way():
    # Ten of 295 mm and cuts are 2980 mm; the part of 280 mm leaves 24.6 mm of 305 mm, so nothing is given up.
    saving = next(one for one in plan().savings if one.way == "length")
    assert (saving.less, saving.parts, saving.share) == (0.0, 10, pytest.approx(0.1))
    # Of 300 mm it leaves 4.6 mm of the 10 mm that are to go: 5.4 mm.
    saving = next(one for one in plan(part={"length": "300 mm"}).savings if one.way == "length")
    assert (saving.less, saving.part) == (pytest.approx(0.0054), pytest.approx(0.2946))


def test_tiles_on_a_sheet_are_counted_in_a_plain_grid_either_way_round():
    # 10 mm between tiles: 4 x 200 + 3 x 10 = 830 of 1000, 5 x 110 + 4 x 10 = 590 of 600: 20.
    # Turned, 8 x 110 + 7 x 10 = 950 of 1000, 2 x 200 + 10 = 410 of 600: 16.
    found = stock_plan(sheet_job(pieces=20), None, cutter_width=0.006)
    assert (found.in_grid, found.fits, found.turned) == (20, True, False)
    assert (rooms(found)["width"].number, rooms(found)["length"].number) == (4, 5)
    assert (rooms(found)["width"].left, rooms(found)["length"].left) == (
        pytest.approx(0.170),
        pytest.approx(0.010),
    )
    more = stock_plan(sheet_job(pieces=21), None, cutter_width=0.006)
    assert (more.in_grid, more.fits, more.parts_per_sold) == (20, False, 20)
    # A rim of 6 mm all round leaves 588 mm: four rows; one of 5 mm leaves the 590 mm of five.
    six, five = (
        stock_plan(sheet_job(pieces=16, stock={"clamp_loss": rim}), None, cutter_width=0.006)
        for rim in ("6 mm", "5 mm")
    )
    assert (six.in_grid, six.fits, five.in_grid) == (16, True, 20)


def test_a_bar_on_the_machine_as_sold_is_gripped_at_one_end():
    # 305 mm less two skims of 0.2 mm, 20 mm of grip and the part of 280 mm.
    found = plan(stock={"sold_length": None, "sold_width": None})
    assert rooms(found)["length"].left == pytest.approx(0.0046)
    assert (found.per_sold, found.buy) == (1, 12)


def test_parts_are_turned_where_that_alone_gets_them_out():
    # 560 x 210 mm: straight 2 tiles of 200 by 1 of 110; turned 5 of 110 by 1 of 200.
    stock = {"width": "560 mm", "length": "210 mm", "gap": None}
    found = stock_plan(sheet_job(pieces=5, stock=stock), None)
    assert (found.in_grid, found.turned, found.fits) == (5, True, True)


def test_one_more_row_is_what_a_smaller_tile_buys():
    found = stock_plan(sheet_job(pieces=20), None, cutter_width=0.006)
    by_way = {one.way: one for one in found.savings if one.size is None}
    # Six rows: (600 - 5 x 10) / 6 = 91.67 mm, 18.4 mm less of 110. Five columns: 960 / 5 = 192 mm, 8 mm less.
    assert (by_way["length"].less, by_way["length"].parts) == (pytest.approx(0.0184), 24)
    assert (by_way["width"].less, by_way["width"].parts) == (pytest.approx(0.0080), 25)
    assert by_way["width"].share == pytest.approx(0.2)


def test_sheets_are_sawn_into_pieces():
    # 2000 x 1000 mm in pieces of 600 x 1000 mm and 3 mm cuts: three.
    stock = {"sold_length": "2 m", "sold_width": "1 m", "saw": "3 mm"}
    found = stock_plan(sheet_job(pieces=20, quantity=100, stock=stock), None, cutter_width=0.006)
    assert (found.per_sold, found.parts_per_sold, found.buy) == (3, 60, 2)
    # 60 tiles of 3 x 200 x 110 mm out of 3 x 1000 x 2000 mm.
    assert found.waste == pytest.approx(1 - 60 * 22 / 2000)


def test_a_piece_that_does_not_come_out_of_the_bar_is_not_bought():
    found = plan(stock={"sold_length": "300 mm"})
    assert (found.per_sold, found.buy, found.waste, found.material_cost) == (0, None, None, None)


@pytest.mark.parametrize(
    ("bed", "state", "left"),
    [
        ({"cut_in": "0.3 mm"}, "cut", 0.0177),
        ({"cut_in": "18 mm"}, "through", 0.0),
        ({"cut_in": None}, "clear", None),
        ({"material": "aluminium"}, "hard", 0.0177),
        ({"material": "none"}, "none", 0.0177),
    ],
)
def test_what_the_cutter_does_to_the_bed_is_told(bed, state, left):
    found = plan(bed=bed)
    assert (found.bed, found.bed_left) == (state, left if left is None else pytest.approx(left, abs=1e-9))


def test_what_is_not_given_is_named():
    assert plan().not_given == ()
    found = stock_plan(sheet_job(pieces=2), None)
    assert set(found.not_given) == {"skim", "clamp_loss", "cutter_width"}


def test_the_json_has_millimetres_and_keeps_counts():
    found = as_json(plan())
    assert json.loads(json.dumps(found)) == found
    room = found["rooms"][0]
    assert (room["stock"], room["taken"], room["off"], room["each"]) == tuple(
        pytest.approx(mm) for mm in (25.4, 25.0, 0.4, 25.0)
    )
    assert (room["tolerance"]["minus"], room["fits"], room["sure"]) == (pytest.approx(0.3), True, False)
    assert (found["bed_left"], found["parts_per_sold"]) == (pytest.approx(17.7), 9)
    assert found["sizes"][0]["width"] == pytest.approx(101.6)
    assert found["savings"][0]["parts"] == 9


def mm(low, high):
    return st.integers(low, high)


def grid(width, length, tile, gap, saw=3, pieces=1, sold=None):
    stock = {"width": f"{width} mm", "length": f"{length} mm", "gap": f"{gap} mm", "saw": f"{saw} mm"}
    if sold:
        stock |= {"sold_width": f"{sold[0]} mm", "sold_length": f"{sold[1]} mm"}
    part = {"width": f"{tile[0]} mm", "length": f"{tile[1]} mm"}
    return stock_plan(sheet_job(pieces=pieces, stock=stock, part=part), None, cutter_width=0.0)


def laid(space, size, between):
    """Count by laying one after the other, in whole millimetres."""
    number, at = 0, 0
    while at + size <= space:
        number, at = number + 1, at + size + between
    return number


@given(mm(50, 1500), mm(50, 1500), st.tuples(mm(10, 400), mm(10, 400)), mm(0, 20))
def test_a_grid_is_what_is_laid_one_after_the_other(width, length, tile, gap):
    straight = laid(width, tile[0], gap) * laid(length, tile[1], gap)
    turned = laid(width, tile[1], gap) * laid(length, tile[0], gap)
    assert grid(width, length, tile, gap).in_grid == max(straight, turned)


@given(mm(50, 900), mm(50, 900), st.tuples(mm(10, 400), mm(10, 400)), mm(0, 20), mm(0, 400), mm(1, 30))
def test_more_width_never_makes_fewer_parts(width, length, tile, gap, more, pieces):
    before = grid(width, length, tile, gap, pieces=pieces)
    after = grid(width + more, length, tile, gap, pieces=pieces)
    assert after.in_grid >= before.in_grid
    assert after.parts_per_sold >= before.parts_per_sold
    assert after.fits or not before.fits


@given(mm(50, 500), mm(50, 500), mm(500, 1500), mm(500, 3000), mm(0, 6), mm(0, 900))
def test_a_wider_sheet_never_gives_fewer_pieces(width, length, wide, long, saw, more):
    before, after = (
        grid(width, length, (40, 40), 0, saw=saw, sold=(sold, long)).per_sold for sold in (wide, wide + more)
    )
    assert after >= before
    straight = laid(wide, width, saw) * laid(long, length, saw)
    turned = laid(wide, length, saw) * laid(long, width, saw)
    assert before == max(straight, turned)


@given(mm(100, 900), mm(100, 900), st.tuples(mm(30, 400), mm(30, 400)), mm(0, 10))
def test_a_tile_smaller_by_what_is_told_lets_one_more_row_out(width, length, tile, gap):
    full = grid(width, length, tile, gap)
    if full.in_grid == 0:
        return
    found = grid(width, length, tile, gap, pieces=full.in_grid)
    for saving in (one for one in found.savings if one.size is None):
        axis = 0 if saving.way == "width" else 1
        smaller = [f"{side}" for side in tile]
        smaller[axis] = f"{saving.part * 1000:.4f}"
        assert grid(width, length, smaller, gap).in_grid >= saving.parts > found.in_grid
        assert saving.share == pytest.approx(1 - found.in_grid / saving.parts)
