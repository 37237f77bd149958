"""Loose slugs and thin walls: when there is something to say, and that it says what to do."""

import pytest

from support.holding import hold
from swarfbook.decisions.jobs.holding import slug_warning, stiffness_loss
from swarfbook.records.job import Feature

CLAMPS = [hold("clamps", count=2, force=800.0)]


def feature(kind):
    return Feature(id="window", kind=kind, depth=0.006, width=0.03)


@pytest.mark.parametrize(
    ("kind", "operation"),
    [("pocket", "slot"), ("pocket", "through-cut"), ("bore", "through-cut"), ("bore", "slot")],
)
def test_a_cut_round_about_frees_a_slug(kind, operation):
    said = slug_warning(feature(kind), operation, through=True, holds=CLAMPS)
    for word in ("window", "slug", "tabs", "0.200 mm", "tape", "chips", "take it out"):
        assert word in said


def test_an_outline_frees_the_part_itself():
    said = slug_warning(feature("outside"), "finish", through=True, holds=CLAMPS)
    assert "the part free" in said
    assert "tabs" in said


@pytest.mark.parametrize(
    ("kind", "operation", "through"),
    [("pocket", "rough", True), ("pocket", "slot", False), ("slot", "slot", True), ("edge", "chamfer", True)],
)
def test_chips_and_blind_cuts_free_nothing(kind, operation, through):
    assert slug_warning(feature(kind), operation, through=through, holds=CLAMPS) is None


@pytest.mark.parametrize("method", ["tape", "glue-tape", "tabs", "floor"])
def test_what_holds_a_slug_keeps_quiet(method):
    holds = [*CLAMPS, hold(method)]
    assert slug_warning(feature("pocket"), "slot", through=True, holds=holds) is None


def test_a_wide_bore_leaves_a_core():
    assert slug_warning(feature("bore"), "bore", through=True, holds=CLAMPS) is None
    assert "slug" in slug_warning(feature("bore"), "bore", through=True, holds=CLAMPS, core=0.012)


def test_stiffness_goes_with_the_cube():
    """6 mm of 10 mm keep 0.216, 5 mm keep an eighth."""
    assert stiffness_loss(6e-3, 10e-3).left == pytest.approx(0.216)
    assert stiffness_loss(6e-3, 10e-3).warning is None
    thin = stiffness_loss(5e-3, 10e-3)
    assert thin.left == pytest.approx(0.125)
    assert "from 10.0 mm down to 5.00 mm it keeps 12 %" in thin.warning
    assert "keeps 0.1 %" in stiffness_loss(1e-3, 10e-3).warning
