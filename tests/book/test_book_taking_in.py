"""A whole book taken in at once: all of it or nothing, whenever it dies, and each run once."""

from __future__ import annotations

import json

import pytest

from support.books import RECIPE, RUN, TOOL, values
from support.cut_off import KilledError, dying
from swarfbook.book import Book, saving_all, taking_in, unfinished
from swarfbook.book.editing import new_document
from swarfbook.book.reading import sha256
from swarfbook.book.taking_in import Plan, take_in
from swarfbook.book.unfinished import Change
from swarfbook.errors import SwarfbookError

NEW = "# theirs\n" + new_document("tool", values("tool", {"name": "another"}))
LINES = [{**RUN, "recipe": RECIPE, "id": name} for name in ("one", "two")]
RENAME = {"schema": "rename/1", "kind": "recipe", "from": "a", "to": "b", "at": "2026-01-01T00:00:00+00:00"}
LOG = f"runs/{RUN['at'][:7]}.jsonl"


@pytest.fixture
def book(make_book):
    return Book.open(make_book())


def whole(book):
    before = (book.root / "book.toml").read_bytes()
    return Plan(
        [Change("tool", "new", None, NEW)],
        before.decode() + "# theirs\n",
        sha256(before),
        {"one.csv": "eA=="},
        {LOG: LINES, "renames.jsonl": [RENAME]},
    )


def stands(book):
    root = book.root
    return [
        (root / "tools/new.toml").is_file(),
        (root / "book.toml").read_text().endswith("# theirs\n"),
        (root / "runs/meters/one.csv").is_file(),
        [run.id for run in Book.open(root).run_log().lines] == ["one", "two"],
        (root / "renames.jsonl").is_file(),
    ]


def test_all_of_it_is_written_and_once(book):
    take_in(book, whole(book))
    assert all(stands(book))
    again = Plan([], None, None, {}, {LOG: [*LINES, {**LINES[0], "id": "three"}], "renames.jsonl": [RENAME]})
    take_in(book, again)
    assert [run.id for run in Book.open(book.root).run_log().lines] == ["one", "two", "three"]
    assert len((book.root / "renames.jsonl").read_text().splitlines()) == 1
    assert [one.data.decode() for one in book.history.states("tool", "new")] == [NEW]


@pytest.mark.parametrize("step", range(9))
def test_cut_off_at_any_step_none_or_all_stands_after_the_next_opening(book, monkeypatch, step):
    plan = whole(book)
    with monkeypatch.context() as patch:
        names = ("begin", "write_atomically", "append_lines", "flush_folder", "end")
        taken = dying(patch, (saving_all, taking_in, unfinished), names, step)
        with pytest.raises(KilledError):
            take_in(book, plan)
    assert len(taken) == step
    Book.open(book.root)
    assert stands(book) == [step > 1] * 5
    assert not (book.root / ".swarfbook/renaming.json").exists()


def test_a_torn_line_is_left_and_the_run_stands_once(book):
    (book.root / "runs").mkdir(exist_ok=True)
    (book.root / LOG).write_text(json.dumps(LINES[0]) + "\n" + json.dumps(LINES[1])[:40])
    take_in(book, whole(book))
    lines = (book.root / LOG).read_text().splitlines()
    assert [json.loads(line)["id"] for line in (lines[0], lines[2])] == ["one", "two"]
    assert len(lines) == 3


@pytest.mark.parametrize(
    "spoilt",
    [
        {"lines": {"book.toml": [{}]}},
        {"lines": {LOG: [1]}},
        {"lines": {"runs/../../x.jsonl": [{}]}},
        {"meters": {"../x.csv": ""}},
        {"meters": {"x.csv": "?"}},
        {"settings": 1},
        {"changes": [{"kind": "tool", "id": "../x", "before": None, "text": ""}]},
        {"more": 1},
    ],
)
def test_a_note_nobody_left_writes_nothing(book, spoilt):
    note = {
        "schema": "taking-in/1", "changes": [], "settings": None, "settings_before": None, "meters": {},
        "lines": {}, **spoilt,
    }  # fmt: skip
    (book.root / ".swarfbook").mkdir(exist_ok=True)
    (book.root / ".swarfbook/renaming.json").write_text(json.dumps(note))
    with pytest.raises(SwarfbookError, match="take the file away"):
        Book.open(book.root)
    assert book.ids("tool") == [TOOL]
