"""What an overload rating leaves above the continuous power, against a motor heated step by step."""

import math

import pytest

from support.books import RECIPE
from swarfbook.book import Book
from swarfbook.cli.check_text import check_text
from swarfbook.decisions.as_json import check_json
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import check
from swarfbook.decisions.duty import Duty, overload, read_duty
from swarfbook.decisions.leaves import leavings
from swarfbook.reports.duty import duty_note

STEP = 0.5  # s
TAU = 1500.0
IDLE, LOSSES = 12.0, 100 / 0.7 - 100
MOTOR = {
    "machine.spindle.rated_power": "100 W",
    "machine.spindle.overload": {"power": "120 W", "duty": "S6 40%"},
    "machine.spindle.thermal_time": "25 min",
    "machine.spindle.efficiency": 0.7,
    "machine.spindle.idle_power": "12 W",
}


@pytest.fixture
def judged(make_book):
    """Give a function from changes of a small motor's book to its check: asks 116 W of 100."""

    def check_of(**changes):
        return check(load_case(Book.open(make_book(**MOTOR | changes)), RECIPE))

    return check_of


def plate(duty, power="120 W"):
    return {"machine.spindle.overload": {"power": power, "duty": duty}}


def at_the_overload(judged, duty):
    """The recipe's own power as overload rating, so that the duty itself has to come out."""
    watts = float(judged().numbers.cutting_power)
    one = judged(**plate(duty, f"{watts * (1 + 1e-9):.9f} W"))
    return overload(one.case, one.numbers)


def warmed(heat, idle, loaded, resting, cycles):
    """Highest temperature over the continuous one, in steps: it leans towards its loss."""
    temperature = top = 0.0
    for _ in range(cycles):
        for loss, time in ((heat, loaded), (idle, resting)):
            for _ in range(round(time / STEP)):
                temperature += (loss - temperature) * STEP / TAU
            top = max(top, temperature)
    return top


@pytest.mark.parametrize(
    ("text", "duty"),
    [
        ("S2 30 min", Duty("S2", time=1800.0)),
        ("S2 5min", Duty("S2", time=300.0)),
        ("S3 25%", Duty("S3", share=0.25)),
        ("S6-40%", Duty("S6", share=0.4)),
        ("S6 40 %", Duty("S6", share=0.4)),
        ("S7 40%", Duty("S7")),
        ("S10", Duty("S10")),
        ("S1", Duty("S1")),
    ],
)
def test_duties_are_read(text, duty):
    assert read_duty(text) == duty


def test_up_to_the_continuous_rating_there_is_nothing_to_say(judged):
    one = judged(**{"machine.spindle.rated_power": "120 W"})
    assert overload(one.case, one.numbers) is None
    assert list(duty_note(one)) == []
    assert not {"overload_time", "overload_share"} & set(leavings(one))


def test_without_an_overload_rating_nothing_is_allowed(judged):
    one = judged(**{"machine.spindle.overload": None})
    assert overload(one.case, one.numbers) is None
    assert "thermal_time" not in one.case.inputs


def test_beyond_the_overload_rating_not_even_for_a_short_while(judged):
    one = judged(**plate("S6 40%", "110 W"))
    found = overload(one.case, one.numbers)
    assert found.beyond
    assert (found.time, found.share) == (None, None)
    assert "not even for a short while" in " ".join(duty_note(one))


@pytest.mark.parametrize(("duty", "share"), [("S6 40%", 0.4), ("S6 60%", 0.6), ("S3 25%", 0.25)])
def test_at_its_own_power_the_plates_duty_comes_out(judged, duty, share):
    assert at_the_overload(judged, duty).share == pytest.approx(share, rel=1e-6)


def test_at_its_own_power_the_plates_time_comes_out(judged):
    found = at_the_overload(judged, "S2 15 min")
    assert found.time == pytest.approx(900.0, rel=1e-6)
    assert found.share is None


@pytest.mark.parametrize(("duty", "resting"), [("S6 40%", IDLE / LOSSES), ("S3 25%", 0.0)])
def test_a_motor_heated_step_by_step_ends_as_warm_as_its_rating(judged, duty, resting):
    one = judged(**plate(duty))
    found = overload(one.case, one.numbers)
    square = (float(one.numbers.cutting_power) / 100) ** 2
    share = float(duty[3:5]) / 100
    whole, loaded = -math.expm1(-600 / TAU), -math.expm1(-share * 600 / TAU)
    most = (whole - resting * (whole - loaded)) / loaded
    heat = 1 + (most - 1) * (square - 1) / (1.44 - 1)
    assert warmed(heat, 0.0, found.time, 0.0, 1) == pytest.approx(1.0, rel=2e-3)
    on = found.share * 600
    assert warmed(heat, resting, on, 600 - on, 40) == pytest.approx(1.0, rel=3e-3)


def test_less_above_the_rating_is_borne_longer(judged):
    times = []
    for rated in ("100 W", "105 W", "110 W", "115 W"):
        one = judged(**{"machine.spindle.rated_power": rated})
        found = overload(one.case, one.numbers)
        times.append((found.time, found.share))
    assert times == sorted(times)


def test_a_time_that_nobody_gave_is_assumed_with_a_wide_band(judged):
    given, assumed = judged(), judged(**{"machine.spindle.thermal_time": None})
    known, guessed = leavings(given)["overload_time"], leavings(assumed)["overload_time"]
    assert known.assumed_inputs == ()
    assert guessed.assumed_inputs == ("thermal_time",)
    widths = [high / low for low, high in (known.number.band(), guessed.number.band())]
    assert widths[1] > 2 * widths[0] > 2.0
    assert "20 min, an assumed value" in " ".join(duty_note(assumed))


def test_an_idle_loss_that_nobody_measured_is_assumed(judged):
    one = judged(**{"machine.spindle.idle_power": None})
    assert one.case.inputs["idle_loss_share"].assumed
    assert judged().case["idle_loss_share"] == pytest.approx(IDLE / LOSSES)


def test_the_limit_stays_on_the_continuous_rating_and_the_check_says_the_rest(judged):
    one = judged()
    told = check_json(one)
    power = next(limit for limit in told["limits"] if limit["name"] == "spindle-power")
    assert (power["limit"], power["verdict"]) == (pytest.approx(100.0), "over")
    time, share = (told["quantities"][name] for name in ("overload_time", "overload_share"))
    assert (time["unit"], share["unit"]) == ("min", "")
    assert time["value"] == pytest.approx(60 * overload(one.case, one.numbers).time / 3600)
    said = " ".join(check_text(one, None).split())
    assert "within the overload rating (S6 40%, 1.20 of the continuous one)" in said
    assert "of each 10 min, idling between" in said


def test_a_duty_that_is_not_worked_out_says_so(judged):
    one = judged(**plate("S7 40%"))
    assert "not worked out for that duty" in " ".join(duty_note(one))
    assert "overload_time" not in leavings(one)
