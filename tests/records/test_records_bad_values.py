# ruff: noqa: E501 - a table reads better with a row a line
"""What a person is told about values that will not do: one line each, naming the key and what would do."""

from __future__ import annotations

import math
from typing import Any

import pytest

from support.books import values
from swarfbook.errors import SwarfbookError
from swarfbook.records import parse, read_value

# kind, changes to a good record, the whole line after "f.toml: "
LINES: list[tuple[str, dict[str, Any], str]] = [
    # keys
    ("recipe", {"stickout": None}, 'stickout: missing; write for example stickout = "24 mm"'),
    ("recipe", {"axial_dept": "3 mm"}, "axial_dept: found '3 mm'; unknown key; did you mean axial_depth*"),
    ("recipe", {"schema": None}, 'schema: missing; write schema = "recipe/1"'),
    ("recipe", {"schema": "recipe/2"}, "schema: found 'recipe/2'; write \"recipe/1\" if this is a recipe"),
    ("recipe", {"schema": 1}, 'schema: found 1; write "recipe/1" if this is a recipe'),
    (
        "recipe",
        {
            "derived": {
                "notes": "x",
                "from": "x",
                "parent_digest": "sha256:" + "0" * 64,
                "method": "depth",
                "margin": 0.1,
            }
        },
        "derived.notes: found 'x'; unknown key here; it belongs above the first [table]",
    ),
    ("machine", {"runout": "1 um"}, "runout: found '1 um'; unknown key here; it belongs under [spindle]"),
    ("machine", {"axes": None}, 'axes.max_feed: missing; write for example max_feed = "5000 mm/min" under [axes]'),
    ("machine", {"axes": 3}, "axes: found 3; write a table: [axes] on a line of its own and its keys below it"),
    (
        "machine",
        {"spindle.overload": {"power": "2 kW"}},
        'spindle.overload.duty: missing; write for example duty = "S6 40%"',
    ),
    (
        "machine",
        {"spindle.overload": "2 kW"},
        "spindle.overload: found '2 kW'; write for example overload = { power = \"1.8 kW\", duty = \"S6 40%\" }",
    ),
    ("material", {"overrides.kc1": "7 GPa"}, "overrides.kc1: found '7 GPa'; unknown key; did you mean kc11*"),
    # words, texts, ids
    ("recipe", {"direction": "clim"}, "direction: found 'clim'; did you mean climb?"),
    ("recipe", {"cooling": 3}, "cooling: found 3; write one of dry, air-blast, mist, flood, in quotes"),
    ("recipe", {"operation": "roughing"}, "operation: found 'roughing'; did you mean rough*"),
    ("recipe", {"keep": ["feed"]}, "keep[1]: found 'feed'; known: axial_depth, feed_per_tooth*"),
    ("recipe", {"keep": "axial_depth"}, "keep: found 'axial_depth'; write for example keep = [\"radial_width\"]"),
    ("recipe", {"name": ""}, "name: found ''; write a text of 1 to 200 characters"),
    ("recipe", {"name": "a\nb"}, "name: found 'a\\nb'; take out the control characters"),
    ("recipe", {"name": "a\u202eb"}, "name: found 'a\\u202eb'; take out the control characters"),
    ("recipe", {"notes": "a\x1b[2J"}, "notes: found 'a\\x1b[2J'; take out the control characters"),
    ("recipe", {"notes": True}, "notes: found true; write a text in quotes"),
    (
        "recipe",
        {"tool": "../tools/x"},
        "tool: found '../tools/x'; an id is lower-case letters, digits and hyphens, not a path",
    ),
    ("recipe", {"tool": "a" * 81}, f"tool: found '{'a' * 58}…; an id has at most 80 characters"),
    ("recipe", {"tool": 6}, "tool: found 6; write an id in quotes"),
    # numbers
    ("recipe", {"axial_depth": "-3 mm"}, "axial_depth: found '-3 mm'; write a value above 0"),
    ("recipe", {"axial_depth": "0 mm"}, "axial_depth: found '0 mm'; write a value above 0"),
    ("recipe", {"allowance": "-1 um"}, "allowance: found '-1 um'; write 0 or a value above it"),
    ("recipe", {"wear": True}, "wear: found true; write a number, not true or false"),
    ("recipe", {"stickout": True}, "stickout: found true; write a number, not true or false"),
    ("tool", {"flutes": 0}, "flutes: found 0; write a whole number from 1 to 24, without quotes"),
    ("tool", {"flutes": 25}, "flutes: found 25; write a whole number from 1 to 24, without quotes"),
    ("tool", {"flutes": 2.0}, "flutes: found 2.0; write a whole number from 1 to 24, without quotes"),
    ("tool", {"flutes": True}, "flutes: found true; write a whole number from 1 to 24, without quotes"),
    ("tool", {"flutes": "2"}, "flutes: found '2'; write a whole number from 1 to 24, without quotes"),
    ("tool", {"helix": "80 deg"}, "helix: found '80 deg'; write an angle above -80 deg and below 80 deg"),
    ("tool", {"helix": "-80 deg"}, "helix: found '-80 deg'; write an angle above -80 deg and below 80 deg"),
    ("machine", {"spindle.efficiency": 0}, "spindle.efficiency: found 0; write a value above 0, at most 1"),
    ("machine", {"spindle.efficiency": 1.01}, "spindle.efficiency: found 1.01; write a value above 0, at most 1"),
    ("machine", {"spindle.idle_power": "-1 W"}, "spindle.idle_power: found '-1 W'; write 0 or a value above it"),
    ("machine", {"spindle.runout": "-1 um"}, "spindle.runout: found '-1 um'; write 0 or a value above it"),
    ("material", {"overrides.mc": 1}, "overrides.mc: found 1; write a value from 0 to below 1"),
    ("material", {"overrides.krc": "0 N/mm^2"}, "overrides.krc: found '0 N/mm^2'; write a value above 0"),
    # relations
    (
        "recipe",
        {"feed_rate": "900 mm/min"},
        "feed_rate: found '900 mm/min'; keep feed_per_tooth or feed_rate, not both",
    ),
    (
        "recipe",
        {"feed_per_tooth": None},
        'feed_per_tooth: missing; write for example feed_per_tooth = "0.05 mm" or feed_rate = "900 mm/min"',
    ),
    (
        "machine",
        {"spindle.min_speed": "25000 rpm"},
        "spindle.min_speed: found '25000 rpm'; write a speed not above max_speed",
    ),
    (
        "machine",
        {"spindle.rated_speed": "25000 rpm"},
        "spindle.rated_speed: found '25000 rpm'; write a speed not above max_speed",
    ),
    (
        "machine",
        {"spindle.speeds": ["10000 rpm", "5000 rpm"]},
        "spindle.speeds[2]: found '5000 rpm'; write a speed from min_speed to max_speed",
    ),
    ("machine", {"spindle.speeds": []}, "spindle.speeds: found a list; write at least one, or leave it out"),
    (
        "machine",
        {"spindle.torque_curve": [["9000 rpm", "1 N*m"], ["9000 rpm", "1 N*m"]]},
        "spindle.torque_curve[2]: found a list; write the points in order of rising speed",
    ),
    ("machine", {"spindle.torque_curve": [["9000 rpm"]]}, "spindle.torque_curve[1]: found a list; write a list of two"),
    (
        "machine",
        {"spindle.overload": {"power": "1 kW", "duty": "S6 40%"}},
        "spindle.overload.power: found '1 kW'; write a power not below rated_power, or leave overload out",
    ),
    (
        "machine",
        {"spindle.overload": {"power": "2 kW", "duty": "often"}},
        "spindle.overload.duty: found 'often'; write the duty as in IEC 60034-1, for example \"S6 40%\"",
    ),
    (
        "machine",
        {"tool_tip.modes": [{"axis": "z", "frequency": "300 Hz", "damping": 0.03, "stiffness": "6 N/um"}]},
        "tool_tip.modes[1].axis: found 'z'; known: x, y",
    ),
    ("tool", {"flute_length": "51 mm"}, "flute_length: found '51 mm'; write a length not above overall_length"),
    ("tool", {"reach": "51 mm"}, "reach: found '51 mm'; write a length not above overall_length"),
    ("tool", {"reach": "15 mm"}, "reach: found '15 mm'; write a length not below flute_length, or leave it out"),
    ("tool", {"upcut_length": "17 mm"}, "upcut_length: found '17 mm'; write a length not above flute_length"),
    ("tool", {"neck_diameter": "6.1 mm"}, "neck_diameter: found '6.1 mm'; write a diameter not above the cutting diameter"),
    ("tool", {"edge_radius": "3.1 mm"}, "edge_radius: found '3.1 mm'; write a radius not above half the diameter"),
    (
        "tool",
        {"corner_radius": "1 mm"},
        "corner_radius: found '1 mm'; leave it out: only a corner-radius cutter has it and this one is square",
    ),
    ("tool", {"shape": "corner-radius"}, 'corner_radius: missing; write for example corner_radius = "0.5 mm"'),
    (
        "tool",
        {"shape": "corner-radius", "corner_radius": "3.1 mm"},
        "corner_radius: found '3.1 mm'; write a radius not above half the diameter",
    ),
    (
        "tool",
        {"shape": "chamfer", "point_angle": "90 deg", "tip_diameter": "6 mm"},
        "tip_diameter: found '6 mm'; write a diameter below the cutting diameter",
    ),
    # settings
    ("book", {"title": None}, 'title: missing; write for example title = "Saltmarsh workshop"'),
    ("book", {"units": "metrical"}, "units: found 'metrical'; did you mean metric*"),
    ("book", {"thresholds.tight": 1.5}, "thresholds.tight: found 1.5; write a value above 0, at most 1"),
    ("book", {"safety_factors.bending": 0}, "safety_factors.bending: found 0; write a value above 0"),
]  # fmt: skip


# kind, key, value, what the line has to say
UNITS: list[tuple[str, str, Any, str]] = [
    ("recipe", "axial_depth", "3,5 mm", "3.5"),
    ("recipe", "axial_depth", "0x3 mm", ""),
    ("recipe", "axial_depth", "٣ mm", ""),
    ("recipe", "axial_depth", "3", "mm"),
    ("recipe", "axial_depth", 3, "mm"),
    ("recipe", "axial_depth", 3.5, "mm"),
    ("recipe", "axial_depth", "3 rpm", "mm"),
    ("recipe", "axial_depth", "3 mmm", "mm"),
    ("recipe", "axial_depth", "nan mm", ""),
    ("recipe", "axial_depth", "inf mm", ""),
    ("recipe", "axial_depth", "1e400 mm", ""),
    ("recipe", "axial_depth", "10**10**10 mm", ""),
    ("recipe", "axial_depth", "3 mm\x00", ""),
    ("recipe", "axial_depth", ["3 mm"], "write"),
    ("recipe", "axial_depth", {"is": "3 mm"}, "write"),
    ("recipe", "stickout", "1e-12 mm", "no workshop has a value of that size"),
    ("recipe", "spindle_speed", "300 Hz", "rpm"),
    ("recipe", "feed_per_tooth", "900 mm/min", "mm"),
    ("recipe", "wear", math.nan, ""),
    ("recipe", "wear", math.inf, ""),
    ("recipe", "wear", 10**400, ""),
    ("recipe", "wear", "1 mm", ""),
    ("tool", "youngs_modulus", "600 mm", "GPa"),
    ("tool", "youngs_modulus", "1e12 GPa", "no workshop has a value of that size"),
    ("machine", "spindle.rated_power", "1.5 Nm", "kW"),
]


def told(kind: str, changes: dict[str, Any]) -> list[str]:
    with pytest.raises(SwarfbookError) as caught:
        parse(kind, values(kind, changes), where="f.toml")
    return str(caught.value).split("\n")


@pytest.mark.parametrize(("kind", "changes", "line"), LINES)
def test_one_mistake_gets_one_line(kind, changes, line):
    lines = told(kind, changes)
    if line.endswith("*"):
        lines = [lines[0][: len(f"f.toml: {line}") - 1] + "*", *lines[1:]]
    assert lines == [f"f.toml: {line}"]


@pytest.mark.parametrize(("kind", "key", "value", "said"), UNITS)
def test_a_value_without_its_unit_or_number_is_told_what_would_do(kind, key, value, said):
    [line] = told(kind, {key: value})
    place, _, remedy = line.rpartition("; ")
    assert line.startswith(f"f.toml: {key}: found ")
    assert said in line[len(f"f.toml: {key}: found ") :]
    assert place
    assert remedy


def test_all_mistakes_of_a_file_are_told_together():
    changes = {
        "axial_depth": "3",
        "direction": "up",
        "stickout": None,
        "depth": "1 mm",
        "feed_rate": "1 m/min",
    }
    keys = [line.split(": ")[1] for line in told("recipe", changes)]
    assert sorted(keys) == ["axial_depth", "depth", "direction", "feed_rate", "stickout"]


def test_a_bad_feed_is_not_called_missing_too():
    [line] = told("recipe", {"feed_per_tooth": "0,05 mm"})
    assert "0.05" in line


def test_a_key_of_another_shape_is_told_apart_from_its_bad_value():
    lines = told("tool", {"shape": "ball", "taper": "2"})
    assert len(lines) == 2
    assert any("only a tapered cutter has it" in line for line in lines)


def test_a_file_of_another_kind_is_one_problem():
    with pytest.raises(SwarfbookError) as caught:
        parse("recipe", values("tool"), where="recipes/x.toml")
    assert len(caught.value.problems) == 1


def test_a_long_unknown_key_stays_one_short_line():
    [line] = told("recipe", {"k" * 5000: "\x1b[31m"})
    assert len(line) < 250
    assert line.isprintable()


@pytest.mark.parametrize("key", ["spindle.runout", "spindle.idle_power"])
def test_zero_stands_where_it_means_something(key):
    machine = parse("machine", values("machine", {key: f"0 {'mm' if 'runout' in key else 'W'}"}), where="")
    assert getattr(machine.spindle, key.partition(".")[2]) == 0.0


def test_zero_stands_for_helix_tip_radius_allowance_edge_and_axial_coefficients():
    assert parse("tool", values("tool", {"helix": "0 deg"}), where="").helix == 0.0
    chamfer = {"shape": "chamfer", "point_angle": "90 deg", "tip_diameter": "0 mm"}
    assert parse("tool", values("tool", chamfer), where="").tip_diameter == 0.0
    bull = {"shape": "corner-radius", "corner_radius": "0 mm"}
    assert parse("tool", values("tool", bull), where="").corner_radius == 0.0
    assert parse("recipe", values("recipe", {"allowance": "0 mm"}), where="").allowance == 0.0
    none = {f"overrides.{key}": "0 N/mm" for key in ("kte", "kre", "kae")}
    none |= {"overrides.kac": "0 N/mm^2", "overrides.force_ratio_axial": 0}
    overrides = parse("material", values("material", none), where="").overrides
    assert [overrides[key] for key in ("kte", "kre", "kae", "kac", "force_ratio_axial")] == [0.0] * 5


def test_bounds_that_are_said_to_stand_do():
    assert parse("machine", values("machine", {"spindle.efficiency": 1}), where="").spindle.efficiency == 1.0
    assert parse("material", values("material", {"overrides.mc": 0}), where="").overrides["mc"] == 0.0
    assert read_value("recipe", "derived.margin", "95 %") == 0.95
    assert read_value("recipe", "derived.margin", 0) == 0.0
    ends = {"spindle.speeds": ["6000 rpm", "24000 rpm"]}
    assert len(parse("machine", values("machine", ends), where="").spindle.speeds) == 2


def test_minus_zero_is_zero():
    assert math.copysign(1.0, read_value("recipe", "allowance", "-0 mm")) == 1.0


def test_one_value_reads_as_its_key_does():
    assert read_value("recipe", "axial_depth", "1/8 in") == pytest.approx(0.003175, rel=1e-12)
    with pytest.raises(SwarfbookError, match="axial_depth: found '0 mm'; write a value above 0"):
        read_value("recipe", "axial_depth", "0 mm")
    with pytest.raises(KeyError):
        read_value("recipe", "keep", "axial_depth")
