"""Features against a drawer: geometry worked out by hand, and nothing said to fit that does not."""

from __future__ import annotations

import json
import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from support.books import values
from swarfbook.decisions.jobs.making import deflection_cost, feature_json, feature_tools, feature_verdict
from swarfbook.records import parse
from swarfbook.records.job import Feature

STIFF = 3e6
"""Machine at the collet nose [N/m]."""


def tool(**changes):
    return parse("tool", values("tool", {"edge_radius": None, **changes}), where="tools/x.toml")


def small(**changes):
    return tool(**{"diameter": "3 mm", "shank_diameter": "3 mm", "flute_length": "12 mm", **changes})


def feature(kind="pocket", depth=0.010, **rest):
    given_ = {"id": "x", "kind": kind, "depth": depth, **rest}
    return Feature(**{name: given_.get(name) for name in Feature.declared})


def fits(wanted, overshoot=0.0, **drawer):
    found = feature_tools(wanted, drawer, overshoot=overshoot, machine_stiffness=STIFF)
    return {fit.tool: fit for fit in found}


def one(wanted, cutter, overshoot=0.0):
    return fits(wanted, overshoot, it=cutter)["it"]


def judged(wanted, **drawer):
    return feature_verdict(wanted, feature_tools(wanted, drawer, machine_stiffness=STIFF))


@pytest.mark.parametrize(
    ("corner", "verdict"),
    # Given: a cutter turns freely in a corner up to 0.9 of its radius; 3.0 / 0.9 is 3.33 (common practice).
    [(0.0029, "cannot"), (0.0030, "tight"), (0.0033, "tight"), (0.0034, "can"), (None, "can")],
)
def test_an_inside_corner_takes_a_smaller_radius(corner, verdict):
    assert one(feature(inside_corner=corner), tool()).verdict == verdict


def test_a_sharp_corner_is_made_by_no_cutter_and_the_smallest_tells_what_it_leaves():
    found = judged(feature(inside_corner=0.0), six=tool(), three=small())
    assert found.verdict == "cannot"
    assert all("sharp" in fit.reason for fit in found.fits)
    assert found.cure.sharp
    assert found.cure.buy is None
    # Given: 1.5 mm is left, a drawn corner of 1.7 mm lets a 3 mm cutter turn (1.5 / 0.9 = 1.667).
    assert found.cure.leaves == pytest.approx(0.0015)
    (change,) = found.cure.changes
    assert (change.corner, change.depth, change.width, change.tool) == (
        pytest.approx(0.0017), None, None, "three",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("shape", "depth", "verdict", "says"),
    [
        # 16 mm of flutes, shank as thick as the cutter, 50 mm long, 15 mm of it gripped: 35 mm stand out.
        ({}, 0.016, "can", ""),
        ({}, 0.020, "tight", "rubs above 16.0 mm"),
        ({}, 0.0348, "tight", "of room above the wall"),
        ({}, 0.036, "cannot", "reach 35.0 mm, wall 36.0 mm"),
        # A neck of 5.6 mm clears the wall to 24 mm, the 6 mm shank above it rubs.
        ({"reach": "24 mm", "neck_diameter": "5.6 mm"}, 0.0235, "can", ""),
        ({"reach": "24 mm", "neck_diameter": "5.6 mm"}, 0.026, "tight", "rubs above 24.0 mm"),
        # A neck as thick as the cutter clears nothing.
        ({"reach": "24 mm", "neck_diameter": "6 mm"}, 0.020, "tight", "rubs above 16.0 mm"),
        # A thinner shank clears all of it: 50 - 2.5 x 5 = 37.5 mm.
        ({"shank_diameter": "5 mm"}, 0.037, "can", ""),
        ({"shank_diameter": "5 mm"}, 0.038, "cannot", "reach 37.5 mm"),
        # A thicker one stops at the reach, or at the flutes where there is none.
        ({"shank_diameter": "8 mm"}, 0.0155, "can", ""),
        ({"shank_diameter": "8 mm"}, 0.0158, "tight", "of room above the wall"),
        ({"shank_diameter": "8 mm"}, 0.0165, "cannot", "reach 16.0 mm"),
        ({"shank_diameter": "8 mm", "reach": "20 mm", "neck_diameter": "5.6 mm"}, 0.0195, "can", ""),
        (
            {"shank_diameter": "8 mm", "reach": "20 mm", "neck_diameter": "5.6 mm"},
            0.021,
            "cannot",
            "reach 20",
        ),
    ],
)
def test_a_wall_takes_reach_and_what_of_the_cutter_clears_it(shape, depth, verdict, says):
    fit = one(feature(depth=depth), tool(**shape))
    assert fit.verdict == verdict
    assert says in fit.reason


def test_what_goes_into_the_bed_counts_as_wall():
    shank = {"shank_diameter": "8 mm"}
    assert one(feature("outside", 0.0155), tool(**shank)).verdict == "can"
    assert one(feature("outside", 0.0155), tool(**shank), overshoot=0.0003).verdict == "tight"
    assert one(feature("outside", 0.0155), tool(**shank), overshoot=0.0006).verdict == "cannot"


@pytest.mark.parametrize(
    ("kind", "width", "verdict"),
    [
        ("slot", 0.0061, "can"), ("slot", 0.006, "tight"), ("slot", 0.0059, "cannot"),
        ("pocket", 0.0061, "can"), ("pocket", 0.0059, "cannot"),
        ("bore", 0.0061, "can"), ("bore", 0.006, "cannot"), ("face", 0.004, "can"),
    ],
)  # fmt: skip
def test_a_narrow_place_takes_a_narrower_cutter(kind, width, verdict):
    assert one(feature(kind, 0.005, width=width), tool()).verdict == verdict


def test_a_bore_of_more_than_two_cutters_leaves_a_core():
    assert one(feature("bore", 0.005, width=0.012), tool()).core is None
    # Once round, a 6 mm cutter takes a ring of 6 mm from a hole of 20 mm: 8 mm stay.
    fit = one(feature("bore", 0.005, width=0.020), tool())
    assert fit.core == pytest.approx(0.008)
    assert "core of 8.00 mm" in fit.reason
    assert fit.verdict == "can"


def ball(**changes):
    return tool(shape="ball", **changes)


def chamfer(**changes):
    return tool(shape="chamfer", point_angle="90 deg", tip_diameter="0.2 mm", flute_length="6 mm", **changes)


@pytest.mark.parametrize("kind", ["pocket", "slot", "face", "outside"])
def test_a_ball_leaves_no_flat_floor_unless_it_goes_right_through(kind):
    wanted = feature(kind, 0.005, width=0.02)
    assert one(wanted, ball()).verdict == "cannot"
    assert one(wanted, ball(), overshoot=0.0029).verdict == "cannot"
    assert one(wanted, ball(), overshoot=0.003).verdict == "can"


def test_a_chamfer_cutter_is_for_edges():
    assert one(feature("pocket", 0.002), chamfer()).verdict == "cannot"
    edge = feature("edge", 0.001, width=0.001)
    found = fits(edge, chamfer=chamfer(), ball=ball(), square=tool())
    assert {name: fit.verdict for name, fit in found.items()} == {
        "chamfer": "can", "ball": "tight", "square": "cannot",
    }  # fmt: skip
    # At 90 degrees 1 mm deep is 1 mm wide: an edge of 1 by 2 mm is another angle.
    assert one(feature("edge", 0.001, width=0.002), chamfer()).verdict == "cannot"
    # The cone is (6 - 0.2) / 2 = 2.9 mm high.
    assert one(feature("edge", 0.0029), chamfer()).verdict == "can"
    assert "cone is 2.90 mm" in one(feature("edge", 0.003), chamfer()).reason


def test_a_cone_turns_in_a_corner_by_its_radius_at_the_top_of_the_edge():
    # 0.1 mm at the tip and 1 mm up a 45 degree slope: 1.1 mm.
    assert one(feature("edge", 0.001, inside_corner=0.00105), chamfer()).verdict == "cannot"
    assert one(feature("edge", 0.001, inside_corner=0.00115), chamfer()).verdict == "tight"
    assert one(feature("edge", 0.001, inside_corner=0.00125), chamfer()).verdict == "can"


def test_a_tapered_cutter_leans_the_wall():
    # tan 2 degrees is 0.0349: 0.35 mm over 10 mm.
    taper = tool(shape="tapered", taper="2 deg")
    assert "leans 0.349 mm" in one(feature(), taper).reason
    assert one(feature(tolerance=0.0003), taper).verdict == "cannot"
    assert one(feature(tolerance=0.0004), taper).verdict == "can"


def test_a_corner_radius_along_the_floor_is_told():
    rounded = tool(shape="corner-radius", corner_radius="0.5 mm")
    assert "0.500 mm along the floor" in one(feature(), rounded).reason
    assert one(feature(), rounded, overshoot=0.0005).reason == ""


def test_a_longer_stickout_costs_what_hand_statics_say():
    # 16 mm of flutes as a rod of 4.8 mm, shank 6 mm; (sum of (x2^3 - x1^3) / d^4) in 1/mm:
    # 30.5 mm out: 4096/530.84 + (28372.6 - 4096)/1296 = 26.448
    # 17.8 mm out (flutes and 0.3 diameters): 4096/530.84 + (5639.8 - 4096)/1296 = 8.9073
    # stub, 9 mm of flutes, 10.8 mm out: 729/530.84 + (1259.7 - 729)/1296 = 1.7828
    cost = deflection_cost(tool(youngs_modulus="600 GPa"), 0.030, machine_stiffness=STIFF)
    assert cost.stickout == pytest.approx(0.0305)
    assert cost.shortest == pytest.approx(0.0178)
    assert cost.cutter == pytest.approx(26.448 / 8.9073, rel=1e-3)
    assert cost.over_stub == pytest.approx(26.448 / 1.7828, rel=1e-3)
    # 64 / (3 pi 600 GPa) of these is 0.2993 and 0.1008 um/N, the machine gives 0.3333 um/N.
    assert cost.compliance == pytest.approx(0.2993e-6 + 0.3333e-6, rel=1e-3)
    assert cost.total == pytest.approx(0.6327 / 0.4341, rel=1e-3)
    shorter = deflection_cost(tool(), 0.030, 0.0305, machine_stiffness=STIFF)
    assert shorter.cutter == pytest.approx(1.0)


def test_a_neck_is_not_gripped_so_that_its_reach_costs_on_low_walls_too():
    necked = small(reach="20 mm", neck_diameter="2.8 mm", shank_diameter="6 mm")
    cost = deflection_cost(necked, 0.005, machine_stiffness=STIFF)
    assert cost.stickout == pytest.approx(0.0209)
    assert cost.cutter > 1


def test_the_stiffest_that_can_comes_first_and_what_cannot_last():
    drawer = {"three": small(), "six": tool(), "short": tool(flute_length="12 mm"), "ball": ball()}
    assert list(fits(feature(depth=0.010), **drawer)) == ["short", "six", "three", "ball"]


def test_a_pocket_too_deep_is_cured_by_a_depth_or_a_longer_cutter():
    found = judged(feature(depth=0.030), it=tool(shank_diameter="8 mm"))
    assert found.verdict == "cannot"
    # 16 mm of reach less 0.5 mm of room; a cutter of 30.5 mm would reach.
    (change,) = found.cure.changes
    assert (change.corner, change.depth, change.width) == (None, pytest.approx(0.0155), None)
    assert (found.cure.buy.diameter, found.cure.buy.reach) == (None, pytest.approx(0.0305))


def test_a_narrow_slot_is_cured_by_its_width_or_a_thinner_cutter():
    found = judged(feature("slot", 0.005, width=0.0025), six=tool(), three=small())
    (change,) = found.cure.changes
    assert (change.width, change.tool) == (pytest.approx(0.0031), "three")
    assert (found.cure.buy.diameter, found.cure.buy.reach) == (pytest.approx(0.0025), pytest.approx(0.0055))


def test_two_faults_of_every_cutter_are_cured_together():
    found = judged(feature(depth=0.030, inside_corner=0.002), it=tool(shank_diameter="8 mm"))
    (change,) = found.cure.changes
    assert (change.corner, change.depth) == (pytest.approx(0.0034), pytest.approx(0.0155))
    # 0.9 of 2 mm, twice.
    assert found.cure.buy.diameter == pytest.approx(0.0036)


def test_a_change_of_one_thing_goes_before_changes_of_two():
    drawer = {"near": tool(), "far": tool(diameter="5 mm", shank_diameter="6 mm", flute_length="8 mm")}
    found = judged(feature(inside_corner=0.002), **drawer)
    (change,) = found.cure.changes
    assert (change.tool, change.corner, change.depth) == ("near", pytest.approx(0.0034), None)


def test_a_cutter_for_a_bore_is_bought_smaller_than_the_bore():
    bought = judged(feature("bore", 0.005, width=0.0025), six=tool()).cure.buy
    assert bought.diameter == pytest.approx(0.0024)


def test_an_empty_drawer_makes_nothing_and_says_what_to_buy():
    found = judged(feature(inside_corner=0.002))
    assert (found.verdict, found.cure.changes) == ("cannot", ())
    assert found.cure.buy.reach == pytest.approx(0.0105)


def test_the_json_has_millimetres():
    found = feature_json(judged(feature(inside_corner=0.0), three=small()))
    assert json.loads(json.dumps(found)) == found
    assert found["cure"]["changes"][0]["corner"] == pytest.approx(1.7)
    assert (found["feature"], found["verdict"], found["tools"][0]["tool"]) == ("x", "cannot", "three")


def lengths(low, high):
    return st.integers(low, high).map(lambda tenths: tenths / 10)


@st.composite
def cutters(draw):
    diameter = draw(lengths(10, 120))
    flutes = draw(lengths(20, 300))
    reach = draw(st.none() | lengths(0, 200).map(lambda more: flutes + more))
    shank = draw(lengths(20, 120))
    overall = (reach or flutes) + shank * draw(st.integers(2, 4))
    neck = draw(st.none() | lengths(1, 10).map(lambda less: diameter * (1 - less / 20)))
    shown = {"diameter": diameter, "flute_length": flutes, "shank_diameter": shank, "overall_length": overall}
    shown |= {key: value for key, value in (("reach", reach), ("neck_diameter", neck)) if value}
    return tool(**{key: f"{value:.4f} mm" for key, value in shown.items()})


features = st.builds(
    feature,
    st.sampled_from(["outside", "pocket", "slot", "bore"]),
    lengths(5, 400).map(lambda mm: mm / 1000),
    width=lengths(10, 400).map(lambda mm: mm / 1000),
    inside_corner=st.none() | lengths(0, 80).map(lambda mm: mm / 1000),
)


@given(features, cutters())
def test_a_cutter_said_to_fit_breaks_no_rule(wanted, cutter):
    fit = one(wanted, cutter)
    assume(fit.verdict != "cannot")
    radius, wall = cutter.diameter / 2, wanted.depth
    assert wall <= cutter.overall_length - 2.5 * cutter.shank_diameter + 1e-9
    assert wanted.kind == "outside" or cutter.diameter <= wanted.width + 1e-9
    assert wanted.inside_corner is None or 0 < radius <= wanted.inside_corner + 1e-9
    if cutter.shank_diameter > cutter.diameter:
        assert wall <= (cutter.reach or cutter.flute_length) + 1e-9
    if fit.verdict == "can":
        slim = cutter.neck_diameter or cutter.shank_diameter
        assert wall <= cutter.flute_length + 1e-9 or slim < cutter.diameter
        assert wanted.inside_corner is None or radius <= 0.9 * wanted.inside_corner + 1e-9


@given(features, st.lists(cutters(), min_size=1, max_size=4))
def test_every_change_offered_is_a_cure(wanted, drawer):
    named = {f"t{n}": cutter for n, cutter in enumerate(drawer)}
    found = judged(wanted, **named)
    assume(found.cure is not None)
    for change in found.cure.changes:
        drawn = {"inside_corner": change.corner, "depth": change.depth, "width": change.width}
        changed = wanted.replaced(**{key: value for key, value in drawn.items() if value is not None})
        assert one(changed, named[change.tool]).verdict != "cannot"
    assert all(math.isfinite(change.corner or 0.0) for change in found.cure.changes)
