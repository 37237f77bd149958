"""What must be so of every hold, whatever the numbers: more never holds less, use grows with force."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.holding import SETTINGS, hold, piece, push
from swarfbook.decisions.jobs.holding import judge

TAPE = hold("tape", length=0.3, width=0.1)
GLUE = hold("glue-tape", length=0.3, width=0.1)
CLAMPS = hold("clamps", count=2, force=800.0)
TABS = hold("tabs", count=4, width=6e-3, thickness=1.5e-3)
FREE = {"free": True, "length": 0.1, "width": 0.06}


def held(holds, asked=None, on=None):
    return judge(holds, asked or push(), on or piece(), SETTINGS)


forces = st.floats(1.0, 2000.0)
sizes = st.floats(0.02, 0.5)
METHODS = [
    [TAPE],
    [GLUE],
    [TAPE, GLUE],
    [CLAMPS],
    [hold("side-clamps", count=2, force=900.0)],
    [hold("vise", force=3000.0)],
    [hold("screws", count=4, anchor="screw:mdf")],
    [hold("vacuum", length=0.3, width=0.1)],
    [TABS, CLAMPS],
    [hold("floor", thickness=2e-4), TABS],
]


@pytest.mark.parametrize("holds", METHODS, ids=lambda holds: "+".join(one.method for one in holds))
@given(
    force=forces, lift=st.just(0.0) | st.floats(0.1, 300.0), times=st.floats(0.1, 10.0), free=st.booleans()
)
def test_a_use_grows_with_the_force(holds, force, lift, times, free):
    on = piece(**FREE) if free else piece()
    one, more = (held(holds, push(force * k, lift * k), on).use for k in (1.0, times))
    assert one is more is None or more == pytest.approx(times * one, rel=1e-9)


@given(long=sizes, wide=sizes, more=st.floats(0.0, 0.3), free=st.booleans(), celsius=st.floats(0.0, 100.0))
def test_more_tape_never_holds_less(long, wide, more, free, celsius):
    on = piece(celsius, free=free)
    first, grown = (held([hold("tape", length=long + add, width=wide)], on=on).use for add in (0.0, more))
    strips = held([hold("tape", length=long, width=wide), hold("glue-tape", length=wide, width=long)], on=on)
    assert grown <= first * (1 + 1e-9)
    assert strips.use <= first * (1 + 1e-9)


@pytest.mark.parametrize("more", METHODS, ids=lambda holds: "+".join(one.method for one in holds))
@given(celsius=st.floats(0.0, 100.0), free=st.booleans(), count=st.integers(1, 8))
def test_whatever_is_added_never_makes_it_worse(more, celsius, free, count):
    on = piece(celsius, **(FREE if free else {}))
    first = held([CLAMPS, TABS], on=on).use
    added = held([CLAMPS, TABS, *more], on=on).use
    assert added <= first * (1 + 1e-9)
    few, many = (held([hold("clamps", count=n, force=500.0)], on=on).use for n in (count, count + 1))
    assert many < few


@given(cool=st.floats(-10.0, 120.0), rise=st.floats(0.0, 80.0), force=forces)
def test_a_cooler_tape_never_holds_less(cool, rise, force):
    for holds in ([TAPE], [GLUE], [TAPE, GLUE], [TAPE, CLAMPS]):
        first, warmer = (held(holds, push(force), piece(c)).use for c in (cool, cool + rise))
        assert first <= warmer * (1 + 1e-9)
