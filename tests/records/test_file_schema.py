"""Schemas of record files against the reader: they take all it takes, and refuse most of what it refuses."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from swarfbook import quantities
from swarfbook.errors import SwarfbookError
from swarfbook.records import dimension, parse, record_keys, required
from swarfbook.records.examples import EXAMPLES
from swarfbook.records.file_schema import KINDS, at, file_schema
from swarfbook.records.recipe import OPERATION_KEYS
from swarfbook.records.tool import SHAPE_KEYS
from swarfbook.resources import demo_book_dir

VALIDATORS = {kind: Draft202012Validator(file_schema(kind)) for kind in KINDS}
FOLDERS = {
    "machine": "machines/*.toml",
    "tool": "tools/*.toml",
    "material": "materials/*.toml",
    "recipe": "recipes/*.toml",
    "job": "jobs/*.toml",
    "book": "book.toml",
}
DEMO = [
    pytest.param(kind, path, id=f"{kind}-{path.stem}")
    for kind, pattern in FOLDERS.items()
    for path in sorted(demo_book_dir().glob(pattern))
]
WRONG = (True, 7, -3.5, "", "6", "6 furlongs", "-1 mm", "no such word", "a\x1bb", [], ["x"], {}, {"x": 1})
"""Values that hardly any key takes."""


def reads(kind: str, raw: dict[str, Any]) -> bool:
    try:
        parse(kind, raw, where="x")
    except SwarfbookError:
        return False
    return True


def places(table: dict[str, Any], path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield every key of a file, all the way down, as the steps that lead to it."""
    for key, value in table.items():
        yield (*path, key)
        inner = value if isinstance(value, list) else [value]
        for number, one in enumerate(inner):
            if isinstance(one, dict):
                yield from places(one, (*path, key, number) if isinstance(value, list) else (*path, key))


def changed(raw: dict[str, Any], path: tuple[Any, ...], value: Any) -> dict[str, Any]:
    """Give a file with another value at a place; without the key where the value is None."""
    made = copy.deepcopy(raw)
    table: Any = made
    for step in path[:-1]:
        table = table[step]
    if value is None:
        del table[path[-1]]
    else:
        table[path[-1]] = value
    return made


def spoilt(raw: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Yield a file with one thing changed, over and over."""
    for path in places(raw):
        for value in (None, *WRONG):
            yield changed(raw, path, value)
        yield changed(raw, (*path[:-1], f"{path[-1]}_"), "6 mm")
    yield raw | {"schema": "cutter/1"}


@pytest.mark.parametrize("kind", KINDS)
def test_the_schema_is_one_and_says_which_kind_and_version(kind):
    schema = file_schema(kind)
    Draft202012Validator.check_schema(schema)
    assert schema["$id"] == f"urn:swarfbook:{kind}:1"
    assert schema["properties"]["schema"]["const"] == f"{kind}/1"
    needed = {key.partition(".")[0] for key in record_keys(kind) if required(kind, key)}
    assert set(schema["required"]) == {"schema", *needed}
    assert "$ref" not in str(schema)


@pytest.mark.parametrize(("kind", "path"), DEMO)
def test_every_file_of_the_demo_is_taken(kind, path):
    raw = tomllib.loads(path.read_text(encoding="utf-8"))
    assert not list(VALIDATORS[kind].iter_errors(raw))


@pytest.mark.parametrize("kind", sorted(FOLDERS))
def test_of_files_spoilt_in_one_place_none_that_reads_is_refused_and_most_others_are(kind):
    refused = caught = 0
    for case in [param.values[1] for param in DEMO if param.values[0] == kind][:3]:
        for raw in spoilt(tomllib.loads(case.read_text(encoding="utf-8"))):
            taken = VALIDATORS[kind].is_valid(raw)
            if reads(kind, raw):
                assert taken, raw
            else:
                refused, caught = refused + 1, caught + (not taken)
    assert caught / refused > 0.97, f"{caught} of {refused}"


@pytest.mark.parametrize("kind", sorted(FOLDERS))
@given(st.data())
def test_whatever_reads_is_taken(kind, data):
    raw = copy.deepcopy({key: value for key, value in EXAMPLES[kind].items() if key != "derived"})
    for _ in range(data.draw(st.integers(1, 3))):
        path = data.draw(st.sampled_from(list(places(raw))))
        raw = changed(raw, path, data.draw(st.one_of(st.none(), st.sampled_from(WRONG), quantity_texts())))
        if not raw:
            return
    if reads(kind, raw):
        assert VALIDATORS[kind].is_valid(raw), raw


@st.composite
def quantity_texts(draw: st.DrawFn) -> str:
    name = draw(st.sampled_from(quantities.DIMENSIONS))
    return f"{draw(NUMBERS)}{draw(GAPS)}{draw(st.sampled_from(quantities.units(name)))}"


NUMBERS = st.one_of(
    st.floats(0, 1e4, allow_nan=False).map(lambda number: f"{number:.6g}"),
    st.sampled_from(
        ["1 1/4", "1-1/4", "3/8", "18 000", "18\u00a0000.5", ".5", "5.", "1e-3", "1E+2", "\u22122", "-0"]
    ),
)
GAPS = st.sampled_from(["", " ", "  ", "\u00a0", "\u202f"])
SPELLINGS = (
    *(("*", other) for other in ("·", " * ", "⋅", "×")),
    *(("/", other) for other in (" / ", " per ", " a ")),
    *(("^2", other) for other in ("²", "**2")),
    *(("u", other) for other in ("µ", "μ")),
    ("in", "inches"),
    ("min", "minute"),
    ("rpm", "RPM"),
    ("deg", "°"),
    ("%", "percent"),
)


@pytest.mark.parametrize("name", quantities.DIMENSIONS)
@given(number=NUMBERS, gap=GAPS, spelling=st.sampled_from(SPELLINGS), data=st.data())
def test_the_pattern_takes_what_the_door_for_units_takes_and_the_other_way_round(
    name, number, gap, spelling, data
):
    pattern = {"type": "string", "pattern": quantities.pattern(name, negative=True)}
    other = data.draw(st.sampled_from([name, *quantities.DIMENSIONS]))
    text = f"{number}{gap}{data.draw(st.sampled_from(quantities.units(other))).replace(*spelling)}"
    try:
        value = quantities.read(text, name).si
    except quantities.QuantityError as error:
        if "absolute zero" in str(error) or "ordinary size" in str(error):
            return
        value = None
    assert Draft202012Validator(pattern).is_valid(text) == (value is not None), text


def test_a_minus_is_refused_where_only_more_than_nothing_serves():
    tool = VALIDATORS["tool"]
    assert not tool.is_valid(EXAMPLES["tool"] | {"diameter": "-6 mm"})
    only = {key: value for key, value in EXAMPLES["tool"].items() if key not in SHAPE_KEYS}
    assert tool.is_valid(only | {"helix": "-30 deg"})
    assert tool.is_valid(only)


def test_a_bare_number_is_an_error_where_a_unit_is_needed_and_serves_for_a_ratio():
    for kind in FOLDERS:
        for key in record_keys(kind):
            if (name := dimension(kind, key)) and "[" not in key:
                node = Draft202012Validator(at(file_schema(kind), key))
                assert node.is_valid(0.25) == ("" in quantities.units(name)), (kind, key)


@pytest.mark.parametrize("shape", ["square", "ball", "corner-radius", "chamfer", "tapered"])
@pytest.mark.parametrize("key", SHAPE_KEYS)
def test_keys_of_another_shape_are_refused_at_the_key(shape, key):
    owner, _ = SHAPE_KEYS[key]
    raw = {name: value for name, value in EXAMPLES["tool"].items() if name not in SHAPE_KEYS}
    value = EXAMPLES["tool"][key]
    found = [list(error.path) for error in VALIDATORS["tool"].iter_errors(raw | {"shape": shape, key: value})]
    assert ([key] in found) == (shape != owner)


def test_keys_of_another_operation_are_refused_at_the_key_and_one_feed_is_asked_for():
    raw = {
        name: value
        for name, value in EXAMPLES["recipe"].items()
        if name not in {*OPERATION_KEYS, "feed_rate", "derived"}
    }
    recipe = VALIDATORS["recipe"]
    assert recipe.is_valid(raw)
    assert not recipe.is_valid(raw | {"feed_rate": "900 mm/min"})
    assert not recipe.is_valid({key: value for key, value in raw.items() if key != "feed_per_tooth"})
    for key, operations in OPERATION_KEYS.items():
        found = [list(error.path) for error in recipe.iter_errors(raw | {key: EXAMPLES["recipe"][key]})]
        assert found == [[key]]
        assert recipe.is_valid(raw | {key: EXAMPLES["recipe"][key], "operation": operations[0]})


def test_a_job_is_asked_for_what_its_holds_features_and_stock_need():
    job, raw = VALIDATORS["job"], EXAMPLES["job"]
    assert job.is_valid(raw)
    for path in (("holds", 0, "length"), ("stock", "width"), ("features",), ("holds",)):
        assert not job.is_valid(changed(raw, path, [] if len(path) == 1 else None)), path
    assert not job.is_valid(
        changed(changed(raw, ("features", 0, "kind"), "slot"), ("features", 0, "width"), None)
    )


def test_a_line_of_the_log_may_have_keys_of_later_versions_and_nothing_where_nothing_was_said():
    run = VALIDATORS["run"]
    line = EXAMPLES["run"] | {"key_of_later": 1, "power": None, "cutter": None, "idle_power": "90 W"}
    assert reads("run", line)
    assert run.is_valid(line)
    assert not run.is_valid(line | {"outcome": "fine"})
    assert not run.is_valid(line | {"minutes": None})
