"""What people read of a job: the page, the card for the machine, the curve, and how numbers are said."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest

from support.books import RECIPE
from support.jobs import job, job_book
from swarfbook.decisions.jobs.judging import judge_job
from swarfbook.decisions.jobs.loading import in_units, load_job
from swarfbook.reports import job_words as say
from swarfbook.reports.heat_page import curve, heat_lines, step_starts
from swarfbook.reports.heat_picture import band
from swarfbook.reports.job_card import job_card
from swarfbook.reports.job_page import job_lines

CUT = {"recipe": RECIPE, "feature": "window", "volume": "20 cm^3"}
FINE = {"operation": "finish", "radial_width": "0.2 mm", "allowance": None}
VISE = {"method": "vise", "force": "6 kN"}
BOTH = {
    "holds": [{"method": "tape", "length": "300 mm", "width": "76 mm"}, VISE | {"side": "second"}],
    "flip": {"locate": "pins", "error": "0.6 mm"},
    "steps": [
        CUT | {"allowance": "0.4 mm"},
        CUT | {"recipe": "fine", "side": "second", "volume": "1 cm^3", "pause": "6 min"},
    ],
    "hands_off": True,
    "hourly_rate": 45,
    "currency": "EUR",
}
GENTLE = {"recipe.axial_depth": "1.3 mm", "machine.axes.thrust": "600 N"}


@pytest.fixture
def report(tmp_path):
    """Give a job of two sides whose second side does not find enough left."""
    book = job_book(tmp_path, {"plates": BOTH}, {"fine": FINE}, **GENTLE)
    return judge_job(load_job(book, "plates"))


def page(report, width=80, **how):
    return job_lines(report, width=width, system="metric", **how)


def test_the_page_says_when_and_how_the_piece_is_turned_over(report):
    lines = page(report)
    turned = next(at for at, line in enumerate(lines) if "turn it over" in line)
    assert lines[turned].strip() == "turn it over, find it by its pins; held by a vise"
    assert lines[turned - 1].lstrip().startswith("1 Rough the window")
    assert lines[turned + 1].lstrip().startswith("2 Finish the window")


def test_the_page_says_what_the_location_error_costs(report):
    text = " ".join(" ".join(page(report)).split())
    assert (
        "window: 0.4 mm left for the second side does not cover a location error of 0.6 mm: leave 0.2 mm more"
        in text
    )
    assert "over: not to be run as it stands" in text


@pytest.mark.parametrize("width", [60, 80, 120])
def test_no_line_is_wider_than_the_page(report, width):
    assert [line for line in page(report, width) if len(line) > width] == []
    assert all(line.isascii() for line in page(report, width, plain=True))


def test_every_step_stands_on_the_card_with_what_comes_before_it(report):
    card = job_card(report, system="metric", day=datetime(2026, 11, 2, tzinfo=UTC))
    assert [stop.title for stop in card.stops] == ["Rough the window", "Finish the window"]
    assert card.stops[0].before == ""
    assert card.stops[1].before == (
        "turn it over, find it by its pins; held by a vise; wait 6 min for the stock to cool"
    )
    numbers = dict(card.stops[0].numbers)
    assert (numbers["spindle"], numbers["feed"]) == ("18\u00a0000 rpm", "900 mm/min")
    assert (numbers["depth"], numbers["width"]) == ("1.3 mm", "1.5 mm")
    assert (numbers["cut"], numbers["cooling"]) == ("climb", "air blast")
    assert card.stops[0].leaves == "0.4 mm on the wall"
    assert any("leave 0.2 mm more" in line for line in card.warnings)
    assert any("someone within reach of the stop" in line for line in card.warnings)
    assert card.foot == "Every figure is an estimate; makers' limits come first. Printed 2 November 2026."
    assert set(report.cautions) <= set(card.cautions)


def test_the_curve_is_drawn_from_the_workshop_s_temperature_to_the_last_step(report):
    times, warm = curve(report, "metric")
    assert warm[0] == pytest.approx(20.0)
    assert times[-1] == pytest.approx(report.time.piece / 60)
    lines = heat_lines(report, width=60, system="metric")
    assert any("●" in line for line in lines)
    assert "step numbers above" in " ".join(lines[:2])
    starts = step_starts(report)
    assert [number for _, number in starts] == [1, 2]
    assert starts[0][0] == pytest.approx(report.time.waits[0].seconds / 60)
    assert max(map(len, heat_lines(report, width=60, system="metric", plain=True))) <= 60


def test_the_band_is_that_of_the_warmest_step(report):
    _, warm = curve(report, "metric")
    low, high = band(report, warm)
    step = max(report.steps, key=lambda one: one.temperature.value)
    assert np.all(low <= warm)
    assert np.all(high >= warm)
    # The rise is log-normal: its ends lie as far apart in ratio as its causes say.
    rise = step.temperature.value - 293.15
    sd = step.temperature.sd * step.temperature.value / rise
    assert high.max() - 20 == pytest.approx(rise * np.exp(1.6448536 * sd), rel=1e-6)


def test_inches_and_fahrenheit_where_those_are_shown(tmp_path):
    book = job_book(tmp_path, {"plates": BOTH}, {"fine": FINE}, **GENTLE)
    inches = judge_job(in_units(load_job(book, "plates"), "imperial"))
    text = "\n".join(job_lines(inches, width=100, system="imperial"))
    assert "°F" in text
    assert " mm" not in text
    assert "0.01575 in left for the second side" in text


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(4, "4 s"), (89, "89 s"), (90, "2 min"), (1260, "21 min"), (5400, "1 h 30 min"), (7200, "2 h")],
)
def test_times_are_said_as_people_say_them(seconds, text):
    assert say.lasting(seconds) == text


@pytest.mark.parametrize(
    ("amount", "currency", "text"),
    [
        (None, "EUR", ""),
        (23.756, "EUR", "23.76\u00a0EUR"),
        (23.756, None, "23.76"),
        (12345.6, "EUR", "12\u00a0346\u00a0EUR"),
    ],
)
def test_money(amount, currency, text):
    assert say.money(amount, currency) == text


@pytest.mark.parametrize(
    ("hold", "text"),
    [
        ({"method": "tape", "length": "300 mm", "width": "76 mm"}, "tape, 300 mm x 76 mm"),
        (
            {"method": "tape", "length": "300 mm", "width": "25 mm", "count": 3},
            "3 strips of tape, 300 mm x 25 mm each",
        ),
        ({"method": "clamps", "count": 4, "force": "1 kN"}, "4 clamps"),
        (VISE, "a vise"),
        (
            {"method": "tabs", "count": 3, "width": "6 mm", "thickness": "1.5 mm"},
            "3 tabs, 6 mm wide and 1.5 mm thick",
        ),
        ({"method": "floor", "thickness": "0.4 mm"}, "a floor of 0.4 mm"),
    ],
)
def test_what_holds_is_said(hold, text):

    assert say.held_by(job(holds=[hold]).holds[0], "metric") == text
