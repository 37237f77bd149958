"""`swarfbook table` as a person calls it: the list, one table in any width, as JSON and CSV, its sources."""

from __future__ import annotations

import csv
import io
import json
import re
import subprocess
import sys

import pytest

from swarfbook import tables
from swarfbook.resources import tables_dir
from swarfbook.tables.columns import is_number


@pytest.fixture
def call(monkeypatch, run_cli):
    """Give a function that runs `swarfbook table` in a terminal of some width."""

    def run(*words, width=80):
        monkeypatch.setenv("COLUMNS", str(width))
        return run_cli("table", *words)

    return run


def assert_fine(done):
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""


def test_without_a_name_every_table_is_listed_with_its_rows_and_what_it_holds(call):
    done = call()
    assert_fine(done)
    for name in tables.names():
        line = next(line for line in done.lines if line.startswith(f"{name} "))
        assert int(line.split()[1]) == len(tables.load(name).rows)
    assert "tape and glue" in done.stdout


def test_the_list_as_json_and_csv(call):
    said = json.loads(call("--json").stdout)
    assert [line["table"] for line in said] == list(tables.names())
    assert said[0] == {
        "table": "adhesives",
        "rows": 19,
        "what": tables.contents()["adhesives"],
        "revised": str(tables.revised()["adhesives"]),
    }
    rows = list(csv.DictReader(io.StringIO(call("--csv").stdout)))
    assert {row["table"]: int(row["rows"]) for row in rows}["substrates"] == 3


@pytest.mark.parametrize("width", [60, 80, 120])
@pytest.mark.parametrize("name", tables.names())
def test_a_table_keeps_to_the_width_and_shows_every_row_and_number(call, name, width):
    done = call(name, "--all", "--sources", width=width)
    assert_fine(done)
    assert all(len(line) <= width for line in done.lines)
    words = set(re.split(r"[\s;]+", done.stdout))
    for row in tables.load(name).rows:
        assert row.id in words
        assert {text for column, text in row.values.items() if is_number(column)} - {""} <= words
        assert not row.source or f"{row.source}:" in words


def test_numbers_stand_under_their_name_and_unit(call):
    lines = call("cutting_coefficients").lines
    start = next(number for number, line in enumerate(lines) if line.startswith("id"))
    assert lines[start - 1].split()[:6] == ["ktc", "krc", "kac", "kte", "kre", "kae"]
    assert lines[start].split() == ["id", *["N/mm²"] * 3, *["N/mm"] * 3, "kind"]
    titanium = next(line for line in lines if line.startswith("titanium"))
    assert titanium.split() == ["titanium-ti-6al-4v", "1825", "770", "735", "29.7", "55.7", "1.8", "memory"]
    assert titanium.index("1825") + 4 == lines[start].index("N/mm²") + 5


def test_what_does_not_fit_in_columns_stands_below_with_its_unit(call):
    narrow = call("stock_tolerances", "en-485-4", width=60).stdout
    assert "width high 1000 mm" in narrow
    assert "en-485-4" in narrow


def test_notes_and_places_in_sources_come_on_request_and_cautions_always(call):
    short, whole = (call("hazards", "titanium", *more).stdout for more in ((), ("--all",)))
    assert "class D extinguisher" in " ".join(short.split())
    assert "NFPA 484" not in short
    assert "NFPA 484" in whole
    assert "water on burning titanium\n" in whole


def test_a_word_the_id_says_is_not_said_twice(call):
    assert "substrate" not in call("cutting_speeds", width=120).stdout.split("\n\n")[1]
    assert "substrate" in call("cutting_speeds", "--csv").lines[0]


def test_columns_that_are_blank_in_all_rows_shown_are_left_out(call):
    assert "chip low" not in " ".join(call("materials").stdout.split())


def test_words_narrow_a_table_in_any_order_and_any_case(call):
    done = call("cutting_speeds", "CARBIDE", "titanium")
    assert done.stdout.count("titanium-ti-6al-4v:carbide") == 1
    assert "hss" not in done.stdout
    assert "1 of 104 rows" in done.lines[0]
    none = call("materials", "butter")
    assert_fine(none)
    assert "0 of 36 rows" in none.stdout


def test_sources_are_named_in_full_once(call):
    done = call("cutting_coefficients", "--sources")
    assert done.stdout.count("Y. Altintas") == 1
    assert "DOI 10.1186/s10033-021-00536-9" in done.stdout
    assert "Schmitz" not in done.stdout
    assert "no source" not in done.stdout
    assert "no source; their notes say why" in " ".join(call("edge_radii", "--sources").stdout.split())


@pytest.mark.parametrize("name", tables.names())
def test_csv_is_the_table_as_it_is_stored(call, name):
    done = call(name, "--csv")
    assert_fine(done)
    assert done.stdout == (tables_dir() / f"{name}.csv").read_text(encoding="utf-8")


def test_csv_of_some_rows_has_the_heading_and_those_rows(call):
    lines = call("substrates", "cobalt-hss", "--csv").lines
    assert [line.split(",")[0] for line in lines] == ["id", "cobalt-hss"]


def test_json_holds_numbers_as_numbers_units_and_sources(call):
    said = json.loads(call("cutting_coefficients", "6061", "--json", "--sources").stdout)
    assert said["table"] == "cutting_coefficients"
    assert said["units"]["ktc_n_per_mm2"] == "N/mm^2"
    (row,) = said["rows"]
    assert row["ktc_n_per_mm2"] == 243.77
    assert row["kac_n_per_mm2"] is None
    assert row["source_kind"] == "published"
    assert said["sources"]["cjme-2021-aluminium"]["year"] == 2021
    assert "sources" not in json.loads(call("materials", "--json").stdout)


@pytest.mark.parametrize(
    ("words", "part"),
    [
        (["materal"], "did you mean materials"),
        (["Materials"], "did you mean materials"),
        (["sources"], "no such table"),
        (["../tests/tables/printed"], "no such table"),
        (["\x1b[2J"], "no such table"),
        (["materials", "--csv", "--json"], "leave out --json and --sources"),
        (["materials", "--csv", "--sources"], "leave out --json and --sources"),
        (["materials", "--cvs"], "--cvs"),
    ],
)
def test_bad_words_get_a_line_and_nothing_else(call, words, part):
    done = call(*words)
    assert (done.returncode, done.stdout) == (2, "")
    assert part in done.stderr
    assert "\x1b" not in done.stderr
    assert all(line.startswith("swarfbook: ") for line in done.stderr.splitlines())


def test_a_table_loads_neither_pandas_nor_a_screen():
    script = (
        "import sys; from swarfbook.cli.main import run_words\n"
        "sys.argv = ['swarfbook', 'table', 'materials', '--sources']; run_words()\n"
        "print(*sys.modules, file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, timeout=60, check=True
    )
    assert done.stdout.startswith("materials")
    assert not {"pandas", "textual", "scipy", "pint", "rich"} & set(done.stderr.split())
