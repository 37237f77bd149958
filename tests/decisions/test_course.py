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
    assert found.force.max() == pytest.approx(one.numbers.force_peak, rel=0.01)
    assert np.abs(found.along).max() == pytest.approx(one.numbers.force_x_peak, rel=0.01)
    assert np.abs(found.across).max() == pytest.approx(one.numbers.force_y_peak, rel=0.01)
    assert found.chip.max() == pytest.approx(one.numbers.chip_thickness_max, rel=1e-3)
    assert np.allclose(found.force, np.hypot(found.along, found.across))


def test_the_course_repeats_with_every_tooth(judged):
    found = course(judged({"tool.flutes": 3, "recipe.radial_width": "6 mm"}).case)
    third = (found.angle.size - 1) // 3
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
    assert plain == ("⣀" not in text and "┌" not in text)


def test_imperial_drawings_are_in_pounds_and_thousandths(judged):
    text = "\n".join(course_lines(course(judged({}).case), width=78, height=18, system="imperial"))
    assert " lbf" in text
    assert " thou" in text
