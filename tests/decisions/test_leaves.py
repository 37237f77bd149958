"""What a cut leaves: marks, the wall's error, short moves, second opinions, against plain arithmetic."""

from __future__ import annotations

import math

import pytest

from support.books import RECIPE
from swarfbook.book import Book
from swarfbook.decisions.as_json import check_json
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import check
from swarfbook.decisions.leaves import leavings
from swarfbook.decisions.why import why

LINEAR = {"material.cutting_law": "linear-edge", "material.overrides": None}


@pytest.fixture
def left(make_book):
    def of(**changes):
        found = leavings(check(load_case(Book.open(make_book(**changes)), RECIPE)))
        return {name: figure.in_unit(figure.value) for name, figure in found.items()}

    return of


def test_wall_marks_are_one_a_turn_with_runout_and_one_a_tooth_without(left):
    exact = left(**{"tool.flutes": 2, "machine.spindle.runout": "0 mm"})["wall_mark_height"]
    out = left(**{"tool.flutes": 2})["wall_mark_height"]
    radius = 3 - 2 * 0.05 / math.pi
    assert exact == pytest.approx(1000 * 0.05**2 / (8 * radius))
    assert out == pytest.approx(4 * exact)


def test_a_ball_leaves_scallops_and_a_rounded_corner_floor_marks(left):
    ball = left(**{"tool.shape": "ball", "recipe.radial_width": "1 mm"})
    assert ball["scallop_height"] == pytest.approx(1000 * (3 - math.sqrt(9 - 0.25)))
    rounded = left(**{"tool.shape": "corner-radius", "tool.corner_radius": "0.5 mm"})
    assert rounded["floor_mark_height"] == pytest.approx(1000 * (0.5 - math.sqrt(0.25 - 0.025**2)))
    assert "scallop_height" not in left()


@pytest.mark.parametrize(
    ("shape", "across", "angle"),
    [
        ({"tool.shape": "ball"}, 2 * math.sqrt(1 * 5), math.degrees(math.acos(2 / 3))),
        ({"tool.shape": "corner-radius", "tool.corner_radius": "2 mm"}, 2 + 2 * math.sqrt(4 - 1), 60.0),
        ({"tool.shape": "tapered", "tool.taper": "2 deg"}, 6 + 2 * math.tan(math.radians(2)), 88.0),
    ],
)
def test_a_shaped_cutter_cuts_as_wide_as_it_is_at_that_depth(left, shape, across, angle):
    changes = {**shape, "recipe.axial_depth": "1 mm"}
    found = left(**changes)
    assert found["effective_diameter"] == pytest.approx(across)
    assert found["edge_angle"] == pytest.approx(angle)


def test_the_cutting_speed_goes_by_that_width(make_book):
    one = check(
        load_case(Book.open(make_book(**{"tool.shape": "ball", "recipe.axial_depth": "1 mm"})), RECIPE)
    )
    speed, width = one.figures["cutting_speed"].value, leavings(one)["effective_diameter"].value
    assert speed == pytest.approx(math.pi * width * 300)
    told = why(one, "effective_diameter")
    assert {rest.name for rest in told.rests_on} == {"axial_depth", "diameter"}
    assert "effective_diameter" not in leavings(check(load_case(Book.open(make_book()), RECIPE)))


def test_climbing_leaves_stock_and_conventional_takes_too_much(left):
    # Four flutes at nine tenths of a slot: while one edge makes the wall, another pushes across the feed.
    wide = {"recipe.radial_width": "5.4 mm", "tool.flutes": 4, **LINEAR}
    climb, conventional = left(**wide), left(**wide, **{"recipe.direction": "conventional"})
    assert climb["wall_error_most"] > 0
    assert conventional["wall_error_least"] < 0
    assert climb["wall_error_most"] >= climb["wall_error_least"]


def test_faces_have_no_wall(left):
    names = left(**{"recipe.operation": "face-rough"})
    assert not {"wall_mark_height", "wall_error_most"} & set(names)


def test_short_moves_lose_feed_and_chip(left):
    slow = left(**{"machine.axes.acceleration": "100 mm/s^2", "recipe.feed_per_tooth": "0.06 mm"})
    feed = 0.06 * 18000 / 60
    assert slow["full_feed_distance"] == pytest.approx(feed**2 / 100)
    assert slow["feed_rate_short_move"] == pytest.approx(60 * math.sqrt(100 * 1))
    share = math.sqrt(100) / feed
    assert slow["chip_thickness_short_move"] == pytest.approx(share * 0.06 * math.sin(math.pi / 3))


def test_an_unknown_acceleration_is_assumed(make_book):
    found = leavings(check(load_case(Book.open(make_book(**{"machine.axes.acceleration": None})), RECIPE)))
    assert found["full_feed_distance"].assumed_inputs == ("acceleration",)


def test_second_opinions_of_aluminium_agree_within_their_band(left, make_book):
    mine = check(load_case(Book.open(make_book(**LINEAR)), RECIPE)).figures["cutting_power"].value
    opinions = left(**LINEAR)
    assert 0.5 * mine < opinions["cutting_power_handbook"] < 2 * mine
    assert 0.5 * mine < opinions["cutting_power_other_law"] < 2 * mine


def test_the_other_law_is_the_other_way_round(left, make_book):
    kienzle = {"material.overrides": None}
    linear = check(load_case(Book.open(make_book(**LINEAR)), RECIPE)).figures["cutting_power"].value
    assert left(**kienzle)["cutting_power_other_law"] == pytest.approx(linear)


def test_a_material_without_a_class_has_no_handbook_opinion(left):
    hdpe = {"material.table": "hdpe", "material.overrides": None}
    assert not {"cutting_power_handbook", "cutting_power_other_law"} & set(left(**hdpe))


def test_they_stand_in_the_json_with_their_origin(make_book):
    said = check_json(check(load_case(Book.open(make_book()), RECIPE)))["quantities"]
    assert said["wall_mark_height"]["unit"] == "um"
    assert "lower bound" in said["wall_mark_height"]["from"]
