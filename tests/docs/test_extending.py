"""Every page of docs/extending that shows a change does what it says, in a copy of the tree."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from support import books
from support.changes import ROOT, apply, changes_of, copy_tree, run_in
from tables.material_like import rows_like

RECIPE = "long-bed-6mm-6082-finish"
DEMO = ("--book", "recipes/saltmarsh")


pytestmark = pytest.mark.skipif(shutil.which("git") is None, reason="git applies the changes")


@pytest.fixture(scope="module")
def changed(tmp_path_factory: pytest.TempPathFactory):
    """Give a function from a page's name to a tree with its change made, whose own test is green."""

    def change(name: str) -> Path:
        page = ROOT / "docs/extending" / f"{name}.md"
        tree = copy_tree(tmp_path_factory.mktemp(name))
        apply(page, tree)
        tests = [one.path for one in changes_of(page) if "/test_" in one.path and one.kind == "python"]
        assert tests, f"{page.name} shows no test of its own"
        green(tree, *tests)
        return tree

    return change


def green(tree: Path, *words: str) -> None:
    """Run tests of the copy; they are to pass."""
    done = run_in(tree, "pytest", "-q", "-n", "0", "-p", "no:cacheprovider", *words)
    assert done.returncode == 0, (
        f"mend docs/extending/{tree.name.rstrip('0')}.md:\n{done.stdout}{done.stderr}"
    )


def swarfbook(tree: Path, *words: str) -> str:
    done = run_in(tree, "swarfbook", *words)
    assert done.returncode in {0, 1}, done.stderr
    return done.stdout


def test_the_limit_is_a_rung_of_page_and_json(changed):
    tree = changed("limit")
    assert "slow cut" in swarfbook(tree, "check", RECIPE, *DEMO)
    limits = json.loads(swarfbook(tree, "check", RECIPE, "--json", *DEMO))["limits"]
    rung = next(one for one in limits if one["name"] == "slow-cut")
    assert (rung["severity"], rung["sense"], rung["unit"]) == ("advice", "minimum", "m/min")
    assert rung["use"] == pytest.approx(rung["limit"] / rung["demand"])


def test_a_recipe_on_the_material_is_judged(changed, tmp_path):
    tree = changed("material")
    book = books.make_book(
        tmp_path / "book",
        **{"material.table": "polypropylene", "material.name": "PP sheet", "material.overrides": None},
    )
    judged = json.loads(swarfbook(tree, "check", books.RECIPE, "--json", "--book", str(book)))
    assert judged["verdict"] in {"holds", "tight", "over"}
    force = next(one for one in judged["limits"] if one["name"] == "axis-thrust")
    assert force["use"] > 0
    assert judged["quantities"]["force_peak"]["assumed"]
    row = swarfbook(tree, "table", "materials", "--row", "polypropylene")
    assert "Polypropylene (PP)" in row
    green(tree, "tests/tables/test_tables_checks.py", "tests/tables/test_tables_rows.py")


def test_the_materials_rows_are_those_the_command_writes():
    shown = {
        one.path: one.body for one in changes_of(ROOT / "docs/extending/material.md") if one.kind == "csv"
    }
    written = rows_like("polypropylene", "hdpe", "Polypropylene (PP)")
    assert shown == {f"reference_tables/{table}.csv": text for table, text in written.items()}


def test_the_command_runs_and_is_in_the_help(changed):
    tree = changed("command")
    assert "  source  " in swarfbook(tree, "--help")
    told = json.loads(swarfbook(tree, "source", "vdi-2230", "--json"))
    assert {row["table"] for row in told["rows"]} >= {"bolts"}
    assert "Example: swarfbook source" in swarfbook(tree, "source", "--help")
    green(tree, "tests/hostile/test_terminal.py", "-k", "source or every_command")


def test_the_screen_opens_by_its_key(changed):
    tree = changed("screen")
    told = next(line for line in swarfbook(tree, "keys").splitlines() if "page.assumed" in line)
    assert " N " in told
    green(tree, "tests/tui/test_commands.py", "-k", "page.assumed or table or unique")


def test_a_page_that_was_overtaken_is_named_with_the_file(tmp_path):
    tree = copy_tree(tmp_path / "tree")
    (tree / "src/swarfbook/cli/main.py").write_text("COMMANDS = {}\n")
    with pytest.raises(
        AssertionError, match=r"mend docs/extending/command\.md: its change of src/.*/main\.py"
    ):
        apply(ROOT / "docs/extending/command.md", tree)
