"""Checks: every rung says what design calls for, and says it of the right numbers."""

from __future__ import annotations

import json
import math

import pytest

from support.books import QUANTITIES, RECIPE
from swarfbook.book import Book
from swarfbook.decisions.as_json import check_json, inputs_json
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import check
from swarfbook.decisions.inputs import spread
from swarfbook.decisions.relief import relief
from swarfbook.errors import SwarfbookError

BAND = 1.6448536  # standard deviations to the 5 % and 95 % points
LIMIT_KEYS = {
    "name", "severity", "sense", "demand", "limit", "unit", "use", "mark", "verdict", "chance_over", "from",
    "remedy",
}  # fmt: skip


@pytest.fixture
def said(make_book):
    """Give a function from changes of the small book to the check's JSON."""

    def check_of(**changes):
        return check_json(check(load_case(Book.open(make_book(**changes)), RECIPE)))

    return check_of


def rung(check, name):
    return next(limit for limit in check["limits"] if limit["name"] == name)


def value(check, name):
    return check["quantities"][name]["value"]


def test_names_and_units_are_the_agreed_ones(said):
    one = said()
    assert QUANTITIES.items() <= {name: item["unit"] for name, item in one["quantities"].items()}.items()
    for item in one["quantities"].values():
        assert {"value", "unit", "low", "high", "from", "assumed"} <= set(item)
        assert item["low"] <= item["value"] <= item["high"]
        assert item["from"]
    for limit in one["limits"]:
        assert set(limit) >= LIMIT_KEYS
    assert {"recipe", "standing", "digest", "context_digest", "tightest", "verdict", "cautions"} <= set(one)
    json.dumps(one, allow_nan=False)


def test_tightest_is_the_highest_use_among_the_hard_ones(said):
    one = said()
    hard = {
        limit["name"]: limit["use"] for limit in one["limits"] if limit["severity"] == "hard" and limit["use"]
    }
    assert one["tightest"] == max(hard, key=hard.get)
    assert one["verdict"] == rung(one, one["tightest"])["verdict"]


def test_rungs_come_tightest_first_and_unjudged_last(said):
    uses = [limit["use"] for limit in said(**{"tool.max_speed": None})["limits"]]
    judged = [use for use in uses if use is not None]
    assert judged == sorted(judged, reverse=True)
    assert uses[len(judged) :] == [None] * (len(uses) - len(judged))


@pytest.mark.parametrize(
    ("use", "book", "verdict"),
    [
        (0.75, {}, "holds"),
        (0.85, {}, "tight"),
        (1.05, {}, "over"),
        (0.75, {"book.thresholds": {"tight": 0.7}}, "tight"),
    ],
)
def test_verdicts(said, use, book, verdict):
    one = said(**{"recipe.spindle_speed": f"{24000 * use:.0f} rpm", "tool.max_speed": None, **book})
    assert rung(one, "spindle-speed")["use"] == pytest.approx(use)
    assert rung(one, "spindle-speed")["verdict"] == verdict


def test_spindle_rungs_below_rated_speed_lose_power_and_not_torque(said):
    full, half = said(), said(**{"recipe.spindle_speed": "9000 rpm"})
    assert rung(full, "spindle-power")["limit"] == pytest.approx(1500)
    assert rung(half, "spindle-power")["limit"] == pytest.approx(750)
    assert rung(half, "spindle-torque")["limit"] == pytest.approx(1500 / (2 * math.pi * 300))
    assert rung(full, "spindle-torque")["demand"] == value(full, "cutting_torque_mean")
    assert rung(full, "spindle-power")["demand"] == value(full, "cutting_power")


def test_above_rated_speed_power_stays_and_torque_falls(said):
    fast = said(**{"recipe.spindle_speed": "22000 rpm"})
    assert rung(fast, "spindle-power")["limit"] == pytest.approx(1500)
    assert rung(fast, "spindle-torque")["limit"] == pytest.approx(1500 / (2 * math.pi * 22000 / 60))


def test_an_input_rating_gives_efficiency_times_it(said):
    assert rung(said(**{"machine.spindle.rating": "input"}), "spindle-power")["limit"] == pytest.approx(1200)


def test_a_torque_curve_replaces_the_motor(said):
    curve = [["6000 rpm", "0.8 N*m"], ["12000 rpm", "0.6 N*m"], ["24000 rpm", "0.2 N*m"]]
    one = said(**{"machine.spindle.torque_curve": curve})
    assert rung(one, "spindle-torque")["limit"] == pytest.approx(0.4)
    assert rung(one, "spindle-power")["limit"] == pytest.approx(0.4 * 2 * math.pi * 300)


def test_peaks_are_judged_only_against_a_given_overload(said):
    assert "spindle-torque-peak" not in {limit["name"] for limit in said()["limits"]}
    one = said(**{"machine.spindle.overload": {"power": "1.8 kW", "duty": "S6 40%"}})
    peak = rung(one, "spindle-torque-peak")
    assert peak["demand"] == value(one, "cutting_torque_peak")
    assert peak["limit"] == pytest.approx(1.2 * rung(one, "spindle-torque")["limit"])


def test_input_power_counts_idle_once(said):
    """Light load: idle plus cutting plus a share of the copper loss, not idle on top of P over efficiency."""
    one = said()
    power, torque = value(one, "cutting_power"), value(one, "cutting_torque_mean")
    copper = (1500 / 0.8 - 1500 - 90) * (torque / (1500 / (2 * math.pi * 300))) ** 2
    assert value(one, "spindle_input_power") == pytest.approx(power + 90 + copper)
    without = said(**{"machine.spindle.idle_power": None})
    assert value(without, "spindle_input_power") == pytest.approx(power / 0.8)


def test_bending_and_thrust_have_runout_and_dynamics_in_them(said):
    one = said(
        **{"tool.flutes": 2, "recipe.spindle_speed": "3000 rpm", "machine.spindle.min_speed": "1000 rpm"}
    )
    passing, growth = 100.0, value(one, "force_peak_runout") / value(one, "force_peak")
    dynamic = 1 + 0.5 * (passing - 50) / 100
    assert growth > 1.01
    assert rung(one, "bending")["demand"] == pytest.approx(
        value(one, "bending_stress_peak") * growth * dynamic
    )
    assert rung(one, "axis-thrust")["demand"] == pytest.approx(value(one, "force_peak_runout") * dynamic)
    assert rung(one, "axis-thrust")["limit"] == pytest.approx(125)


def test_safety_factors_of_the_book_count(said):
    one = said(**{"book.safety_factors": {"bending": 5.0, "thrust": 4.0}})
    assert rung(one, "axis-thrust")["limit"] == pytest.approx(62.5)
    assert rung(one, "bending")["limit"] == pytest.approx(rung(said(), "bending")["limit"] * 2.5 / 5)


def test_the_rubbing_floor_is_a_minimum(said):
    thin = rung(said(), "chip-thin")
    assert thin["sense"] == "minimum"
    assert thin["limit"] == pytest.approx(0.375 * 0.005)
    assert thin["use"] == pytest.approx(thin["limit"] / thin["demand"])
    assert rung(said(**{"recipe.feed_per_tooth": "0.001 mm"}), "chip-thin")["verdict"] == "over"


@pytest.mark.parametrize(
    ("changes", "severity", "limit"),
    [
        ({}, "advice", 0.25),
        ({"recipe.tolerance": "0.06 mm"}, "hard", 0.06),
        ({"recipe.allowance": None}, "advice", None),
    ],
)
def test_deflection_is_held_to_the_tolerance_else_half_the_allowance(said, changes, severity, limit):
    bent = rung(said(**changes), "deflection")
    assert bent["severity"] == severity
    assert bent["limit"] == (None if limit is None else pytest.approx(limit))
    assert (bent["verdict"] == "not judged") is (limit is None)


def test_an_unmarked_cutter_is_not_judged_and_never_holds(said):
    assert rung(said(), "tool-speed")["verdict"] == "holds"
    unmarked = rung(said(**{"tool.max_speed": None}), "tool-speed")
    assert unmarked["verdict"] == "not judged"
    assert unmarked["use"] is None
    assert "max_speed" in unmarked["from"]


def test_left_out_keys_are_assumed_and_say_so(said):
    one = said(**{"machine.tool_tip.stiffness": None, "tool.edge_radius": None, "machine.axes.thrust": None})
    assert one["quantities"]["deflection_total"]["assumed"] is True
    assert "tool_tip_stiffness" in one["quantities"]["deflection_total"]["assumed_inputs"]
    assert rung(one, "chip-thin")["assumed"] is True
    assert rung(one, "axis-thrust")["assumed"] is True
    assert one["quantities"]["feed_rate"]["assumed"] is False


def test_assumed_inputs_are_wider_than_given_ones(said):
    def width(check):
        bent = check["quantities"]["deflection_total"]
        return bent["high"] / bent["low"]

    assert width(said(**{"machine.tool_tip.stiffness": None})) > 1.2 * width(said())


def test_the_flutes_rod_counts_at_the_fourth_power_in_the_cutters_deflection(said):
    one = said(**{"tool.youngs_modulus": "600 GPa"})["quantities"]
    force, bent = (one[name]["high"] / one[name]["value"] for name in ("force_peak", "deflection_tool"))
    parts = (math.log(force), BAND * spread("youngs-modulus"), 4 * BAND * spread("fluted-diameter-ratio"))
    assert math.log(bent) == pytest.approx(math.hypot(*parts), rel=1e-4)


def test_wear_raises_every_force(said):
    fresh, worn = said(), said(**{"recipe.wear": 1.4})
    for name in ("cutting_power", "force_peak", "deflection_total", "bending_stress_peak"):
        assert value(worn, name) == pytest.approx(1.4 * value(fresh, name))


def test_a_named_rake_corrects_kienzle_and_only_kienzle(said):
    kienzle = {"material.overrides": {"kc11": "700 N/mm^2", "mc": 0.25}}
    plain, raked = said(**kienzle), said(**kienzle, **{"tool.rake": "10 deg"})
    assert value(raked, "cutting_power") == pytest.approx(0.85 * value(plain, "cutting_power"))
    linear = {"material.cutting_law": "linear-edge", "material.overrides": None}
    assert value(said(**linear, **{"tool.rake": "10 deg"}), "cutting_power") == value(
        said(**linear), "cutting_power"
    )


def test_measured_coefficients_are_the_default_law(said, make_book):
    case = load_case(
        Book.open(make_book(**{"material.cutting_law": None, "material.overrides": None})), RECIPE
    )
    assert case.choice.name == "linear-edge"
    power = said(**{"material.cutting_law": None, "material.overrides": None})
    assert value(power, "cutting_power") == pytest.approx(
        value(said(**{"material.cutting_law": "linear-edge", "material.overrides": None}), "cutting_power")
    )


def test_climb_and_conventional_ask_the_same_power(said):
    other = said(**{"recipe.direction": "conventional"})
    assert value(other, "cutting_power") == pytest.approx(value(said(), "cutting_power"), rel=1e-12)


def test_feed_rate_and_feed_per_tooth_are_two_ways_to_say_it(said):
    by_rate = said(**{"recipe.feed_per_tooth": None, "recipe.feed_rate": "900 mm/min"})
    for name in QUANTITIES:
        assert value(by_rate, name) == pytest.approx(value(said(), name), rel=1e-12), name


def test_digests_follow_values_and_context(make_book):
    first = load_case(Book.open(make_book("a")), RECIPE)
    other = load_case(Book.open(make_book("b", **{"tool.flute_length": "17 mm"})), RECIPE)
    assert first.digest == other.digest
    assert first.context_digest != other.context_digest


def test_relief_is_what_it_says(make_book, said):
    strained = {"machine.axes.thrust": "400 N"}
    one = check(load_case(Book.open(make_book("first", **strained)), RECIPE))
    thrust = next(limit for limit in one.limits if limit.name == "axis-thrust")
    eased = relief(one, thrust)
    assert thrust.verdict in ("tight", "over")
    after = check(
        load_case(Book.open(make_book("second", **strained, **{f"recipe.{eased.key}": eased.text})), RECIPE)
    )
    use = next(limit for limit in after.limits if limit.name == "axis-thrust").use
    assert use == pytest.approx(eased.use)
    assert use <= 0.8
    assert rung(said(**strained), "axis-thrust")["remedy"] == str(eased)


def test_relief_of_rubbing_is_more_feed(make_book):
    one = check(load_case(Book.open(make_book(**{"recipe.feed_per_tooth": "0.001 mm"})), RECIPE))
    eased = relief(one, next(limit for limit in one.limits if limit.name == "chip-thin"))
    assert eased.key == "feed_per_tooth"
    assert eased.use <= 0.8


def test_inputs_name_their_origin(make_book):
    case = load_case(Book.open(make_book(**{"tool.edge_radius": None})), RECIPE)
    inputs = inputs_json(case)
    assert inputs["edge_radius"]["from"] == "carbide, edge_radii.csv"
    assert inputs["edge_radius"]["assumed"] is True
    assert inputs["axial_depth"]["from"] == "recipe"


@pytest.mark.parametrize(
    ("changes", "line"),
    [
        ({"recipe.radial_width": "6.1 mm"}, "radial_width"),
        ({"recipe.stickout": "51 mm"}, "stickout"),
        ({"recipe.axial_depth": "49 mm"}, "axial_depth"),
        ({"recipe.axial_depth": "1e14 mm"}, "axial_depth"),
        ({"recipe.tool": "em-6mm-2f"}, "did you mean em-6mm-1f"),
        ({"recipe.material": "6082"}, "did you mean 6082-t6"),
        ({"material.table": "aluminium-wrought-6082"}, "did you mean aluminium-wrought-6082-t6"),
        (
            {"material.table": "aluminium-wrought-6061-t6", "material.cutting_law": "linear-edge"},
            "overrides.kac",
        ),
        ({"recipe.operation": "chamfer"}, "chamfer cutter"),
        ({"recipe.operation": "bore", "recipe.hole_diameter": "5 mm"}, "wider than its cutter"),
        ({"recipe.hole_diameter": "9 mm"}, "only for the operation bore"),
    ],
)
def test_records_that_do_not_fit_together_are_refused(make_book, changes, line):
    with pytest.raises(SwarfbookError, match=line):
        load_case(Book.open(make_book(**changes)), RECIPE)


def test_every_problem_of_the_named_records_is_told(make_book):
    changes = {"recipe.machine": "nope", "recipe.material": "nada", "tool.diameter": "6"}
    with pytest.raises(SwarfbookError) as caught:
        load_case(Book.open(make_book(**changes)), RECIPE)
    assert [problem.key for problem in caught.value.problems] == ["machine", "diameter", "material"]


def test_a_cut_deeper_than_the_cutter_stands_out_is_over(said):
    one = said(**{"recipe.axial_depth": "20 mm", "recipe.stickout": "18 mm", "tool.flute_length": "30 mm"})
    assert rung(one, "cut-depth")["limit"] == pytest.approx(18)
    assert rung(one, "cut-depth")["verdict"] == "over"


def test_relief_keeps_to_the_dial(make_book):
    dial = ["10000 rpm", "13000 rpm", "18000 rpm"]
    changes = {"machine.spindle.speeds": dial, "tool.max_speed": "18500 rpm"}
    one = check(load_case(Book.open(make_book(**changes)), RECIPE))
    eased = relief(one, next(limit for limit in one.limits if limit.name == "tool-speed"))
    assert eased.text == "13000 rpm"
    assert str(eased).startswith("13\u00a0000 rpm")
