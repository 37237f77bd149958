"""The run log: read in order, and a bad line costs nobody the others."""

from __future__ import annotations

import json

import pytest

from support.books import RUN
from swarfbook.book import Book


def line(name, **changes):
    return json.dumps(RUN | {"id": name} | changes)


@pytest.fixture
def root(make_book):
    return make_book()


def test_runs_are_read_month_by_month_in_order(root):
    (root / "runs/2026-11.jsonl").write_text(f"{line('c')}\n\n{line('d')}\n")
    (root / "runs/2026-10.jsonl").write_bytes(b"\xef\xbb\xbf" + f"{line('a')}\r\n{line('b')}".encode())
    (root / "runs/.2026-12.jsonl.tmp").write_text("half")
    book = Book.open(root)
    assert [run.id for run in book.runs()] == ["a", "b", "c", "d"]
    assert book.run_log().problems == ()


def test_a_book_without_a_log_has_no_runs(root):
    (root / "runs").rmdir()
    log = Book.open(root).run_log()
    assert (log.lines, log.problems) == ((), ())


@pytest.mark.parametrize(
    ("bad", "told"),
    [
        (
            '{"schema": "run/1", "id',
            'found \'{"schema": "run/1", "id\'; broken JSON; a line that was cut off may be taken out',
        ),
        ("[1]", "found '[1]'; a run is a JSON object"),
        ("7", "found '7'; a run is a JSON object"),
        ("[" * 5000, f"found '{'[' * 58}…; broken JSON; a line that was cut off may be taken out"),
        ('{"a": NaN}', "found '{\"a\": NaN}'; broken JSON; a line that was cut off may be taken out"),
        ('{"a": 1' + "0" * 5000 + "}", "broken JSON"),
        ("x" * 70_000, "this line is longer than 64 KiB, which no run needs"),
        (line("x", minutes=None), "minutes: missing; write for example minutes = 12.5"),
        (line("x", schema="run/2"), "schema: found 'run/2'; write \"run/1\" if this is a run"),
        (line("x", minutes=float("inf")), "broken JSON"),
    ],
    ids=lambda text: text[-24:],
)
def test_a_bad_line_is_told_and_the_others_are_read(root, bad, told):
    (root / "runs/2026-11.jsonl").write_text(f"{line('a')}\n{bad}\n{line('b')}\n")
    log = Book.open(root).run_log()
    runs, problems = log.in_force, log.problems
    assert [run.id for run in runs] == ["a", "b"]
    [problem] = problems
    assert str(problem).startswith("runs/2026-11.jsonl line 2: ")
    assert told in str(problem)


def test_a_torn_last_line_is_told_not_fatal(root):
    (root / "runs/2026-11.jsonl").write_text(f"{line('a')}\n{line('b')[:40]}")
    log = Book.open(root).run_log()
    runs, [problem] = log.in_force, log.problems
    assert [run.id for run in runs] == ["a"]
    assert problem.where == "runs/2026-11.jsonl line 2"


def test_a_log_that_does_not_read_at_all_is_told(root):
    (root / "runs/2026-10.jsonl").write_bytes(b"\xff\xfe")
    (root / "runs/2026-11.jsonl").write_text(line("a"))
    (root / "runs/2026-12.jsonl").mkdir()
    log = Book.open(root).run_log()
    runs, problems = log.in_force, log.problems
    assert [run.id for run in runs] == ["a"]
    assert [str(problem) for problem in problems] == [
        "runs/2026-10.jsonl line 1: not UTF-8; save the file as UTF-8",
        "runs/2026-12.jsonl: this is not a file",
    ]
