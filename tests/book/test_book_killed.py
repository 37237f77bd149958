"""Real processes: killed at any moment, and two of them at once; nothing is lost and conflicts are told."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from support.books import make_book, values
from support.sharing import SHARED, depth
from swarfbook.book import Book

TESTS = Path(__file__).parents[1]


def words(module, *given):
    return [sys.executable, "-m", f"support.{module}", *map(str, given)]


@pytest.mark.skipif(not hasattr(os, "fork"), reason="children are forked")
def test_killed_at_any_moment_all_that_was_done_is_there_and_of_the_rest_all_or_nothing(tmp_path, request):
    kills = 10_000 if request.config.getoption("--long") else 30
    done = subprocess.run(
        words("killing", tmp_path, 1, kills), cwd=TESTS, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr[-3000:]
    seen = json.loads(done.stdout)
    assert seen["kills"] == kills
    assert min(seen["done"], seen["under way"]) > kills / 2


def test_two_processes_at_once_lose_nothing_and_tell_every_conflict(tmp_path, request):
    rounds = 1000 if request.config.getoption("--long") else 50
    book = Book.open(make_book(tmp_path))
    book.save("recipe", SHARED, values("recipe"), seen=None)
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True, "bufsize": 1}
    with (
        subprocess.Popen(words("sharing", tmp_path, "a"), cwd=TESTS, **pipes) as first,
        subprocess.Popen(words("sharing", tmp_path, "b"), cwd=TESTS, **pipes) as second,
    ):
        winners = [one_round(book, turn, {"a": first, "b": second}) for turn in range(rounds)]
    runs = {run.id for run in book.runs()}
    assert runs == {f"{name}-{turn}" for name in "ab" for turn in range(rounds)}
    assert book.run_log().problems == ()
    for record, wrote in ((SHARED, winners), ("of-a", "a" * rounds), ("of-b", "b" * rounds)):
        depths = [f'"{depth(name, turn)}"' for turn, name in enumerate(wrote)][-49:]
        states = [one.data.decode() for one in book.history.states("recipe", record)]
        assert all(value in state for value, state in zip(depths, states[-len(depths) :], strict=True))


def one_round(book, turn, writers):
    """Let both write at once; give who wrote the shared recipe."""
    for writer in writers.values():
        writer.stdin.write(f"{turn}\n")
    assert [writer.stdout.readline() for writer in writers.values()] == ["ready\n"] * 2
    for writer in writers.values():
        writer.stdin.write("go\n")
    outcomes = {name: writer.stdout.readline().strip() for name, writer in writers.items()}
    assert sorted(outcomes.values()) == ["conflict", "saved"]
    (winner,) = (name for name, outcome in outcomes.items() if outcome == "saved")
    assert book.get("recipe", SHARED).raw["axial_depth"] == depth(winner, turn)
    for name in writers:
        assert book.get("recipe", f"of-{name}").raw["axial_depth"] == depth(name, turn)
    return winner
