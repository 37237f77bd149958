"""Defaults and constants that stand in two places say the same."""

from __future__ import annotations

import math

import pytest

from swarfbook import tables
from swarfbook.decisions.inputs import spread
from swarfbook.physics.beam import equivalent_diameter
from swarfbook.physics.laws import rake_factor


def default(name: str) -> float:
    return tables.load("defaults").get(name).si("value")


def test_the_fluted_part_is_as_thick_as_the_table_says():
    assert equivalent_diameter(diameter=1.0) == default("fluted-diameter-ratio")


def test_a_degree_of_rake_costs_what_the_table_says():
    one_degree = rake_factor(rake=math.radians(1.0), rake_base=0.0)
    assert 1 - one_degree == pytest.approx(default("rake-force-share"))


def test_a_material_may_have_a_spread_of_its_own():
    titanium = spread("force-linear-edge", material="titanium-ti-6al-4v")
    assert titanium > spread("force-linear-edge", material="aluminium-wrought-6082-t6")
    assert spread("force-linear-edge") == 0.25
