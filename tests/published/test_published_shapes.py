"""Shaped cutters against printed geometry and measured forces."""

# ruff: noqa: N803 (arguments are named as the rows name them)

import math

import numpy as np
import pytest

from support.published import each, hold, rows
from swarfbook.physics import discs, shapes
from swarfbook.physics.laws import LinearEdge


def linear_law(Ktc, Krc, Kac, Kte, Kre, Kae):
    """N/mm^2 and N/mm to SI."""
    return LinearEdge(Ktc * 1e6, Krc * 1e6, Kac * 1e6, Kte * 1e3, Kre * 1e3, Kae * 1e3)


def at_depth(cutter, ap_mm):
    """Effective diameter [mm] and edge angle [rad] at the top of a cut."""
    used = {"cutter": cutter, "axial_depth": ap_mm / 1e3}
    return shapes.effective_diameter(**used) * 1e3, shapes.edge_angle_at_depth(**used)


def ball(D_mm, ap_mm):
    return {"Deff_mm": at_depth(shapes.Ball(D_mm / 1e3), ap_mm)[0]}


def rounded_corner(D_mm, RE_mm, ap_mm):
    return {"Deff_mm": at_depth(shapes.CornerRadius(D_mm / 1e3, RE_mm / 1e3), ap_mm)[0]}


def point(D_mm, SIG_deg, d0_mm, ap_mm):
    diameter, angle = at_depth(shapes.Chamfer(D_mm / 1e3, math.radians(SIG_deg), d0_mm / 1e3), ap_mm)
    return {"Deff_mm": diameter, "kappa_deg": math.degrees(angle), "thinning": math.sin(angle)}


def identified_by_discs(**printed):
    """Mean forces of a square cutter's slot at five feeds, and the coefficients back from them."""
    feeds, depth, teeth = np.array([0.02, 0.04, 0.06, 0.08, 0.1]), 3.0, 2
    x, y, lift = discs.mean_forces(
        law=linear_law(**printed),
        cutter=shapes.Square(16e-3),
        flutes=teeth,
        helix=math.radians(25),
        axial_depth=depth / 1e3,
        radial_width=16e-3,
        feed_per_tooth=feeds / 1e3,
        climb=False,
    )
    found = {}
    for name, force, by_feed, by_edge in (
        ("t", y, 4, math.pi),
        ("r", -x, 4, math.pi),
        ("a", lift, math.pi, 2),
    ):
        slope, start = np.polyfit(feeds, force / (teeth * depth), 1)
        found[f"K{name}c"], found[f"K{name}e"] = by_feed * slope, by_edge * start
    return found


def corner_radius_slot(D_mm, corner_radius_mm, z, helix_deg, fz_mm, ap_mm, **coefficients):
    cut = {
        "law": linear_law(**coefficients),
        "cutter": shapes.CornerRadius(D_mm / 1e3, corner_radius_mm / 1e3),
        "flutes": z,
        "helix": math.radians(helix_deg),
        "axial_depth": np.array(ap_mm) / 1e3,
        "radial_width": D_mm / 1e3,
        "feed_per_tooth": fz_mm / 1e3,
        "climb": False,
    }
    x, y, lift = discs.mean_forces(**cut)
    return {
        "mean_F_normal_N": y,
        "mean_F_feed_N": -x,
        "mean_F_axial_N": -lift,
        "peak_per_turn_N": discs.loads(**cut).force_peak,
    }


FORMS = {name: item for name, item in globals().items() if callable(item)}


@each("shapes")
def test_shaped_cutters(row):
    hold(row, FORMS)


def test_the_axial_force_turns_as_the_cut_leaves_the_corner():
    """Largest while the corner takes the cut, falling once the cylinder above it lifts, as measured."""
    row = next(row for row in rows("shapes") if row.id == "mm-frc-03")
    pushed = corner_radius_slot(**row.inputs | {"ap_mm": [1, 2, 3, 4, 5]})["mean_F_axial_N"]
    assert np.argmax(pushed) == 1
    assert (np.diff(pushed)[1:] < 0).all()


def test_a_square_cutter_would_not_do_for_the_measured_corner():
    """Counted as square the axial force has the wrong sign: the check tells the shapes apart."""
    row = next(row for row in rows("shapes") if row.id == "mm-frc-03")
    square = corner_radius_slot(**row.inputs | {"corner_radius_mm": 0.0})
    assert (square["mean_F_axial_N"] < 0).all()
    measured = np.array([float(text) for text in row.printed["mean_F_axial_N"]])
    assert (np.abs(square["mean_F_axial_N"] - measured) > 29).all()


@pytest.mark.parametrize("share", [0.99, 1.01])
def test_one_per_cent_of_a_coefficient_shows(share):
    row = next(row for row in rows("shapes") if row.id == "mm-coef-02")
    changed = identified_by_discs(**row.inputs | {"Krc": share * row.inputs["Krc"]})
    assert abs(changed["Krc"] - float(row.printed["Krc"])) > 1
