"""The course over a turn: its peaks are those of the check, the shape of the chip is the tooth's."""

from __future__ import annotations

import numpy as np
import pytest

from support import books
from swarfbook.book import Book
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import check
from swarfbook.decisions.course import course, course_json
from swarfbook.errors import SwarfbookError
from swarfbook.reports.course_page import course_lines

CUTS = [
    {},
    {"recipe.direction": "conventional"},
    {"recipe.radial_width": "6 mm", "tool.flutes": 2},
    {"tool.flutes": 3, "tool.helix": "45 deg", "recipe.axial_depth": "8 mm"},
    {"tool.shape": "ball", "recipe.axial_depth": "2 mm"},
    {"tool.shape": "corner-radius", "tool.corner_radius": "1 mm"},
]


@pytest.fixture
def judged(make_book):
    return lambda changes: check(load_case(Book.open(make_book(**changes)), books.RECIPE))


@pytest.mark.parametrize("changes", CUTS)
def test_the_peaks_are_those_of_the_check(judged, changes):
    one = judged(changes)
    found = course(one.case)
    assert found.force.max() == pytest.approx(one.numbers.force_peak, rel=2e-3)
    assert np.abs(found.along).max() == pytest.approx(one.numbers.force_x_peak, rel=0.01)
    assert np.abs(found.across).max() == pytest.approx(one.numbers.force_y_peak, rel=0.01)
    assert found.chip.max() == pytest.approx(one.numbers.chip_thickness_max, rel=1e-3)
    assert found.chip_runout.max() == pytest.approx(one.numbers.chip_thickness_runout, rel=1e-9)
    assert found.angle[-1] == pytest.approx(2 * np.pi)
    assert (np.diff(found.angle) >= 0).all()


UNEVEN = {"tool.flutes": 3, "machine.spindle.runout": "0.03 mm"}


@pytest.mark.parametrize("more", [{}, {"recipe.direction": "conventional"}, {"recipe.radial_width": "6 mm"}])
def test_the_peak_with_run_out_is_that_of_the_check(judged, more):
    one = judged(UNEVEN | more)
    found = course(one.case)
    assert found.force_runout.max() == pytest.approx(one.numbers.force_peak_runout, rel=0.01)
    assert found.force_runout.max() > found.force.max()
    assert found.force_runout.shape == found.angle.shape
    # What one tooth takes more another takes less.
    assert found.force_runout.min() <= found.force.min() + 1e-9


@pytest.mark.parametrize(
    "changes", [{}, UNEVEN | {"machine.spindle.runout": "0 mm"}, UNEVEN | {"tool.shape": "ball"}]
)
def test_there_is_no_second_course_where_run_out_changes_nothing_or_is_not_known(judged, changes):
    found = course(judged(changes).case)
    assert found.force_runout is None
    assert course_json(found)["force_runout"] is None


def test_a_shaped_cutters_chip_is_seen_at_the_height_where_it_is_thickest(judged):
    ball = course(judged({"tool.shape": "ball", "recipe.axial_depth": "2 mm"}).case)
    assert ball.chip_height == pytest.approx(2e-3)
    assert course_json(ball)["chip_height"] == {"value": pytest.approx(2.0), "unit": "mm"}
    # There the ball's radius is sqrt(3^2 - 1^2) mm, and the free edge stands 1.5 mm off the axis.
    assert np.degrees(ball.chip_angle[-1]) == pytest.approx(np.degrees(np.arccos(1.5 / np.sqrt(8))), rel=1e-3)
    assert course(judged({}).case).chip_height is None


def test_the_course_repeats_with_every_tooth(judged):
    found = course(judged({"tool.flutes": 3, "recipe.radial_width": "6 mm"}).case)
    third = found.angle.size // 3
    assert found.force[:third] == pytest.approx(found.force[third : 2 * third], rel=1e-9)


def test_a_climbing_tooth_begins_thick_and_a_conventional_one_thin(judged):
    climbing = course(judged({}).case)
    conventional = course(judged({"recipe.direction": "conventional"}).case)
    assert climbing.chip[0] == climbing.chip.max()
    assert climbing.chip[-1] == pytest.approx(0.0, abs=1e-12)
    assert conventional.chip == pytest.approx(climbing.chip[::-1], rel=1e-9, abs=1e-15)
    # A quarter of the diameter: acos(1 - 2 x 0.25) = 60 deg.
    assert np.degrees(climbing.chip_angle[-1]) == pytest.approx(60.0)


def test_another_operation_is_refused_in_words(judged):
    one = judged({"recipe.operation": "plunge", "recipe.radial_width": "6 mm"})
    with pytest.raises(SwarfbookError, match="cutter's side"):
        course(one.case)


def test_json_has_degrees_newtons_and_millimetres(judged):
    found = course(judged({}).case)
    shown = course_json(found)
    assert shown["angle"]["values"][-1] == pytest.approx(360.0)
    assert max(shown["force"]["values"]) == found.force.max()
    assert max(shown["chip_thickness"]["values"]) == pytest.approx(1e3 * found.chip.max())


@pytest.mark.parametrize(("width", "height"), [(58, 14), (78, 18), (118, 30)])
@pytest.mark.parametrize("plain", [False, True])
def test_the_drawing_fits_and_names_its_peaks(judged, width, height, plain):
    lines = course_lines(course(judged({}).case), width=width, height=height, system="metric", plain=plain)
    assert all(len(line) <= width for line in lines[:-1])
    text = "\n".join(lines)
    assert "\x1b" not in text
    assert "360 deg" in text
    assert "43.3 µm" in text
    assert "run-out changes nothing" in text
    assert plain == ("⣀" not in text and "┌" not in text)


@pytest.mark.parametrize(("plain", "mark"), [(False, "•"), (True, "+")])
def test_the_second_curve_has_a_mark_of_its_own_and_is_named(judged, plain, mark):
    found = course(judged(UNEVEN).case)
    lines = course_lines(found, width=58, height=24, system="metric", plain=plain)
    assert "with run-out" in lines[0]
    assert f"a stiff cutter; {mark} with run-out" in lines[-1]
    assert sum(line.count(mark) for line in lines[1:11]) > 8
    ball = course(judged(UNEVEN | {"tool.shape": "ball", "recipe.axial_depth": "2 mm"}).case)
    assert "above the tip" in course_lines(ball, width=58, height=24, system="metric")[-1]


def test_imperial_drawings_are_in_pounds_and_thousandths(judged):
    text = "\n".join(course_lines(course(judged({}).case), width=78, height=18, system="imperial"))
    assert " lbf" in text
    assert " thou" in text
