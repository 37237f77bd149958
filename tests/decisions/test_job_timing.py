"""How long steps take: moves by mo-01, paths by geometry, and what the trade knows of facing."""

from __future__ import annotations

import math

import pytest

from support.books import RECIPE
from support.jobs import job_book
from swarfbook.decisions.jobs.loading import load_job
from swarfbook.errors import SwarfbookError

FAST = {
    "machine.axes.max_feed": "8000 mm/min",
    "recipe.feed_per_tooth": None,
    "recipe.feed_rate": "6000 mm/min",
}
FACE = {"operation": "face-rough", "axial_depth": "0.5 mm", "radial_width": "4 mm", "allowance": None}


def timed(path, step, *, features=None, recipes=None, **changes):
    """Give the time of a job of one step."""
    different = {"steps": [{"recipe": RECIPE, "feature": "window"} | step]}
    if features:
        different["features"] = features
    book = job_book(path, {"plates": different}, recipes, **changes)
    return load_job(book, "plates").cuttings[0].time


@pytest.mark.parametrize(("move", "seconds", "peak"), [(5, 0.2, 50.0), (20, 0.4, 100.0), (100, 1.2, 100.0)])
def test_one_move_takes_what_a_trapezoid_takes(tmp_path, move, seconds, peak):
    # mo-01: 6000 mm/min and 500 mm/s^2, worked out from kinematics.
    one = timed(tmp_path, {"path": f"{move} mm", "move": f"{move} mm"}, **FAST)
    assert one.feed_time == pytest.approx(seconds, rel=1e-9)
    assert one.reached == pytest.approx(peak / 100.0, rel=1e-9)


def test_short_moves_take_longer_for_the_same_path(tmp_path):
    one = timed(tmp_path / "a", {"path": "1 m", "move": "5 mm"}, **FAST)
    assert one.feed_time == pytest.approx(200 * 0.2, rel=1e-9)
    whole = timed(tmp_path / "b", {"path": "1 m", "move": "1 m"}, **FAST)
    assert whole.feed_time == pytest.approx(1.0 / 0.1 + 0.1 / 0.5, rel=1e-9)


def test_path_and_volume_say_how_much_of_the_way_is_air(tmp_path):
    # 3 mm deep and 1.5 mm wide: 4.5 mm^2; 2 m of it could take 9 cm^3 off.
    one = timed(tmp_path, {"path": "2 m", "volume": "6.75 cm^3", "move": "2 m"})
    assert one.way.air == pytest.approx(0.25, rel=1e-9)
    assert one.air_share == pytest.approx(0.25, rel=1e-9)
    assert one.way.worked_out == ""


def test_one_of_the_two_gives_the_other(tmp_path):
    by_path = timed(tmp_path / "a", {"path": "2 m", "air": 0.25})
    assert by_path.way.volume == pytest.approx(6.75e-6, rel=1e-9)
    by_volume = timed(tmp_path / "b", {"volume": "6.75 cm^3", "air": 0.25})
    assert by_volume.way.path == pytest.approx(2.0, rel=1e-9)
    assert (by_path.way.worked_out, by_volume.way.worked_out) == (
        "volume from the path and the cut",
        "path from the volume and the cut",
    )


def test_more_volume_than_the_path_can_take_is_one_line(tmp_path):
    with pytest.raises(SwarfbookError) as caught:
        timed(tmp_path, {"path": "2 m", "volume": "9.5 cm^3"})
    assert [str(problem) for problem in caught.value.problems] == [
        "jobs/plates.toml: steps[1].volume: found 9.50 cm³; this recipe takes off at most 9.00 cm³ on that "
        "path: a longer path, or less volume"
    ]


def test_the_mean_power_is_the_energy_of_the_volume_over_the_time(tmp_path):
    book = job_book(
        tmp_path,
        {
            "plates": {
                "steps": [{"recipe": RECIPE, "feature": "window", "path": "2 m", "volume": "6.75 cm^3"}]
            }
        },
    )
    one = load_job(book, "plates").cuttings[0]
    numbers = one.check.numbers
    energy = numbers.cutting_power / numbers.material_removal_rate * 6.75e-6
    assert one.time.mean_power * one.time.seconds == pytest.approx(energy, rel=1e-9)
    assert one.time.mean_power < 0.76 * numbers.cutting_power


def test_a_bore_goes_down_by_a_helix(tmp_path):
    bore = {
        "operation": "bore",
        "hole_diameter": "14 mm",
        "radial_width": "4 mm",
        "axial_depth": "1 mm",
        "allowance": None,
    }
    features = [{"id": "window", "kind": "bore", "depth": "10 mm", "width": "14 mm", "count": 3}]
    one = timed(tmp_path, {"recipe": "bore"}, features=features, recipes={"bore": bore})
    around = math.pi * 8.0
    assert one.way.path == pytest.approx(3 * (10 * math.hypot(around, 1.0) + around) / 1000, rel=1e-9)
    # The cutter of 6 mm leaves a core of 2 mm in a hole of 14 mm.
    assert one.way.volume == pytest.approx(3 * math.pi / 4 * (14**2 - 2**2) * 10e-9, rel=1e-9)


def test_an_outline_is_finished_round_every_part_at_every_depth(tmp_path):
    finish = {"operation": "finish", "axial_depth": "5 mm", "radial_width": "0.2 mm", "allowance": None}
    one = timed(tmp_path, {"recipe": "fine", "feature": "outline"}, recipes={"fine": finish})
    once = 2 * (280 + 60) + 2 * math.pi * 3
    assert one.way.path == pytest.approx(3 * once / 1000, rel=1e-9)  # 12.5 mm in three passes of 5 mm
    assert one.way.volume == pytest.approx(once * 0.2 * 12.5e-9, rel=1e-9)


def test_an_edge_is_broken_once_round_and_a_face_by_rows(tmp_path):
    features = [{"id": "window", "kind": "face", "depth": "0.5 mm"}]
    one = timed(
        tmp_path, {"recipe": "face", "pattern": "both-ways"}, features=features, recipes={"face": FACE}
    )
    assert one.way.path == pytest.approx(19 * (300 + 6) / 1000, rel=1e-9)  # 76 mm in rows of 4 mm
    assert one.way.volume == pytest.approx(76 * 300 * 0.5e-9, rel=1e-9)


def test_facing_one_way_takes_longer_than_both_ways(tmp_path):
    # Common practice, no source: facing with climb cuts only takes longer than cutting both ways.
    features = [{"id": "window", "kind": "face", "depth": "0.5 mm"}]
    step = {"recipe": "face", "move": "306 mm"}
    climb = timed(tmp_path / "a", step, features=features, recipes={"face": FACE})
    both = timed(tmp_path / "b", step | {"pattern": "both-ways"}, features=features, recipes={"face": FACE})
    assert both.return_time == 0.0
    assert climb.feed_time == pytest.approx(both.feed_time, rel=1e-12)
    # Eighteen returns of 306 mm at 5000 mm/min and 500 mm/s^2, and up and down 5 mm at 1000 mm/min each time.
    rapid = 306 / (5000 / 60) + (5000 / 60) / 500
    lift = 5 / (1000 / 60) + (1000 / 60) / 500
    assert climb.return_time == pytest.approx(18 * (rapid + 2 * lift), rel=1e-9)
    assert climb.air_share > both.air_share


def test_what_backing_off_costs_is_the_difference_to_the_parent(tmp_path):
    parent = {"axial_depth": "6 mm"}
    child = {
        "derived": {
            "from": "flat-out",
            "parent_digest": "sha256:" + "0" * 64,
            "method": "depth",
            "margin": 0.5,
        }
    }
    one = timed(tmp_path, {"recipe": "easy", "volume": "9 cm^3"}, recipes={"flat-out": parent, "easy": child})
    assert one.seconds_before_derating == pytest.approx(one.seconds / 2, rel=1e-9)
    assert timed(tmp_path / "b", {"volume": "9 cm^3"}).seconds_before_derating is None
