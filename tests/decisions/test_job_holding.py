"""Holds under a step: tape, clamps, vise, screws, vacuum, tabs and floor by statics written out here."""

import math

import numpy as np
import pytest

from support.holding import CELSIUS, SETTINGS, hold, piece, push
from swarfbook import tables
from swarfbook.decisions.chance import Uncertain
from swarfbook.decisions.jobs import holds_clamping
from swarfbook.decisions.jobs.holding import judge, limit_temperature, strength_at
from swarfbook.physics import adhesive
from swarfbook.records import BookSettings
from swarfbook.records.settings import SafetyFactors
from swarfbook.tables import TableError

TAPE = hold("tape", length=0.3, width=0.1)
GLUE = hold("glue-tape", length=0.3, width=0.1)
CLAMPS = hold("clamps", count=2, force=800.0)
TABS = hold("tabs", count=4, width=6e-3, thickness=1.5e-3)
FRAME = hold("clamps", count=4, force=20_000.0)
FREE = {"free": True, "length": 0.1, "width": 0.06}


def held(holds, asked=None, on=None, settings=SETTINGS):
    return judge(holds, asked or push(), on or piece(), settings)


def way(holding, name):
    return next(one for one in holding.ways if one.name == name)


def middle(low, high):
    return math.sqrt(low * high)


# Tape.


def test_tape_in_the_tables_is_the_tape_in_print():
    """tape-01 to tape-03: data sheet of acrylic foam tape W20F and the maker's note, published."""
    rows = tables.load("adhesives")
    assert rows.get("foam-tape:tensile").needed("strength_low_kpa") == 950e3
    assert rows.get("foam-tape:shear-dynamic").needed("strength_low_kpa") == 480e3
    for celsius, printed, grams in ((65, 30.4, 1000), (90, 22.8, 750), (120, 22.8, 750), (150, 22.8, 750)):
        row = rows.get(f"foam-tape:shear-static-{celsius}")
        hung = adhesive.hanging_stress(hung_mass=grams / 1e3, area=3.23e-4)
        assert row.needed("strength_low_kpa") == printed * 1e3 == pytest.approx(hung, rel=5e-3)
    design = rows.get("foam-tape:design-dynamic").needed("strength_high_kpa")
    assert design == 85e3
    assert design * 5 < 480e3
    assert rows.get("foam-tape:design-static").needed("strength_low_kpa") == 1720.0


@pytest.mark.parametrize("celsius", [-10, 20, 30, 45, 60, 65, 90, 150])
def test_tape_works_below_its_design_value_and_below_what_it_carries_for_a_week_when_warm(celsius):
    strength = strength_at(TAPE, Uncertain(CELSIUS + celsius), piece())
    assert 1720.0 < strength.value < 85e3
    if celsius >= 65:
        assert strength.value < 22.8e3
        assert strength.value == pytest.approx(middle(10e3, 20e3))
    if celsius <= 30:
        assert strength.value == pytest.approx(middle(50e3, 85e3))


def test_a_bar_on_tape_by_hand():
    """150 N at 25 mm and 40 N of lift at a corner of 300 x 100 mm.

    Shear 150 / 0.03 = 5 kPa. Peel 7 x 40 / 0.03 = 9.33 kPa and 6 x 150 x 0.025 / (0.3 x 0.1^2) = 7.5 kPa.
    At 60 C the strength has come 30 of the 35 K from sqrt(50 x 85) down to sqrt(10 x 20).
    """
    cool, warm = held([TAPE]), held([TAPE], on=piece(60.0))
    assert way(cool, "shear").demand.value == pytest.approx(5e3)
    assert way(cool, "peel").demand.value == pytest.approx(9333.3 + 7500.0, rel=1e-5)
    assert cool.use == pytest.approx(16.8333e3 / 65.192e3, rel=1e-4)
    left = 65.192 - 30 / 35 * (65.192 - 14.142)
    assert warm.use == pytest.approx(16.8333 / left, rel=1e-4)
    assert (cool.verdict, cool.weakest.name, cool.remedies) == ("holds", "peel", ())
    assert cool.weakest.assumed == ("strength of tape",)


@pytest.mark.parametrize(("place", "times"), [("middle", 1.0), ("edge", 4.0), ("corner", 7.0)])
def test_where_a_lift_pulls(place, times):
    found = held([TAPE], push(0.0, 40.0, place=place))
    assert way(found, "peel").demand.value == pytest.approx(times * 40.0 / 0.03)


def test_tape_beyond_a_free_part_holds_nothing():
    """Three strips of 25 mm lie under the stock; of them 100 x 60 mm lie under a part of that size."""
    strips = hold("tape", length=0.3, width=0.025, count=3)
    assert way(held([strips]), "shear").demand.value == pytest.approx(150.0 / (0.3 * 0.075))
    assert way(held([strips], on=piece(**FREE)), "shear").demand.value == pytest.approx(150.0 / (0.1 * 0.06))


def test_two_tapes_add_their_areas_and_their_section_moduli():
    found = held([TAPE, hold("tape", length=0.2, width=0.05)])
    area, modulus = 0.03 + 0.01, (0.3 * 0.1**2 + 0.2 * 0.05**2) / 6
    assert way(found, "shear").demand.value == pytest.approx(150.0 / area)
    assert way(found, "peel").demand.value == pytest.approx(7 * 40.0 / area + 150.0 * 0.025 / modulus)


def test_what_is_known_of_the_temperature_goes_into_the_chance():
    """At 50 C the line falls by 1.4586 kPa a kelvin from 36.02 kPa; 1 % of 323 K is 3.23 K."""
    strength = strength_at(TAPE, Uncertain(CELSIUS + 50.0, {"heat-share": 0.01}), piece())
    slope = (65.192 - 14.142) / 35
    assert strength.causes["heat-share"] == pytest.approx(-slope * 3.2315 / (65.192 - 20 * slope), rel=1e-3)
    assert strength.causes["adhesive-strength"] == pytest.approx(0.3)


def test_the_chance_is_that_of_drawn_forces_and_strengths():
    """Force and lift by one cause, tape by its own: 200 000 draws of each."""
    found = held([TAPE], on=piece(60.0)).weakest
    drawn = np.random.default_rng(7).normal(size=(2, 200_000))
    peel = (7 * 40.0 / 0.03 + 7500.0) * np.exp(0.3 * drawn[0])
    bears = found.limit.value * np.exp(found.limit.sd * drawn[1])
    assert found.chance_over == pytest.approx(np.mean(peel > bears), abs=0.005)
    assert 0.2 < found.chance_over < 0.4


def test_masking_tape_holds_less_than_foam_tape_and_next_to_nothing_when_hot():
    strengths = {c: strength_at(GLUE, Uncertain(CELSIUS + c), piece()) for c in (20, 30, 45, 60, 80)}
    assert strengths[30].value < strength_at(TAPE, Uncertain(CELSIUS + 30.0), piece()).value
    assert strengths[60].value <= 2e3
    assert strengths[80].value == strengths[60].value
    assert strengths[60].sd > 0.3
    assert held([GLUE], on=piece(60.0)).verdict == "over"


@pytest.mark.parametrize("cooling", ["mist", "flood"])
def test_coolant_voids_tape_but_not_clamps(cooling):
    alone = held([TAPE], push(cooling=cooling))
    assert (alone.verdict, alone.use, alone.weakest) == ("not judged", None, None)
    assert all(one.limit is None and "coolant and oil loosen tape" in one.origin for one in alone.ways)
    assert "clamps" in alone.remedies[0]
    assert limit_temperature([TAPE], push(cooling=cooling), piece(), SETTINGS) is None
    both = held([TAPE, CLAMPS], push(cooling=cooling))
    assert both.use == held([CLAMPS]).use


def test_the_temperature_at_which_tape_lets_go_is_the_one_at_which_its_use_is_1():
    found = limit_temperature([TAPE], push(), piece(), SETTINGS)
    # 16.833 kPa is reached (65.192 - 16.833) / (65.192 - 14.142) of 35 K above 30 C.
    assert found - CELSIUS == pytest.approx(30 + 35 * (65.192 - 16.8333) / (65.192 - 14.142), abs=0.01)
    assert held([TAPE], on=piece(found - CELSIUS)).use == pytest.approx(1.0, rel=1e-4)


@pytest.mark.parametrize(
    ("holds", "asked"),
    [([TAPE], (20.0, 5.0)), ([TAPE], (3000.0, 500.0)), ([CLAMPS], (9e3, 0.0)), ([], (1.0, 1.0))],
)
def test_no_temperature_where_it_never_lets_go_or_has_done_so_already_or_holds_by_force(holds, asked):
    assert limit_temperature(holds, push(*asked), piece(), SETTINGS) is None


# Clamps, vise, screws, vacuum, nest.


def test_clamps_by_friction_on_two_faces():
    """Slip when 2 (F + 0) = 2 x 0.15 (1600 - 2 x 40): F = 228 N; 150 N are 162 / 240 of it."""
    assert held([CLAMPS], push(228.0, 40.0)).use == pytest.approx(1.0)
    found = held([CLAMPS])
    assert found.use == pytest.approx((150.0 + 2 * 0.15 * 40.0) / (2 * 0.15 * 1600.0 / 2))
    assert way(found, "lift").use == pytest.approx(40.0 / (1600.0 / 2))
    # About the long edge of a bar 100 mm wide: 150 x 25 mm and 40 N all the way over, against 1600 N x 50 mm.
    tip = way(found, "tip")
    assert tip.demand.value == pytest.approx(3.75 + 4.0)
    assert tip.limit.value == pytest.approx(1600.0 * 0.05 / 2)
    middle_cut = held([CLAMPS], push(place="middle"))
    assert way(middle_cut, "tip").demand.value == pytest.approx(3.75 + 2.0)


def test_a_bolt_gives_what_its_torque_its_class_its_anchor_and_its_lever_allow():
    """M8 oiled, 15 N m: F = M / (P / 2 pi + 0.577 d2 mu + D_km mu / 2), mu 0.08 and 0.16."""
    bolted = hold("clamps", count=1, bolt="m8", torque=15.0)
    weak, strong = (
        15.0 / (1.25e-3 / (2 * math.pi) + 0.57735 * 7.188e-3 * mu + 10.315e-3 * mu / 2) for mu in (0.16, 0.08)
    )
    force = holds_clamping.squeeze(bolted)
    assert force.value == pytest.approx(middle(weak, strong), rel=1e-3)
    assert force.band() == pytest.approx((weak, strong), rel=1e-3)
    held_by_nut = bolted.replaced(anchor="slot-nut-6")
    assert holds_clamping.squeeze(held_by_nut).value == pytest.approx(1000.0)
    strap = held_by_nut.replaced(work_arm=0.03, heel_arm=0.05)
    assert holds_clamping.squeeze(strap).value == pytest.approx(625.0)
    # bolt-02, M8 at 0.12: 18.6 kN for 24.6 N m, and no more however hard it is turned.
    assert holds_clamping.bolt_force(hold("clamps", bolt="m8", torque=24.6), 0.12) == pytest.approx(
        18.6e3, rel=0.01
    )
    assert holds_clamping.bolt_force(hold("clamps", bolt="m8", torque=60.0), 0.12) == pytest.approx(
        18.6e3, rel=0.01
    )


def test_an_anchor_nobody_lists_is_refused_with_the_nearest():
    with pytest.raises(TableError, match="slot-nut-6"):
        held([hold("clamps", count=1, bolt="m8", torque=15.0, anchor="slot-nut-66")])


@pytest.mark.parametrize(
    ("side", "jaws", "family", "friction"),
    [
        ("first", None, "steel", 0.15),
        ("second", "smooth", "steel", 0.10),
        ("second", "serrated", "wrought-aluminium", 0.35 * 0.95),
        ("first", "diamond", "brass", 0.30 * 0.90),
        ("second", "smooth", "cast-iron", 0.10 * 0.80),
        ("second", "smooth", "titanium", 0.10 * 0.80),
    ],
)
def test_a_vise_grips_by_the_friction_of_its_jaws(side, jaws, family, friction):
    """RN 1391: 2 mu F against the resultant of 150 and 40 N, half of it for safety."""
    vise = hold("vise", force=3000.0, side=side, jaws=jaws)
    slip = way(held([vise], on=piece(family=family)), "slip")
    assert slip.demand.value == pytest.approx(math.hypot(150.0, 40.0))
    assert slip.limit.value == pytest.approx(2 * friction * 3000.0 / 2)
    assert bool(slip.assumed) is (family == "titanium")


def test_screws_in_a_board():
    """Four of 850 N: pull-out 3400 N, and 0.2 x 1700 N of friction on one face, both halved."""
    found = held([hold("screws", count=4, anchor="screw:mdf")], on=piece(family="mdf", material="mdf"))
    assert way(found, "pull-out").limit.value == pytest.approx(1700.0)
    assert way(found, "slip").limit.value == pytest.approx(0.2 * 1700.0 / 2)
    assert way(found, "slip").demand.value == pytest.approx(150.0 + 0.2 * 40.0)


@pytest.mark.parametrize(
    ("family", "cooling", "pressure", "friction", "safety"),
    [
        ("wrought-aluminium", "dry", 60e3, 0.5, 1.5),
        ("wrought-aluminium", "flood", 60e3, 0.2, 1.5),
        ("mdf", "dry", 20e3, 0.5, 2.0),
        ("plywood", "air-blast", 20e3, 0.5, 2.0),
    ],
)
def test_vacuum_holds_by_its_area(family, cooling, pressure, friction, safety):
    found = held([hold("vacuum", length=0.3, width=0.1)], push(cooling=cooling), piece(family=family))
    assert way(found, "slip").limit.value == pytest.approx(0.03 * pressure * friction / safety)
    assert way(found, "slip").demand.value == pytest.approx(150.0 + friction * 40.0)
    assert way(found, "lift").limit.value == pytest.approx(0.03 * pressure / safety)
    assert way(found, "tip").limit.value == pytest.approx(0.03 * pressure * 0.05 / safety)


def test_a_small_free_part_loses_its_vacuum():
    small = held([hold("vacuum", length=0.3, width=0.1)], on=piece(free=True, length=0.09, width=0.1))
    large = held([hold("vacuum", length=0.3, width=0.1)], on=piece(free=True, length=0.11, width=0.1))
    assert "small for vacuum" in small.remarks[0]
    assert large.remarks == ()


def test_a_nest_bears_the_side_and_lets_the_part_lift_out():
    found = held([hold("friction-fit", force=300.0)])
    assert (way(found, "slip").limit, way(found, "slip").use) == (None, 0.0)
    assert way(found, "lift").limit.value == pytest.approx(2 * 0.15 * 300.0 / 2)
    assert found.verdict == "over"


# Tabs and floor.


def test_tabs_by_hand():
    """Four of 6 x 1.5 mm round 100 x 60 mm; 150 N at 25 mm and 40 N at a corner.

    The worst tab: 2 x 150 / 4 = 75 N sideways; all 40 N of lift (7 / 4 is more than all) and
    150 x 25 / 60 / 2 = 31.25 N from turning, 71.25 N upwards.
    Shear hypot(75, 71.25) / 9 mm^2 = 11.49 N/mm^2 against half of sqrt(150 x 230).
    Bending 3 x 6 / 9 x (75 / 6 + 71.25 / 1.5) = 120 N/mm^2 against half of sqrt(295 x 310).
    """
    found = held([TABS, FRAME], on=piece(**FREE))
    assert way(found, "shear").demand.value == pytest.approx(11.494e6, rel=1e-3)
    assert way(found, "shear").limit.value == pytest.approx(middle(150e6, 230e6) / 2)
    assert way(found, "tear").demand.value == pytest.approx(120e6, rel=1e-6)
    assert way(found, "tear").limit.value == pytest.approx(middle(295e6, 310e6) / 2)


def test_a_floor_by_hand():
    """0.2 mm round 100 x 60 mm, 320 mm of outline, 64 mm^2.

    Sideways 2 x 150 / 64 = 4.6875; upwards 7 x 40 / 64 = 4.375 and 3750 / (7200 x 0.2) = 2.604 N/mm^2.
    """
    found = held([hold("floor", thickness=2e-4), FRAME], on=piece(**FREE))
    assert found.weakest.demand.value == pytest.approx(math.hypot(4.6875, 4.375 + 2.6042) * 1e6, rel=1e-4)


def test_tabs_hang_in_a_frame_that_must_hold_too():
    weak = hold("clamps", count=1, force=200.0)
    free = piece(**FREE)
    chain = held([TABS, weak], on=free)
    assert {one.name for one in chain.ways} == {"shear", "tear", "slip", "lift", "tip"}
    assert chain.use == pytest.approx(held([weak], on=free).use)
    assert chain.use > held([TABS, FRAME], on=free).use
    assert held([TABS, weak]).use == held([weak]).use
    assert "say what holds the stock" in held([TABS], on=free).remedies[0]


def test_tape_under_the_frame_holds_what_hangs_in_it_by_tabs():
    # All of the tape under frame and part, and not only what lies under the part.
    frame = held([TAPE], on=piece(length=0.3, width=0.1))
    chain = held([TABS, TAPE], on=piece(**FREE))
    assert {one.name for one in chain.ways} == {"shear", "tear", "peel"}
    assert chain.use == pytest.approx(max(frame.use, held([TABS, FRAME], on=piece(**FREE)).use))
    wet = held([TABS, TAPE], push(cooling="mist"), piece(**FREE))
    assert wet.use is None or wet.use > 1


def test_of_tabs_and_tape_under_a_free_part_the_better_counts():
    free = piece(**FREE)
    under, both = held([TAPE], on=free).use, held([TAPE, TABS, FRAME], on=free)
    assert both.use == min(under, held([TABS, FRAME], on=free).use)
    assert "do not slip together" in both.remarks[0]


def test_every_material_has_the_strengths_tabs_are_judged_by():
    wanted = {f"{name}:{kind}" for name in tables.load("materials").ids() for kind in ("shear", "tensile")}
    assert set(tables.load("strengths").ids()) == wanted
    for row in tables.load("strengths").rows:
        assert row.id.startswith(row.text("material") + ":")
        if row.id.endswith(":shear") and row.text("material") != "cast-iron-grey":
            tensile = tables.load("strengths").get(row.id.replace(":shear", ":tensile"))
            assert row.needed("strength_low_n_per_mm2") < tensile.needed("strength_high_n_per_mm2")


def test_warm_plastic_tabs_are_said_to_be_weaker():
    warm, cool = (
        held([TABS, FRAME], push(20.0, 5.0), piece(c, family="plastic-brittle", material="acrylic", **FREE))
        for c in (80.0, 40.0)
    )
    assert "glass transition at 105" in warm.remarks[0]
    assert cool.remarks == ()


# Several holds, and what would do.


def test_stiff_holds_share_by_what_each_bears():
    """One slips at 228 / 240, the other alike: what they bear adds up."""
    one = hold("clamps", count=1, force=800.0)
    assert held([one, one]).use == pytest.approx(held([CLAMPS]).use)
    vise = hold("vise", force=3000.0)
    shared = 1 / (1 / way(held([vise]), "slip").use + 1 / held([CLAMPS]).use)
    assert way(held([vise, CLAMPS]), "slip").use == pytest.approx(shared)


def test_tape_and_clamps_are_not_added():
    weak = hold("clamps", count=1, force=200.0)
    found = held([TAPE, weak])
    assert found.use == held([TAPE]).use < held([weak]).use
    assert "(tape) is judged alone" in found.remarks[0]
    assert held([TAPE, CLAMPS], on=piece(65.0)).use == held([CLAMPS]).use


def test_nothing_that_holds_is_said_so():
    assert held([]).verdict == "not judged"
    assert "say what holds the stock" in held([TABS]).remedies[0]


def test_the_book_may_ask_for_another_safety_factor():
    careful = BookSettings(title="Bench", safety_factors=SafetyFactors(hold=3.0))
    assert held([CLAMPS], settings=careful).use == pytest.approx(1.5 * held([CLAMPS]).use)
    assert held([TAPE], settings=careful).use == held([TAPE]).use


@pytest.mark.parametrize(
    ("holds", "on", "asked", "says"),
    [
        ([hold("tape", length=0.1, width=0.06)], piece(), push(), "tape over 140 mm x 80.0 mm"),
        ([CLAMPS], piece(), push(250.0, 40.0), "3 clamps at 800 N"),
        ([CLAMPS], piece(), push(250.0, 40.0), "2 clamps at 1.10 kN"),
        ([hold("vise", force=900.0)], piece(), push(), "serrated jaws"),
        ([hold("screws", count=4, anchor="screw:mdf")], piece(), push(), "screws"),
        ([hold("tabs", count=3, width=5e-3, thickness=1e-3), FRAME], piece(**FREE), push(), "tabs "),
        ([hold("floor", thickness=2e-5), FRAME], piece(**FREE), push(), "a floor of 0.0500 mm"),
        ([hold("vacuum", length=0.1, width=0.05)], piece(), push(), "vacuum over"),
        ([hold("friction-fit", force=300.0)], piece(), push(), "a fit at"),
    ],
)
def test_what_would_do_is_said_with_numbers(holds, on, asked, says):
    found = held(holds, asked, on)
    assert found.verdict in ("tight", "over")
    assert any(says in line for line in found.remedies), found.remedies
    assert "would hold as it is" in found.remedies[-1]


def test_what_would_do_does():
    """The remedies above at their word: 262 N against 120 N a clamp; and 10 mm less of tape."""
    assert held([hold("clamps", count=3, force=800.0)], push(250.0, 40.0)).use == pytest.approx(262 / 360)
    assert held([hold("clamps", count=2, force=1100.0)], push(250.0, 40.0)).use == pytest.approx(262 / 330)
    assert held([hold("tape", length=0.14, width=0.08)]).verdict == "holds"
    assert held([hold("tape", length=0.13, width=0.08)]).verdict == "tight"


def test_how_much_the_heat_costs_is_said():
    found = held([TAPE], push(300.0, 80.0), piece(58.0))
    # 33.67 kPa asked, 65.19 - 28 / 35 x 51.05 = 24.35 kPa there; 0.8 of 42.08 kPa is used at 45.8 C.
    assert found.too_warm == "9.3 kPa short at 58 °C: let it cool to 45 °C"
    inches = held([TAPE], push(300.0, 80.0), piece(58.0), BookSettings(title="Bench", units="imperial"))
    assert inches.too_warm.startswith("1.4 psi short at 136 °F")
