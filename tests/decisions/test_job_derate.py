"""A recipe backed off for a job: every way its hold can give falls by the margin, on the child as written."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from support.books import RECIPE
from support.jobs import job_book
from swarfbook.decisions.derate import HOLD_LOADS, derate
from swarfbook.decisions.evidence import load_case
from swarfbook.decisions.jobs.backing_off import chances_in, hold_use, stock_top, with_recipe
from swarfbook.decisions.jobs.judging import judge_job
from swarfbook.decisions.jobs.loading import load_job
from swarfbook.decisions.risk import derate_to_risk
from swarfbook.errors import SwarfbookError

STRONG = {"machine.axes.thrust": "900 N"}
STEPS = [
    {"recipe": RECIPE, "feature": "window", "volume": "20 cm^3"},
    {"recipe": RECIPE, "feature": "outline", "path": "9 m", "floor": "0.5 mm"},
]
HOLDS = {
    "glue-tape": {"method": "glue-tape", "length": "300 mm", "width": "76 mm"},
    "clamps": {"method": "clamps", "count": 4, "force": "1 kN"},
    "vise": {"method": "vise", "force": "4 kN"},
    "screws": {"method": "screws", "count": 6, "anchor": "screw:mdf"},
    "vacuum": {"method": "vacuum", "length": "300 mm", "width": "76 mm"},
    "friction-fit": {"method": "friction-fit", "force": "800 N"},
}


@pytest.fixture(scope="module")
def jobs(tmp_path_factory):
    """Give a job for each way of holding, loaded, with the recipe its steps use."""
    path = tmp_path_factory.mktemp("jobs")
    book = job_book(path, {name: {"steps": STEPS, "holds": [hold]} for name, hold in HOLDS.items()}, **STRONG)
    return {name: load_job(book, name) for name in HOLDS}, load_case(book, RECIPE)


def ways(case):
    return [{way.name: way.demand.value for way in step.holding.ways} for step in judge_job(case).steps]


@settings(max_examples=25, deadline=None)
@given(name=st.sampled_from(sorted(HOLDS)), margin=st.sampled_from([0.05, 0.1, 0.25, 0.4, 0.6]))
def test_every_way_a_hold_can_give_is_asked_that_much_less(jobs, name, margin):
    cases, case = jobs
    work = cases[name]
    child = derate(case, margin=margin, stock_top=stock_top(work, RECIPE))
    assert child.reached
    before, after = ways(work), ways(with_recipe(work, RECIPE, child.check.case))
    for old, new in zip(before, after, strict=True):
        assert old.keys() == new.keys()
        for way, demand in old.items():
            assert new[way] <= (1 - margin) * demand * (1 + 1e-9)


def test_without_the_job_tipping_may_fall_by_less(jobs):
    # A shallower cut stands higher over the hold: its moment falls by less than its force.
    cases, case = jobs
    top = stock_top(cases["vise"], RECIPE)
    plain, held = (
        derate(case, margin=0.25, method="depth"),
        derate(case, margin=0.25, method="depth", stock_top=top),
    )
    depths = [one.check.case["axial_depth"] for one in (plain, held)]
    assert depths[1] <= depths[0]
    moments = [one.ratio for one in held.demands if one.name == "hold_moment"]
    assert moments[0] <= 0.75
    assert not {one.name for one in plain.demands} & set(HOLD_LOADS)


def test_the_volume_of_a_step_stays_when_its_recipe_is_backed_off(jobs):
    cases, case = jobs
    work = cases["vise"]
    child = derate(case, margin=0.5)
    after = with_recipe(work, RECIPE, child.check.case)
    for old, new in zip(work.cuttings, after.cuttings, strict=True):
        assert new.time.way.volume == pytest.approx(old.time.way.volume, rel=1e-12)
        assert new.time.seconds > old.time.seconds
        assert new.time.seconds_before_derating == pytest.approx(old.time.seconds, rel=1e-6)


def test_a_risk_counts_the_hold_s_chance(jobs):
    cases, case = jobs
    work = cases["glue-tape"]
    top = stock_top(work, RECIPE)
    found = derate_to_risk(
        case, risk=0.05, stock_top=top, chances=lambda child: chances_in(work, RECIPE, child)
    )
    assert found.reached
    assert found.chances["hold"] <= 0.05
    bolder = derate(case, margin=found.derating.margin - 0.01, stock_top=top)
    assert hold_use(with_recipe(work, RECIPE, bolder.check.case), RECIPE).chance_over > 0.05


def test_a_recipe_that_no_step_uses_is_one_line(jobs):
    cases, _case = jobs
    with pytest.raises(
        SwarfbookError,
        match="found recipe another; no step of vise uses it; its recipes are long-bed-6mm-6082-rough",
    ):
        stock_top(cases["vise"], "another")
