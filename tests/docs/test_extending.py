"""Every page of docs/extending that shows a change does what it says, in a copy of the tree."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from support import books
from support.changes import ROOT, apply, changes_of, copy_tree, run_in
from tables.material_like import rows_like

RECIPE = "long-bed-6mm-6082-rough"
DEMO = ("--book", "recipes/saltmarsh")


@pytest.fixture(scope="module")
def changed(tmp_path_factory: pytest.TempPathFactory):
    """Give a function from a page's name to a tree with its change made, whose own test is green."""

    def change(name: str) -> Path:
        page = ROOT / "docs/extending" / f"{name}.md"
        tree = copy_tree(tmp_path_factory.mktemp(name))
        apply(page, tree)
        tests = [one.path for one in changes_of(page) if "/test_" in one.path and one.kind == "python"]
        assert tests, f"{page.name} shows no test of its own"
        done = run_in(tree, "pytest", "-q", "-n", "0", "-p", "no:cacheprovider", *tests)
        assert done.returncode == 0, f"mend docs/extending/{page.name}: {done.stdout}{done.stderr}"
        return tree

    return change


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
    done = run_in(tree, "pytest", "-q", "-n", "0", "-p", "no:cacheprovider", "tests/tables")
    assert done.returncode == 0, done.stdout


def test_the_materials_rows_are_those_the_command_writes():
    shown = {one.path: one.body for one in changes_of(ROOT / "docs/extending/material.md") if one.kind == "csv"}
    written = rows_like("polypropylene", "hdpe", "Polypropylene (PP)")
    assert shown == {f"reference_tables/{table}.csv": text for table, text in written.items()}
