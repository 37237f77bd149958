"""Runs as a table of their own: every run that counts, and the same fit from it."""

from __future__ import annotations

import csv
import json
from datetime import datetime

import pytest

from support.long_logs import demo_lines, long_book
from swarfbook import resources
from swarfbook.book import Book
from swarfbook.decisions import archive
from swarfbook.decisions.archive import COLUMNS, NUMBERS, export_runs, read_archive
from swarfbook.decisions.fit import fit, fit_archive, fit_json
from swarfbook.errors import SwarfbookError

DEMO = Book.open(resources.demo_book_dir())
FOUND = fit(DEMO)


def rows_of(path):
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_a_csv_has_every_run_that_counts_to_the_last_bit(tmp_path):
    assert export_runs(DEMO, tmp_path / "runs.csv") == len(DEMO.runs())
    rows = rows_of(tmp_path / "runs.csv")
    assert tuple(rows[0]) == COLUMNS
    runs = {run.id: run for run in DEMO.runs()}
    fitted = {one.run: one for one in FOUND.runs}
    assert [row["run"] for row in rows] == [run.id for run in sorted(runs.values(), key=lambda run: run.at)]
    for row in rows:
        run, one = runs[row["run"]], fitted.get(row["run"])
        cut = run.snapshot["recipe"]
        assert (row["machine"], row["tool"], row["material"]) == (
            cut["machine"],
            cut["tool"],
            cut["material"],
        )
        assert (row["recipe"], row["outcome"], float(row["minutes"])) == (
            run.recipe,
            run.outcome,
            run.minutes,
        )
        assert datetime.fromisoformat(row["at"]) == run.at
        for name, reading in (("power", run.power), ("idle_power", run.idle_power)):
            assert row[name] == ("" if reading is None else repr(reading.si))
        for name in ("measured", "predicted", "weight"):
            assert row[name] == ("" if one is None else repr(getattr(one, name)))


def test_corrected_runs_are_no_rows(tmp_path):
    book = long_book(tmp_path / "book", 6)
    line = demo_lines()[0] | {"id": "better", "replaces": "run-1", "at": "2020-02-03T04:05:06+01:00"}
    with (book / "runs/2020-02.jsonl").open("a") as file:
        file.write(json.dumps(line) + "\n")
    export_runs(Book.open(book), tmp_path / "runs.csv")
    names = [row["run"] for row in rows_of(tmp_path / "runs.csv")]
    assert sorted(names) == ["better", "run-0", "run-2", "run-3", "run-4", "run-5"]


def test_a_log_without_runs_is_a_head_alone(tmp_path):
    export_runs(Book.open(long_book(tmp_path / "book", 0)), tmp_path / "runs.csv")
    assert (tmp_path / "runs.csv").read_text() == ",".join(COLUMNS) + "\n"


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("runs.xls", "runs.xls: write a name that ends in .parquet or .csv"),
        ("no/runs.csv", "cannot be written: no such file"),
    ],
)
def test_what_cannot_be_written_is_one_line(tmp_path, name, said):
    with pytest.raises(SwarfbookError, match=said) as error:
        export_runs(DEMO, tmp_path / name)
    assert len(str(error.value).splitlines()) == 1


def test_without_its_package_a_format_says_what_to_install(tmp_path, monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "pyarrow", None)
    with pytest.raises(SwarfbookError, match=r"pip install 'swarfbook\[archive\]'"):
        export_runs(DEMO, tmp_path / "runs.parquet")
    with pytest.raises(SwarfbookError, match=r"pip install 'swarfbook\[archive\]'"):
        read_archive(tmp_path / "runs.parquet")


def test_one_month_at_a_time_is_at_hand(tmp_path, monkeypatch):
    sizes = []
    frame = archive._frame
    monkeypatch.setattr(archive, "_frame", lambda *told: sizes.append(len(told[1])) or frame(*told))
    export_runs(Book.open(long_book(tmp_path / "book", 480, months=24)), tmp_path / "runs.csv")
    assert sizes == [20] * 24


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    pytest.importorskip("pyarrow")
    folder = tmp_path_factory.mktemp("archive")
    book = Book.open(long_book(folder / "book", 460, months=7))
    export_runs(book, folder / "runs.parquet")
    return book, folder / "runs.parquet"


def told(book, read):
    found = fit_json(fit_archive(book, read.sums, read.unread))
    return {name: found[name] for name in ("parts", "spread", "run_to_run", "runs_that_teach_nothing")}


def test_an_archive_has_a_group_of_rows_for_each_month_and_reads_as_the_csv(kept, tmp_path):
    import pyarrow.parquet as pq

    book, path = kept
    export_runs(book, tmp_path / "runs.csv")
    rows = rows_of(tmp_path / "runs.csv")
    with pq.ParquetFile(path) as file:
        assert file.num_row_groups == 7
        table = file.read()
    assert tuple(table.column_names) == COLUMNS
    for row, wanted in zip(table.to_pylist(), rows, strict=True):
        assert row["at"] == datetime.fromisoformat(wanted["at"])
        for name in COLUMNS:
            if name != "at":
                text = "" if row[name] is None else repr(row[name]) if name in NUMBERS else row[name]
                assert text == wanted[name]


def test_the_fit_of_an_archive_is_that_of_the_log_bit_for_bit(kept):
    book, path = kept
    whole, read = fit(book), read_archive(path)
    assert read.sums.to_json() == whole.sums.to_json()
    assert told(book, read) == {name: fit_json(whole)[name] for name in told(book, read)}


@pytest.mark.parametrize("scheduler", ["synchronous", "threads"])
def test_dask_finds_the_same(kept, scheduler):
    dask = pytest.importorskip("dask")
    book, path = kept
    with dask.config.set(scheduler=scheduler):
        read = read_archive(path, engine="dask")
    assert read.unread == read_archive(path).unread
    assert read.sums.to_json() == read_archive(path).sums.to_json()
    assert told(book, read) == told(book, read_archive(path))


def test_a_table_package_adds_up_to_the_same_sums(kept):
    import numpy as np
    import pandas as pd

    _, path = kept
    runs = pd.read_parquet(path)
    runs["total"] = runs["weight"] * np.log(runs["measured"] / runs["predicted"])
    runs["square"] = runs["total"] ** 2 / runs["weight"]
    teaching = runs[runs["measured"].notna()].groupby(["material", "tool", "machine"])
    sums = read_archive(path).sums
    assert set(teaching.groups) == set(sums.cells)
    for key, group in teaching:
        cell = sums.cells[key]
        assert cell.runs == len(group)
        for name in ("weight", "total", "square"):
            assert getattr(cell, name) == pytest.approx(group[name].sum(), rel=1e-12, abs=1e-12)


def test_what_is_no_archive_is_one_line(tmp_path):
    pa = pytest.importorskip("pyarrow")
    from pyarrow import parquet

    (tmp_path / "text.parquet").write_text("runs")
    parquet.write_table(pa.table({"run": ["a"]}), tmp_path / "other.parquet")
    for name, said in (
        ("none.parquet", "this cannot be read: "),
        ("text.parquet", "not Parquet; give a file that swarfbook export runs FILE.parquet wrote"),
        ("other.parquet", "no column material; give a file of swarfbook export runs"),
    ):
        with pytest.raises(SwarfbookError, match=said) as error:
            read_archive(tmp_path / name)
        assert len(str(error.value).splitlines()) == 1
