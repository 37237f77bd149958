"""Every sourced number of the tables against what was printed.

`printed.csv` beside this file holds one printed number a line: the outside row it comes from (or, where there
is none, the source), the cell it stands in, and how the two go together. `is`: the number itself, `times` the
unit; `rounded`: the same to the last digit of the cell; `middle`: the middle of a printed range; `near`: a
second source, `high` is how far off it may be.
"""

import csv
from itertools import groupby
from pathlib import Path

import pytest

from support.published import half_digit
from swarfbook import tables
from swarfbook.tables.columns import is_number

with Path(__file__).with_name("printed.csv").open(encoding="utf-8", newline="") as lines:
    PRINTED = list(csv.DictReader(lines))
BY_TABLE = {name: list(rows) for name, rows in groupby(PRINTED, key=lambda line: line["table"])}


def difference(line):
    """How far a cell lies from what was printed, and how far it may."""
    cell = tables.load(line["table"]).get(line["id"]).text(line["column"])
    low, high, times = (float(line[key]) for key in ("low", "high", "times"))
    if line["rule"] == "near":
        return abs(float(cell) - low), high
    printed = (low + high) / 2 if line["rule"] == "middle" else low
    allowed = 0.0 if line["rule"] == "is" else half_digit(cell)
    return abs(float(cell) - printed * times), allowed + 1e-9 * abs(float(cell))


@pytest.mark.parametrize("name", BY_TABLE)
def test_a_table_holds_what_was_printed(name):
    wrong = []
    for line in BY_TABLE[name]:
        found, allowed = difference(line)
        if found > allowed:
            wrong.append(line)
    assert wrong == []


def test_every_number_with_a_source_is_held_against_print():
    held = {(line["table"], line["id"], line["column"]) for line in PRINTED}
    sourced = {
        (name, row.id, column)
        for name in tables.names()
        for row in tables.load(name).rows
        for column, text in row.values.items()
        if not row.assumed and is_number(column) and text
    }
    assert sourced - held == set()


def test_lines_for_one_table_stand_together():
    assert len(BY_TABLE) == len({line["table"] for line in PRINTED})


@pytest.mark.parametrize(
    ("row", "cell"),
    [
        ("mr-063", ("materials", "magnesium-az31", "kc11_n_per_mm2")),
        ("coef-08", ("cutting_coefficients", "titanium-ti-6al-4v", "kre_n_per_mm")),
        ("mh-19", ("unit_power", "copper-pure", "kp_kw_s_per_cm3")),
        ("mh-26", ("feed_factors", "0.05mm", "feed_factor")),
        ("bolt-02", ("bolts", "m6:8.8:0.12", "preload_kn")),
        ("bolt-10", ("friction", "bolt-class-c", "friction_low")),
        ("tape-02", ("adhesives", "foam-tape:shear-static-65", "strength_low_kpa")),
        ("th-11", ("convection", "forced-gas", "coefficient_high_w_per_m2k")),
        ("th-20", ("thermal", "magnesium-az31", "conductivity_w_per_mk")),
        ("th-21", ("softening", "acrylic", "temperature_low_degc")),
        ("gul-01", ("chip_volume", "short-helical", "chip_volume_ratio_high")),
        ("mm-kz-09", ("force_alternatives", "grey-iron:face-milling", "mc")),
        ("mm-edg-05", ("chip_floors", "stainless-304", "min_chip_ratio_low")),
    ],
)
def test_the_outside_rows_that_must_be_held_are(row, cell):
    assert (row, *cell) in {(line["row"], line["table"], line["id"], line["column"]) for line in PRINTED}


@pytest.mark.parametrize("duty", ["s1", "s2", "s3", "s6"])
def test_the_duty_types_say_what_they_mean(duty):
    words = {"s1": "continuous", "s2": "short time", "s3": "without current", "s6": "idling"}
    assert words[duty] in tables.load("motor_duty").get(duty).text("what")
