"""What `log` and `runs --run` print after a bad run."""

from __future__ import annotations

import json
import re

from support.books import RECIPE


def test_log_prints_it_after_a_bad_run_and_runs_again(make_book, run_cli):
    book = ("--book", str(make_book()))
    words = ("log", RECIPE, "--minutes", "4", "--outcome", "stalled", "--cutter", "no. 3")
    done = run_cli(*words, *book)
    assert done.returncode == 0, done.stderr
    assert "After this run: stalled" in done.stdout
    name = re.search(r"logged (\S+):", done.stdout)[1]
    again = run_cli("runs", "--run", name, *book)
    page = done.stdout.partition("After this run")[2]
    assert page.strip()
    assert again.stdout.partition("After this run")[2] == page
    told = json.loads(run_cli("runs", "--run", name, "--json", *book).stdout)
    assert told["aftermath"]["outcome"] == "stalled"
    line = json.loads(run_cli(*words, "--json", *book).stdout)
    assert "aftermath" not in line


def test_a_clean_run_and_one_without_a_snapshot_have_none(make_book, run_cli):
    root = make_book()
    book = ("--book", str(root))
    done = run_cli("log", RECIPE, "--minutes", "4", "--outcome", "clean", *book)
    assert "After this run" not in done.stdout
    name = re.search(r"logged (\S+):", done.stdout)[1]
    assert "aftermath" not in json.loads(run_cli("runs", "--run", name, "--json", *book).stdout)
    log = next((root / "runs").glob("*.jsonl"))
    bare = {"schema": "run/1", "id": "bare", "at": "2026-11-02T14:30:00+00:00", "recipe": RECIPE}
    log.write_text(log.read_text() + json.dumps(bare | {"minutes": 3, "outcome": "chatter"}) + "\n")
    shown = run_cli("runs", "--run", "bare", *book)
    assert shown.returncode == 0
    assert "After this run" not in shown.stdout


def test_correct_prints_it_of_what_went_wrong_after_all(make_book, run_cli):
    book = ("--book", str(make_book()))
    name = re.search(
        r"logged (\S+):", run_cli("log", RECIPE, "--minutes", "4", "--outcome", "clean", *book).stdout
    )[1]
    done = run_cli("correct", name, "--outcome", "stalled", *book)
    assert done.returncode == 0, done.stderr
    first, _, page = done.stdout.partition("After this run: stalled")
    now = re.search(r"is replaced by (\S+); its own line stays in the log", first)[1]
    assert page.strip()
    again = run_cli("runs", "--run", now, *book)
    assert again.stdout.partition("After this run: stalled")[2] == page
    plain = run_cli("correct", now, "--minutes", "5", "--plain", *book).stdout
    assert plain.isascii()
    last = re.search(r"is replaced by (\S+);", plain)[1]
    clean = run_cli("correct", last, "--outcome", "clean", *book)
    assert clean.returncode == 0
    assert "After this run" not in clean.stdout
