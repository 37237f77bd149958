"""solve and sensitivity at the command line."""

from __future__ import annotations

import json

import pytest

from swarfbook import resources

DEMO = ("--book", str(resources.demo_book_dir()))
CUT = ("--machine", "long-bed-router", "--tool", "em-6mm-1f", "--material", "6082-t6")


def test_solve_prints_a_recipe_what_limits_it_and_that_it_is_a_trial(run_cli):
    done = run_cli("solve", *CUT, "--operation", "rough", *DEMO)
    assert done.returncode == 0
    assert "A first recipe, 25 % of every limit on a load left free" in done.stdout
    assert "What it may use is used up by" in done.stdout
    assert "A trial from tables and physics" in done.stdout
    assert max(map(len, done.lines)) <= 80


def test_solve_prints_json_and_the_recipe_in_it_checks(run_cli):
    told = json.loads(
        run_cli("solve", *CUT, "--operation", "slot", "--margin", "40%", "--json", *DEMO).stdout
    )
    assert {"recipe", "tightest", "removal_rate", "check", "evaluations"} <= told.keys()
    assert told["recipe"]["standing"] == "trial"
    assert told["recipe"]["radial_width"] == "6 mm"
    assert told["check"]["verdict"] in ("holds", "tight")


def test_what_is_solved_can_be_saved_and_a_name_that_is_taken_is_refused_first(run_cli, make_book):
    root = make_book()
    cut = (
        "--machine",
        "long-bed-router",
        "--tool",
        "em-6mm-1f",
        "--material",
        "6082-t6",
        "--operation",
        "rough",
    )
    done = run_cli("solve", *cut, "--save", "first-rough", "--book", str(root))
    assert (done.returncode, done.stderr) == (0, "saved recipes/first-rough.toml\n")
    assert run_cli("check", "first-rough", "--book", str(root)).returncode == 0
    assert run_cli("solve", *cut, "--save", "first-rough", "--book", str(root)).returncode == 2


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--operation", "finish", "--depth", "22mm"), "its flutes reach 16.0 mm, the wall is 22.0 mm"),
        (("--operation", "bore"), "--hole"),
        (("--operation", "rough", "--depth", "22"), "--depth: found 22"),
        (("--operation", "finish", "--finish", "smooth"), "--finish: found smooth"),
        (("--operation", "rough", "--margin", "99%"), "--margin: found 99%"),
        (("--operation", "ramp", "--ramp-angle", "3"), "--ramp-angle: found 3"),
        (("--operation", "ramp", "--ramp-angle", "70 deg"), "less than 60 deg"),
    ],
)
def test_what_will_not_do_is_one_line(run_cli, words, said):
    done = run_cli("solve", *CUT, *words, *DEMO)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr


@pytest.mark.parametrize("finish", ["Ra 1.6 um", "1.6 um", "ra1.6um"])
def test_a_roughness_is_read_as_on_a_drawing(run_cli, finish):
    words = ("--operation", "finish", "--depth", "10mm", "--tolerance", "0.1mm", "--finish", finish)
    assert run_cli("solve", *CUT, *words, *DEMO).returncode == 0


def test_sensitivity_prints_a_table_and_json(run_cli):
    done = run_cli("sensitivity", "bench-6mm-6082-rough", *DEMO)
    assert "axis thrust: least known are thrust of an axis" in " ".join(done.stdout.split())
    told = json.loads(run_cli("sensitivity", "bench-6mm-6082-rough", "--json", *DEMO).stdout)
    assert told["worth_measuring"]["axis-thrust"][0]["name"] == "thrust"


def test_sensitivity_names_inputs_as_the_page_after_a_run_does(run_cli):
    printed = " ".join(run_cli("sensitivity", "mill-8mm-6082-max", *DEMO).stdout.split())
    assert "chatter: least known is cutting force" in printed
    assert "axis thrust: least known are dynamic factor" in printed
    assert "dynamic high factor" not in printed


def test_a_ramp_falls_as_steeply_as_is_said(run_cli):
    words = ("--operation", "ramp", "--ramp-angle", "5 deg", "--json")
    assert json.loads(run_cli("solve", *CUT, *words, *DEMO).stdout)["recipe"]["ramp_angle"] == "5 deg"
