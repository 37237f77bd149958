"""`swarfbook --version`, and what is said without a command."""

from __future__ import annotations

import json
import platform
import subprocess
import sys

import pytest

from swarfbook import __version__, tables
from swarfbook.cli import main
from swarfbook.cli.version_text import EXTRAS


def test_the_first_line_is_the_programs_version_alone(run_cli):
    done = run_cli("--version")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.lines[0] == f"swarfbook {__version__}"
    assert f"Python {platform.python_version()}".rstrip("+") in done.lines
    assert f"reference tables of {max(tables.revised().values())}" in done.lines


def test_the_same_as_json(run_cli):
    told = json.loads(run_cli("--version", "--json").stdout)
    assert told["swarfbook"] == __version__
    assert list(told["extras"]) == list(EXTRAS)
    assert told["reference_tables"] == str(max(tables.revised().values()))


def test_an_extra_that_is_not_installed_is_told(run_cli, monkeypatch):
    monkeypatch.setitem(EXTRAS, "fast", ("no_such_module",))
    assert "fast" in run_cli("--version").lines[-1]
    assert json.loads(run_cli("--version", "--json").stdout)["extras"]["fast"] is False


def test_the_extras_are_those_of_the_package():
    import tomllib
    from pathlib import Path

    project = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text(encoding="utf-8"))[
        "project"
    ]
    internal = {"test", "lint", "mutation", "docs"}
    assert set(EXTRAS) == set(project["optional-dependencies"]) - internal


@pytest.mark.parametrize(("words", "told"), [(["--json"], "--json goes behind a command"), ([], None)])
def test_without_a_command_there_is_bad_input(run_cli, words, told):
    done = run_cli(*words)
    assert done.returncode == 2
    assert told in done.stderr if told else "Commands:" in done.stdout


def test_without_a_command_how_to_begin_stands_last(run_cli):
    last = [line.strip().split("    ")[0] for line in run_cli().lines if line.strip()][-3:]
    assert last == [
        "swarfbook init my-shop",
        "swarfbook open",
        "swarfbook check long-bed-6mm-6082-rough",
    ]


def test_the_version_loads_no_extra_and_no_command():
    script = (
        "import sys\nfrom swarfbook.cli.main import run_words\nsys.argv = ['swarfbook', '--version']\n"
        "run_words()\nprint(*sorted(sys.modules), file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True, timeout=60
    )
    loaded = set(done.stderr.split())
    assert not loaded & {
        "pyarrow",
        "numba",
        "reportlab",
        "matplotlib",
        "pandas",
        "swarfbook.cli.list_command",
    }
    assert main.COMMANDS


def test_the_tables_are_listed_with_the_day_of_their_last_change(run_cli):
    dates = tables.revised()
    listed = json.loads(run_cli("table", "--json").stdout)
    assert {one["table"]: one["revised"] for one in listed} == {name: str(day) for name, day in dates.items()}
    line = next(line for line in run_cli("table").lines if line.startswith("softening"))
    assert str(dates["softening"]) in line
    assert json.loads(run_cli("table", "softening", "--json").stdout)["revised"] == str(dates["softening"])
