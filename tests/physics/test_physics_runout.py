"""Run-out: chips tooth by tooth, teeth that stop cutting, and the force, against surfaces left by passes."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.milling import Cut, Linear, Power, random_cuts
from support.shapes import LAWS
from support.wobble import Wobbling
from swarfbook.physics import helical, runout, turn

chips = st.floats(1e-6, 1e-4)
readings = st.floats(0.0, 2e-4)
teeth = st.integers(1, 8)
CUTS = [cut for cut in random_cuts(60, seed=31) if cut.flutes > 1]


def growth(cut: Cut, reading: float, **changed) -> np.ndarray:
    """Reading in millimetres."""
    return runout.force_growth_runout(**cut.inputs() | changed, runout=np.asarray(reading) / 1e3)


def thinnest(chip, reading, flutes):
    return runout.chip_thickness_thinnest(chip_thickness_max=chip, runout=reading, flutes=flutes)


def thickest(chip, reading, flutes):
    return runout.chip_thickness_runout(chip_thickness_max=chip, runout=reading, flutes=flutes)


def cutting(chip, reading, flutes):
    return runout.teeth_cutting(chip_thickness_max=chip, runout=reading, flutes=flutes)


def by_passes(chip: float, reading: float, flutes: int, phases: int = 96) -> np.ndarray:
    """Chip of each tooth at many phases, shape (phases, teeth), from the surfaces that passes leave."""
    wobbling = Wobbling(Cut(flutes=flutes), reading)
    steps = 2 * math.pi * np.arange(phases) / phases
    return np.stack([wobbling.chips(np.array([chip]), phase)[:, 0] for phase in steps])


@given(chip=chips, reading=readings, flutes=teeth)
def test_the_thinnest_chip_is_that_of_surfaces_left_by_passes(chip, reading, flutes):
    found = by_passes(chip, reading, flutes).min()
    assert thinnest(chip, reading, flutes) == pytest.approx(found, abs=3e-3 * (chip + reading))


@given(chip=chips, reading=readings, flutes=teeth)
def test_no_tooth_takes_more_than_the_agreed_thickest_chip(chip, reading, flutes):
    """It is met exactly while every tooth cuts, and with two and three teeth always."""
    found = by_passes(chip, reading, flutes).max()
    agreed = thickest(chip, reading, flutes)
    assert found <= agreed * (1 + 1e-9)
    if thinnest(chip, reading, flutes) > 0 or flutes <= 3:
        assert found == pytest.approx(agreed, abs=3e-3 * (chip + reading))


@given(chip=chips, reading=readings, flutes=teeth)
def test_teeth_that_cut_are_counted_as_passes_have_it(chip, reading, flutes):
    """At the very edge of cutting either count will do: a thousandth more or less run-out decides."""
    counts = {int((by_passes(chip, scale * reading, flutes) > 0).sum(axis=1).min()) for scale in (0.99, 1.01)}
    assert min(counts) <= cutting(chip, reading, flutes) <= max(counts)


@given(chip=chips, reading=readings)
def test_a_one_flute_cutter_sees_nothing(chip, reading):
    assert thinnest(chip, reading, 1) == thickest(chip, reading, 1) == chip
    assert cutting(chip, reading, 1) == 1
    assert runout.runout_that_idles_a_tooth(chip_thickness_max=chip, flutes=1) == math.inf


@given(chip=chips, flutes=teeth)
def test_a_true_cutter_has_even_chips(chip, flutes):
    assert thinnest(chip, 0.0, flutes) == thickest(chip, 0.0, flutes) == chip
    assert cutting(chip, 0.0, flutes) == flutes


@given(chip=chips, reading=readings)
def test_two_teeth_share_one_excess(chip, reading):
    """What the one takes more the other takes less, until one takes all."""
    assert thinnest(chip, reading, 2) + thickest(chip, reading, 2) == pytest.approx(2 * chip, rel=1e-9)


@given(chip=chips, flutes=st.integers(2, 8), share=st.floats(0.01, 0.99))
def test_a_tooth_stops_where_the_run_out_reaches_the_limit(chip, flutes, share):
    limit = runout.runout_that_idles_a_tooth(chip_thickness_max=chip, flutes=flutes)
    assert limit == pytest.approx(chip / math.sin(math.pi / flutes), rel=1e-12)
    assert cutting(chip, share * limit, flutes) == flutes
    assert thinnest(chip, share * limit, flutes) > 0
    assert cutting(chip, 1.001 * limit, flutes) < flutes
    assert thinnest(chip, 1.001 * limit, flutes) == 0


@given(chip=chips, flutes=st.integers(2, 8))
def test_far_out_one_tooth_does_all_the_cutting(chip, flutes):
    """Two that stand out alike share it, where the eccentricity points between them."""
    assert cutting(chip, 1e3 * flutes * chip, flutes) == 1
    assert thickest(chip, 1e3 * flutes * chip, flutes) == pytest.approx(flutes * chip, rel=1e-12)


@given(chip=chips, flutes=teeth, readings_=st.tuples(readings, readings))
def test_more_run_out_never_thickens_the_thinnest_or_wakes_a_tooth(chip, flutes, readings_):
    less, more = sorted(readings_)
    assert thinnest(chip, more, flutes) <= thinnest(chip, less, flutes)
    assert cutting(chip, more, flutes) <= cutting(chip, less, flutes)
    assert thickest(chip, more, flutes) >= thickest(chip, less, flutes)


def test_known_cases_of_teeth():
    """10 um chips: two teeth lose one at 10 um of run-out, three at 11.5, four at 14.1, six at 20."""
    found = cutting(1e-5, np.array([9e-6, 11e-6, 13e-6, 17e-6, 25e-6]), np.array([[2], [3], [4], [6]]))
    assert found[0].tolist() == [2, 1, 1, 1, 1]
    assert found[1, 0] == found[1, 1] == 3
    assert found[1, 2] < 3
    assert found[2].tolist()[:3] == [4, 4, 4]
    assert found[2, 3] < 4
    assert found[3].tolist()[:4] == [6, 6, 6, 6]
    assert found[3, 4] < 6


@pytest.mark.parametrize("flutes", [0.5, 2.5, math.nan, -1])
def test_teeth_that_are_no_whole_number_are_not_counted(flutes):
    assert math.isnan(cutting(1e-5, 1e-5, flutes))
    assert math.isnan(growth(Cut(), 0.01, flutes=flutes))


@pytest.mark.parametrize(("chip", "reading"), [(0.0, 1e-5), (-1e-5, 1e-5), (1e-5, -1e-6), (math.nan, 1e-5)])
def test_chips_and_readings_that_cannot_be(chip, reading):
    assert math.isnan(cutting(chip, reading, 2))


@pytest.mark.parametrize("cut", CUTS[:16], ids=range(16))
def test_the_force_grows_as_surfaces_left_by_passes_have_it(cut):
    """Run-out from a trace to where one tooth does all: within 2 % of the other way of working it out."""
    share = [0.1, 0.4, 1.0, 2.0][CUTS.index(cut) % 4]
    reading = share * cut.feed
    with_runout, without = Wobbling(cut, reading).peak(), Wobbling(cut, 0.0).peak(phases=1)
    assert growth(cut, reading) == pytest.approx(with_runout / without, rel=0.02)


@pytest.mark.parametrize("cut", CUTS[24:34], ids=range(10))
def test_places_of_the_eccentricity_and_cells_are_enough(cut, monkeypatch):
    coarse = growth(cut, 0.7 * cut.feed)
    monkeypatch.setattr(runout, "PHASES", 90)
    monkeypatch.setattr(runout, "CELLS", 400)
    monkeypatch.setattr(runout, "SAMPLES", 20)
    assert coarse == pytest.approx(growth(cut, 0.7 * cut.feed), rel=8e-3)


def test_force_with_run_out_is_the_force_times_its_growth():
    cut = Cut(flutes=3)
    got = runout.force_peak_runout(**cut.inputs(), runout=1e-5)
    assert got == pytest.approx(turn.loads(**cut.inputs()).force_peak * growth(cut, 0.01), rel=1e-12)
    assert got > turn.loads(**cut.inputs()).force_peak


@pytest.mark.parametrize("cut", CUTS[34:42], ids=range(8))
def test_the_force_over_a_turn_is_that_of_the_worst_phase_tooth_by_tooth(cut):
    entry, leave = cut.arc
    inputs = {name: value for name, value in cut.inputs().items() if name not in ("radial_width", "climb")}
    cuts, _ = helical.arc_cuts(**inputs, entry=entry, exit=leave)
    leads = np.linspace(0.0, cut.pitch_angle, 90, endpoint=False)[None, :]
    reading = 0.7 * cut.feed
    found = np.hypot(*runout.turn_runout(cuts=cuts, runout=reading / 1e3, flutes=cut.flutes, leads=leads))
    angles = entry + (cut.pitch_angle * np.arange(cut.flutes)[:, None] + leads).ravel()
    phases = (cut.pitch_angle - math.pi) / 2 + cut.pitch_angle * np.arange(runout.PHASES) / runout.PHASES
    courses = np.stack([Wobbling(cut, reading).course(angles, phase) for phase in phases])
    off = np.abs(courses - found).max(axis=1)
    assert off.min() < 0.03 * found.max()
    assert found.max() == pytest.approx(courses.max(), rel=0.02)


settings = st.fixed_dictionaries(
    {
        "flutes": st.integers(1, 5),
        "helix": st.floats(0.0, 45.0),
        "depth": st.floats(0.3, 13.0),
        "width": st.floats(0.12, 6.0),
        "feed": st.floats(0.004, 0.15),
        "climb": st.booleans(),
    }
)
laws = st.sampled_from(LAWS)


@given(setting=settings, law=laws)
def test_no_run_out_and_one_flute_leave_the_force_alone(setting, law):
    cut = Cut(forces=law, **setting)
    assert growth(cut, 0.0) == 1.0
    assert growth(replace(cut, flutes=1), 0.05) == 1.0


@given(setting=settings, law=laws, share=st.floats(0.0, 3.0))
def test_the_force_does_not_fall_and_grows_by_no_more_than_the_teeth(setting, law, share):
    """One tooth has z chips at most; two per cent for the places of the eccentricity between those seen."""
    cut = Cut(forces=law, **setting)
    assert 0.98 <= growth(cut, share * cut.feed) <= cut.flutes * 1.05


def test_every_tooth_at_the_thickest_chip_is_no_bound():
    """In a thin conventional cut the excess falls where the chip is thin, and counts for more there."""
    cut = Cut(LAWS[1], flutes=4, helix=8.0, depth=11.0, width=1.0, feed=0.125, climb=False)
    hmax = 0.125 * math.sin(math.acos(1 - 1.0 / 3.0))
    factor = thickest(hmax, 0.125, 4) / hmax
    bound = turn.loads(**replace(cut, feed=cut.feed * factor).inputs()).force_peak
    exact = turn.loads(**cut.inputs()).force_peak * growth(cut, 0.125)
    assert exact > 1.1 * bound


@given(setting=settings, factor=st.floats(0.2, 5.0), law=laws)
def test_a_material_factor_does_not_change_the_growth(setting, factor, law):
    cut = Cut(forces=law, **setting)
    scaled = growth(cut, 0.01, law=law.law().scaled(factor))
    assert scaled == pytest.approx(growth(cut, 0.01), rel=1e-9)


@given(setting=settings, factor=st.floats(0.5, 3.0))
def test_a_power_law_grows_by_the_run_out_in_chips(setting, factor):
    """Feed and run-out times the same leave the growth of a power law as it is."""
    cut = Cut(forces=Power(), **setting)
    one = growth(cut, 0.3 * cut.feed)
    other = growth(replace(cut, feed=factor * cut.feed), 0.3 * factor * cut.feed)
    assert other == pytest.approx(one, rel=1e-6)


@pytest.mark.parametrize("law", [Linear(), Power()])
def test_a_single_straight_tooth_of_two_at_a_time_feels_its_own_chip(law):
    """Two straight flutes, half engaged: one tooth cuts at a time, the thicker takes hmax + TIR."""
    cut = Cut(forces=law, flutes=2, helix=0.0, width=3.0, feed=0.05)
    plain, more = law(np.float64(0.05)), law(np.float64(0.05 + 0.02))
    expected = math.hypot(*more[:2]) / math.hypot(*plain[:2])
    assert growth(cut, 0.02) == pytest.approx(expected, rel=5e-3)


def test_where_one_tooth_does_all_it_takes_the_whole_feed_per_turn():
    cut = Cut(forces=Power(), flutes=3, helix=0.0, width=2.0)
    assert growth(cut, 10.0) == pytest.approx(3**0.75, rel=1e-3)


def test_a_steady_cut_of_many_teeth_hardly_feels_run_out():
    """Several teeth at once average what each takes more or less."""
    cut = Cut(forces=Linear(), flutes=4, helix=30.0, width=6.0, depth=6.0)
    assert 1.0 < growth(cut, 0.01) < 1.12
    assert growth(cut, 0.01) < thickest(5e-5, 1e-5, 4) / 5e-5


def test_no_depth_and_no_feed():
    """Nothing to grow: without a depth there is no force, without a feed a power law has none."""
    assert growth(replace(Cut(), depth=0.0), 0.01) >= 1.0
    assert growth(Cut(forces=Power(), feed=0.0), 0.01) == 1.0


def test_many_cuts_at_once_are_the_same_cuts_one_by_one():
    cuts = [replace(cut, forces=Power()) for cut in random_cuts(120, seed=5)]
    inputs = [cut.inputs() for cut in cuts]
    together = {"law": inputs[0]["law"]} | {
        name: np.array([each[name] for each in inputs]) for name in inputs[0] if name != "law"
    }
    reading = np.linspace(0.0, 5e-5, 120)
    at_once = runout.force_growth_runout(**together, runout=reading)
    for index in range(0, 120, 7):
        alone = runout.force_growth_runout(**inputs[index], runout=reading[index])
        assert at_once[index] == pytest.approx(float(alone), rel=1e-12)


def test_coefficients_may_differ_from_cut_to_cut():
    law = replace(Power().law(), kc11=np.array([700e6, 1780e6]), mc=np.array([0.25, 0.17]))
    cut = Cut(flutes=3)
    at_once = growth(cut, 0.02, law=law)
    alone = [growth(replace(cut, forces=Power(kc11, mc)), 0.02) for kc11, mc in ((700, 0.25), (1780, 0.17))]
    assert at_once == pytest.approx(np.array(alone), rel=1e-12)


@pytest.mark.parametrize(
    ("name", "value"), [("diameter", 0.0), ("radial_width", 6.1e-3), ("axial_depth", -1e-3), ("helix", 1.5)]
)
def test_a_cut_that_cannot_be_is_nan_and_its_neighbour_is_not(name, value):
    inputs = Cut().inputs()
    got = runout.force_growth_runout(**inputs | {name: np.array([value, inputs[name]])}, runout=1e-5)
    assert math.isnan(got[0])
    assert got[1] == pytest.approx(float(growth(Cut(), 0.01)), rel=1e-12)


@pytest.mark.parametrize("reading", [-1e-6, math.nan, math.inf])
def test_a_reading_that_cannot_be_is_nan(reading):
    assert math.isnan(runout.force_growth_runout(**Cut().inputs(), runout=reading))
