"""Adding to the run log: whole lines or none, nothing that stands there touched, whoever else adds."""

from __future__ import annotations

import json
import multiprocessing
import os
import random
import signal
import subprocess
import sys
import time

import pytest

from support.books import RECIPE, RUN
from swarfbook.book import Book, jsonl, runlog
from swarfbook.book.runlog import in_force
from swarfbook.errors import SwarfbookError
from swarfbook.records import parse

MONTH = "runs/2026-11.jsonl"


def line(name, **changes):
    return RUN | {"id": name} | changes


@pytest.fixture
def book(make_book):
    return Book.open(make_book())


def ids(book):
    return [run.id for run in book.runs()]


def test_a_run_is_added_at_the_end_and_nothing_before_it_changes(book):
    book.log(line("a"))
    before = (book.root / MONTH).read_bytes()
    book.log(line("b"))
    assert (book.root / MONTH).read_bytes().startswith(before)
    assert ids(book) == ["a", "b"]


def test_a_line_that_was_cut_off_is_left_and_not_joined(book):
    (book.root / MONTH).write_text(json.dumps(line("a")) + "\n" + '{"schema": "run/1", "id')
    book.log(line("b"))
    assert ids(book) == ["a", "b"]
    assert len(book.run_log().problems) == 1


@pytest.mark.parametrize("before", ["", json.dumps(line("a")) + "\n", json.dumps(line("a"))])
def test_a_disk_that_fills_half_way_leaves_the_log_as_it_was(book, monkeypatch, before):
    (book.root / MONTH).write_text(before)
    write = os.write
    monkeypatch.setattr(jsonl.os, "write", lambda handle, data: write(handle, data[: len(data) // 2]))
    with pytest.raises(SwarfbookError, match=r"runs/2026-11\.jsonl: this cannot be written: no space left"):
        book.log(line("b"))
    assert (book.root / MONTH).read_text() == before


def test_a_disk_that_refuses_is_told(book, monkeypatch):
    def refuse(_handle):
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(jsonl.os, "fsync", refuse)
    with pytest.raises(SwarfbookError, match="this cannot be written: input/output error"):
        book.log(line("b"))
    assert ids(book) == []


def test_one_byte_is_read_however_long_the_log(book, monkeypatch):
    (book.root / MONTH).write_text((json.dumps(line("a")) + "\n") * 1000)
    reads = []
    pread = os.pread
    monkeypatch.setattr(jsonl.os, "pread", lambda *given: reads.append(given[1]) or pread(*given))
    book.log(line("b"))
    assert reads == [1]


def test_a_line_no_reader_takes_is_refused(book):
    with pytest.raises(SwarfbookError, match="more than 64 KiB; write less in the note"):
        book.log(line("a", note="é" * 40_000))
    with pytest.raises(SwarfbookError, match="outcome"):
        book.log(line("a", outcome="fine"))
    assert ids(book) == []


def test_files_are_kept_beside_and_stand_before_their_line_does(book, monkeypatch):
    seen = []
    append = runlog.append_line
    kept = book.root / "runs/meters/a.csv"
    monkeypatch.setattr(
        runlog, "append_line", lambda *given, **told: seen.append(kept.read_bytes()) or append(*given, **told)
    )
    book.log(line("a"), files={"csv": b"time,power\n"})
    assert seen == [b"time,power\n"]


def test_the_log_is_read_again_only_when_it_changed(book):
    book.log(line("a"))
    first = book.runs()
    assert book.runs() is first
    book.log(line("b"))
    assert [run.id for run in book.runs()] == ["a", "b"]


def test_months_that_have_not_changed_are_not_read_again(book, monkeypatch):
    for month in ("2026-09", "2026-10", "2026-11"):
        book.log(line(month, at=f"{month}-03T12:00:00+00:00"))
    book.runs()
    read = []
    lines = runlog.read_lines
    monkeypatch.setattr(
        runlog, "read_lines", lambda path, **told: read.append(path.stem) or lines(path, **told)
    )
    book.log(line("more", at="2026-10-04T12:00:00+00:00"))
    assert ids(book) == ["2026-09", "2026-10", "more", "2026-11"]
    assert read == ["2026-10"]


def test_a_rename_has_every_month_told_anew(book):
    book.log(line("a", recipe=RECIPE, snapshot={}, at="2026-10-03T12:00:00+00:00"))
    assert [run.recipe for run in book.runs()] == [RECIPE]
    book.rename("recipe", RECIPE, "anew")
    assert [run.recipe for run in book.runs()] == ["anew"]


def _add(root, who, count):
    book = Book.open(root)
    for number in range(count):
        book.log(line(f"{who}-{number}"))


def test_several_programs_add_at_once_and_no_line_is_lost_or_mixed(book):
    context = multiprocessing.get_context("spawn")
    writers = [context.Process(target=_add, args=(book.root, who, 20)) for who in "abcd"]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert sorted(ids(book)) == sorted(f"{who}-{number}" for who in "abcd" for number in range(20))
    assert book.run_log().problems == ()


ADDING = """
import sys
from pathlib import Path
from support.books import RECIPE, RUN
from swarfbook.book import Book
book = Book.open(Path(sys.argv[1]))
for number in range(100000):
    book.log(RUN | {"id": f"{sys.argv[2]}-{number}"})
    print(f"{sys.argv[2]}-{number}", flush=True)
"""


def test_killed_at_any_moment_what_was_logged_is_there_whole(book, request):
    rounds = 40 if request.config.getoption("--long") else 3
    told: list[str] = []
    for turn in range(rounds):
        words = [sys.executable, "-c", ADDING, str(book.root), f"r{turn}"]
        with subprocess.Popen(words, stdout=subprocess.PIPE, text=True, cwd="tests") as writer:
            told.append(writer.stdout.readline().strip())
            time.sleep(random.Random(turn).uniform(0, 0.05))
            writer.send_signal(signal.SIGKILL)
            told += writer.stdout.read().split("\n")[:-1]
    assert set(filter(None, told)) <= set(ids(book))
    assert book.run_log().problems == ()


def runs(*lines):
    return [parse("run", each, where="") for each in lines]


def told(*lines):
    return [run.id for run in in_force(runs(*lines))]


def test_a_correction_stands_in_place_of_what_it_corrects():
    assert told(line("a"), line("b"), line("c", replaces="a")) == ["b", "c"]


def test_of_two_corrections_of_one_run_the_later_line_counts():
    assert told(line("a"), line("b", replaces="a"), line("c", replaces="a")) == ["c"]


def test_a_correction_may_be_corrected_and_withdrawn():
    assert told(line("a"), line("b", replaces="a"), line("c", replaces="b")) == ["c"]
    assert told(line("a"), line("b", replaces="a", withdrawn=True)) == []


def test_the_same_run_twice_counts_once():
    assert told(line("a"), line("b"), line("a")) == ["a", "b"]


def test_recent_runs_are_the_last_whole_lines(book):
    for number in range(30):
        book.log(line(f"n{number:02d}"))
    size = (book.root / MONTH).stat().st_size // 30
    assert [run.id for run in book.recent_runs(3 * size + 5)] == ["n27", "n28", "n29"]
    assert len(book.recent_runs(10**9)) == 30
