"""One title for one thing: every quantity and limit has one, no two share one, and one table has them all."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import swarfbook
from support.reference.demo import demo, job_limits, leaving_figures
from swarfbook.decisions import titles
from swarfbook.decisions.derate import HOLD_LOADS
from swarfbook.decisions.evidence import load_case
from swarfbook.decisions.figures import RUNG_SPECS, SPECS
from swarfbook.decisions.limits import RUNG_ORDER
from swarfbook.decisions.promise import PROMISED
from swarfbook.decisions.stand_ins import MACHINE_INPUTS, TOOL_INPUTS
from swarfbook.decisions.titles import INPUTS, LIMITS, QUANTITIES, title
from swarfbook.reports.part_words import label

SOURCE = Path(swarfbook.__file__).parent
TABLE = Path(titles.__file__)
LIMITS_THAT_ARE_INPUTS = {
    "max_feed": "feed-rate",
    "max_speed": "spindle-speed",
    "min_speed": "spindle-speed-low",
    "tool_max_speed": "tool-speed",
}
NAMES = {*LIMITS, *QUANTITIES}
KNOBS = {"axial_depth", "feed_per_tooth", "feed_rate", "spindle_speed"}
"""Recipes have keys of these names: meanings, examples and values of those are no titles."""
LAYERS = ("api", "cli", "decisions", "reports", "tui", "web")
MODULES = [path for layer in LAYERS for path in sorted((SOURCE / layer).rglob("*.py")) if path != TABLE]


def test_every_quantity_has_a_title_and_every_title_a_quantity():
    steps_ask_for = {"power_available"}
    known = {spec.name for spec in (*SPECS, *RUNG_SPECS)} | set(leaving_figures())
    assert set(QUANTITIES) == known | {*PROMISED, *HOLD_LOADS} | steps_ask_for


def test_every_limit_has_a_title_and_every_title_a_limit():
    assert set(LIMITS) == {rule.name for rule in RUNG_ORDER} | set(job_limits())


def test_no_two_limits_or_quantities_share_a_title():
    said = [*LIMITS.values(), *QUANTITIES.values()]
    assert len(set(said)) == len(said)


def test_an_input_shares_its_title_only_with_the_limit_or_quantity_that_it_is():
    inputs = {name for recipe in demo().ids("recipe") for name in load_case(demo(), recipe).inputs}
    assert set(INPUTS) <= inputs
    names = {title(name): name for name in NAMES}
    shared = {name: names[title(name)] for name in inputs if title(name) in names}
    assert {name: one for name, one in shared.items() if name != one} == LIMITS_THAT_ARE_INPUTS
    assert len({title(name) for name in inputs}) == len(inputs)


def test_titles_fit_their_columns():
    assert max(map(len, LIMITS.values())) <= 14
    assert max(map(len, QUANTITIES.values())) <= 28


@pytest.mark.parametrize(
    ("kind", "key", "name"),
    [("machine", *pair) for pair in MACHINE_INPUTS.items()]
    + [("tool", *pair) for pair in TOOL_INPUTS.items()]
    + [("machine", f"spindle.{key}", key) for key in ("rating", "min_speed", "max_speed", "idle_power")]
    + [("tool", key, key) for key in ("diameter", "helix", "taper", "tip_diameter", "flute_length")],
)
def test_a_key_is_labelled_as_the_input_that_it_gives(kind, key, name):
    # Its heading says that the thrust is an axis's.
    assert label(kind, key) == {"thrust": "thrust"}.get(name, title(name))


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(SOURCE)))
def test_no_other_module_has_a_table_of_titles(path):
    for table in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(table, ast.Dict):
            entries = zip(table.keys, table.values, strict=True)
            titled = [ast.unparse(key) for key, value in entries if _says(key, value)]
            assert len(titled) < 2, f"line {table.lineno} has titles of its own"  # one may be any word


def _says(key: ast.expr | None, value: ast.expr) -> bool:
    """Whether an entry says a limit or quantity in words: a name or a pattern says none."""
    if not (isinstance(key, ast.Constant) and key.value in NAMES - KNOBS and isinstance(value, ast.Constant)):
        return False
    return isinstance(value.value, str) and " " in value.value.strip() and "{" not in value.value


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(SOURCE)))
def test_nobody_makes_words_of_a_name_by_themselves(path):
    text = path.read_text(encoding="utf-8")
    assert 'replace("_", " ")' not in text
    assert 'replace("-", " ")' not in text
