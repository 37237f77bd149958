"""Marks and standing from runs: what raises them, what disputes them, what they cover."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from swarfbook.decisions.past import Cut, Learnt, Past, excess, ground, mark, track_record
from swarfbook.records import OUTCOMES

START = datetime(2026, 11, 2, 9, tzinfo=UTC)
FIVE = 300.0  # s
LOAD, SETTING, THIN = "cutting_power", "spindle_speed", "chip_thickness_max"


def cut(day, power=100.0, *, outcome="clean", minutes=10.0, stickout=0.02, **more):
    """Give a run on a day that asked for a power, at one speed and chip unless told otherwise."""
    demands = {LOAD: power, SETTING: 300.0, THIN: 4e-5} | more.pop("demands", {})
    values = {"recipe": "r", "numbers": "d", "as_programmed": True} | more
    at = START + timedelta(days=day)
    return Cut(
        run=f"run-{day}",
        at=at,
        outcome=outcome,
        minutes=minutes,
        stickout=stickout,
        demands=demands,
        **values,
    )


def marked(*cuts, demand=LOAD, sense="maximum", stickout=0.02, learnt=None):
    ordered = tuple(sorted(cuts, key=lambda one: one.at))
    return mark(ground(Past(ordered, learnt), stickout=stickout, clean_time=FIVE), demand, sense)


def test_nothing_clean_gives_no_mark():
    assert marked() is None
    assert marked(cut(1, outcome="chatter")) is None


def test_the_highest_clean_run_sets_it_and_is_named():
    found = marked(cut(1, 90.0), cut(2, 120.0), cut(3, 100.0))
    assert (found.value, found.run, found.at) == (120.0, "run-2", START + timedelta(days=2))
    assert (found.disputed_by, found.covers) == ("", 120.0)


@pytest.mark.parametrize(("minutes", "counts"), [(4.99, False), (5.0, True), (50.0, True)])
def test_a_run_must_be_clean_for_long_enough(minutes, counts):
    assert (marked(cut(1, minutes=minutes)) is not None) is counts


@pytest.mark.parametrize("outcome", [word for word in OUTCOMES if word != "clean"])
def test_no_other_outcome_raises_it(outcome):
    found = marked(cut(1, 100.0), cut(2, 150.0, outcome=outcome))
    assert found.value == 100.0


def test_a_minimum_is_marked_by_the_lowest():
    cuts = [cut(1, demands={THIN: 5e-5}), cut(2, demands={THIN: 3e-5})]
    assert marked(*cuts, demand=THIN, sense="minimum").value == 3e-5


@pytest.mark.parametrize(("power", "disputed"), [(80.0, True), (100.0, True), (100.1, False)])
def test_a_later_bad_run_at_or_under_it_disputes_it(power, disputed):
    found = marked(cut(1, 100.0), cut(2, power, outcome="chatter"))
    assert found.value == 100.0
    assert found.disputed_by == ("run-2" if disputed else "")
    assert found.covers == (None if disputed else 100.0)


def test_an_earlier_bad_run_disputes_nothing():
    assert marked(cut(1, 80.0, outcome="stalled"), cut(2, 100.0)).disputed_by == ""


def test_a_disputed_mark_leaves_what_nothing_speaks_against():
    found = marked(cut(1, 100.0), cut(2, 60.0), cut(3, 80.0, outcome="cutter-broke"))
    assert (found.value, found.disputed_by, found.covers) == (100.0, "run-3", 60.0)


def test_running_clean_again_settles_a_dispute():
    again = marked(cut(1, 100.0), cut(2, 80.0, outcome="chatter"), cut(3, 100.0))
    assert (again.value, again.run, again.disputed_by, again.covers) == (100.0, "run-3", "", 100.0)
    less = marked(cut(1, 100.0), cut(2, 80.0, outcome="chatter"), cut(3, 90.0))
    assert (less.value, less.disputed_by, less.covers) == (100.0, "run-2", 90.0)


def test_a_run_that_asked_for_more_load_says_nothing_against_the_speed_it_shared():
    asked_more = cut(2, 140.0, outcome="chatter")
    assert marked(cut(1, 100.0), asked_more, demand=SETTING).disputed_by == ""
    asked_less = cut(2, 90.0, outcome="chatter")
    assert marked(cut(1, 100.0), asked_less, demand=SETTING).disputed_by == "run-2"


def test_a_mark_with_a_shorter_stickout_does_not_cover_a_longer_one():
    short, long = cut(1, 120.0, stickout=0.020), cut(2, 90.0, stickout=0.030)
    assert marked(short, long, stickout=0.020).value == 120.0
    assert marked(short, long, stickout=0.025).value == 90.0
    assert marked(short, stickout=0.025) is None


def test_loads_follow_what_is_learnt_of_the_force_and_settings_do_not():
    learnt = Learnt(factor=1.2, sd=0.1, base_sd=0.25, runs=5)
    assert marked(cut(1, 100.0), learnt=learnt).value == pytest.approx(120.0)
    assert marked(cut(1, 100.0), learnt=learnt, demand=SETTING).value == 300.0


def test_a_cut_that_asked_nothing_of_a_kind_sets_no_mark_of_it():
    assert marked(cut(1, demands={"descent_rate": 0.0}), demand="descent_rate") is None


RUNS = st.lists(
    st.tuples(
        st.floats(1.0, 200.0), st.sampled_from(["clean", "chatter", "stopped"]), st.floats(0.0, 20.0),
        st.floats(0.01, 0.03),
    ),
    max_size=12,
)  # fmt: skip


def as_cuts(runs):
    return [
        cut(day, power, outcome=outcome, minutes=minutes, stickout=stickout)
        for day, (power, outcome, minutes, stickout) in enumerate(runs)
    ]


@given(RUNS, st.floats(1.0, 200.0))
def test_one_more_clean_run_never_lowers_a_mark_and_a_bad_one_never_raises_it(runs, power):
    before = marked(*as_cuts(runs))
    clean = marked(*as_cuts(runs), cut(99, power))
    bad = marked(*as_cuts(runs), cut(99, power, outcome="chatter"))
    assert clean.value >= (before.value if before else 0.0)
    assert (clean.covers or 0.0) >= ((before.covers if before else None) or 0.0)
    assert (bad.value if bad else None) == (before.value if before else None)
    if bad:
        assert (bad.covers or 0.0) <= (before.covers or 0.0)


@given(RUNS)
def test_marks_are_what_a_plain_look_at_every_pair_says(runs):
    cuts = as_cuts(runs)
    clean = [one for one in cuts if one.clean and one.minutes >= 5 and one.stickout >= 0.02]
    against = [one for one in cuts if not one.clean]
    undisputed = [
        one.demands[LOAD]
        for one in clean
        if not any(bad.at > one.at and bad.demands[LOAD] <= one.demands[LOAD] for bad in against)
    ]
    found = marked(*cuts)
    assert (found.value if found else None) == max((one.demands[LOAD] for one in clean), default=None)
    assert (found.covers if found else None) == max(undisputed, default=None)


@pytest.mark.parametrize(
    ("value", "covered", "sense", "beyond"),
    [(112.0, 100.0, "maximum", 0.12), (100.0, 100.0, "maximum", 0.0), (90.0, 100.0, "maximum", 0.0),
     (4.0, 5.0, "minimum", 0.25), (6.0, 5.0, "minimum", 0.0), (100.0 * (1 + 1e-12), 100.0, "maximum", 0.0)],
)  # fmt: skip
def test_beyond_by_a_share(value, covered, sense, beyond):
    assert excess(value, covered, sense) == pytest.approx(beyond)


def earned(*cuts, numbers="d"):
    return track_record(
        Past(tuple(sorted(cuts, key=lambda one: one.at))), "r", numbers, clean_time=FIVE, clean_runs=3
    )


def test_three_clean_runs_make_it_proven():
    two = earned(cut(1), cut(2))
    assert (two.earned, two.clean_runs, two.clean_minutes) == ("trial", 2, 20.0)
    three = earned(cut(1), cut(2), cut(3))
    assert (three.earned, three.last_clean) == ("proven", START + timedelta(days=3))


def test_short_runs_overrides_other_numbers_and_other_recipes_do_not_count():
    found = earned(
        cut(1),
        cut(2, minutes=1.0),
        cut(3, as_programmed=False),
        cut(4, numbers="old"),
        cut(5, recipe="other"),
    )
    assert (found.clean_runs, found.runs, found.elsewhere) == (1, 2, 2)
    assert earned(cut(1), cut(2), cut(3), numbers="changed").earned == "trial"


def test_a_bad_run_starts_the_count_again():
    found = earned(cut(1), cut(2), cut(3), cut(4, outcome="chatter"))
    assert (found.earned, found.clean_runs, found.trouble.run) == ("trial", 0, "run-4")
    mended = earned(cut(1), cut(2, outcome="chatter"), cut(3), cut(4), cut(5))
    assert (mended.earned, mended.trouble) == ("proven", None)
