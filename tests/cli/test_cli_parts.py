"""Machines, cutters, materials, problems and cautions on the command line, and `--plain` everywhere."""

from __future__ import annotations

import json
import re

import pytest

from cli.test_cli_commands import assert_refused, call  # noqa: F401 - a fixture
from support.books import MACHINE, MATERIAL, RECIPE, TOOL

FIGURE = re.compile(r"(?<![A-Za-z0-9.])[0-9][0-9.]*")
THRUST_UNKNOWN = {"machine.axes.thrust": None}


def fact(done, key):
    return next(one for one in json.loads(done.stdout)["facts"] if one["key"] == key)


def test_a_machine_shows_what_was_typed_and_what_stands_in_with_its_row(call):  # noqa: F811
    done = call("show", f"machine:{MACHINE}", changes=THRUST_UNKNOWN)
    assert done.returncode == 0
    said = " ".join(done.stdout.split())
    assert "fastest feed 5000 mm/min" in said
    assert "thrust* not given: 200 N assumed (thrust, defaults.csv, assumption)" in said
    assert "rated power, S1 1.5 kW" in said
    assert "used by 1 recipe" in said
    assert "* assumed" in said


def test_units_are_those_asked_for_where_nothing_was_typed_and_as_typed_elsewhere(call):  # noqa: F811
    said = " ".join(
        call("show", f"machine:{MACHINE}", "--units", "imperial", changes=THRUST_UNKNOWN).stdout.split()
    )
    assert "45.0 lbf assumed" in said
    assert "fastest feed 5000 mm/min" in said


def test_a_machine_as_json_has_text_as_typed_and_si_where_a_default_serves(call):  # noqa: F811
    done = call("show", f"machine:{MACHINE}", "--json", changes=THRUST_UNKNOWN)
    thrust, power = fact(done, "axes.thrust"), fact(done, "spindle.rated_power")
    assert (thrust["given"], thrust["value_si"], thrust["assumed"]) == (None, 200.0, True)
    assert thrust["rows"][0]["id"] == "thrust"
    assert (power["given"], power["value_si"], power["assumed"]) == ("1.5 kW", None, False)


def test_a_material_shows_its_law_and_what_its_overrides_stand_over(call):  # noqa: F811
    said = " ".join(call("show", f"material:{MATERIAL}").stdout.split())
    assert "specific force kc1.1 700 N/mm^2 (the table: 800 N/mm²)" in said
    assert (
        "radial share 0.336, from the table (aluminium-wrought-6082-t6, force_ratios.csv, published)" in said
    )
    assert "law fitted on chips" in said
    assert "speed, carbide" in said
    assert "fine aluminium dust" in said
    # The other law's numbers are not at work and not shown.
    assert "Ktc" not in said


def test_a_cutter_shows_no_keys_of_other_shapes(call):  # noqa: F811
    said = call("show", f"tool:{TOOL}").stdout
    assert "flute length" in said
    assert "taper" not in said
    assert "corner radius" not in said


def test_an_unknown_machine_is_refused_with_the_nearest(call):  # noqa: F811
    assert_refused(call("show", "machine:long-bed"), "no machine of that id", MACHINE)


@pytest.mark.parametrize(("kind", "name"), [("machine", MACHINE), ("tool", TOOL), ("material", MATERIAL)])
def test_each_kind_is_listed_with_how_many_recipes_use_it(call, kind, name):  # noqa: F811
    done = call("list", "--kind", kind)
    assert done.returncode == 0
    assert name in done.stdout
    assert "used by 1 recipe" in done.stdout
    rows = json.loads(call("list", "--kind", kind, "--json").stdout)
    assert [(row["id"], row["recipes"]) for row in rows] == [(name, 1)]
    found = json.loads(call("list", name[:3].upper(), "--kind", kind, "--json").stdout)
    assert [row["id"] for row in found] == [name]
    assert json.loads(call("list", "nothing-like-it", "--kind", kind, "--json").stdout) == []


def test_words_find_the_beginnings_of_words(call):  # noqa: F811
    assert json.loads(call("list", "outer", "--kind", "machine", "--json").stdout) == []
    assert len(json.loads(call("list", "rout", "induc", "--kind", "machine", "--json").stdout)) == 1


def test_a_book_without_problems_says_so_and_one_with_some_lists_each_once(call, make_book):  # noqa: F811
    done = call("list", "--problems")
    assert (done.returncode, done.stderr) == (0, "")
    assert "0 problems" in done.stdout
    book = make_book(**{"machine.axes.max_feed": "5000 furlongs", "recipe.tool": "no-such-cutter"})
    (book / "runs/2026-11.jsonl").write_text("not a run\n")
    (book / "materials/odd.toml").write_text('schema = "material/1"\nname = "Odd"\ntable = "acetl"\n')
    done = call("list", "--problems", book=book)
    assert done.returncode == 1
    for words in (
        f"machines/{MACHINE}.toml\n  axes.max_feed: found '5000 furlongs'",
        f"recipes/{RECIPE}.toml\n  tool: found 'no-such-cutter'",
        "materials/odd.toml\n  table: found acetl; no such row of materials.csv; did you mean acetal",
        "runs/2026-11.jsonl line 1\n",
    ):
        assert words in done.stdout
    assert done.stdout.count("5000 furlongs") == 1
    listed = json.loads(call("list", "--problems", "--json", book=book).stdout)
    assert [one["key"] for one in listed] == ["axes.max_feed", "table", "tool", ""]


def test_cautions_are_printed_with_their_sources_and_the_usual_ones(call):  # noqa: F811
    said = " ".join(call("show", RECIPE, "--cautions").stdout.split())
    assert "fine aluminium dust burns" in said
    assert "wrought-aluminium, hazards.csv" in said
    assert "Eye and ear protection on" in said
    assert "Never leave a running machine alone" in said
    listed = json.loads(call("show", RECIPE, "--cautions", "--json").stdout)["cautions"]
    assert {"hazards", "cautions"} <= {one.get("table") for one in listed}


@pytest.mark.parametrize(
    "words",
    [
        ("check", RECIPE),
        ("show", RECIPE),
        ("show", f"machine:{MACHINE}"),
        ("show", RECIPE, "--why", "bending"),
        ("show", RECIPE, "--corner", "6 mm"),
        ("list",),
        ("list", "--kind", "tool"),
        ("compare", RECIPE, RECIPE),
        ("derate", RECIPE, "--margin", "10%"),
    ],
    ids=" ".join,
)
def test_plain_prints_ascii_and_the_same_numbers(call, words):  # noqa: F811
    drawn, plain = call(*words).stdout, call(*words, "--plain").stdout
    assert plain.isascii()
    assert "?" not in plain
    assert len(plain.splitlines()) == len(drawn.splitlines())
    assert figures(plain) == figures(drawn)


def figures(text):
    return [found for line in text.splitlines() if "1 limit" not in line for found in FIGURE.findall(line)]


@pytest.mark.parametrize(
    "words", [("table",), ("table", "materials"), ("measure",), ("measure", "stiffness")]
)
def test_plain_prints_tables_and_measuring_in_ascii(call, words):  # noqa: F811
    done = call(*words, "--plain", book=False)
    assert done.returncode == 0
    assert done.stdout.isascii()


def test_one_row_of_a_table_is_printed_in_full(call):  # noqa: F811
    said = " ".join(
        call("table", "materials", "--row", "aluminium-wrought-6082-t6", book=False).stdout.split()
    )
    assert "kc11: 800 N/mm²" in said
    assert "chip low: not given" in said
    assert "hardened wrought aluminium" in said
    assert "at: turning catalogue p. 558" in said
    assert "kind of source: published" in said
    assert_refused(call("table", "materials", "--row", "aluminum", book=False), "no such row", "aluminium")
