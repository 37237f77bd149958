"""The glossary decides every name once, and says nothing that the code does not know."""

from __future__ import annotations

import ast
import inspect
import re
from collections import Counter
from pathlib import Path

import pytest

import swarfbook.physics
from support.reference.command_page import commands
from support.reference.demo import demo, job_limits, leaving_figures
from support.reference.glossary_page import HOMONYMS, LISTS, columns, key_dimensions, page, sections
from support.reference.prose import prose
from support.reference.python_names import MATHEMATICAL, arguments, formulas, stated_units
from support.reference.quantity_page import every_quantity
from support.reference.record_page import KINDS, every_key, every_table
from support.reference.word_lists import DERATE_METHODS, OF_RECORDS, WORD_LISTS
from swarfbook.decisions import leaves
from swarfbook.decisions.evidence import load_case
from swarfbook.decisions.figures import RUNG_SPECS, SPECS
from swarfbook.decisions.limits import RUNG_ORDER
from swarfbook.records.keys import keys_of
from swarfbook.records.meanings import MEANINGS
from swarfbook.records.run import OUTCOMES
from swarfbook.reports.words import TITLES

SOURCE = Path(swarfbook.physics.__file__).parents[1]
FLAGS = {"climb", "earlier_pass", "inside", "is_input", "law", "cuts", "modes", "modes_x", "modes_y"}
"""Arguments that are true or false, or carry quantities without being one."""
SET_BY_A_SHELL = {"COMP_WORDS", "COMP_CWORD"}
"""Variables that a shell sets while it completes a line, and nobody else."""
READ_BY_LIBRARIES = {
    "COLUMNS", "NO_COLOR", "PYTHONIOENCODING", "PYTHONUTF8", "XDG_CONFIG_HOME", "XDG_STATE_HOME",
}  # fmt: skip
ENTRIES = {entry.name: entry for entries in sections().values() for entry in entries}
RESTS = {name for spec in (*SPECS, *RUNG_SPECS, *RUNG_ORDER) for name in spec.needs}


def inputs() -> set[str]:
    """Names of all that the demo's recipes rest on."""
    return {name for recipe in demo().ids("recipe") for name in load_case(demo(), recipe).inputs}


def test_a_name_is_decided_once():
    counts = Counter(entry.name for entries in sections().values() for entry in entries)
    assert [name for name, times in counts.items() if times > 1] == []


def test_every_key_of_a_record_is_decided():
    assert set(key_dimensions()) <= set(ENTRIES)


def test_every_quantity_and_every_input_is_decided():
    assert {*every_quantity(), *(spec.name for spec in RUNG_SPECS)} <= set(ENTRIES)
    assert (inputs() | RESTS) <= set(ENTRIES)


def test_the_demo_shows_every_quantity_that_only_some_cuts_have():
    calls = [
        node
        for node in ast.walk(ast.parse(inspect.getsource(leaves)))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "_Said"
    ]
    told = {node.args[0].value for node in calls if node.args and isinstance(node.args[0], ast.Constant)}
    assert told <= set(leaving_figures())
    built_from_words = set(leaving_figures()) - told
    assert built_from_words == {"wall_error_most", "wall_error_least"}
    assert len(told) > 10


def test_every_column_of_a_table_is_decided():
    assert set(columns()) <= set(ENTRIES)


def test_every_argument_of_the_physics_is_decided():
    assert set(arguments()) <= set(ENTRIES)
    assert not MATHEMATICAL & set(ENTRIES)


def test_arguments_have_one_unit_everywhere():
    assert {name: units for name, units in arguments().items() if len(units) > 1} == {}
    assert {name for name, units in arguments().items() if not units} == FLAGS


@pytest.mark.parametrize("formula", formulas(), ids=lambda one: f"{one.__module__[18:]}.{one.__name__}")
def test_a_docstring_states_the_glossary_s_unit(formula):
    for name, unit in stated_units(formula).items():
        if name in ENTRIES and name not in FLAGS:
            decided = ENTRIES[name].inside.split(", ")
            assert unit in decided or decided == [""], f"{name}: [{unit}], the glossary has {decided}"


def test_counts_alone_have_a_unit_in_python_and_none_as_a_key():
    """A whole number is `1` in a formula and bare in a file; nothing else may lack its unit."""
    bare = {name for name, units in arguments().items() if units and not ENTRIES[name].inside}
    assert {name for name in bare if arguments()[name] != {"1"}} <= {"cutter"}


def test_a_key_has_one_dimension_but_for_the_few_that_are_named():
    assert {name: found for name, found in key_dimensions().items() if len(found) > 1} == HOMONYMS


def test_the_short_glossary_of_the_physics_says_the_same_units():
    assert swarfbook.physics.__doc__ is not None
    lines = swarfbook.physics.__doc__.split("Glossary", 1)[1].splitlines()[2:]
    seen = 0
    for line in lines:
        found = re.match(r" {4}([a-z_0-9]+) {2,}(\S.*?) {2,}(\S+(?: m| K)?)(?: {2,}|$)", line)
        if found and found[1] in arguments() and found[3] != "-" and ENTRIES[found[1]].inside:
            assert found[3] in ENTRIES[found[1]].inside.split(", "), line
            seen += 1
    assert seen > 40


def test_nothing_is_decided_that_the_code_does_not_know():
    known = set(key_dimensions()) | set(columns()) | set(arguments()) | inputs() | RESTS
    known |= set(every_quantity()) | {spec.name for spec in RUNG_SPECS}
    assert set(ENTRIES) <= known
    for section in ("shared", "symbols", "columns", "python", "inputs", "quantities"):
        assert set(prose()[section]) <= known, section


def test_python_and_columns_say_no_name_that_stands_elsewhere():
    assert set(prose()["columns"]) == set(columns())
    others = set(key_dimensions()) | set(columns()) | set(every_quantity()) | set(prose()["inputs"])
    assert not set(prose()["python"]) & others


@pytest.mark.parametrize("name", WORD_LISTS)
def test_a_closed_list_of_words_is_told_word_by_word(name):
    assert set(prose()[name]) == set(WORD_LISTS[name])


def test_every_list_of_a_record_is_told():
    told = {frozenset(words) for words in OF_RECORDS.values()}
    leaves_of_records = [key.leaf for kind in KINDS for _, _, key in every_key(kind)]
    lists = {frozenset(leaf.choices) for leaf in leaves_of_records if leaf and leaf.choices}
    assert lists == told
    assert set(LISTS) == set(WORD_LISTS)
    assert set(DERATE_METHODS) == set(prose()["derate_method"])
    assert set(OUTCOMES) == set(prose()["outcome"])


def test_every_key_has_a_meaning_and_every_meaning_a_key():
    tables = {model.__name__: model for kind in KINDS for _, model, _ in every_table(kind)}
    assert {name: set(keys_of(model)) for name, model in tables.items()} == {
        name: set(keys) for name, keys in MEANINGS.items()
    }


def test_the_pages_own_words_are_of_keys_limits_and_commands_that_there_are():
    keys = {f"{kind}.{place}" for kind in KINDS for place, _, _ in every_key(kind)}
    assert set(prose()["left_out"]) <= keys
    assert set(prose()["job_limits"]) == set(job_limits())
    assert set(prose()["severities"]) <= {rule.name for rule in RUNG_ORDER}
    assert set(prose()["kinds"]) == set(KINDS)
    assert {*prose()["json_examples"], *prose()["json_before"], *prose()["json_more"]} <= set(commands())
    assert {*(rule.name for rule in RUNG_ORDER), *job_limits()} == set(TITLES)


def test_every_limit_and_every_word_of_a_list_is_on_the_page():
    text = page()
    assert all(text.count(f"\n| `{name}` | {TITLES[name]} |") == 1 for name in TITLES)
    for name, words in WORD_LISTS.items():
        part = text.split(f"\n## {LISTS[name]}\n", 1)[1].split("\n## ", 1)[0]
        assert [part.count(f"\n- `{word}`: ") for word in words] == [1] * len(words), name


def test_every_environment_variable_that_is_read_is_told():
    read = re.compile(r"environ(?:\.get\(|\[)\s*\"([A-Z_]+)\"|^VARIABLE = \"([A-Z_]+)\"", re.MULTILINE)
    texts = [path.read_text(encoding="utf-8") for path in SOURCE.rglob("*.py")]
    found = {one or other for text in texts for one, other in read.findall(text)}
    assert found - SET_BY_A_SHELL <= set(prose()["environment"])
    assert set(prose()["environment"]) - found <= READ_BY_LIBRARIES
