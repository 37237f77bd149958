"""`swarfbook job` as a person calls it, on the demo and on jobs that will not do."""

from __future__ import annotations

import json
import shutil

import pytest

from support.jobs import job_book
from swarfbook import resources

DEMO = resources.demo_book_dir()


@pytest.fixture
def demo(tmp_path):
    """Give a copy of the demo book."""
    shutil.copytree(DEMO, tmp_path / "saltmarsh")
    return tmp_path / "saltmarsh"


def test_the_demo_job_is_tight_on_its_hold_when_warm(run_cli):
    done = run_cli("job", "mast-clamps", "--book", DEMO)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.lines[-1].startswith("tight: ")
    assert done.lines[-1].endswith("first to give is step 3, hold 0.88")
    told = json.loads(run_cli("job", "mast-clamps", "--book", DEMO, "--json").stdout)
    step = told["steps"][2]
    assert 0.8 < step["hold"]["use"] < 1
    assert {cure["kind"] for cure in told["cures"]} >= {"stops", "pace"}
    # It is the warmth that does it: at the temperature the first cure brings it to, it is well inside.
    assert told["cures"][0]["stock_temperature"] < step["stock_temperature"] - 1


def test_its_cured_version_holds(run_cli):
    done = run_cli("job", "mast-clamps-cool", "--book", DEMO)
    assert done.returncode == 0
    assert done.lines[-1].startswith("holds: ")
    told = json.loads(run_cli("job", "mast-clamps-cool", "--book", DEMO, "--json").stdout)
    assert max(step["hold"]["use"] for step in told["steps"]) < 0.8
    assert told["cures"] == []


@pytest.mark.parametrize("columns", [60, 80, 120])
def test_the_page_says_what_a_person_asks(run_cli, monkeypatch, columns):
    monkeypatch.setenv("COLUMNS", str(columns))
    text = run_cli("job", "mast-clamps", "--book", DEMO).stdout
    for heading in ("The hold", "Can it be made", "Stock", "Stock temperature", "Time and money"):
        assert f"\n{heading}" in text
    assert "no hand on the controls, and someone within reach" in " ".join(text.split())
    assert [line for line in text.splitlines() if len(line) > columns] == []


def test_plain_is_ascii_and_imperial_is_inches(run_cli):
    plain = run_cli("job", "mast-clamps", "--book", DEMO, "--plain").stdout
    assert plain.isascii()
    inches = run_cli("job", "mast-clamps", "--book", DEMO, "--units", "imperial").stdout
    assert " in x " in inches
    assert "°F" in inches
    assert "°C" not in inches
    assert " mm" not in inches.replace("swarfbook", "")


def test_the_reply_is_a_letter(run_cli):
    done = run_cli("job", "mast-clamps", "--book", DEMO, "--reply")
    assert done.lines[0] == "Mast clamp halves: 8 parts of 130 mm by 64 mm by 12.5 mm."
    assert "This is an estimate" in done.stdout


@pytest.mark.parametrize(
    ("ending", "start"), [("pdf", b"%PDF"), ("html", b"<!doctype html>"), ("txt", b"Mast clamp")]
)
def test_the_sheet_is_written(run_cli, tmp_path, ending, start):
    path = tmp_path / f"sheet.{ending}"
    assert run_cli("job", "mast-clamps", "--book", DEMO, "--sheet", path).returncode == 0
    assert path.read_bytes().lower().startswith(start.lower())


def test_the_curve_is_drawn(run_cli, tmp_path):
    path = tmp_path / "heat.png"
    assert run_cli("job", "mast-clamps", "--book", DEMO, "--png", path).returncode == 0
    assert path.read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (
            ("mast-clamp",),
            "swarfbook: job: found 'mast-clamp'; no job of that id in this book; did you mean mast-clamps",
        ),
        (
            ("mast-clamps", "--sheet", "sheet.doc"),
            "swarfbook: --sheet: found .doc; end the name in .pdf, .html, .txt",
        ),
        (
            ("mast-clamps", "--sheet", "no/such/sheet.txt"),
            "swarfbook: --sheet: found no/such/sheet.txt; this cannot",
        ),
    ],
)
def test_bad_input_is_one_line(run_cli, tmp_path, words, line):
    done = run_cli("job", *words, "--book", DEMO, cwd=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith(line)
    assert len(done.stderr.splitlines()) == 1


def test_a_part_as_tall_as_its_bar_cannot_be_cut_and_leaves_with_1(run_cli, tmp_path):
    # Common practice, no source: both faces have to be cleaned.
    stock = {
        "form": "flat-bar",
        "thickness": "25.4 mm",
        "width": "76 mm",
        "length": "300 mm",
        "skim": "0.2 mm",
    }
    part = {"thickness": "25.4 mm", "width": "60 mm", "length": "280 mm"}
    job_book(
        tmp_path,
        {
            "tall": {"stock": stock, "part": part},
            "less": {"stock": stock, "part": part | {"thickness": "25 mm"}},
        },
    )
    tall = run_cli("job", "tall", "--book", tmp_path)
    assert tall.returncode == 1
    assert tall.lines[-1] == "cannot be made as it stands"
    assert "thickness 25.4 mm: 0.4 mm missing" in tall.stdout
    assert "thickness 25.4 mm: 0 mm left" in run_cli("job", "less", "--book", tmp_path).stdout


def test_backing_off_for_a_job_promises_its_hold(run_cli):
    words = ("derate", "long-bed-6mm-6082-rough", "--margin", "20%", "--job", "mast-clamps", "--book", DEMO)
    done = run_cli(*words)
    assert done.returncode == 0
    assert "deflection and what the hold bears each" in done.stdout
    assert "In mast-clamps the hold is used 0.88 now and 0.6" in done.stdout
    told = json.loads(run_cli(*words, "--json").stdout)
    ratios = {one["name"]: one["ratio"] for one in told["demands"]}
    assert all(ratios[name] <= 0.8 for name in ("hold_side_force", "hold_lift", "hold_moment"))


def test_a_job_that_does_not_use_the_recipe_is_told(run_cli):
    done = run_cli(
        "derate", "long-bed-6mm-6082-max", "--margin", "20%", "--job", "mast-clamps", "--book", DEMO
    )
    assert done.returncode == 2
    assert done.stderr.startswith(
        "swarfbook: derate --job: found recipe long-bed-6mm-6082-max; no step of mast-clamps uses it; its "
    )
    assert "long-bed-6mm-6082-rough" in done.stderr
