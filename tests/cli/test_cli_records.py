"""Records copied, renamed, deleted and brought back at the command line."""

from __future__ import annotations

import json

import pytest

from cli.test_cli_commands import call  # noqa: F401 - a fixture
from support.books import MACHINE, RECIPE


@pytest.fixture
def run(call, make_book):  # noqa: F811
    """Give a function that runs `swarfbook` on one small book."""
    root = make_book()
    return lambda *words: call(*words, book=root)


def test_a_record_goes_there_and_back(run):
    assert run("copy", RECIPE, "twin").stderr.startswith("recipes/twin.toml begun from")
    done = run("rename", f"machine:{MACHINE}", "router")
    assert done.stderr == f"machine {MACHINE} is router now; followed by {RECIPE}, twin\n"
    assert run("check", "twin").returncode in (0, 1)
    refused = run("delete", "machine:router")
    assert refused.returncode == 2
    assert "twin" in refused.stderr
    assert run("delete", "twin").returncode == 0
    listed = json.loads(run("restore", "--json").stdout)["deleted"]
    assert [(one["kind"], one["id"]) for one in listed] == [("recipe", "twin")]
    assert "recipe:twin" in run("restore").stdout
    assert run("restore", "twin").stderr == "recipe twin is back\n"
    assert run("restore").stderr == "nothing was deleted\n"
    assert run("check", "twin").returncode in (0, 1)


def test_bad_words_are_told_in_one_line(run):
    for words in (("copy", "nope", "x"), ("rename", RECIPE, "../x"), ("delete", "nope"), ("restore", "nope")):
        done = run(*words)
        assert done.returncode == 2
        assert done.stderr.count("\n") == 1


def test_the_course_over_a_turn_is_drawn_and_printed_as_json(run):
    drawn = run("show", RECIPE, "--turn")
    assert "in-plane force over one turn" in drawn.stdout
    assert run("show", RECIPE, "--turn", "--plain").stdout.isascii()
    printed = json.loads(run("show", RECIPE, "--turn", "--json").stdout)
    assert len(printed["force"]["values"]) == len(printed["angle"]["values"]) > 60
