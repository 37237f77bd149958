"""No cell of a CSV file is a formula."""

from __future__ import annotations

import csv
import io
import json

import pytest

from support.books import RECIPE
from swarfbook import resources, tables
from swarfbook.book import Book
from swarfbook.book.cells import as_cell
from swarfbook.decisions.archive import TEXTS, export_runs, read_archive

FORMULAS = ("=1+1", "+1+1", "-1+1", "@SUM(A1)", "\t=1", "\r=1", "=cmd|' /C calc'!A0", "-x", "+", "-")
PLAIN = ("", "a", "-1", "+1.5e-3", "-.5", "5", "a=1", " =1", "'=1", "long-bed")


@pytest.mark.parametrize("text", FORMULAS)
def test_what_could_be_a_formula_begins_with_an_apostrophe(text):
    assert as_cell(text) == f"'{text}"


@pytest.mark.parametrize("text", PLAIN)
def test_numbers_and_other_texts_stay(text):
    assert as_cell(text) == text


def is_formula(cell: str) -> bool:
    """Say it another way: by what a float takes."""
    if cell[:1] not in ("=", "+", "-", "@", "\t", "\r") or not cell:
        return False
    try:
        float(cell)
    except ValueError:
        return True
    return False


@pytest.fixture
def root(make_book):
    root = make_book()
    lines = (resources.demo_book_dir() / "runs/2026-11.jsonl").read_text().splitlines()
    odd = [json.loads(line) | {"id": f"={number}+cmd"} for number, line in enumerate(lines)]
    for number, line in enumerate(odd):
        line["replaces"], line["withdrawn"] = None, False
        if number % 2:
            line["snapshot"]["recipe"] |= {"machine": "@m", "tool": "-t", "material": "+m"}
    (root / "runs").mkdir(exist_ok=True)
    kept = [{key: value for key, value in line.items() if value not in (None, False)} for line in odd]
    (root / "runs/2026-11.jsonl").write_text("\n".join(map(json.dumps, kept)))
    return root


def test_no_cell_of_exported_runs_is_a_formula(root, tmp_path):
    book = Book.open(root)
    assert export_runs(book, tmp_path / "runs.csv") > 5
    with (tmp_path / "runs.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert not [cell for row in rows for cell in row.values() if is_formula(cell)]
    assert {row["run"][:2] for row in rows} == {"'="}
    assert {"'@m", "'-t", "'+m"} & {row[name] for row in rows for name in TEXTS}


def test_parquet_has_the_texts_as_they_are_and_the_fit_of_it_those_of_the_log(root, tmp_path):
    parquet = pytest.importorskip("pyarrow.parquet")
    export_runs(Book.open(root), tmp_path / "runs.parquet")
    assert all(
        run.startswith("=") for run in parquet.read_table(tmp_path / "runs.parquet")["run"].to_pylist()
    )
    assert not any(
        part.startswith("'") for key in read_archive(tmp_path / "runs.parquet").sums.cells for part in key
    )


@pytest.mark.parametrize("name", tables.names())
def test_no_cell_of_a_printed_table_is_a_formula(name, run_cli):
    rows = csv.reader(io.StringIO(run_cli("table", name, "--csv").stdout))
    assert not [cell for row in rows for cell in row if is_formula(cell)]


def test_no_cell_of_a_map_is_a_formula(make_book, tmp_path, run_cli):
    path = tmp_path / "map.csv"
    assert run_cli("map", RECIPE, "--points", "12", "--csv", path, "--book", make_book()).returncode == 0
    with path.open(newline="") as file:
        assert not [cell for row in csv.reader(file) for cell in row if is_formula(cell)]
