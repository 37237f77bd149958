"""The map as people see it: widths, signs and words; the picture's lines; the table read back."""

from __future__ import annotations

import csv
import sys
from io import StringIO

import numpy as np
import pytest

from support.books import RECIPE
from swarfbook import resources
from swarfbook.book import Book
from swarfbook.decisions.cutmap import KNOBS, chosen_axes, cut_map, uses_at
from swarfbook.decisions.evidence import load_case
from swarfbook.decisions.lobe_map import lobe_map
from swarfbook.decisions.numbers import Knobs
from swarfbook.decisions.ran import ran
from swarfbook.errors import SwarfbookError
from swarfbook.reports.cutmap_file import cut_map_csv, lobe_map_csv
from swarfbook.reports.cutmap_page import SIGNS, cut_map_lines
from swarfbook.reports.cutmap_picture import boundary, cut_map_picture, lobe_map_picture
from swarfbook.reports.lobe_page import lobe_map_lines
from swarfbook.reports.sentence import NO_BREAK
from swarfbook.reports.sheet import Scale, Sheet, edge, resampled, round_levels

DEMO = Book.open(resources.demo_book_dir())
SIGNATURE = b"\x89PNG\r\n\x1a\n"
MILL = "mill-8mm-6082-rough"


@pytest.fixture(scope="module")
def mapped():
    case = load_case(DEMO, RECIPE)
    return cut_map(case, "radial_width", "axial_depth", 60, ran=ran(DEMO, case))


@pytest.fixture(scope="module")
def milled():
    case = load_case(DEMO, MILL)
    return cut_map(case, "radial_width", "axial_depth", 24, ran=ran(DEMO, case))


@pytest.fixture(scope="module")
def stable():
    return lobe_map(load_case(DEMO, MILL), 300)


@pytest.mark.parametrize("width", [20, 60, 79, 120, 200, 300])
@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_it_is_as_wide_as_asked_within_60_and_200(mapped, stable, width, system):
    for lines in (
        cut_map_lines(mapped, width=width, system=system),
        lobe_map_lines(stable, width=width, system=system),
    ):
        longest = max(map(len, lines))
        assert min(max(width, 60), 200) - 12 <= longest <= min(max(width, 60), 200)


def test_plain_is_ascii_with_the_same_lines(mapped, milled, stable):
    for found in (mapped, milled):
        drawn = cut_map_lines(found, width=80, system="metric")
        plain = cut_map_lines(found, width=80, system="metric", plain=True)
        assert "\n".join(plain).isascii()
        assert len(plain) == len(drawn)
    assert "\n".join(lobe_map_lines(stable, width=80, system="metric", plain=True)).isascii()


def cells(lines, plain=False):
    bar = "|" if plain else "│"
    return [line for line in lines if line.count(bar) >= 1]


def test_the_letters_part_what_holds_from_what_is_over(mapped):
    lines = cut_map_lines(mapped, width=100, system="metric")
    assert "A  axis thrust" in lines
    framed = "\n".join(cells(lines))
    assert "A" in framed
    assert not set("BCDEbcd") & set(framed)
    # From the recipe straight up, the first letter stands at about the depth that the words name.
    above = next(line for line in lines if line.strip().startswith("deeper: axis thrust at"))
    named = float(above.split("at")[1].split("mm")[0])
    rows = [line for line in lines if line[7:8] in "│┼" and len(line) > 20]
    place = next(line.index("●") for line in rows if "●" in line)
    row = max(index for index, line in enumerate(rows) if line[place] == "A")
    depths = np.linspace(mapped.y.values[-1], mapped.y.values[0], len(rows)) * 1000
    assert depths[row] == pytest.approx(named, abs=depths[0] / len(rows))


@pytest.mark.parametrize("plain", [False, True])
def test_recipe_and_runs_are_drawn_each_with_its_sign(mapped, plain):
    lines = cut_map_lines(mapped, width=100, system="metric", plain=plain)
    framed = "\n".join(cells(lines, plain))
    # The clean runs of this width lie under the recipe and under the one that went wrong.
    for went in ("recipe", "disputed", "bad"):
        assert SIGNS[went][plain] in framed
    told = next(line for line in lines if "the recipe" in line and "ran clean" in line)
    clean = sum(run.went == "clean" for run in mapped.ran)
    assert f"ran clean ({clean})" in told


def test_limits_on_one_line_share_its_letter(milled):
    lines = cut_map_lines(milled, width=80, system="metric")
    assert "A  spindle power, spindle torque" in lines
    assert "b  chatter (advice)" in lines


def test_it_says_which_limits_are_not_reached_and_which_lie_behind(mapped):
    text = " ".join(cut_map_lines(mapped, width=200, system="metric"))
    assert "passed only beyond these lines: spindle power, spindle torque, torque peaks" in text
    assert "not reached on this map: highest speed, lowest speed, cutter speed" in text
    assert "Every hard limit holds on 36 % of this map" in text
    assert "shallower: no hard limit down to 0.267 mm, where the map ends" in text


def test_units_follow_the_system(mapped):
    text = "\n".join(cut_map_lines(mapped, width=120, system="imperial"))
    assert text.startswith("axial depth [in] over radial width [in]; feed per tooth 0.00197 in")
    assert "removal rate [in³/min]" in text
    assert " mm" not in text


def test_a_recipe_that_is_over_and_a_dial_are_said():
    case = load_case(DEMO, "bench-6mm-6082-slot-too-deep")
    found = cut_map(case, "spindle_speed", "axial_depth", 12)
    text = " ".join(cut_map_lines(found, width=200, system="metric"))
    assert "The recipe itself is over spindle power" in text
    assert "no other hard limit" in text
    dial = cut_map(load_case(DEMO, "bench-8mm-hdpe-slot"), "spindle_speed", "axial_depth", 12)
    told = " ".join(cut_map_lines(dial, width=200, system="metric")).replace(NO_BREAK, " ")
    assert "The spindle has these speeds only: 10 000 rpm, 14 000 rpm" in told


def test_a_map_on_which_nothing_holds_says_which_limit_is_over(make_book):
    case = load_case(Book.open(make_book(**{"recipe.spindle_speed": "25000 rpm"})), RECIPE)
    found = cut_map(case, "radial_width", "axial_depth", 20)
    text = " ".join(cut_map_lines(found, width=200, system="metric"))
    assert "Nothing on this map holds: highest speed is over everywhere." in text
    assert "A  axis thrust" in text


def test_the_table_reads_back(mapped):
    rows = list(csv.DictReader(StringIO(cut_map_csv(mapped, system="metric"))))
    assert len(rows) == 60 * 60
    assert list(rows[0])[:3] == ["radial_width_mm", "axial_depth_mm", "removal_rate_cm3_per_min"]
    one = rows[60 * 7 + 11]
    assert float(one["radial_width_mm"]) == pytest.approx(mapped.x.values[11] * 1000, rel=1e-12)
    assert float(one["axial_depth_mm"]) == pytest.approx(mapped.y.values[7] * 1000, rel=1e-12)
    assert float(one["use_axis_thrust"]) == mapped.uses["axis-thrust"][7, 11]
    assert float(one["removal_rate_cm3_per_min"]) == pytest.approx(mapped.removal_rate[7, 11] * 6e7)
    assert [row["holds"] == "yes" for row in rows] == mapped.holds.ravel().tolist()
    # Only a slot has to carry its chips up the flutes.
    assert one["use_chip_clearing"] == ""
    assert rows[59]["use_chip_clearing"] != ""
    imperial = next(csv.reader(StringIO(cut_map_csv(mapped, system="imperial"))))
    assert imperial[:3] == ["radial_width_in", "axial_depth_in", "removal_rate_in3_per_min"]


def test_the_table_of_stable_depth_leaves_empty_what_no_lobe_reaches(stable):
    rows = list(csv.DictReader(StringIO(lobe_map_csv(stable, system="metric"))))
    assert [row["stable_depth_mm"] == "" for row in rows] == (~np.isfinite(stable.depths)).tolist()
    assert float(rows[0]["spindle_speed_rpm"]) == pytest.approx(150)


def test_the_pictures_are_pngs(mapped, milled, stable, tmp_path):
    for number, found in enumerate((mapped, milled)):
        path = tmp_path / f"{number}.png"
        cut_map_picture(found, path, system="metric")
        assert path.read_bytes().startswith(SIGNATURE)
    lobe_map_picture(stable, tmp_path / "lobes.png", system="imperial")
    assert (tmp_path / "lobes.png").read_bytes().startswith(SIGNATURE)


def test_a_picture_without_matplotlib_is_one_line(mapped, tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "matplotlib.figure", None)
    with pytest.raises(SwarfbookError, match="a picture needs matplotlib"):
        cut_map_picture(mapped, tmp_path / "map.png", system="metric")
    assert not list(tmp_path.iterdir())


def test_a_picture_that_cannot_be_written_is_one_line(mapped, tmp_path):
    with pytest.raises(SwarfbookError, match="no such file"):
        cut_map_picture(mapped, tmp_path / "none" / "map.png", system="metric")


@pytest.mark.parametrize("recipe", [RECIPE, "long-bed-6mm-6082-slot"])
def test_on_the_traced_lines_the_use_is_one_and_over_lies_on_the_left(recipe):
    case = load_case(DEMO, recipe)
    found = cut_map(case, *chosen_axes(case), 60)
    x, y = found.x.values, found.y.values
    use = found.uses["axis-thrust"]
    lines = boundary(x, y, use)
    assert lines
    points = np.concatenate(lines)
    assert uses(found, points) == pytest.approx(1, rel=0.02)
    for line in lines:
        middle, ahead = line[len(line) // 2], line[len(line) // 2 + 1] - line[len(line) // 2]
        left = np.array([-ahead[1] / (y[-1] ** 2), ahead[0] / (x[-1] ** 2)]) * (x[-1] * y[-1])
        left *= 0.01 * x[-1] / max(abs(left[0]), abs(left[1] * x[-1] / y[-1]))
        assert uses(found, np.array([middle + left])) > 1


def uses(found, points):
    nominal = {knob: np.full(len(points), found.case[knob]) for knob in KNOBS}
    turned = {found.x.knob: points[:, 0], found.y.knob: points[:, 1]}
    return uses_at(found.case, Knobs(**nominal | turned))[0]["axis-thrust"]


def test_resampling_keeps_a_plane_a_plane():
    x, y = np.meshgrid(np.linspace(0, 1, 7), np.linspace(0, 2, 5))
    wide, high = np.meshgrid(np.linspace(0, 1, 33), np.linspace(0, 2, 12))
    np.testing.assert_allclose(resampled(3 * x - y, 33, 12), 3 * wide - high, atol=1e-12)


def test_an_edge_is_the_cells_over_that_touch_a_kept_one():
    kept = np.zeros((5, 5), dtype=bool)
    kept[2, 2] = True
    around = np.zeros((5, 5), dtype=bool)
    around[(1, 3, 2, 2), (2, 2, 1, 3)] = True
    assert (edge(~kept, kept) == around).all()


def test_levels_are_round_and_reach_just_above_what_is_wanted():
    assert round_levels(0.01, 77, 15.4, 5) == pytest.approx([1, 2, 5, 10, 20])
    assert round_levels(0.01, 18, 15.4, 3) == pytest.approx([2, 5, 10])


def test_numbers_along_the_sides_are_round_and_in_their_places():
    assert Scale(0.1, 6.0).ticks(4) == pytest.approx([2, 4, 6])
    assert Scale(0.0, 68.0).ticks(4) == pytest.approx([0, 20, 40, 60])
    sheet = Sheet(61, 11, Scale(0, 6), Scale(0, 10))
    sheet.put(3, 5, "o")
    lines = sheet.lines(plain=True)
    assert lines[5] == f"{'5':>6} +{' ' * 30}o{' ' * 30}|"
    assert lines[-1].index("4") == lines[5].index("+") + 1 + 40
