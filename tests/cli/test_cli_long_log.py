"""Long logs at the command line: the same words and the same JSON, whatever the length."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.long_logs import long_book
from swarfbook import resources
from swarfbook.book import Book, jsonl, months
from swarfbook.cli.options import print_json, print_json_with
from swarfbook.decisions.runs import run_json

DEMO = str(resources.demo_book_dir())
RECIPE = "long-bed-6mm-6082-rough"
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner, max_size=3),
    max_leaves=8,
)


@pytest.fixture
def root(tmp_path):
    return long_book(tmp_path / "book", 230, months=5)


@given(st.lists(VALUES, max_size=4))
def test_a_list_printed_piece_by_piece_is_the_list_printed_at_once(items):
    import contextlib
    import io

    told, at_once = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(told):
        print_json_with({"before": [], "runs": [], "after": {"runs": []}}, "runs", iter(items))
    whole = {"before": [], "runs": items, "after": {"runs": []}}
    with contextlib.redirect_stdout(at_once):
        print_json(whole)
    assert told.getvalue() == at_once.getvalue()
    assert json.dumps(json.loads(told.getvalue())) == json.dumps(whole)


def test_runs_prints_every_line_as_its_model_has_it(run_cli, root):
    runs = Book.open(root).runs()
    told = json.loads(run_cli("runs", "--json", "--book", str(root)).stdout)["runs"]
    assert told == json.loads(json.dumps([run_json(run) for run in sorted(runs, key=lambda run: run.at)]))
    lines = run_cli("runs", "--book", str(root)).stdout.splitlines()
    assert len(lines) == 232
    assert lines[:-2] == sorted(lines[:-2], key=lambda line: line[:16], reverse=True)


def test_filters_read_no_line_but_those_they_print(run_cli, root, monkeypatch):
    monkeypatch.setattr(months, "LEAST", 1)
    words = ("runs", "--outcome", "bad", "--last", "3", "--json", "--book", str(root))
    first = run_cli(*words).stdout
    read = []
    original = jsonl._object
    monkeypatch.setattr(jsonl, "_object", lambda line, **told: read.append(1) or original(line, **told))
    assert run_cli(*words).stdout == first
    assert len(read) == 3
    read.clear()
    again = run_cli("check", RECIPE, "--json", "--book", str(root)).stdout
    assert read == []
    monkeypatch.setattr(months, "LEAST", 10**9)
    assert run_cli("check", RECIPE, "--json", "--book", str(root)).stdout == again
    assert len(read) == 230


@pytest.mark.parametrize("words", [("check", RECIPE), ("list",), ("show", RECIPE), ("fit",), ("runs",)])
def test_what_is_kept_changes_no_word(run_cli, root, monkeypatch, words):
    plain = [run_cli(*words, *more, "--book", str(root)).stdout for more in ((), ("--json",))]
    monkeypatch.setattr(months, "LEAST", 1)
    for _ in range(2):
        assert [run_cli(*words, *more, "--book", str(root)).stdout for more in ((), ("--json",))] == plain


def test_sums_of_two_books_merge_and_a_bad_file_is_one_line(run_cli, root, tmp_path):
    sums = tmp_path / "sums.json"
    run_cli("fit", "--save", str(sums), "--book", str(root))
    merged = json.loads(run_cli("fit", "--merge", str(sums), "--json", "--book", DEMO).stdout)
    own = json.loads(run_cli("fit", "--json", "--book", DEMO).stdout)
    other = json.loads(run_cli("fit", "--json", "--book", str(root)).stdout)
    for one, two, both in zip(own["parts"], other["parts"], merged["parts"], strict=True):
        assert both["runs"] == one["runs"] + two["runs"]
    sums.write_text(sums.read_text().replace('"names": "', '"names": "AAAA'))
    done = run_cli("fit", "--merge", str(sums), "--book", DEMO)
    assert done.returncode == 2
    assert (
        done.stderr
        == f"swarfbook: {sums}: months.1.names: not the names of as many runs; save the sums anew\n"
    )


def test_export_writes_what_fit_reads(run_cli, root, tmp_path):
    done = run_cli("export", "runs", str(tmp_path / "runs.csv"), "--book", str(root))
    assert done.stdout == f"230 runs written to {tmp_path / 'runs.csv'}\n"
    pytest.importorskip("pyarrow")
    path = str(tmp_path / "runs.parquet")
    told = json.loads(run_cli("export", "runs", path, "--json", "--book", str(root)).stdout)
    assert told == {"file": path, "runs": 230}
    whole = json.loads(run_cli("fit", "--json", "--book", str(root)).stdout)
    read = json.loads(run_cli("fit", "--archive", path, "--json", "--book", str(root)).stdout)
    assert read["parts"] == whole["parts"]
    assert (read["runs"], read["spread"]) == ([], whole["spread"])
    refused = run_cli("fit", "--archive", path, "--merge", path, "--book", str(root))
    assert (refused.returncode, "without --merge and --save" in refused.stderr) == (2, True)


def test_a_long_drawing_says_that_it_shows_some(run_cli, root, monkeypatch):
    monkeypatch.setattr("swarfbook.reports.fit_page.MOST_DRAWN", 50)
    assert "one run in 3 is drawn" in run_cli("fit", "--book", str(root)).stdout
