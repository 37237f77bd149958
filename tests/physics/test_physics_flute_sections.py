"""The plain rod that stands for the fluted part, against meshed cross-sections with flutes.

The sections are discs with round gullets, a stand-in for real end mills: what counts is how much second
moment of area they keep, as a share of the disc's.
"""

import math
from functools import cache

import pytest

from swarfbook.decisions.inputs import spread
from swarfbook.physics import beam

DIAMETER = 10.0  # mm
DISC = math.pi * DIAMETER**4 / 64  # mm^4
RULE = beam.equivalent_diameter(diameter=1.0) ** 4
"""Second moment of the rod of the 0.8 D rule over the disc's."""
BAND = 1.6449
FINE = 90  # edges of a quarter of the disc: as the moments that are known were meshed


@cache
def moments(flutes: int, core: float, gullet: float, edges: int = 24) -> tuple[float, float]:
    """Second moments of area of a meshed section about its stiffest and its weakest axis [mm^4].

    `core` is the core's diameter and `gullet` the gullets' radius, both over the cutter's diameter; `edges`
    those of a quarter of the disc.
    """
    from sectionproperties.analysis import Section
    from sectionproperties.pre import Geometry
    from shapely import Point

    section = Point(0, 0).buffer(DIAMETER / 2, quad_segs=edges)
    middle = DIAMETER * (core / 2 + gullet)
    for flute in range(flutes):
        turn = 2 * math.pi * flute / flutes
        round_cut = Point(middle * math.cos(turn), middle * math.sin(turn))
        section = section.difference(round_cut.buffer(gullet * DIAMETER, quad_segs=edges * 2 // 3))
    geometry = Geometry(section)
    geometry.create_mesh(mesh_sizes=[1.0])
    meshed = Section(geometry)
    meshed.calculate_geometric_properties()
    about_x, about_y, product = meshed.get_ic()
    assert product == pytest.approx(0.0, abs=1e-6)
    return max(about_x, about_y), min(about_x, about_y)


@pytest.mark.parametrize(
    ("flutes", "stiffest", "weakest"),
    [(2, 474.217, 265.655), (3, 309.492, 309.492), (4, 249.048, 249.048)],
)
def test_the_mesh_is_the_one_whose_moments_are_known(flutes, stiffest, weakest):
    assert moments(flutes, 0.6, 0.28, FINE) == pytest.approx((stiffest, weakest), rel=2e-5)


@pytest.mark.parametrize(("flutes", "band"), [(2, (1.31, 2.37)), (3, (1.53, 1.55)), (4, (1.23, 1.25))])
def test_the_rule_gives_way_more_than_the_section_does(flutes, band):
    """It asks 1.2 to 2.4 times the deflection of a core of 0.6 D: on the careful side for all of them."""
    stiffest, weakest = moments(flutes, 0.6, 0.28)
    low, high = band
    assert low < weakest / (RULE * DISC) <= stiffest / (RULE * DISC) < high


@pytest.mark.parametrize("flutes", [2, 3, 4])
@pytest.mark.parametrize(("core", "gullet"), [(0.56, 0.28), (0.6, 0.35), (0.7, 0.2)])
def test_the_rule_stays_careful_over_usual_cores(flutes, core, gullet):
    assert moments(flutes, core, gullet)[1] > RULE * DISC


def test_a_thin_core_of_four_flutes_is_weaker_than_the_rule_but_inside_its_spread():
    """At 0.5 D the rule is 8 % short; the spread of the rule's diameter reaches further."""
    weakest = moments(4, 0.5, 0.28)[1] / (RULE * DISC)
    assert 0.91 < weakest < 0.94
    assert math.exp(-4 * BAND * spread("fluted-diameter-ratio")) < weakest
