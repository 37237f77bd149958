"""Idle, cuts and the power they took, found again in traces made of known levels."""

from __future__ import annotations

import dataclasses
import itertools

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from swarfbook.decisions.meter import cutting
from swarfbook.decisions.trace import Trace, read_trace
from swarfbook.errors import SwarfbookError

RATES = ["1 Hz", "10 Hz", "uneven"]


def times(length, rate, rng):
    if rate == "uneven":
        found = np.append(0.0, np.cumsum(rng.uniform(0.05, 1.2, int(length / 0.5))))
        return found[found < length]
    return np.arange(0.0, length, 1.0 if rate == "1 Hz" else 0.1)


def made(pieces, rate="10 Hz", noise=0.0, seed=1):
    """Make a trace of pieces: how long [s] and at what power, or from what to what, [W]."""
    rng = np.random.default_rng(seed)
    corners = [0.0, *itertools.accumulate(piece[0] for piece in pieces)]
    time = times(corners[-1], rate, rng)
    power = np.empty_like(time)
    for (_, first, *last), start, end in zip(pieces, corners, corners[1:], strict=False):
        inside = (time >= start) & (time < end)
        power[inside] = np.interp(time[inside], [start, end], [first, last[0] if last else first])
    power *= 1.0 + noise * rng.standard_normal(time.size)
    return Trace("run.csv", time, np.maximum(power, 0.0), apparent=False)


def refusal(trace, **options):
    with pytest.raises(SwarfbookError) as caught:
        cutting(trace, **options)
    assert "\n" not in str(caught.value)
    return str(caught.value)


def test_two_levels_without_noise_are_found_exactly():
    found = cutting(made([(10, 150), (20, 800), (5, 150), (10, 800), (5, 150)], "1 Hz"))
    assert found.idle == 150.0
    assert found.step == pytest.approx(475.0)
    # The power changes somewhere between two samples: half way is the best that can be said.
    assert found.spans == ((9.5, 29.5), (34.5, 44.5))
    assert found.time == pytest.approx(30.0)
    assert found.mean == pytest.approx(800.0)
    assert (found.peak, found.high) == (800.0, 800.0)
    assert found.net_mean == pytest.approx(650.0)
    assert found.net_peak == pytest.approx(650.0)
    assert found.idle_given is False


def random_run(rng):
    """Make a run by chance: pieces, idle, cutting and how often it cut."""
    idle = rng.uniform(60, 400)
    cut = idle * rng.uniform(1.6, 10)
    still = rng.choice([0.0, 0.02 * cut])
    cuts = int(rng.integers(1, 5))
    pieces = [(rng.uniform(4, 15), still)] if rng.random() < 0.6 else []
    if pieces and rng.random() < 0.6:
        pieces.append((rng.uniform(0.5, 1.5), cut * rng.uniform(1.5, 5)))
    for _ in range(cuts):
        pieces += [(rng.uniform(8, 20), idle), (rng.uniform(15, 60), cut)]
    pieces += [(rng.uniform(5, 15), idle), (rng.uniform(4, 10), still)]
    return pieces, idle, cut, cuts


@pytest.mark.parametrize("rate", RATES)
def test_idle_and_mean_are_within_two_per_cent_on_runs_by_chance(rate):
    for seed in range(150):
        pieces, idle, cut, cuts = random_run(np.random.default_rng(seed))
        found = cutting(made(pieces, rate, noise=0.02, seed=seed))
        assert found.idle == pytest.approx(idle, rel=0.02), seed
        assert found.mean == pytest.approx(cut, rel=0.02), seed
        assert len(found.spans) == cuts, seed
        assert found.time == pytest.approx(sum(span for span, power, *_ in pieces if power == cut), rel=0.1)
        assert cut < found.peak < 1.1 * cut, seed
        assert found.high <= found.peak


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize("still", [0.0, 15.0])
def test_a_spindle_that_stands_still_is_not_idle(rate, still):
    pieces = [
        (60, still),
        (10, 150),
        (30, 600),
        (8, 150),
        (40, still),
        (6, 150),
        (20, 600),
        (5, 150),
        (60, still),
    ]
    found = cutting(made(pieces, rate, noise=0.02))
    assert found.idle == pytest.approx(150.0, rel=0.02)
    assert found.mean == pytest.approx(600.0, rel=0.02)
    assert len(found.spans) == 2


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize("lasts", [1.0, 2.0])
def test_what_the_spindle_draws_at_its_start_is_no_cutting(rate, lasts):
    still = [(10, 0)]
    start = [(lasts, 4000, 2500), (10, 150)]
    cut = [(20, 600), (6, 150)]
    for pieces in (still + start + cut, start + cut, still + start + cut + still + start + cut):
        found = cutting(made(pieces, rate, noise=0.02))
        assert found.peak < 700.0
        assert found.mean == pytest.approx(600.0, rel=0.02)
        assert found.idle == pytest.approx(150.0, rel=0.02)


@pytest.mark.parametrize("rate", ["1 Hz", "10 Hz"])
def test_a_peak_while_cutting_is_one_as_nothing_stood_still_before_it(rate):
    start = [(10, 0), (1, 4000), (10, 150)]
    found = cutting(made([*start, (100, 600), (1, 2500), (100, 600), (6, 150)], rate))
    assert found.peak == 2500.0
    assert found.high == 600.0


def test_a_drive_that_takes_its_time_to_start_is_no_cutting_either():
    found = cutting(made([(10, 0), (6, 300, 900), (10, 150), (30, 600), (5, 150)]))
    assert found.spans == (pytest.approx((26, 56), abs=0.06),)
    # A cut begun soon after the start, but from idle, is a cut.
    found = cutting(made([(10, 0), (1, 2500), (4, 150), (30, 600), (5, 150)]))
    assert found.spans == (pytest.approx((15, 45), abs=0.06),)


@pytest.mark.parametrize("rate", RATES)
def test_ramps_in_and_out_count_from_half_way(rate):
    found = cutting(made([(15, 150), (3, 150, 750), (40, 750), (3, 750, 150), (15, 150)], rate, noise=0.01))
    assert found.idle == pytest.approx(150.0, rel=0.02)
    assert found.spans == (pytest.approx((16.5, 59.5), abs=0.8),)
    # The upper halves of both ramps, 1.5 s at 600 W in the mean each, and 40 s at 750 W.
    assert found.mean == pytest.approx((40 * 750 + 3 * 600) / 43, rel=0.02)


def test_light_cutting_is_not_taken_for_idle():
    """One split of all would part light from heavy: most of the time is spent at light cuts."""
    found = cutting(made([(20, 150), (60, 500), (30, 900), (5, 150)], noise=0.03))
    assert found.idle == pytest.approx(150.0, rel=0.02)
    assert found.mean == pytest.approx((60 * 500 + 30 * 900) / 90, rel=0.02)
    assert found.step == pytest.approx((150 + 500) / 2, rel=0.02)


@pytest.mark.parametrize("rate", RATES)
def test_a_short_cut_and_a_short_idle_are_found_in_a_long_run(rate):
    short_cut = cutting(made([(300, 150), (20, 600), (300, 150)], rate, noise=0.03))
    assert short_cut.spans == (pytest.approx((300, 320), abs=1.2),)
    assert short_cut.mean == pytest.approx(600.0, rel=0.02)
    short_idle = cutting(made([(20, 150), (900, 600), (5, 150)], rate, noise=0.03))
    assert short_idle.idle == pytest.approx(150.0, rel=0.02)
    assert short_idle.spans == (pytest.approx((20, 920), abs=1.2),)


def test_a_run_without_a_cut_long_enough_is_refused():
    trace = made([(20, 150), (0.5, 600), (20, 150)])
    assert "no cut in it lasts 0.7 s" in refusal(trace, idle=150.0)


def test_cutting_that_swings_widely_is_cutting():
    rng = np.random.default_rng(3)
    swings = [(0.5, power) for power in rng.uniform(400, 1500, 120)]
    found = cutting(made([(30, 150), *swings, (10, 150)], noise=0.02))
    assert found.idle == pytest.approx(150.0, rel=0.02)
    assert found.mean == pytest.approx(np.mean([power for _, power in swings]), rel=0.02)


def test_a_short_gap_is_joined_and_a_short_bump_dropped():
    found = cutting(made([(10, 100), (10, 500), (0.5, 100), (10, 500), (5, 100), (0.5, 500), (10, 100)]))
    assert found.spans == (pytest.approx((10, 30.5), abs=0.06),)
    found = cutting(made([(10, 100), (10, 500), (1, 100), (10, 500), (5, 100), (1, 500), (10, 100)]))
    assert len(found.spans) == 3


def test_the_mean_is_over_time_and_not_over_samples():
    time = np.concatenate((np.arange(20.0), np.arange(20.0, 30.0, 0.1), np.arange(30.0, 60.0)))
    power = np.select([time < 10, time < 20, time < 30, time < 50], [100, 500, 700, 500], 100.0)
    found = cutting(Trace("run.csv", time, power, apparent=True))
    assert found.mean == pytest.approx((10 * 500 + 10 * 700 + 20 * 500) / 40, rel=0.01)
    assert found.apparent is True


def test_the_order_and_the_scale_of_power_do_not_matter():
    trace = made([(10, 0), (10, 150), (20, 600), (10, 150), (30, 900), (10, 150)], noise=0.03)
    found = cutting(trace)
    larger = cutting(dataclasses.replace(trace, power=trace.power * 7))
    assert larger.mean == pytest.approx(7 * found.mean)
    assert larger.idle == pytest.approx(7 * found.idle)
    assert larger.spans == found.spans
    mirrored = cutting(
        dataclasses.replace(trace, time=trace.time[-1] - trace.time[::-1], power=trace.power[::-1])
    )
    assert mirrored.mean == pytest.approx(found.mean)
    assert mirrored.idle == pytest.approx(found.idle)


LEVEL = {
    "one level": [(60, 500)],
    "a step as of a spindle warming up": [(30, 100), (30, 108)],
    "all of a ramp": [(60, 100, 900)],
    "standing still and one level": [(20, 0), (40, 500), (20, 0)],
    "nothing at all": [(30, 0)],
    "a start and no cut": [(10, 0), (1, 3000), (30, 150), (10, 0)],
    "idle for an instant": [(0.5, 100), (60, 500)],
}


@pytest.mark.parametrize("case", LEVEL)
@pytest.mark.parametrize("noise", [0.0, 0.02])
def test_where_no_step_can_be_told_an_idle_reading_is_asked_for(case, noise):
    told = refusal(made(LEVEL[case], noise=noise))
    assert told.startswith("run.csv: no step between an idle spindle and cutting can be told")
    assert "give the idle reading" in told


def test_noise_alone_is_no_step():
    for seed in range(100):
        for noise in (0.05, 0.2):
            assert "no step" in refusal(made([(40, 500)], RATES[seed % 3], noise=noise, seed=seed)), seed


@pytest.mark.parametrize("times_idle", [5, 15, 19, 20, 21, 25, 40])
def test_a_start_alone_is_no_cut_however_high(times_idle):
    """Near twenty times idle, idle is near the share of the peak below which a spindle stands still."""
    for noise in (0.0, 0.01, 0.05):
        assert "no step" in refusal(made([(10, 0), (1, 150 * times_idle), (30, 150), (10, 0)], noise=noise))


def test_an_idle_given_is_taken_as_it_is():
    found = cutting(made([(60, 500)], noise=0.02), idle=120.0)
    assert found.idle == 120.0
    assert found.idle_given is True
    assert found.mean == pytest.approx(500.0, rel=0.01)
    assert found.net_mean == pytest.approx(380.0, rel=0.01)
    assert found.time == pytest.approx(60.0, abs=0.2)
    trace = made([(10, 0), (1, 3000), (10, 150), (30, 600), (10, 150)], noise=0.02)
    given_one, found_one = cutting(trace, idle=150.0), cutting(trace)
    assert given_one.spans == found_one.spans
    assert given_one.mean == found_one.mean
    # Cutting a twentieth above idle is told neither way.
    assert "nothing lies above 165 W" in refusal(made([(60, 157)]), idle=150.0)
    assert "run.csv: found idle 4000 W; nothing lies above 4400 W" in refusal(trace, idle=4000.0)


@pytest.mark.parametrize("idle", [-1.0, float("nan"), float("inf")])
def test_an_idle_that_is_no_power_is_refused(idle):
    assert "an idle reading is a power from 0 W up" in refusal(made([(60, 500)]), idle=idle)


def test_a_file_goes_all_the_way():
    rows = "".join(f"10:00:{second:02};{power},5\n" for second, power in enumerate([100] * 10 + [400] * 30))
    found = cutting(read_trace(f"Zeit;x\ntime;power (W)\n{rows}".encode(), where="run.csv"))
    assert found.idle == 100.5
    assert found.mean == pytest.approx(400.5)


@given(
    st.lists(
        st.tuples(st.floats(1e-9, 1e9), st.one_of(st.floats(0.0, 1e6), st.sampled_from([0.0, 9.0, 99.0]))),
        min_size=2, max_size=30,
    ),
    st.one_of(st.none(), st.floats(0.0, 1e6)),
)  # fmt: skip
def test_any_trace_gives_sound_figures_or_a_refusal(samples, idle):
    time = np.cumsum([step for step, _ in samples])
    power = np.array([power for _, power in samples])
    assume((np.diff(time) > 0).all())
    try:
        found = cutting(Trace("run.csv", time - time[0], power, apparent=False), idle=idle)
    except SwarfbookError:
        return
    assert 0 <= found.idle < found.mean * (1 + 1e-9)
    assert found.mean <= found.peak * (1 + 1e-9)
    assert found.high <= found.peak
    assert found.time > 0
    assert all(start < end for start, end in found.spans)
    assert all(one[1] < two[0] for one, two in itertools.pairwise(found.spans))
