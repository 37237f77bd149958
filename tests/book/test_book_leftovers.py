"""What saves that were cut off left behind: found, kept where it is whole, and never one under way."""

from __future__ import annotations

import pytest

from support.books import MACHINE, RECIPE, to_toml, values
from swarfbook.book import Book, leftovers
from swarfbook.book.leftovers import Leftover, settle
from swarfbook.book.locking import locked
from swarfbook.errors import SwarfbookError

WHOLE = to_toml(values("recipe", {"axial_depth": "1 mm"}))


@pytest.fixture
def book(make_book):
    return Book.open(make_book())


def leave(book, name, text):
    path = book.root / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text)
    return name


def found(book):
    return [one.where for one in leftovers.leftovers(book.root)]


def test_they_are_found_wherever_a_save_writes_and_nothing_else_is(book):
    left = [
        leave(book, f"recipes/.{RECIPE}.toml.0a1b2c3d.tmp", WHOLE),
        leave(book, "runs/meters/.x.csv.0a1b2c3d.tmp", ""),
        leave(book, ".swarfbook/.renaming.json.0a1b2c3d.tmp", "{"),
        leave(book, f".swarfbook/history/recipe/.{RECIPE}.states.0a1b2c3d.tmp", ""),
        leave(book, ".swarfbook/deleted/recipe/.x.20261128T000000000000.toml.0a1b2c3d.tmp", ""),
    ]
    for name in ("recipes/.notes.tmp", "recipes/plain.tmp", f"recipes/.{RECIPE}.toml.swp", "recipes/.a.b"):
        leave(book, name, "")
    (book.root / "recipes/.folder.0a1b2c3d.tmp").mkdir()
    assert found(book) == left
    assert leftovers.leftovers(book.root)[0] == Leftover(left[0], "recipe", RECIPE)
    assert book.ids("recipe") == [RECIPE]


def test_opening_a_book_looks_for_none(book, monkeypatch):
    leave(book, f"recipes/.{RECIPE}.toml.0a1b2c3d.tmp", WHOLE)
    listed = []
    monkeypatch.setattr("os.scandir", listed.append)
    Book.open(book.root)
    assert listed == []


def test_what_is_whole_becomes_a_state_and_can_be_restored(book):
    name = leave(book, f"recipes/.{RECIPE}.toml.0a1b2c3d.tmp", WHOLE)
    new = leave(book, "recipes/.new-one.toml.0a1b2c3d.tmp", WHOLE)
    before = book.path("recipe", RECIPE).read_bytes()
    outcomes = {one.leftover.where: one.state for one in settle(book, keep=True)}
    assert outcomes == {name: 1, new: 1}
    assert found(book) == []
    assert book.path("recipe", RECIPE).read_bytes() == before
    assert [one.how for one in book.history.states("recipe", RECIPE)] == ["cut-off"]
    book.restore_state("recipe", RECIPE, 1)
    book.restore_state("recipe", "new-one", 1)
    assert {book.get("recipe", one).raw["axial_depth"] for one in (RECIPE, "new-one")} == {"1 mm"}
    assert [one.how for one in book.history.states("recipe", RECIPE)] == ["cut-off", "found", "restored"]


def test_it_names_other_records_as_they_were_called_when_it_was_written(book):
    leave(book, f"recipes/.{RECIPE}.toml.0a1b2c3d.tmp", WHOLE)
    book.rename("machine", MACHINE, "bed")
    assert [one.state for one in settle(book, keep=True)] == [3]
    book.restore_state("recipe", RECIPE, 3)
    assert book.get("recipe", RECIPE).raw["machine"] == "bed"


@pytest.mark.parametrize(
    ("text", "outcome"),
    [
        (WHOLE[:100], "removed: not whole"),
        ("", "removed: not whole"),
        (WHOLE + "x = 1\n", "removed: not whole"),
        ("x" * 300_000, "removed: not whole"),
    ],
)
def test_what_is_not_whole_is_only_taken_away(book, text, outcome):
    leave(book, f"recipes/.{RECIPE}.toml.0a1b2c3d.tmp", text)
    assert [(one.state, one.outcome) for one in settle(book, keep=True)] == [(None, outcome)]
    assert found(book) == []
    assert book.history.states("recipe", RECIPE) == ()


def test_what_holds_nothing_new_is_only_taken_away(book):
    leave(book, f"recipes/.{RECIPE}.toml.0a1b2c3d.tmp", book.path("recipe", RECIPE).read_text())
    assert [(one.state, one.outcome) for one in settle(book, keep=True)] == [
        (None, "removed: nothing new in it")
    ]
    book.save("recipe", RECIPE, {"axial_depth": "2 mm"}, seen=book.get("recipe", RECIPE).sha)
    leave(book, f"recipes/.{RECIPE}.toml.0a1b2c3d.tmp", to_toml(values("recipe")))
    assert [(one.state, one.outcome) for one in settle(book, keep=True)] == [
        (None, "removed: nothing new in it")
    ]


def test_those_of_caches_are_taken_away_and_not_told(book):
    for name in (".swarfbook/.recipes.json.0a1b2c3d.tmp", ".swarfbook/log/.2026-11.jsonl.npz.0a1b2c3d.tmp"):
        leave(book, name, "{")
    assert found(book) == []
    assert [one.outcome for one in settle(book, keep=False)] == ["removed"] * 2
    assert list((book.root / ".swarfbook").rglob(".*.tmp")) == []


def test_removing_keeps_nothing(book):
    leave(book, f"recipes/.{RECIPE}.toml.0a1b2c3d.tmp", WHOLE)
    assert [(one.state, one.outcome) for one in settle(book, keep=False)] == [(None, "removed")]
    assert found(book) == []
    assert book.history.states("recipe", RECIPE) == ()


def test_what_cannot_be_kept_is_left_as_it_is(book, monkeypatch):
    name = leave(book, f"recipes/.{RECIPE}.toml.0a1b2c3d.tmp", WHOLE)

    def full(*_args, **_kwargs):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("swarfbook.book.history.History._write", full)
    assert [one.outcome for one in settle(book, keep=True)] == ["left as it is: no space left on device"]
    assert found(book) == [name]


def test_a_save_under_way_is_no_leftover(book, monkeypatch):
    name = leave(book, f"recipes/.{RECIPE}.toml.0a1b2c3d.tmp", WHOLE)

    def other_done(root):
        (book.root / name).unlink()  # the other program is done when its lock is to be had
        return locked(root)

    monkeypatch.setattr(leftovers, "locked", other_done)
    assert found(book) == []


def test_the_demo_is_left_alone(book, monkeypatch):
    monkeypatch.setattr(book, "built_in", True)
    with pytest.raises(SwarfbookError, match="demo"):
        settle(book, keep=False)
