"""`swarfbook export`: what it writes, and what it says where it cannot."""

from __future__ import annotations

import json
import sys

import pytest

from support.books import TOOL


@pytest.fixture
def run(run_cli, make_book, tmp_path):
    root = make_book()
    return lambda *words: run_cli("export", *words, "--book", root, cwd=tmp_path)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("tools", "x.toml"), "x.toml: write a name that ends in .csv, .xlsx, .parquet or .json"),
        (("runs", "x"), "x: write a name that ends in .parquet, .csv, .xlsx or .json"),
        (("book", "x.csv"), "x.csv: write a name that ends in .json"),
        (("runs", "x.csv", "--si"), "--si is for records"),
        (("tools", "nowhere/x.csv"), "this cannot be written: no such file or directory"),
    ],
)
def test_what_cannot_be_written_is_told(run, words, told):
    done = run(*words)
    assert (done.returncode, told in done.stderr) == (2, True), done.stderr


@pytest.mark.parametrize(
    ("name", "module", "extra"), [("x.xlsx", "openpyxl", "spreadsheets"), ("x.parquet", "pyarrow", "archive")]
)
def test_what_a_format_needs_is_told(run, monkeypatch, tmp_path, name, module, extra):
    monkeypatch.setitem(sys.modules, module, None)
    done = run("tools", name)
    assert (done.returncode, f"it needs more: pip install 'swarfbook[{extra}]'" in done.stderr) == (2, True)
    assert not (tmp_path / name).exists()


def test_what_does_not_read_is_left_out_and_told(run, tmp_path):
    path = tmp_path / "book/tools/broken.toml"
    path.write_text('schema = "tool/1"\n')
    done = run("tools", "x.json", "--json")
    assert (done.returncode, json.loads(done.stdout)) == (1, {"file": "x.json", "tools": 1})
    assert "swarfbook: not written: tools/broken.toml: name: missing" in done.stderr
    assert [one["id"] for one in json.loads((tmp_path / "x.json").read_text())["tools"]] == [TOOL]


def test_a_note_longer_than_a_cell_is_told_not_cut(run, tmp_path):
    path = next((tmp_path / "book/recipes").glob("*.toml"))
    path.write_text(path.read_text() + f'notes = "{"x" * 40_000}"\n')
    done = run("recipes", "x.xlsx")
    assert (done.returncode, "a cell holds at most 32767 letters; write .csv or .json" in done.stderr) == (
        2,
        True,
    )
    assert run("recipes", "x.csv").returncode == 0


def test_a_book_without_tools_gives_the_headings_that_must_stand(run, tmp_path):
    (tmp_path / f"book/tools/{TOOL}.toml").unlink()
    assert run("tools", "x.csv").stdout == "0 tools written to x.csv\n"
    assert (tmp_path / "x.csv").read_text().startswith("id,name,shape,diameter,flutes,helix,flute_length,")
