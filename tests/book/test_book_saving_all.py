"""Many records saved at once: all of them or none, whenever it dies."""

from __future__ import annotations

import json

import pytest

from support.books import RECIPE, values
from support.cut_off import KilledError, dying
from swarfbook.book import Book, saving_all, unfinished
from swarfbook.book.saving_all import Saving, save_all
from swarfbook.errors import ConflictError, SwarfbookError

STEPS = ["begin", *3 * ["write_atomically"], "end"]


@pytest.fixture
def book(make_book):
    return Book.open(make_book())


def three(book):
    """Give two new recipes and a change of one that is there."""
    new = [Saving(name, values("recipe", {"name": name}), None) for name in ("one", "two")]
    return [*new, Saving(RECIPE, {"stickout": "23 mm"}, book.get("recipe", RECIPE).sha)]


def test_all_are_written_with_comments_and_history_kept(book):
    path = book.path("recipe", RECIPE)
    path.write_text("# mine\n" + path.read_text())
    before = path.read_bytes()
    save_all(book, "recipe", three(book))
    assert book.ids("recipe") == sorted(["one", "two", RECIPE])
    assert path.read_text().startswith("# mine\n")
    assert book.get("recipe", RECIPE).raw["stickout"] == "23 mm"
    states = [one.data for one in book.history.states("recipe", RECIPE)]
    assert states == [before, path.read_bytes()]
    assert [one.how for one in book.history.states("recipe", "one")] == ["saved"]
    assert not (book.root / ".swarfbook/renaming.json").exists()


@pytest.mark.parametrize("step", range(len(STEPS)))
def test_cut_off_at_any_step_none_or_all_stand_after_the_next_opening(book, monkeypatch, step):
    with monkeypatch.context() as patch:
        # The first write is the note's own.
        names = ("begin", "write_atomically", "end")
        taken = dying(patch, (saving_all, unfinished), names, step + (step > 0))
        with pytest.raises(KilledError):
            save_all(book, "recipe", three(book))
    assert [name for at, name in enumerate(taken) if at != 1] == STEPS[:step]
    again = Book.open(book.root)
    assert again.ids("recipe") == sorted(["one", "two", RECIPE] if step else [RECIPE])
    assert (again.get("recipe", RECIPE).raw["stickout"] == "23 mm") == (step > 0)
    assert len(again.history.states("recipe", "two")) == (step > 0)
    assert not (book.root / ".swarfbook/renaming.json").exists()


def test_what_was_edited_after_the_cut_stays(book, monkeypatch):
    with monkeypatch.context() as patch:
        dying(patch, (unfinished,), ("write_atomically",), 1)
        with pytest.raises(KilledError):
            save_all(book, "recipe", three(book))
    path = book.path("recipe", RECIPE)
    path.write_text(path.read_text() + "# mine\n")
    again = Book.open(book.root)
    assert path.read_text().endswith("# mine\n")
    assert again.get("recipe", RECIPE).raw["stickout"] != "23 mm"
    assert again.has("recipe", "two")


def test_every_problem_is_told_and_nothing_is_written(book):
    bad = [
        Saving("con", values("recipe"), None),
        Saving("one", values("recipe", {"stickout": "3 furlongs"}), None),
        Saving("two", values("recipe"), None),
        Saving(RECIPE, {}, "0" * 64),
    ]
    with pytest.raises(SwarfbookError) as caught:
        save_all(book, "recipe", bad)
    assert len(caught.value.problems) == 3
    with pytest.raises(ConflictError):
        saving_all.proved_change("recipe", book.path("recipe", RECIPE), {}, "0" * 64, where="x")
    assert book.ids("recipe") == [RECIPE]


@pytest.mark.parametrize(
    "changes",
    [
        None,
        [1],
        [{"kind": "recipe", "id": "../x", "before": None, "text": ""}],
        [{"kind": "runs", "id": "x", "before": None, "text": ""}],
        [{"kind": "recipe", "id": "x", "before": 1, "text": ""}],
        [{"kind": "recipe", "id": "x", "before": None, "text": "\udcff"}],
    ],
)
def test_a_note_nobody_left_writes_nothing(book, changes):
    (book.root / ".swarfbook").mkdir(exist_ok=True)
    left = {"schema": "importing/1", "changes": changes}
    (book.root / ".swarfbook/renaming.json").write_text(json.dumps(left))
    with pytest.raises(SwarfbookError, match="take the file away"):
        Book.open(book.root)
    assert book.ids("recipe") == [RECIPE]
