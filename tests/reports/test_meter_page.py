"""The picture of a trace: what is drawn where, what is told below, in so many columns."""

from __future__ import annotations

import numpy as np
import pytest

from swarfbook.decisions.meter import cutting
from swarfbook.decisions.trace import Trace
from swarfbook.reports.meter_page import meter_page


def made(*pieces, rate=10.0, apparent=False):
    power = np.concatenate([np.full(round(lasts * rate), float(level)) for lasts, level in pieces])
    return Trace("run.csv", np.arange(power.size) / rate, power, apparent=apparent)


RUN = made((25, 200), (50, 800), (25, 200))


def page(trace, **options):
    return meter_page(trace, cutting(trace), **{"width": 80, **options})


def test_the_figures_stand_in_three_lines():
    assert page(RUN)[-4:] == [
        "",
        "cutting, above 500 W: 50.0 s in 1 span",
        "mean 800 W, peak 800 W, 99 % of it at most 800 W",
        "less idle, found 200 W: mean 600 W, peak 600 W",
    ]
    told = meter_page(RUN, cutting(RUN, idle=150.0), width=80)
    assert told[-1] == "less idle, given 150 W: mean 650 W, peak 650 W"
    twice = page(made((10, 200), (10, 800), (10, 200), (10, 800), (10, 200)))
    assert twice[-3] == "cutting, above 500 W: 20.0 s in 2 spans"


@pytest.mark.parametrize("plain", [False, True])
def test_idle_is_a_line_across_and_the_spans_stand_below_the_curve(plain):
    lines = page(RUN, plain=plain)
    idle, used = ("-", "=") if plain else ("─", "█")
    frame = "|" if plain else "│"
    drawn = [line for line in lines if line.strip().startswith(frame) and line.endswith(frame)]
    inner = drawn[0].index(frame) + 1
    width = len(drawn[0]) - inner - 1
    assert any(line[inner:-1] == idle * width for line in drawn)
    spans = drawn[-1][inner:-1]
    assert set(spans) == {" ", used}
    assert spans.index(used) == pytest.approx(width / 4, abs=1)
    assert spans.rindex(used) == pytest.approx(width * 3 / 4, abs=1)


def test_the_power_is_drawn_where_it_was():
    lines = page(RUN, plain=True)
    peak = next(line for line in lines if line.startswith("800|"))
    inner = peak.index("|") + 1
    width = len(peak) - inner - 1
    assert peak.index("*") - inner == pytest.approx(width / 4, abs=1)
    assert peak.rindex("*") - inner == pytest.approx(width * 3 / 4, abs=1.5)


@pytest.mark.parametrize("width", [60, 97, 200])
@pytest.mark.parametrize("plain", [False, True])
def test_every_width_is_kept(width, plain):
    long = made((300, 12345.6), (900, 45678.9), (1, 60000), (300, 12345.6), apparent=True)
    start = made((10, 0), (1, 9000), (9, 222), (30, 888), (10, 222))
    for trace in (RUN, long, start):
        lines = page(trace, width=width, plain=plain)
        assert max(map(len, lines)) == width
        assert "\x1b" not in "".join(lines)
        assert not plain or "\n".join(lines).isascii()
    assert max(map(len, page(RUN, width=10))) == 60
    assert max(map(len, page(RUN, width=1000))) == 200


def test_a_start_reaches_above_the_top_and_the_page_says_so():
    note = "what is no cutting, such as a start, reaches above the top"
    assert note in page(made((10, 0), (1, 9000), (9, 200), (30, 800), (10, 200)))
    assert note not in page(RUN)


def test_apparent_power_is_called_so():
    note = "amps times volts: reads high, above all at light load"
    assert note in page(made((25, 200), (50, 800), (25, 200), apparent=True))
    assert note not in page(RUN)


def test_long_runs_are_told_in_minutes():
    assert "99.9 s" in "\n".join(page(RUN))
    assert "20 min" in "\n".join(page(made((300, 200), (901, 800), rate=1.0)))


def test_one_sample_among_many_is_in_the_picture():
    trace = made((500, 200), (2000, 800), (0.1, 1500), (2000, 800), (500, 200))
    peak = next(line for line in page(trace, plain=True) if line.startswith("1500|"))
    assert "*" in peak


def test_spans_without_number_are_drawn_as_the_columns_they_touch():
    pieces = [(2.5, 200), *[(2, 800), (2, 200)] * 2000]
    lines = page(made(*pieces, rate=1.0), plain=True)
    assert "in 2000 spans" in lines[-3]
    assert max(line.count("=") for line in lines) > 70
