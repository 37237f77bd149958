"""What good records give, and what is known of their keys."""

from __future__ import annotations

import math
import re
import subprocess
import sys
from copy import deepcopy
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from support.books import values
from swarfbook import quantities
from swarfbook.errors import SwarfbookError
from swarfbook.records import (
    Record,
    SafetyFactors,
    ToolTip,
    choices,
    dimension,
    example,
    is_list,
    misfits,
    parse,
    record_keys,
    required,
    schema,
)
from swarfbook.records.examples import EXAMPLES, as_toml
from swarfbook.records.reader import Reader

KINDS = sorted(EXAMPLES)
OTHER_RECIPES = ("feed_rate", "hole_diameter", "stock_offset", "ramp_angle")
OTHER_SHAPES = ("corner_radius", "point_angle", "tip_diameter", "taper")


def full(kind):
    """Give a record with every key that can stand beside the others."""
    raw = deepcopy(EXAMPLES[kind])
    for key in {"tool": OTHER_SHAPES, "recipe": OTHER_RECIPES}.get(kind, ()):
        del raw[key]
    return raw


def without_schema(raw):
    return {key: value for key, value in raw.items() if key != "schema"}


def test_a_machine_reads_in_si():
    machine = parse("machine", full("machine"), where="")
    spindle = machine.spindle
    assert (spindle.motor, spindle.rating, spindle.rated_power, spindle.efficiency) == (
        "induction",
        "shaft",
        1500.0,
        0.8,
    )
    assert (spindle.min_speed, spindle.rated_speed, spindle.max_speed) == (100.0, 300.0, 400.0)
    assert spindle.speeds == pytest.approx((500 / 3, 300.0), rel=1e-12)
    assert (spindle.overload.power, spindle.overload.duty) == (1800.0, "S6 40%")
    assert spindle.thermal_time == 1800.0
    assert spindle.torque_curve == ((100.0, 0.8), (300.0, 0.8))
    assert (spindle.idle_power, spindle.runout) == (90.0, 1e-5)
    assert machine.axes.max_feed == pytest.approx(5 / 60, rel=1e-12)
    assert (machine.axes.acceleration, machine.axes.thrust) == (0.5, 250.0)
    assert (machine.tool_tip.stiffness, machine.tool_tip.modes[0].stiffness) == (3e6, 6e6)
    assert (machine.tool_tip.modes[0].axis, machine.tool_tip.modes[0].frequency) == ("x", 310.0)


def test_a_tool_reads_in_si():
    tool = parse("tool", full("tool"), where="")
    lengths = (tool.diameter, tool.upcut_length, tool.flute_length, tool.reach, tool.neck_diameter)
    assert lengths == (0.006, 0.005, 0.016, 0.016, 0.0056)
    assert (tool.shank_diameter, tool.overall_length, tool.edge_radius) == (0.006, 0.05, 5e-6)
    assert (tool.helix, tool.rake) == pytest.approx((math.pi / 6, math.pi / 18), rel=1e-12)
    assert (tool.flutes, tool.youngs_modulus, tool.max_speed) == (1, 6e11, 500.0)


def test_a_material_keeps_only_the_overrides_that_are_there():
    material = parse("material", values("material", {"overrides.kte": "10 N/mm"}), where="")
    assert material.overrides == {"kc11": 7e8, "mc": 0.25, "kte": 1e4}
    bare = parse("material", values("material", {"overrides": None, "cutting_law": None}), where="")
    assert (bare.overrides, bare.cutting_law) == ({}, None)


def test_a_recipe_reads_in_si():
    recipe = parse("recipe", full("recipe"), where="")
    assert (recipe.spindle_speed, recipe.feed_per_tooth, recipe.feed_rate) == (300.0, 5e-5, None)
    assert (recipe.axial_depth, recipe.radial_width, recipe.stickout) == (0.003, 0.0015, 0.024)
    assert (recipe.allowance, recipe.tolerance, recipe.wear, recipe.keep) == (
        5e-4,
        1e-4,
        1.0,
        ("radial_width",),
    )
    assert (recipe.derived.from_, recipe.derived.method, recipe.derived.margin) == (
        "long-bed-6mm-6082-max",
        "least-time",
        0.25,
    )


def test_a_margin_may_be_written_in_percent():
    derived = EXAMPLES["recipe"]["derived"] | {"margin": "25 %"}
    assert parse("recipe", values("recipe", {"derived": derived}), where="").derived.margin == 0.25


def test_settings_have_defaults_but_for_safety_factors():
    settings = parse("book", {"schema": "book/1", "title": "x"}, where="")
    thresholds = settings.thresholds
    assert (thresholds.tight, thresholds.clean_time, thresholds.clean_runs) == (0.8, 300.0, 3)
    assert settings.safety_factors.bending is None
    assert parse("book", full("book"), where="").safety_factors.thrust == 2.0


def test_a_run_reads_with_what_the_meter_showed():
    run = parse("run", full("run") | {"key of a later version": 1, "power_peak": None}, where="")
    assert run.at == datetime(2026, 11, 2, 14, 30, tzinfo=UTC)
    assert (run.power.si, run.power.unit, run.power.side, run.power_peak) == (410.0, "W", "input", None)
    assert run.stock_temperature.si == pytest.approx(304.15, rel=1e-12)
    assert (run.minutes, run.outcome, run.feed_override) == (12.5, "clean", 1.0)


def test_a_run_may_give_readings_as_text_and_its_time_without_an_offset():
    run = parse("run", full("run") | {"power": "0.41 kW", "at": "2026-11-02T14:30:00"}, where="")
    assert (run.power.si, run.power.number, run.power.side) == (410.0, 0.41, None)
    assert run.at.tzinfo is UTC


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"power": {"value": 410, "unit": "rpm"}}, "power: found a table; "),
        ({"power": {"value": "410", "unit": "W"}}, "power: found a table; write a number"),
        ({"power": {"value": 410, "unit": "W", "side": "left"}}, "power: found a table; known: input, shaft"),
        ({"at": "yesterday"}, "at: found 'yesterday'; write a time like"),
        ({"at": 5}, "at: found 5; write a time like"),
        ({"minutes": -1}, "minutes: found -1; write a number of 0 or above"),
        ({"minutes": "5 min"}, "minutes: found '5 min'; write a number of 0 or above"),
        ({"outcome": "fine"}, "outcome: found 'fine'; "),
        ({"snapshot": [1]}, "snapshot: found a list; write an object"),
    ],
)
def test_a_bad_run_is_told_about(change, said):
    with pytest.raises(SwarfbookError) as caught:
        parse("run", full("run") | change, where="runs/x.jsonl line 3")
    assert str(caught.value).startswith(f"runs/x.jsonl line 3: {said}")


@pytest.mark.parametrize("kind", KINDS)
def test_pydantic_validates_to_the_same_record(kind):
    raw = without_schema(full(kind))
    assert schema.validate(kind, raw) == parse(kind, full(kind), where="")
    with pytest.raises(ValidationError):
        schema.validate(kind, {})


@pytest.mark.parametrize("kind", KINDS)
def test_pydantic_asks_for_the_same_keys_and_gives_the_same_defaults(kind):
    raw = without_schema(full(kind))
    for key in raw:
        less = {name: value for name, value in raw.items() if name != key}
        if required(kind, key):
            with pytest.raises(ValidationError, match="Field required"):
                schema.validate(kind, less)
        else:
            assert schema.validate(kind, less) == Reader(kind, "").read(less)


@pytest.mark.parametrize("kind", KINDS)
def test_pydantic_refuses_what_a_reader_refuses_and_says_what_would_do(kind):
    raw = without_schema(full(kind))
    with pytest.raises(SwarfbookError) as caught:
        parse(kind, full(kind) | {next(iter(raw)): True}, where="")
    remedy = caught.value.problems[0].remedy
    with pytest.raises(ValidationError, match=re.escape(remedy)):
        schema.validate(kind, raw | {next(iter(raw)): True})


@pytest.mark.parametrize("kind", KINDS)
def test_the_json_schema_has_the_keys_of_the_file_and_says_which_must_stand(kind):
    made = schema.json_schema(kind)
    tops = list(dict.fromkeys(key.partition(".")[0] for key in record_keys(kind)))
    assert list(made["properties"]) == tops
    assert set(made["required"]) == {key for key in tops if required(kind, key)}
    for key in tops:
        if choices(kind, key) and not is_list(kind, key):
            assert tuple(words(made["properties"][key])) == choices(kind, key)


def words(made):
    """Give the closed list of a schema, whether the value may be left out or not."""
    return made["enum"] if "enum" in made else made["anyOf"][0]["enum"]


def test_the_json_schema_says_in_what_a_value_is_written():
    made = schema.json_schema("tool")["properties"]
    assert made["diameter"]["type"] == "string"
    assert re.search(made["diameter"]["pattern"], "1/4 in")
    assert not re.search(made["diameter"]["pattern"], "6 rpm")
    assert (made["flutes"]["type"], made["flutes"]["description"]) == (
        "integer",
        "a whole number from 1 to 24",
    )
    assert made["name"]["type"] == "string"
    assert schema.json_schema("job")["properties"]["hands_off"]["type"] == "boolean"
    assert schema.json_schema("tool")["additionalProperties"] is False
    assert "additionalProperties" not in schema.json_schema("run")


@pytest.mark.parametrize("kind", sorted(set(KINDS) - {"run", "rename"}))
def test_pydantic_refuses_unknown_keys_too(kind):
    with pytest.raises(ValidationError, match="Extra inputs"):
        schema.validate(kind, without_schema(full(kind)) | {"what": 1})


@pytest.mark.parametrize("kind", ["run", "rename"])
def test_pydantic_passes_over_unknown_keys_of_a_line_too(kind):
    raw = without_schema(full(kind))
    assert schema.validate(kind, raw | {"what": 1}) == schema.validate(kind, raw)


def test_a_record_cannot_be_changed():
    recipe = parse("recipe", values("recipe"), where="")
    with pytest.raises(AttributeError, match="never changed in place"):
        recipe.axial_depth = 1.0
    with pytest.raises(AttributeError, match="never changed in place"):
        del recipe.axial_depth
    assert recipe == parse("recipe", values("recipe"), where="")


def test_a_record_with_other_values_is_another_record():
    recipe = parse("recipe", values("recipe"), where="")
    deeper = recipe.replaced(axial_depth=0.004)
    assert (deeper.axial_depth, deeper.radial_width) == (0.004, recipe.radial_width)
    assert deeper != recipe
    assert deeper.replaced(axial_depth=recipe.axial_depth) == recipe
    assert hash(deeper.replaced(axial_depth=recipe.axial_depth)) == hash(recipe)
    with pytest.raises(TypeError, match="Recipe has no depth"):
        recipe.replaced(depth=0.004)


def test_records_of_two_kinds_are_never_equal():
    assert ToolTip(stiffness=None, modes=None) != SafetyFactors()
    assert (ToolTip() == 1) is False


def test_no_two_records_share_a_table_that_was_left_out():
    one, other = (parse("material", values("material", {"overrides": None}), where="") for _ in range(2))
    assert one.overrides == other.overrides == {}
    assert one.overrides is not other.overrides


def test_a_record_copies_and_reads_well():
    recipe = parse("recipe", full("recipe"), where="")
    assert deepcopy(recipe) == recipe
    assert deepcopy(recipe).derived is not recipe.derived
    assert repr(ToolTip(stiffness=2e6)) == "ToolTip(stiffness=2000000.0, modes=None)"


def test_a_record_is_declared_with_readers_not_with_their_names():
    with pytest.raises(TypeError, match="does without"):
        type("Named", (Record,), {"__annotations__": {"name": "Name"}})


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_has_an_example_that_reads_in_its_dimension(kind):
    for key in record_keys(kind):
        named = dimension(kind, key)
        text = example(kind, key)
        if named and isinstance(text, str):
            assert math.isfinite(quantities.parse(text, named))
        if choices(kind, key):
            assert set([text] if isinstance(text, str) else text) <= set(choices(kind, key))


@pytest.mark.parametrize("kind", KINDS)
def test_examples_have_the_keys_of_their_kind_in_the_order_of_the_file(kind):
    def dotted(table, prefix=""):
        for key, value in table.items():
            inner = isinstance(value, dict) and f"{prefix}{key}" not in record_keys(kind)
            yield from dotted(value, f"{prefix}{key}.") if inner else [f"{prefix}{key}"]

    assert ("schema", *record_keys(kind)) == tuple(dotted(EXAMPLES[kind]))


def test_dimensions_and_choices_of_nested_keys():
    assert dimension("machine", "spindle.min_speed") == "spindle_speed"
    assert dimension("machine", "spindle.speeds") == "spindle_speed"
    assert dimension("machine", "tool_tip.modes.stiffness") == "stiffness"
    assert dimension("machine", "spindle.torque_curve") is None
    assert dimension("material", "overrides.kte") == "edge_force"
    assert dimension("recipe", "name") is None
    assert dimension("recipe", "nothing.here") is None
    assert choices("recipe", "direction") == ("climb", "conventional")
    assert choices("recipe", "keep") == ("axial_depth", "radial_width", "feed_per_tooth", "spindle_speed")
    assert choices("recipe", "axial_depth") is None


@pytest.mark.parametrize(
    ("change", "lines"),
    [
        ({}, []),
        ({"radial_width": "6 mm", "stickout": "50 mm"}, []),
        (
            {"radial_width": "6.001 mm"},
            ["x: radial_width: found '6.001 mm'; write a length not above the diameter"],
        ),
        ({"stickout": "2 in"}, ["x: stickout: found '2 in'; write a length not above the overall length"]),
    ],
)
def test_a_recipe_that_does_not_fit_its_cutter_is_told(change, lines):
    raw = values("recipe", change)
    tool = parse("tool", values("tool"), where="")
    found = misfits(parse("recipe", raw, where="x"), tool, raw=raw, where="x")
    assert [str(problem) for problem in found] == [f"{line} of em-6mm-1f" for line in lines]


@given(
    st.recursive(st.none() | st.booleans() | st.integers() | st.floats() | st.text(), st.lists, max_leaves=3)
)
def test_no_value_whatever_gives_more_than_a_line_for_a_key(value):
    for kind in ("machine", "tool", "material", "recipe", "book", "run"):
        raw = full(kind)
        for key in raw:
            if key == "schema":
                continue
            lines = told(kind, raw | {key: value})
            assert all(line.isprintable() and line.startswith("f: ") for line in lines)


def told(kind, raw):
    try:
        parse(kind, raw, where="f")
    except SwarfbookError as error:
        return str(error).split("\n")
    return []


def test_reading_records_imports_no_pydantic():
    code = (
        "import sys; from swarfbook.records import parse; from swarfbook.records.examples import EXAMPLES;"
        "parse('machine', EXAMPLES['machine'], where='');"
        "heavy = {'pydantic', 'pydantic_core', 'importlib.metadata', 'pint',"
        " 'numpy', 'pandas', 'textual', 'tomlkit'};"
        "sys.exit(' '.join(heavy & set(sys.modules)) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.parametrize(
    ("value", "text"),
    [(True, "true"), ("a", '"a"'), ([1, "b"], '[1, "b"]'), ({"a": 0.5}, "{ a = 0.5 }")],
)
def test_examples_are_written_as_toml(value, text):
    assert as_toml(value) == text
