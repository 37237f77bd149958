"""What the everyday commands may import: counted by module, never by the clock."""

from __future__ import annotations

import shutil
import subprocess
import sys

import pytest

from support.books import RECIPE
from swarfbook.resources import demo_book_dir

HEAVY = (
    *("textual", "pandas", "scipy", "pint", "pydantic", "pydantic_core", "tomlkit", "rich"),
    *("numpy.ma", "numba"),
)


def modules_after(words: list[str]) -> set[str]:
    script = (
        "import sys\n"
        "from swarfbook.cli.main import run_words\n"
        f"sys.argv = ['swarfbook', *{words!r}]\n"
        "run_words()\n"
        "print(*sorted(sys.modules), file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, timeout=60, check=True
    )
    return set(done.stderr.split())


@pytest.mark.parametrize(
    "words",
    [
        ["check", RECIPE],
        ["check", RECIPE, "--json"],
        ["list"],
        ["show", RECIPE],
        ["derate", RECIPE, "--margin", "25%"],
    ],
)
def test_everyday_commands_load_nothing_heavy(make_book, words):
    loaded = modules_after([*words, "--book", str(make_book())])
    assert "numpy" in loaded
    assert not loaded & set(HEAVY)


def test_everyday_commands_load_nothing_heavy_for_any_recipe_of_the_demo(tmp_path):
    book = tmp_path / "book"
    shutil.copytree(demo_book_dir(), book)
    loaded = modules_after(["list", "--book", str(book)])
    assert {"swarfbook.physics.chatter", "swarfbook.physics.operations"} <= loaded
    assert not loaded & set(HEAVY)


def test_a_check_loads_nothing_of_what_only_other_commands_ask_for(make_book):
    loaded = modules_after(["check", RECIPE, "--book", str(make_book())])
    names = ("derate", "search", "promise", "leaves", "compare", "running", "meter", "aftermath", "solve")
    assert not loaded & {f"swarfbook.decisions.{name}" for name in names}


@pytest.mark.parametrize("words", [["check", RECIPE], ["show", RECIPE]])
def test_a_plain_side_cut_of_a_square_cutter_loads_no_other_physics(make_book, words):
    loaded = modules_after([*words, "--book", str(make_book())])
    others = ("operations", "discs", "stack", "facing", "entry", "corners", "chatter", "modes")
    assert "swarfbook.physics.turn" in loaded
    assert not loaded & {f"swarfbook.physics.{name}" for name in others}


def test_what_a_side_cut_does_without_is_loaded_where_it_is_asked_for(make_book):
    bored = make_book(**{"recipe.operation": "bore", "recipe.hole_diameter": "12 mm"})
    assert "swarfbook.physics.operations" in modules_after(["check", RECIPE, "--book", str(bored)])


def test_a_list_loads_nothing_of_what_only_a_page_shows(make_book):
    loaded = modules_after(["list", "--book", str(make_book())])
    names = ("reports.ladder", "reports.sentence", "decisions.relief", "decisions.leaves")
    assert not loaded & {f"swarfbook.{name}" for name in names}


@pytest.mark.parametrize("words", [["--help"], ["--version"]])
def test_help_loads_neither_numbers_nor_models(words):
    assert not modules_after(words) & {*HEAVY, "numpy"}
