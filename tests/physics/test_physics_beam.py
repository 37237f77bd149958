"""The stepped cantilever against a finite-element package, and by hand."""

import math
from typing import Any

import numpy as np
import pytest
from anastruct import SystemElements
from hypothesis import given
from hypothesis import strategies as st

from swarfbook.physics import beam

CUTTER = {
    "flute_length": 16e-3,
    "fluted_diameter": 4.8e-3,
    "neck_end": 22e-3,
    "neck_diameter": 5.6e-3,
    "shank_diameter": 6e-3,
    "stickout": 30e-3,
}
MODULUS = 600e9
lengths = st.floats(2e-3, 60e-3)
diameters = st.floats(1e-3, 14e-3)


def stretches(cutter: dict[str, Any]) -> list[tuple[float, float, float]]:
    """Lower end, upper end and diameter of what stands out of the holder, from the tip up."""
    found, low = [], 0.0
    for end, diameter in (
        (cutter["flute_length"], cutter["fluted_diameter"]),
        (cutter["neck_end"], cutter["neck_diameter"]),
        (cutter["stickout"], cutter["shank_diameter"]),
    ):
        high = min(end, cutter["stickout"])
        if high > low:
            found.append((low, high, diameter))
            low = high
    return found


def finite_elements(cutter: dict[str, Any], force: float, height: float) -> tuple[float, float]:
    """Deflection [m] at the load and largest bending stress [Pa], from anastruct: clamped on the left."""
    rigidity = MODULUS * math.pi / 64
    system = SystemElements(EA=1e9, EI=1.0)
    stress_per_moment, x = [], 0.0
    for low, high, diameter in reversed(stretches(cutter)):
        for near, far in ((high, max(low, height)), (min(high, height), low)):
            if near > far:
                span = near - far
                system.add_element([[x, 0], [x + span, 0]], EI=rigidity * diameter**4)
                stress_per_moment.append(32 / (math.pi * diameter**3))
                x += span
    system.add_support_fixed(node_id=1)
    loaded = system.find_node_id([cutter["stickout"] - height, 0])
    system.point_load(node_id=loaded, Fy=-force)
    system.solve()
    moments = [
        max(abs(system.get_element_results(element_id=index)[key]) for key in ("Mmin", "Mmax"))
        for index in range(1, len(stress_per_moment) + 1)
    ]
    stress = max(m * per for m, per in zip(moments, stress_per_moment, strict=True))
    return -system.get_node_displacements(node_id=loaded)["uy"], stress


def both(cutter: dict[str, Any], force: float, height: float) -> tuple[float, float]:
    """Deflection and stress as the program gives them."""
    bent = beam.deflection(force=force, load_height=height, youngs_modulus=MODULUS, **cutter)
    return float(bent), float(beam.bending_stress(force=force, load_height=height, **cutter))


@pytest.mark.parametrize(
    "change",
    [
        pytest.param({}, id="flutes, neck and shank"),
        pytest.param({"neck_end": 16e-3}, id="no neck"),
        pytest.param({"neck_end": 0.0}, id="neck said to end below the flutes"),
        pytest.param({"neck_end": 35e-3}, id="neck into the holder"),
        pytest.param({"flute_length": 40e-3, "neck_end": 40e-3}, id="flutes past the holder"),
        pytest.param({"flute_length": 30e-3, "neck_end": 30e-3}, id="flutes up to the holder"),
        pytest.param({"shank_diameter": 3.175e-3}, id="thin shank"),
        pytest.param({"neck_diameter": 3e-3}, id="thin neck"),
        pytest.param({"flute_length": 4e-3, "neck_end": 4e-3}, id="short flutes"),
    ],
)
@pytest.mark.parametrize("height", [0.5e-3, 1.5e-3, 6e-3, 17e-3, 25e-3])
def test_a_finite_element_package_agrees(change, height):
    cutter = CUTTER | change
    assert both(cutter, 50.0, height) == pytest.approx(finite_elements(cutter, 50.0, height), rel=2e-6)


@given(
    flute=lengths,
    neck=lengths,
    stickout=lengths,
    across=st.tuples(diameters, diameters, diameters),
    share=st.floats(0.02, 0.9),
)
def test_a_finite_element_package_agrees_on_any_cutter(flute, neck, stickout, across, share):
    """Lengths on a 10 um grid, so that no element of the package is shorter than its digits."""
    flute, neck, stickout = (round(value, 5) for value in (flute, neck, stickout))
    cutter = {
        "flute_length": flute,
        "fluted_diameter": across[0],
        "neck_end": neck,
        "neck_diameter": across[1],
        "shank_diameter": across[2],
        "stickout": stickout,
    }
    height = max(round(share * stickout, 5), 1e-5)
    assert both(cutter, 10.0, height) == pytest.approx(finite_elements(cutter, 10.0, height), rel=1e-4)


def test_a_plain_rod_is_f_l_cubed_over_three_e_i():
    rod = CUTTER | {"fluted_diameter": 6e-3, "neck_diameter": 6e-3}
    inertia = math.pi * 6e-3**4 / 64
    bent, stress = both(rod, 40.0, 2e-3)
    assert bent == pytest.approx(40.0 * 28e-3**3 / (3 * MODULUS * inertia), rel=1e-12)
    assert stress == pytest.approx(40.0 * 28e-3 * 3e-3 / inertia, rel=1e-12)


def test_a_known_step():
    """6 mm x 15 mm under 4.8 mm x 10 mm, 50 N at the tip: 7.451859850 um by two packages."""
    cutter = CUTTER | {"flute_length": 10e-3, "neck_end": 10e-3, "stickout": 25e-3}
    assert both(cutter, 50.0, 0.0)[0] == pytest.approx(7.451859850485e-6, rel=1e-12)


def test_the_run_out_of_the_flutes_can_be_the_weak_spot():
    cutter = CUTTER | {"fluted_diameter": 3e-3}
    assert both(cutter, 20.0, 1e-3)[1] == pytest.approx(32 * 20 * 15e-3 / (math.pi * 3e-3**3))


def test_and_so_can_the_neck_and_the_holder():
    thin_neck = CUTTER | {"neck_diameter": 3e-3}
    assert both(thin_neck, 20.0, 1e-3)[1] == pytest.approx(32 * 20 * 21e-3 / (math.pi * 3e-3**3))
    thin_shank = CUTTER | {"shank_diameter": 3e-3}
    assert both(thin_shank, 20.0, 1e-3)[1] == pytest.approx(32 * 20 * 29e-3 / (math.pi * 3e-3**3))


def test_flutes_in_the_holder_break_at_the_holder():
    cutter = CUTTER | {"flute_length": 40e-3, "neck_end": 44e-3, "stickout": 20e-3}
    assert both(cutter, 20.0, 1e-3)[1] == pytest.approx(32 * 20 * 19e-3 / (math.pi * 4.8e-3**3))


def test_what_the_holder_swallows_does_not_matter():
    cutter = CUTTER | {"stickout": 15e-3}
    other = cutter | {"neck_diameter": 1e-3, "shank_diameter": 1e-3, "neck_end": 99e-3}
    assert both(cutter, 10.0, 1e-3) == both(other, 10.0, 1e-3)


def test_a_neck_of_no_length_may_be_unknown():
    cutter = CUTTER | {"neck_end": 16e-3}
    assert both(cutter | {"neck_diameter": math.nan}, 10.0, 1e-3) == both(cutter, 10.0, 1e-3)


def test_an_unknown_neck_that_is_there_is_not_passed_over():
    assert all(math.isnan(value) for value in both(CUTTER | {"neck_diameter": math.nan}, 10.0, 1e-3))


@pytest.mark.parametrize("height", [-1e-3, 30.1e-3, math.nan])
def test_there_is_no_cantilever_below_the_tip_or_in_the_holder(height):
    assert all(math.isnan(value) for value in both(CUTTER, 10.0, height))


def test_a_load_at_the_holder_bends_nothing():
    assert both(CUTTER, 10.0, 30e-3) == (0.0, 0.0)


@pytest.mark.parametrize("name", ["fluted_diameter", "shank_diameter", "neck_diameter"])
def test_a_rod_needs_a_diameter(name):
    assert all(math.isnan(value) for value in both(CUTTER | {name: 0.0}, 10.0, 1e-3))


def test_a_modulus_of_nought_is_none():
    bent = beam.deflection(force=1.0, load_height=1e-3, youngs_modulus=0.0, **CUTTER)
    assert math.isnan(bent)


@given(force=st.floats(0.1, 500.0), share=st.floats(0.05, 0.999), height=st.floats(0.0, 20e-3))
def test_less_force_never_bends_more(force, share, height):
    before, after = both(CUTTER, force, height), both(CUTTER, share * force, height)
    assert after == pytest.approx(share * np.array(before), rel=1e-12)


@given(low=st.floats(0.0, 29e-3), step=st.floats(1e-5, 1e-3))
def test_a_lower_load_has_the_longer_arm(low, step):
    """Which is why backing off the depth of cut lowers the force and lengthens the arm at once."""
    down, up = both(CUTTER, 10.0, low), both(CUTTER, 10.0, low + step)
    assert down[0] > up[0]
    assert down[1] > up[1]


@given(more=st.floats(1.01, 3.0))
def test_a_longer_stickout_bends_more(more):
    assert both(CUTTER | {"stickout": more * 30e-3}, 10.0, 2e-3)[0] > both(CUTTER, 10.0, 2e-3)[0]


def test_the_fluted_part_counts_as_four_fifths_of_the_diameter():
    assert beam.equivalent_diameter(diameter=6e-3) == pytest.approx(4.8e-3)
    assert math.isnan(beam.equivalent_diameter(diameter=0.0))


def test_many_cutters_at_once():
    stickouts = np.array([20e-3, 30e-3, 45e-3])[:, None]
    forces = np.array([10.0, 20.0])
    geometry = CUTTER | {"stickout": stickouts}
    bent = beam.deflection(force=forces, load_height=2e-3, youngs_modulus=MODULUS, **geometry)
    stress = beam.bending_stress(force=forces, load_height=2e-3, **geometry)
    assert bent.shape == stress.shape == (3, 2)
    for index, stickout in enumerate((20e-3, 30e-3, 45e-3)):
        alone = both(CUTTER | {"stickout": stickout}, 20.0, 2e-3)
        assert (bent[index, 1], stress[index, 1]) == pytest.approx(alone)
