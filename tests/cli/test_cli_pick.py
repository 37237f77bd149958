"""pick at the command line."""

from __future__ import annotations

import json

import pytest

from swarfbook import resources

DEMO = ("--book", str(resources.demo_book_dir()))
JOB = ("pick", "--material", "6082-t6", "--operation", "rough")


def test_the_proven_stand_first_and_the_exit_says_that_something_fits(run_cli):
    done = run_cli(*JOB, "--wall", "14 mm", *DEMO)
    assert done.returncode == 0
    assert done.lines[0].startswith("covered")
    assert "long-bed-6mm-6082-rough" in done.stdout


def test_what_cannot_is_listed_with_its_numbers_and_the_exit_says_so(run_cli):
    done = run_cli(*JOB, "--wall", "22 mm", "--inside-corner", "3.5 mm", *DEMO)
    assert done.returncode == 1
    assert "reach 16.0 mm, wall 22.0 mm" in done.stdout
    assert "swarfbook solve --machine ID" in " ".join(done.stdout.split())


def test_another_material_is_adapted_and_marked_a_trial(run_cli):
    told = json.loads(
        run_cli("pick", "--material", "brass-plate", "--operation", "rough", "--json", *DEMO).stdout
    )
    assert told["asked"]["material"] == "brass-plate"
    first = told["candidates"][0]
    assert (first["standing"], bool(first["adapted_from"]), bool(first["to_prove"])) == ("trial", True, True)
    assert first["check"]["verdict"] in ("holds", "tight")


def test_hands_off_says_what_it_means(run_cli):
    done = run_cli(*JOB, "--hands-off", *DEMO)
    assert "someone within reach of the stop" in done.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--wall", "22"), "--wall: found 22"),
        (("--wall", "0 mm"), "--wall: found 0 mm; write a length above 0"),
        (("--finish", "N7"), "--finish"),
        (("--machine", "nope"), "nope"),
        (("--minutes", "long"), "long"),
        (("--margin", "20"), "for 20 % write 20%"),
    ],
)
def test_what_will_not_do_is_one_line(run_cli, words, said):
    done = run_cli(*JOB, *words, *DEMO)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr
