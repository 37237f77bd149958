"""Whole jobs judged: warm holds, walls against reach, time and money, the second side, what would do."""

from __future__ import annotations

import json
import math

import pytest

from support.books import RECIPE
from support.jobs import job_book
from swarfbook import quantities
from swarfbook.decisions.jobs.as_json import job_json
from swarfbook.decisions.jobs.cures import cures, troubles
from swarfbook.decisions.jobs.judging import judge_job
from swarfbook.decisions.jobs.loading import load_job

CUT = {"recipe": RECIPE, "feature": "window", "volume": "20 cm^3"}
VISE = {"method": "vise", "force": "6 kN"}
LATE = {"recipe": RECIPE, "feature": "outline", "volume": "90 cm^3", "floor": "0.5 mm"}
PLACED = [
    {"id": "window", "kind": "pocket", "depth": "8 mm", "inside_corner": "4 mm", "place": "middle"},
    {"id": "outline", "kind": "outside", "depth": "12.5 mm"},
]


GENTLE = {"recipe.axial_depth": "1.3 mm", "machine.axes.thrust": "600 N"}


def judged(path, recipes=None, book=None, **different):
    """Judge a job in the small book, its recipe gentle enough to be inside every limit of its own."""
    changes = GENTLE | (book or {})
    return judge_job(load_job(job_book(path, {"plates": different}, recipes, **changes), "plates"))


def test_a_hold_is_judged_at_the_peaks_of_the_step_and_as_warm_as_the_stock_gets(tmp_path):
    taped = [{"method": "glue-tape", "length": "300 mm", "width": "76 mm"}]
    report = judged(tmp_path, features=PLACED, holds=taped)
    one = report.steps[0]
    check = one.cutting.check
    push = {limit.name: limit for limit in check.limits}["axis-thrust"].demand
    shear = next(way for way in one.holding.ways if way.name == "shear")
    assert shear.demand.value == pytest.approx(push / (0.3 * 0.076), rel=1e-9)
    peel = next(way for way in one.holding.ways if way.name == "peel")
    # In the middle: the lift spread evenly, and the side force tipping about the short side.
    lift = float(check.numbers.force_z_peak * check.numbers.dynamic_factor)
    height = 0.0127 - 0.0013 / 2
    expected = lift / (0.3 * 0.076) + 6 * push * height / (0.3 * 0.076**2)
    assert peel.demand.value == pytest.approx(expected, rel=1e-9)
    assert one.temperature.value > 293.15
    names = {limit.name for limit in one.limits}
    assert {"hold", "reach", "stock-temperature"} <= names


def test_warm_stock_weakens_tape_and_not_a_vise(tmp_path):
    taped = [{"method": "glue-tape", "length": "300 mm", "width": "76 mm"}]
    cold = judged(tmp_path / "a", holds=taped, steps=[LATE], ambient="10 degC").steps[0]
    warm = judged(tmp_path / "b", holds=taped, steps=[LATE], ambient="35 degC").steps[0]
    assert warm.holding.use > 1.3 * cold.holding.use
    held = [judged(tmp_path / f"c{at}", holds=[VISE], ambient=f"{at} degC").steps[0] for at in (10, 35)]
    assert held[0].holding.use == pytest.approx(held[1].holding.use, rel=1e-12)


def test_a_hold_nobody_can_judge_does_not_hold(tmp_path):
    report = judged(tmp_path, book={"recipe.cooling": "flood"})
    assert report.steps[0].holding.use is None
    assert report.steps[0].verdict == "not judged"
    assert report.verdict == "over"


def test_a_wall_taller_than_the_reach_is_over_and_a_feature_without_a_cutter_cannot_be_made(tmp_path):
    deep = [{"id": "window", "kind": "pocket", "depth": "18 mm", "inside_corner": "2 mm"}]
    stock = {"form": "flat-bar", "thickness": "20 mm", "width": "76 mm", "length": "300 mm"}
    part = {"thickness": "19 mm", "width": "60 mm", "length": "280 mm"}
    report = judged(tmp_path, features=deep, stock=stock, part=part, holds=[VISE])
    reach = next(limit for limit in report.steps[0].limits if limit.name == "reach")
    assert (reach.demand, reach.limit, reach.verdict) == (pytest.approx(0.018), pytest.approx(0.016), "over")
    assert report.features["window"].verdict == "cannot"
    assert report.verdict == "cannot"


def test_cut_free_a_part_stands_on_its_own_tape_alone(tmp_path):
    whole = judged(tmp_path / "a", features=PLACED, steps=[LATE]).steps[0]
    free = judged(tmp_path / "b", features=PLACED, steps=[LATE | {"floor": "0 mm"}]).steps[0]
    assert (whole.left.free, free.left.free, free.left.frees) == (False, True, True)
    assert (free.piece.length, free.piece.width) == (pytest.approx(0.28), pytest.approx(0.06))
    assert free.holding.use > whole.holding.use


def test_later_steps_meet_a_piece_that_a_face_has_made_thinner(tmp_path):
    face = {"operation": "face-rough", "axial_depth": "0.5 mm", "radial_width": "4 mm", "allowance": None}
    features = [*PLACED, {"id": "top", "kind": "face", "depth": "2 mm"}]
    steps = [{"recipe": "face", "feature": "top"}, CUT]
    report = judged(tmp_path, {"face": face}, features=features, steps=steps, holds=[VISE])
    assert [one.left.thickness for one in report.steps] == pytest.approx([0.0127, 0.0107])


def test_plastic_is_held_below_its_service_limit(tmp_path):
    # Acrylic: 50 C, Crawford Table 1.8, in softening.csv.
    report = judged(
        tmp_path,
        book={"material.table": "acrylic", "material.cutting_law": None, "material.overrides": None},
        holds=[VISE],
    )
    most, why = report.steps[0].most
    assert (most - 273.15, why) == (pytest.approx(50.0), "service limit of the material")
    assert any("rough picture" in line for line in report.warnings)


def test_time_of_a_piece_adds_up_and_the_longest_stretch_has_no_hand_in_it(tmp_path):
    fine = {"tool": "em-6mm-3f", "operation": "finish", "radial_width": "0.2 mm", "allowance": None}
    book = job_book(
        tmp_path,
        {
            "plates": {
                "steps": [CUT, CUT | {"pause": "4 min"}, CUT | {"recipe": "fine", "volume": "1 cm^3"}],
                "quantity": 9,
                "pieces": 2,
                "setup_time": "12 min",
                "tool_change_time": "3 min",
                "hourly_rate": 60,
                "material_price": 25,
            }
        },
        {"fine": fine},
    )
    book.path("tool", "em-6mm-3f").write_text(book.path("tool", "em-6mm-1f").read_text())
    report = judge_job(load_job(book, "plates"))
    first, second, third = (one.cutting.time.seconds for one in report.steps)
    time = report.time
    # Twelve minutes to fix it, a change to the second cutter and one back, a pause of four.
    assert time.piece == pytest.approx(first + second + third + 60 * (12 + 3 + 3 + 4), rel=1e-12)
    assert time.pieces_of_stock == 5
    assert time.hands_off == pytest.approx(first + second + 240, rel=1e-12)
    assert report.bill.machine == pytest.approx(time.total / 60, rel=1e-12)
    assert report.bill.total == pytest.approx(report.bill.machine + 25 * report.stock.buy, rel=1e-12)
    assert report.bill.each == pytest.approx(report.bill.total / 9, rel=1e-12)


def test_money_that_is_not_given_is_not_made_up(tmp_path):
    bill = judged(tmp_path).bill
    assert (bill.machine, bill.material, bill.total, bill.each) == (None, None, None, None)


FLIPPED = {
    "holds": [VISE, VISE | {"side": "second"}],
    "flip": {"locate": "edges", "error": "0.5 mm"},
}
FINE = {"operation": "finish", "radial_width": "0.2 mm", "allowance": None}


@pytest.mark.parametrize(
    ("left", "verdict", "missing"), [("0.5 mm", "covered", 0.0), ("0.4 mm", "short", 0.0001)]
)
def test_half_a_millimetre_forgives_half_a_millimetre(tmp_path, left, verdict, missing):
    # Common practice, no source: an allowance covers a location error of its own size.
    steps = [CUT | {"allowance": left}, CUT | {"recipe": "fine", "side": "second", "volume": "1 cm^3"}]
    report = judged(tmp_path, {"fine": FINE}, steps=steps, **FLIPPED)
    one = report.relocations[0]
    assert (one.verdict, one.missing) == (verdict, pytest.approx(missing, abs=1e-12))
    assert (report.verdict == "over") == (verdict == "short")


def test_a_wall_finished_from_both_sides_keeps_a_line_between_them(tmp_path):
    steps = [CUT | {"recipe": "fine", "volume": "1 cm^3"}]
    steps += [steps[0] | {"side": "second"}]
    report = judged(tmp_path, {"fine": FINE}, steps=steps, **FLIPPED)
    assert report.relocations[0].verdict == "step"


GLUED = {"holds": [{"method": "glue-tape", "length": "300 mm", "width": "76 mm"}], "features": PLACED}


def test_a_pause_and_a_slower_pace_that_are_told_do_keep_it_cool_enough(tmp_path):
    report = judged(tmp_path, steps=[CUT, LATE], ambient="30 degC", **GLUED)
    worst = troubles(report)[0]
    assert worst.cool is not None
    assert worst.cool < worst.report.temperature.value
    told = {one.kind: one for one in cures(report)}
    slower = told["pace"]
    # Tried: every cut that much slower by a lower feed of the same way keeps the hold at the threshold.
    assert slower.temperature == pytest.approx(worst.cool, abs=0.05)
    assert 1.0 < slower.amount < 6.0
    for one in told.values():
        assert one.kind == "hold" or one.temperature <= worst.cool + 1e-6


def test_a_pause_that_is_told_works_when_it_is_written_into_the_job(tmp_path):
    early = CUT | {"volume": "100 cm^3"}
    late = LATE | {"volume": "4 cm^3"}
    report = judged(tmp_path / "a", steps=[early, late], ambient="29 degC", **GLUED)
    pause = next(one for one in cures(report) if one.kind == "pause")
    steps = [early, late | {"pause": f"{pause.amount / 60 + 0.01:.4f} min"}]
    again = judged(tmp_path / "b", steps=steps, ambient="29 degC", **GLUED)
    assert report.steps[1].holding.use > 0.8
    assert again.steps[1].holding.use == pytest.approx(0.8, abs=0.01)
    assert again.steps[1].temperature.value == pytest.approx(pause.temperature, abs=0.02)


def test_an_order_that_is_told_works_when_it_is_written_into_the_job(tmp_path):
    features = [*PLACED[:1], {"id": "corner-bores", "kind": "pocket", "depth": "12 mm"}]
    early, late = CUT | {"volume": "100 cm^3"}, CUT | {"feature": "corner-bores", "volume": "4 cm^3"}
    common = {"holds": GLUED["holds"], "features": features, "ambient": "29 degC"}
    report = judged(tmp_path / "a", steps=[early, late], **common)
    order = next(one for one in cures(report) if one.kind == "order")
    assert (order.step, order.amount) == (2, 1.0)
    again = judged(tmp_path / "b", steps=[late, early], **common)
    assert again.steps[0].temperature.value == pytest.approx(order.temperature, abs=1e-9)
    assert again.steps[0].holding.use < 0.8 < report.steps[1].holding.use


def test_where_every_hold_is_well_inside_nothing_is_told(tmp_path):
    report = judged(tmp_path, holds=[VISE])
    assert (troubles(report), cures(report)) == ((), ())


def test_the_object_is_json_with_the_agreed_names(tmp_path):
    report = judged(tmp_path, features=PLACED, hourly_rate=40)
    told = json.loads(json.dumps(job_json(report), allow_nan=False))
    assert {"steps", "features", "stock", "minutes", "cost", "verdict", "cautions"} <= told.keys()
    step = told["steps"][0]
    assert {"step", "recipe", "minutes", "verdict", "tightest", "hold", "stock_temperature"} <= step.keys()
    assert {"shear", "peel", "slip", "use"} <= step["hold"].keys()
    assert {"feature", "verdict", "tools"} <= told["features"][0].keys()
    assert {"tool", "verdict", "reason"} <= told["features"][0]["tools"][0].keys()
    assert told["minutes"] == pytest.approx(report.time.total / 60)
    warm = quantities.convert(report.steps[0].temperature.value, "temperature", "degC")
    assert step["stock_temperature"] == pytest.approx(warm)
    assert step["stock_temperature_low"] < warm < step["stock_temperature_high"]
    assert max(told["stock_temperature"]["degC"]) == pytest.approx(warm, abs=0.5)
    assert math.isfinite(step["hold"]["use"])
