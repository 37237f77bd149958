"""Bolts against stresses in the rod, straps as levers, tape as a stiff block on an even layer."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from swarfbook.physics import adhesive, clamping

M6 = {"nominal_diameter": 6e-3, "thread_pitch": 1e-3}
M8 = {"nominal_diameter": 8e-3, "thread_pitch": 1.25e-3}
BOLT = {"proof_stress": 640e6, "friction": 0.12, "utilisation": 0.9}
frictions = st.floats(0.0, 0.4)


@pytest.mark.parametrize(
    ("thread", "mean", "square_mm"),
    [(M6, 5.350, 20.1), (M8, 7.188, 36.6), ({"nominal_diameter": 5e-3, "thread_pitch": 0.8e-3}, 4.480, 14.2)],
)
def test_threads_as_the_standards_list_them(thread, mean, square_mm):
    """ISO 724 and ISO 898-1."""
    assert clamping.thread_pitch_diameter(**thread) * 1e3 == pytest.approx(mean, abs=5e-4)
    assert clamping.stress_area(**thread) * 1e6 == pytest.approx(square_mm, abs=0.05)
    assert clamping.stress_diameter(**thread) ** 2 * math.pi / 4 == pytest.approx(
        clamping.stress_area(**thread)
    )


@given(friction=frictions, share=st.floats(0.1, 1.0))
def test_tension_and_torsion_together_use_the_share_of_the_strength(friction, share):
    """Von Mises with the torsion of a rod of d0, 16 M / (pi d0^3) at the limit 12 M / (pi d0^3)."""
    preload = float(clamping.bolt_preload(**M8, proof_stress=640e6, friction=friction, utilisation=share))
    rod, mean = float(clamping.stress_diameter(**M8)), float(clamping.thread_pitch_diameter(**M8))
    torque = preload * mean / 2 * (1.25e-3 / (math.pi * mean) + friction / math.cos(math.radians(30)))
    tension, torsion = preload / (math.pi * rod**2 / 4), 12 * torque / (math.pi * rod**3)
    assert math.sqrt(tension**2 + 3 * torsion**2) == pytest.approx(share * 640e6)


def test_a_rough_thread_bears_less():
    preloads = [
        float(clamping.bolt_preload(**M6, **BOLT | {"friction": friction})) for friction in (0.08, 0.12, 0.2)
    ]
    assert preloads == sorted(preloads, reverse=True)
    assert preloads[1] == pytest.approx(10.2e3, rel=0.005)


@given(friction=frictions, head=frictions, preload=st.floats(100.0, 1e5))
def test_torque_is_slope_thread_and_head(friction, head, preload):
    tightening = {"preload": preload, "bearing_diameter": 11e-3} | M8
    whole = clamping.tightening_torque(**tightening, friction=friction, bearing_friction=head)
    smooth = clamping.tightening_torque(**tightening, friction=0.0, bearing_friction=0.0)
    assert smooth == pytest.approx(preload * 1.25e-3 / (2 * math.pi))
    only_head = clamping.tightening_torque(**tightening, friction=0.0, bearing_friction=head)
    only_thread = clamping.tightening_torque(**tightening, friction=friction, bearing_friction=0.0)
    assert only_head - smooth == pytest.approx(preload * head * 11e-3 / 2)
    assert only_thread - smooth == pytest.approx(0.57735 * 7.18810e-3 * friction * preload, rel=1e-5)
    assert whole == pytest.approx(only_head + only_thread - smooth)


def test_the_nut_factor_of_a_common_bolt():
    """M8 at mu 0.12 needs 24.6 N m for 18.6 kN: K = 0.165."""
    torque = clamping.nut_factor_torque(preload=18.6e3, nominal_diameter=8e-3, nut_factor=0.165)
    assert torque == pytest.approx(24.6, rel=0.005)


def test_preload_at_three_quarters_of_the_proof_load():
    preload = clamping.proof_preload(tensile_area=20.1e-6, proof_stress=580e6, utilisation=0.75)
    assert preload == pytest.approx(8743.5)


@given(work=st.floats(0.001, 0.1), heel=st.floats(0.0, 0.1), force=st.floats(0.0, 1e4))
def test_a_strap_is_a_lever(work, heel, force):
    on_work = clamping.strap_clamp_force(bolt_force=force, work_arm=work, heel_arm=heel)
    assert on_work * (work + heel) == pytest.approx(force * heel)
    on_heel = force - on_work
    assert on_work * work == pytest.approx(on_heel * heel, abs=1e-9 * (force + 1))


def test_friction_holds_on_every_face_that_rubs():
    clamp = {"clamp_force": 1000.0, "friction": 0.2, "rubbing_faces": 2}
    assert clamping.friction_hold(**clamp, lift=0.0) == pytest.approx(400.0)
    assert clamping.friction_hold(**clamp, lift=250.0) == pytest.approx(300.0)
    assert clamping.friction_hold(**clamp | {"rubbing_faces": 1}, lift=250.0) == pytest.approx(150.0)
    assert clamping.friction_hold(**clamp, lift=1200.0) == 0.0


def test_no_tape_without_an_area():
    assert adhesive.shear_stress(force=50.0, area=0.01) == pytest.approx(5000.0)
    assert math.isnan(adhesive.shear_stress(force=50.0, area=0.0))


PATCH = {"short_side": 0.06, "long_side": 0.15}


def layer(lift: float, ex: float, ey: float, force: float, height: float) -> float:
    """Largest tension under a stiff block, summed over 400 x 400 springs in balance with its load [Pa]."""
    x = (np.arange(400) + 0.5) / 400 * 0.06 - 0.03
    y = (np.arange(400) + 0.5) / 400 * 0.15 - 0.075
    cell = 0.06 * 0.15 / 400**2
    # Springs follow c0 + cx x + cy y; each moment gives one coefficient.
    level = lift / (0.06 * 0.15)
    along = (lift * ex + force * height) / ((x**2).sum() * 400 * cell)
    across = lift * ey / ((y**2).sum() * 400 * cell)
    return level + along * 0.03 + across * 0.075


@pytest.mark.parametrize(
    ("lift", "ex", "ey", "force", "height"),
    [
        (20.0, 0.0, 0.0, 0.0, 0.0),
        (20.0, 0.03, 0.075, 0.0, 0.0),
        (15.0, 0.01, 0.03, 40.0, 0.012),
        (0.0, 0.0, 0.0, 60.0, 0.02),
    ],
)
def test_peel_at_the_worst_edge(lift, ex, ey, force, height):
    got = adhesive.edge_peel_stress(
        lift=lift, lift_offset_short=ex, lift_offset_long=ey, force=force, force_height=height, **PATCH
    )
    assert got == pytest.approx(layer(lift, ex, ey, force, height), rel=1e-4)


def test_a_lift_at_a_corner_counts_seven_times():
    got = adhesive.edge_peel_stress(
        lift=20.0, lift_offset_short=0.03, lift_offset_long=0.075, force=0.0, force_height=0.0, **PATCH
    )
    assert got == pytest.approx(7 * 20.0 / (0.06 * 0.15))


@pytest.mark.parametrize(
    ("celsius", "left"), [(20, 85e3), (30, 85e3), (47.5, 52.5e3), (65, 20e3), (90, 20e3)]
)
def test_warm_tape_holds_less(celsius, left):
    got = adhesive.warm_strength(
        temperature=celsius, cool_temperature=30, cool_strength=85e3, warm_temperature=65, warm_strength=20e3
    )
    assert got == pytest.approx(left)


def test_a_kilogram_on_a_small_tape():
    stress = adhesive.hanging_stress(hung_mass=1.0, area=3.23e-4)
    assert stress == pytest.approx(30.36e3, rel=1e-3)
    assert adhesive.safety(strength=480e3, stress=85e3) == pytest.approx(5.647, rel=1e-3)


def test_without_stress_there_is_no_factor():
    assert adhesive.safety(strength=3.0, stress=0.5) == pytest.approx(6.0)
    assert math.isnan(adhesive.safety(strength=480e3, stress=0.0))
    assert math.isnan(adhesive.safety(strength=-1.0, stress=1.0))


PEEL = {
    "lift": 1.0,
    "lift_offset_short": 0.01,
    "lift_offset_long": 0.01,
    "force": 1.0,
    "force_height": 0.01,
} | PATCH
STRAP = {"bolt_force": 100.0, "work_arm": 0.03, "heel_arm": 0.05}
GRIP = {"clamp_force": 100.0, "lift": 1.0, "friction": 0.2, "rubbing_faces": 2.0}
WARM = {
    "temperature": 40.0,
    "cool_temperature": 30.0,
    "cool_strength": 9e4,
    "warm_temperature": 65.0,
    "warm_strength": 2e4,
}
TIGHT = {"preload": 1.0, "friction": 0.1, "bearing_friction": 0.1, "bearing_diameter": 8e-3} | M6


@pytest.mark.parametrize(
    "value",
    [
        *(adhesive.edge_peel_stress(**PEEL | {name: -1.0}) for name in PEEL),
        *(clamping.strap_clamp_force(**STRAP | {name: -1.0}) for name in STRAP),
        clamping.strap_clamp_force(bolt_force=1.0, work_arm=0.0, heel_arm=0.0),
        *(clamping.friction_hold(**GRIP | {name: -1.0}) for name in GRIP),
        clamping.friction_hold(**GRIP | {"rubbing_faces": 0.0}),
        *(clamping.bolt_preload(**M6, **BOLT | {name: -1.0}) for name in BOLT),
        *(clamping.tightening_torque(**TIGHT | {name: -1.0}) for name in TIGHT),
        clamping.nut_factor_torque(preload=-1.0, nominal_diameter=6e-3, nut_factor=0.2),
        clamping.nut_factor_torque(preload=1.0, nominal_diameter=0.0, nut_factor=0.2),
        clamping.nut_factor_torque(preload=1.0, nominal_diameter=6e-3, nut_factor=0.0),
        clamping.proof_preload(tensile_area=0.0, proof_stress=1.0, utilisation=1.0),
        clamping.proof_preload(tensile_area=1.0, proof_stress=0.0, utilisation=1.0),
        clamping.proof_preload(tensile_area=1.0, proof_stress=1.0, utilisation=-1.0),
        clamping.stress_area(nominal_diameter=1e-3, thread_pitch=2e-3),
        clamping.stress_area(nominal_diameter=6e-3, thread_pitch=0.0),
        adhesive.warm_strength(**WARM | {"warm_temperature": 30.0}),
        adhesive.warm_strength(**WARM | {"cool_strength": -1.0}),
        adhesive.warm_strength(**WARM | {"warm_strength": -1.0}),
        adhesive.hanging_stress(hung_mass=-1.0, area=1.0),
        adhesive.hanging_stress(hung_mass=1.0, area=0.0),
        adhesive.shear_stress(force=-1.0, area=1.0),
    ],
)
def test_what_has_no_meaning_is_nan(value):
    assert math.isnan(value)
