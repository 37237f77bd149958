"""Cuts as columns: the same marks and the same standing as from every cut looked at."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from support.books import RUN
from support.long_logs import long_book
from swarfbook.book import Book
from swarfbook.book.table import Table
from swarfbook.decisions import cuts as module
from swarfbook.decisions.check import check
from swarfbook.decisions.cuts import Asked, Cuts
from swarfbook.decisions.evidence import load_case
from swarfbook.decisions.past import Learnt, Marks, Past, ground, track_record
from swarfbook.records import parse

NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)
FIVE = 300.0
KNOWN = [
    {"cutting_power": 100.0, "axial_depth": 0.002, "chip_thickness_max": 3e-5},
    {"cutting_power": 200.0, "axial_depth": 0.001, "chip_thickness_max": 2e-5},
    {"cutting_power": 200.0, "axial_depth": 0.003},
    {},
]
RUNS = st.lists(
    st.tuples(
        st.integers(0, 4),  # hours: several end in the same moment
        st.sampled_from(["clean", "clean", "chatter"]),
        st.sampled_from([4.0, 5.0, 12.5]),
        st.sampled_from(["one", "other"]),
        st.sampled_from([1.0, 0.9]),
        st.integers(0, len(KNOWN) - 1),
        st.sampled_from([0.02, 0.03]),
        st.integers(0, 1),
    ),
    max_size=14,
)


def cuts_of(told):
    runs = [
        parse(
            "run",
            RUN
            | {"id": f"r{number}", "at": (NOON + timedelta(hours=hour)).isoformat(), "outcome": outcome}
            | {"minutes": minutes, "recipe": recipe, "feed_override": feed, "speed_override": 1.0},
            where="",
        )
        for number, (hour, outcome, minutes, recipe, feed, *_) in enumerate(told)
    ]
    asked = Asked(
        rows=np.arange(len(told)),
        numbers=np.array([one[7] for one in told], dtype=int),
        stickout=np.array([one[6] for one in told]),
        demands=np.array([one[5] for one in told], dtype=int),
        digests=["sha256:a", "sha256:b"],
        known=KNOWN,
    )
    return Cuts(Table.of_runs(runs), asked)


@given(RUNS, st.sampled_from([0.01, 0.025, 0.03]), st.sampled_from([240.0, FIVE, 800.0]))
def test_marks_are_those_of_every_cut(told, stickout, clean_time):
    past = Past(cuts_of(told), Learnt(1.2, 0.1, 0.2, 3))
    plain = Past(tuple(past.cuts), past.learnt)
    few = Marks(ground(past, stickout=stickout, clean_time=clean_time, every=False))
    every = Marks(ground(plain, stickout=stickout, clean_time=clean_time))
    for demand in KNOWN[0]:
        for sense in ("maximum", "minimum"):
            assert few.of(demand, sense) == every.of(demand, sense)


SAME_MOMENT = [(1, outcome, 12.5, "one", 1.0, 0, 0.02, 0) for outcome in ("chatter", "clean")]


@example(SAME_MOMENT, "one", FIVE)
@given(RUNS, st.sampled_from(["one", "other", "none"]), st.sampled_from([240.0, FIVE, 800.0]))
def test_standing_is_that_of_every_cut(told, recipe, clean_time):
    past = Past(cuts_of(told))
    plain = Past(tuple(past.cuts))
    for numbers in ("sha256:a", "sha256:b", "sha256:c"):
        found, wanted = (
            track_record(one, recipe, numbers, clean_time=clean_time, clean_runs=2) for one in (past, plain)
        )
        assert found == wanted
    assert past.has(recipe) == plain.has(recipe)


@given(RUNS)
def test_cuts_are_in_order_of_time_and_of_the_log(told):
    found = list(cuts_of(told))
    wanted = [(one[0], f"r{number}") for number, one in enumerate(told) if KNOWN[one[5]]]
    assert [cut.run for cut in found] == [name for _, name in sorted(wanted, key=lambda one: one[0])]
    assert cuts_of(told) == tuple(found)
    assert cuts_of(told)[1:3] == found[1:3]
    if found:
        assert cuts_of(told)[-1] == found[-1]
        assert cuts_of(told) != tuple(found[1:])
        with pytest.raises(IndexError):
            cuts_of(told)[len(found)]


def test_a_check_looks_at_few_cuts_however_long_the_log(tmp_path, monkeypatch):
    made = []
    cut = module.Cut
    monkeypatch.setattr(module, "Cut", lambda **told: made.append(told["run"]) or cut(**told))

    def looked_at(runs):
        made.clear()
        check(load_case(Book.open(long_book(tmp_path / f"{runs}", runs)), "long-bed-6mm-6082-rough"))
        return len(made)

    few, many = looked_at(460), looked_at(4600)
    assert 0 < many < 2 * few < 460
