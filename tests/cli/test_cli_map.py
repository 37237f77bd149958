"""`swarfbook map` at the command line."""

from __future__ import annotations

import csv
import json

import pytest

from support.books import RECIPE
from swarfbook import resources
from swarfbook.decisions import cutmap

DEMO = str(resources.demo_book_dir())
MILL = "mill-8mm-6082-rough"


@pytest.fixture
def say(run_cli):
    def run(*words):
        return run_cli("map", *words, "--book", DEMO)

    return run


def test_it_draws_and_says_what_bounds(say):
    done = say(RECIPE)
    assert done.returncode == 0
    assert done.stderr == ""
    assert done.stdout.startswith("axial depth [mm] over radial width [mm]")
    assert "deeper: axis thrust at 3.34 mm" in done.stdout
    assert max(map(len, done.lines)) <= 80


def test_plain_is_ascii(say):
    assert say(RECIPE, "--plain", "--points", "12").stdout.isascii()
    assert say(MILL, "--plain", "--lobes").stdout.isascii()


def test_json_has_every_point_and_what_the_lines_are(say):
    found = json.loads(say(RECIPE, "--points", "12", "--json").stdout)
    assert (found["x"]["knob"], found["x"]["unit"], found["x"]["recipe"]) == ("radial_width", "mm", 2.4)
    assert len(found["removal_rate"]) == len(found["x"]["values"]) == 12
    thrust = found["limits"]["axis-thrust"]
    assert (thrust["severity"], thrust["standing"]) == ("hard", "bounds")
    assert thrust["boundary"]
    assert found["limits"]["spindle-power"]["standing"] == "behind"
    assert found["limits"]["chip-thin"]["standing"] == "not reached"
    assert found["limits"]["chip-clearing"]["use"][0][0] is None
    assert {run["went"] for run in found["runs"]} == {"clean", "disputed", "bad"}
    assert any(one["limit"] == "axis-thrust" and one["more"] for one in found["reaches"])


def test_any_two_knobs(say):
    done = say(
        RECIPE, "--x", "spindle_speed", "--y", "feed_per_tooth", "--points", "12", "--units", "imperial"
    )
    assert done.stdout.startswith("feed per tooth [in] over spindle speed [rpm]; axial depth")


def test_files_are_written_beside_what_is_printed(say, tmp_path):
    done = say(RECIPE, "--points", "12", "--csv", tmp_path / "map.csv", "--png", tmp_path / "map.png")
    assert done.returncode == 0, done.stderr
    rows = list(csv.DictReader((tmp_path / "map.csv").read_text().splitlines()))
    assert len(rows) == 144
    assert (tmp_path / "map.png").read_bytes().startswith(b"\x89PNG")


def test_lobes_as_text_json_table_and_picture(say, tmp_path):
    done = say(MILL, "--lobes", "--csv", tmp_path / "l.csv", "--png", tmp_path / "l.png")
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("stable axial depth [mm] over spindle speed [rpm]")
    assert "stable at every speed, to 22.5 mm" in " ".join(done.stdout.split())
    assert (tmp_path / "l.png").read_bytes().startswith(b"\x89PNG")
    found = json.loads(say(MILL, "--lobes", "--points", "20", "--json").stdout)
    assert len(found["spindle_speed"]) == len(found["stable_depth"]) == 200
    assert found["at"] == {"spindle_speed": 5500, "axial_depth": 14}


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((RECIPE, "--x", "depth"), "--x: found depth; did you mean axial_depth"),
        ((RECIPE, "--x", "axial_depth", "--y", "axial_depth"), "--y: found axial_depth; --x is that knob"),
        ((RECIPE, "--points", "401"), "--points: found 401; write a number from 10 to 400"),
        ((MILL, "--lobes", "--points", "5000"), "--points: found 5000; write a number from 10 to 400"),
        ((RECIPE, "--lobes"), "machines/long-bed-router.toml: tool_tip: no modes are measured"),
        ((MILL, "--lobes", "--x", "axial_depth"), "--lobes: it is always over speed"),
        ((RECIPE, "--points", "12", "--csv", "no/such/map.csv"), "--csv: found no/such/map.csv; this cannot"),
        ((RECIPE, "--points", "12", "--png", "no/such/map.png"), "--png: found no/such/map.png;"),
        (("nothing",), "recipe: found 'nothing'"),
    ],
)
def test_a_mistake_is_one_line(say, words, told):
    done = say(*words)
    assert done.returncode != 0
    assert done.stdout == ""
    assert len(done.stderr.splitlines()) == 1
    assert done.stderr.startswith(f"swarfbook: {told}")


def test_ending_it_leaves_nothing(say, tmp_path, monkeypatch):
    def end(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(cutmap, "uses_at", end)
    done = say(RECIPE, "--csv", tmp_path / "map.csv", "--png", tmp_path / "map.png")
    assert done.returncode == 130
    assert not list(tmp_path.iterdir())
