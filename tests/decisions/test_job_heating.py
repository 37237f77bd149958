"""How warm stock gets: against a general integrator, a heat-transfer package, and what workshops see."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from support.holding import SETTINGS, hold, piece, push
from support.jobs import job
from swarfbook import tables
from swarfbook.decisions.jobs import heating
from swarfbook.decisions.jobs.heating import Spell
from swarfbook.decisions.jobs.holding import judge

BAR = {"form": "flat-bar", "thickness": "25.4 mm", "width": "101.6 mm", "length": "304.8 mm"}
TAPE = [{"method": "tape", "length": "304.8 mm", "width": "101.6 mm"}]
ALUMINIUM = "aluminium-wrought-6082-t6"
HOUR = 3600.0


def bar(**changes):
    return job(stock=BAR, holds=TAPE, **changes)


def body(one, ambient=293.15):
    return heating.body_of(one, ALUMINIUM, ambient)


def roughed(power, *, seconds=HOUR, cooling="air-blast", one=None):
    """Rough a bar: give its warmth."""
    one = one or bar()
    heat = power * heating.heat_share("wrought-aluminium", cooling)
    spell = Spell(0, "cut", seconds, heat, heating.conductance(one, one.holds, cooling), 60e-6)
    return heating.warm_up(body(one), [spell])


@pytest.mark.parametrize("power", [200.0, 250.0, 300.0, 350.0, 400.0])
def test_a_bar_on_tape_roughed_for_an_hour_comes_to_about_sixty_degrees(power):
    # Common practice, no source: an inch thick, four times as wide, twelve times as long, a small router.
    assert 45.0 < roughed(power).peak(0) - 273.15 < 75.0


def test_after_that_hour_a_general_purpose_adhesive_holds_no_more_by_the_book():
    # Common practice, no source; 150 N and 40 N are a middling cut of a small router.
    taped = hold("glue-tape", length=0.3048, width=0.1016)
    on = {"length": 0.3048, "width": 0.1016, "thickness": 0.0254}
    warm = roughed(300.0).peak(0) - 273.15
    assert judge([taped], push(), piece(20.0, **on), SETTINGS).verdict == "holds"
    assert judge([taped], push(), piece(warm, **on), SETTINGS).verdict == "over"


def test_the_band_of_that_hour_holds_both_a_cool_and_a_hot_one():
    low, high = roughed(300.0).temperature(0).band()
    assert low - 273.15 < 45.0
    assert high - 273.15 > 75.0


def test_it_follows_a_general_integrator_through_cuts_and_pauses():
    one = bar()
    lump = body(one)
    spells = [
        Spell(0, "setup", 600.0, 0.0, 0.7, 0.0),
        Spell(0, "cut", 900.0, 70.0, 2.1, 40e-6),
        Spell(1, "pause", 300.0, 0.0, 0.7, 0.0),
        Spell(1, "cut", 1200.0, 40.0, 2.1, 90e-6),
    ]
    found = heating.warm_up(lump, spells)
    now, left = lump.ambient, lump.volume
    for spell, start, end in zip(spells, found.starts, found.ends, strict=True):
        assert start == pytest.approx(now, abs=1e-6)

        def rate(at, warm, spell=spell, left=left):
            mass = lump.heat_capacity * (left - spell.volume_lost * at / spell.duration)
            return (spell.heat - spell.conductance * (warm - lump.ambient)) / mass

        now = float(
            solve_ivp(rate, (0, spell.duration), [now], rtol=1e-10, atol=1e-10, method="DOP853").y[0, -1]
        )
        left -= spell.volume_lost
        assert end == pytest.approx(now, abs=1e-6)


def test_the_curve_passes_through_every_start_and_end():
    one = bar()
    spells = [Spell(0, "cut", 900.0, 70.0, 2.1, 40e-6), Spell(1, "pause", 300.0, 0.0, 0.7, 0.0)]
    found = heating.warm_up(body(one), spells)
    times, warm = found.curve()
    assert np.interp([0.0, 900.0, 1200.0], times, warm) == pytest.approx(
        [found.starts[0], *found.ends], abs=1e-9
    )
    assert np.all(np.diff(times) > 0)


def test_still_air_of_the_table_is_what_a_heat_transfer_package_gives():
    # Natural convection on the top and the sides of the warm bar, and radiation of a dull face.
    import ht as conv

    warm, cool = 333.15, 293.15
    film_temperature = (warm + cool) / 2
    viscosity, prandtl, conductivity = 1.7e-5, 0.707, 0.0272  # air at 313 K, Incropera Table A.4, recalled
    expansion = 1 / film_temperature

    def grashof(size):
        return 9.81 * expansion * (warm - cool) * size**3 / viscosity**2

    top = 0.1016 * 0.3048 / (2 * (0.1016 + 0.3048))
    free = conv.conv_free_immersed
    on_top = free.Nu_free_horizontal_plate(prandtl, grashof(top), buoyancy=True) * conductivity / top
    beside = free.Nu_free_vertical_plate(prandtl, grashof(0.0254)) * conductivity / 0.0254
    radiated = 0.1 * 5.67e-8 * (warm**4 - cool**4) / (warm - cool)
    row = tables.load("convection").get("stock:dry")
    low, high = (row.needed(f"coefficient_{end}_w_per_m2k") for end in ("low", "high"))
    for coefficient in (on_top, beside):
        assert low < coefficient + radiated < high


@pytest.mark.parametrize(("speed", "length"), [(5.0, 0.1), (15.0, 0.1), (15.0, 0.3), (20.0, 0.3)])
def test_an_air_blast_of_the_table_is_what_air_along_a_plate_gives(speed, length):
    import ht as conv

    reynolds = speed * length / 1.7e-5
    nusselt = conv.conv_external.Nu_external_horizontal_plate(reynolds, 0.707, L=length)
    row = tables.load("convection").get("stock:air-blast")
    low, high = (row.needed(f"coefficient_{end}_w_per_m2k") for end in ("low", "high"))
    assert low < nusselt * 0.0272 / length < high


def test_what_lies_under_the_piece_carries_heat_off():
    one = bar()
    # 18 mm of MDF at 0.18 W/(m K) and a quarter of a millimetre of tape at 0.2: 0.10125 K m^2/W.
    assert heating.bed_conductance(one, one.holds) == pytest.approx(0.1016 * 0.3048 / 0.10125, rel=1e-9)
    metal = bar(bed={"material": "aluminium", "thickness": "12 mm"})
    tape = 0.00025 / 0.2 + 0.012 / 167
    assert heating.bed_conductance(metal, metal.holds) == pytest.approx(0.1016 * 0.3048 / tape, rel=1e-9)
    nothing = bar(bed={"material": "none"})
    assert heating.bed_conductance(nothing, nothing.holds) == 0.0


@pytest.mark.parametrize(
    ("cooling", "low", "high"), [("dry", 5, 20), ("air-blast", 12, 75), ("mist", 30, 200)]
)
def test_air_and_bed_carry_heat_off_side_by_side(cooling, low, high):
    # The middle of the assumed range on a factor's scale, on top and sides; tape and board below.
    one = bar()
    sides = 0.1016 * 0.3048 + 2 * 0.0254 * (0.1016 + 0.3048)
    expected = math.sqrt(low * high) * sides + 0.1016 * 0.3048 / 0.10125
    assert heating.conductance(one, one.holds, cooling) == pytest.approx(expected, rel=1e-9)


def test_a_piece_in_clamps_lies_on_its_bed_over_a_gap_of_air():
    clamps = [{"method": "clamps", "count": 4, "force": "1 kN"}]
    one = job(stock=BAR, holds=clamps, bed={"material": "steel", "thickness": "20 mm"})
    expected = 0.1016 * 0.3048 / (0.00005 / 0.0263 + 0.02 / 51.9)
    assert heating.bed_conductance(one, one.holds) == pytest.approx(expected, rel=1e-9)


def test_faces_of_a_bar_and_of_a_round_one():
    expected = 0.1016 * 0.3048 + 2 * 0.0254 * (0.1016 + 0.3048)
    assert heating.faces(bar()) == pytest.approx(expected, rel=1e-12)
    round_bar = job(stock={"form": "round-bar", "thickness": "30 mm", "length": "100 mm"})
    assert heating.faces(round_bar) == pytest.approx(math.pi * 0.03 * 0.1, rel=1e-12)


@pytest.mark.parametrize(
    ("family", "cooling", "share"),
    [
        ("wrought-aluminium", "dry", 0.25),
        ("cast-aluminium", "air-blast", 0.25),
        ("steel", "dry", 0.15),
        ("wrought-aluminium", "flood", 0.1),
        ("plywood", "mist", 0.1),
    ],
)
def test_the_share_of_heat_that_stays(family, cooling, share):
    assert heating.heat_share(family, cooling) == pytest.approx(share)


def test_more_power_longer_and_stiller_air_are_warmer():
    assert roughed(300.0).peak(0) < roughed(320.0).peak(0)
    assert roughed(300.0).peak(0) < roughed(300.0, seconds=1.2 * HOUR).peak(0)
    assert roughed(300.0).peak(0) < roughed(300.0, cooling="dry").peak(0)


def test_the_rise_is_as_uncertain_as_its_causes():
    warm = roughed(300.0).temperature(0)
    rise = warm.value - 293.15
    of_rise = {cause: sd * warm.value / rise for cause, sd in warm.causes.items()}
    assert of_rise["heat_share"] == pytest.approx(0.45)
    # Near its steady temperature the rise falls nearly as the conductance grows.
    assert -1.0 < of_rise["film"] / heating.film_spread() < -0.7
    short = roughed(300.0, seconds=30.0).temperature(0)
    brief = short.causes["film"] * short.value / (short.value - 293.15)
    assert -0.05 < brief / heating.film_spread() < 0.0


def test_aluminium_is_one_temperature_and_plastic_is_not():
    one = bar()
    assert heating.LUMP.covers(heating.biot(one, body(one), "air-blast"))
    plastic = heating.body_of(one, "acetal", 293.15)
    assert not heating.LUMP.covers(heating.biot(one, plastic, "air-blast"))


def test_softening_prefers_a_service_limit():
    warm, what = heating.softening("acrylic")
    assert (warm - 273.15, what) == (pytest.approx(50.0), "service limit")
    assert heating.softening("mdf") is None
