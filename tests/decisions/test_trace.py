"""A meter's file: what is read, what is refused and the place each refusal names."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from swarfbook.decisions.trace import MOST_BYTES, MOST_ROWS, read_trace
from swarfbook.errors import SwarfbookError


def read(text, encoding="utf-8"):
    return read_trace(text.encode(encoding), where="run.csv")


def refusal(text):
    data = text if isinstance(text, bytes) else text.encode()
    with pytest.raises(SwarfbookError) as caught:
        read_trace(data, where="run.csv")
    (problem,) = caught.value.problems
    assert problem.where == "run.csv"
    told = str(caught.value)
    assert told.isprintable()
    assert len(told) < 300
    return told


ROWS = "0,100\n1,250.5\n3,90\n"
TIME, POWER = [0.0, 1.0, 3.0], [100.0, 250.5, 90.0]


@pytest.mark.parametrize(
    "names",
    [
        "time,power", "Time (s),Power (W)", "t,W", "seconds,watts", "TIMESTAMP,ACTIVE POWER [W]",
        "time_s,power_w", "Time / s,Power / W", "# time power,x\ntime (s),power (W)",
        '"Time (s)","Power (W)"', "Elapsed time,P (W)", "#time,power",
    ],
)  # fmt: skip
def test_names_of_columns_are_known_in_many_spellings(names):
    trace = read(f"{names}\n{ROWS}")
    assert trace.time.tolist() == TIME
    assert trace.power.tolist() == POWER
    assert trace.apparent is False


@pytest.mark.parametrize(
    ("names", "time", "power"),
    [
        ("time (ms),power (kW)", 1e-3, 1e3),
        ("ms,mW", 1e-3, 1e-3),
        ("Time [min],kW", 60.0, 1e3),
        ("hours,Watt", 3600.0, 1.0),
        ("TIME (S),POWER (MW)", 1.0, 1e-3),
    ],
)
def test_units_are_read_from_the_header(names, time, power):
    trace = read(f"{names}\n{ROWS}")
    assert trace.time == pytest.approx(np.array(TIME) * time)
    assert trace.power == pytest.approx(np.array(POWER) * power)


def test_amps_times_volts_is_apparent_power():
    trace = read("time,volts,current (mA)\n0,230,500\n1,231,1000\n")
    assert trace.power == pytest.approx([115.0, 231.0])
    assert trace.apparent is True
    assert read("t,power (VA)\n0,5\n1,6\n").apparent is True
    # Where the meter gives active power too, that is taken.
    both = read("t,A,V,active power (W),apparent power (VA)\n0,1,230,90,230\n1,1,230,95,230\n")
    assert both.power.tolist() == [90.0, 95.0]
    assert both.apparent is False


def test_cells_stand_apart_by_comma_semicolon_or_tab_and_decimal_commas_are_read():
    for delimiter in ";\t":
        trace = read(f"Zeit\ntime (s){delimiter}power (W)\n0,5{delimiter}100\n1,5{delimiter}250,5\n")
        assert trace.time.tolist() == [0.0, 1.0]
        assert trace.power.tolist() == [100.0, 250.5]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "latin-1", "utf-16"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_encodings_and_line_ends(encoding, end):
    text = f"Zähler im Keller\n\ntime,power,Läufer\n{ROWS.replace(chr(10), ',é' + chr(10))}# end\n"
    trace = read(text.replace("\n", end), encoding)
    assert trace.power.tolist() == POWER


@pytest.mark.parametrize(
    ("stamps", "expected"),
    [
        (["09:59:59", "10:00:00.250", "10:00:01.5"], [0, 1.25, 2.5]),
        (["2026-01-31 23:59:59", "2026-02-01 00:00:00.5", "2026-02-01T00:00:02"], [0, 1.5, 3]),
        (["2026-01-31T10:00:00Z", "2026-01-31T11:00:01+01:00", "2026-01-31T10:00:02Z"], [0, 1, 2]),
        (["1767225600.5", "1767225601.5", "1767225603"], [0, 1, 2.5]),
        (["-2", "-1", "0"], [0, 1, 2]),
        (["0", "5e-1", "1E+0"], [0, 0.5, 1]),
    ],
)
def test_time_is_seconds_clock_or_date(stamps, expected):
    trace = read("time,power\n" + "".join(f"{stamp},5\n" for stamp in stamps))
    assert trace.time == pytest.approx(expected, abs=1e-6)


def test_samples_of_one_stamp_are_spread_up_to_the_next_by_the_usual_step_at_most():
    trace = read("t,w\n0,1\n0,1\n1,1\n1,1\n2,1\n2,1\n62,1\n62,1\n")
    assert trace.time.tolist() == [0, 0.5, 1, 1.5, 2, 2.5, 62, 62.5]


def test_noise_below_nothing_is_nothing():
    assert read("t,w\n0,-2\n1,100\n").power.tolist() == [0.0, 100.0]
    assert "row 2, w: found '-2.1'; power runs from 0 up" in refusal("t,w\n0,-2.1\n1,100\n")


REFUSED = {
    "empty": (b"", "the file is empty"),
    "blank": (" \n\n", "the file is empty"),
    "header alone": ("time,power\n", "row 1: the file ends here; at least two rows"),
    "one row": ("time,power\n0,5\n", "row 2: the file ends here; at least two rows"),
    "no header": (ROWS, "none of the first 50 lines names the columns; give a first line such as"),
    "no time": ("power (W)\n5\n6\n", "row 1: found 'power (W)'; there is no column of time; give"),
    "no power": ("time,current\n0,5\n", "there is no column of power, or of amps and volts; give"),
    "neither": ("current\n0,5\n", "there is no column of time and none of power, or of amps and volts"),
    "two powers": ("t,power,watts\n0,5,5\n1,5,5\n", "row 1: found 'power', 'watts'; leave one column"),
    "unit": ("t,power (hp)\n0,5\n1,5\n", "power (hp): found 'hp'; write one of w, watt"),
    "short row": ("t,x,w\n0,1,5\n1,1\n2,1,5\n", "row 3: this row ends before the column 'w'"),
    "empty cell": ("t,w\n0,5\n1,\n", "row 3, w: found ''; write a plain number"),
    "not a number": ("t,w\n0,5\n1,nan\n", "row 3, w: found 'nan'; write a plain number"),
    "infinite": ("t,w\n0,5\n1,inf\n", "row 3, w: found 'inf'"),
    "infinite time": ("t,w\n0,5\ninf,5\n", "row 3, t: found 'inf'; write seconds (12.5)"),
    "overflow": ("t,w\n0,5\n1,1e999\n", "row 3, w: found '1e999'"),
    "too large": ("t,w\n0,5\n1,1e7\n", "row 3, w: found '1e7'; this number is too large"),
    "too large together": ("t,a,v\n0,5,5\n1,1e5,1e5\n", "row 3, v: found '1e5'; amps times volts"),
    "hexadecimal": ("t,w\n0,5\n1,0x10\n", "row 3, w: found '0x10'"),
    "underscore": ("t,w\n0,5\n1,1_0\n", "row 3, w: found '1_0'"),
    "other digits": ("t,w\n0,5\n1,١٢\n", "row 3, w: found '١٢'"),
    "unit in a cell": ("t,w\n0,5\n1,5 W\n", "row 3, w: found '5 W'; write a plain number"),
    "decimal comma": ('t,w\n0,5\n1,"5,5"\n', "row 3, w: found '5,5'; write a plain number"),
    "thousands": ("t;w\n0;5\n1;1,234.5\n", "row 3, w: found '1,234.5'; some numbers here have"),
    "mixed marks": ("t;w\n0;5.5\n1;5,5\n", "row 2, w: found '5.5'; some numbers here have a decimal comma"),
    "backwards": ("t,w\n0,5\n2,5\n1,5\n", "row 4, t: found '1'; time runs backwards here, after '2'"),
    "over midnight": ("t,w\n23:59:59,5\n00:00:00,5\n", "row 3, t: found '00:00:00'; time runs backwards"),
    "standing still": ("t,w\n3,5\n3,5\n", "row 2, t: found '3'; time stands still"),
    "other date": ("t,w\n31/01/2026 10:00,5\n31/01/2026 10:01,5\n", "row 2, t: found '31/01/2026 10:00'"),
    "no such day": ("t,w\n2026-02-28 10:00:00,5\n2026-02-30 10:00:00,5\n", "row 3, t: found '2026-02-30"),
    "zone at times": ("t,w\n2026-02-28 10:00:00,5\n2026-02-28 10:00:01Z,5\n", "row 3, t"),
    "clock then seconds": ("t,w\n10:00:00,5\n12,5\n", "row 3, t: found '12'; write seconds"),
    "null byte": (b"t,w\n0,5\n1,\x006\n", "row 3: found '\\x00'; a control character"),
    "escape": (b"t,w\r\n0,5\r\n\x1b[2J1,6\r\n", "row 3: found '\\x1b'; a control character"),
    "wide without mark": ("t,w\n0,5\n".encode("utf-16-le"), "row 1: found '\\x00'; a control character"),
    "half a character": (b"\xff\xfet\x00,", "broken UTF-16"),
    "open quote": ('t,w\n0,"5\n1,6\n', "row 2: the quotes are not closed"),
    "hidden open quote": ('t,w\n0,5\n1"2,"6\n', "row 3: the quotes are not closed"),
    "open quote in the header": ('"time,power\n0,5\n', "row 1: the quotes are not closed"),
    "giant line": ("1" * 5_000_000, "row 1: this line has more than 4096 characters"),
    "million columns": ("t,w\n0,5\n" + "1," * 1_000_000, "row 3: this line has more than 4096 characters"),
    "long number": ("t,w\n0,5\n1," + "9" * 4000, "this number is too large for any spindle"),
    "too many bytes": (b"\n" * (MOST_BYTES + 1), "larger than 16 MiB"),
    "too many lines": ("t,w\n" + "\n" * (MOST_ROWS + 100), "more than 1000000 rows"),
}  # fmt: skip


@pytest.mark.parametrize("case", REFUSED)
def test_what_will_not_do_is_refused_with_its_place(case):
    data, told = REFUSED[case]
    assert told in refusal(data)


def test_a_header_far_down_is_not_looked_for():
    assert read("note\n" * 49 + "t,w\n0,5\n1,5\n").power.size == 2
    assert "none of the first 50 lines" in refusal("note\n" * 50 + "t,w\n0,5\n1,5\n")


CELL = st.one_of(
    st.sampled_from(["0", "1", "2.5", "1e9", "-1", "nan", '"', '""', "#", "1,5", "10:00:00", "",
                     "2026-01-01 00:00:00", "0001-01-01 00:00:00+14:00",
                     "9999-12-31 23:59:59-14:00", "1e-99", "99999999999"]),
    st.text(max_size=5),
)  # fmt: skip
TABLES = st.tuples(
    st.sampled_from(["t,w", "time;power", "t\ta\tv", "w", "t (ms),kW", "sep=;\nt;w"]),
    st.lists(st.lists(CELL, min_size=1, max_size=4), max_size=6),
    st.sampled_from([",", ";", "\t"]),
).map(
    lambda table: "\n".join([table[0], *(table[2].join(row) for row in table[1])]).encode("utf-8", "replace")
)


@given(st.one_of(st.binary(max_size=200), st.binary(max_size=60).map(b"t,w\n0,5\n".__add__), TABLES))
def test_any_bytes_give_a_trace_or_a_refusal(data):
    try:
        trace = read_trace(data, where="run.csv")
    except SwarfbookError as error:
        told = str(error)
    else:
        told = ""
        is_sound(trace)
    assert "\n" not in told


def is_sound(trace):
    assert trace.time.shape == trace.power.shape
    assert trace.time[0] == 0.0
    assert (np.diff(trace.time) > 0).all()
    assert np.isfinite(trace.power).all()
    assert (trace.power >= 0).all()
