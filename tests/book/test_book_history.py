"""The states of records: what is kept, what brings them back, and that they never stop a save."""

from __future__ import annotations

import errno
import os
import stat
import tomllib
from datetime import UTC, datetime
from pathlib import Path

import pytest

from support.books import JOB, MACHINE, RECIPE, values
from swarfbook.book import Book, history
from swarfbook.errors import SwarfbookError


@pytest.fixture
def book(make_book):
    return Book.open(make_book())


def saved(book, depth, record=RECIPE):
    return book.save("recipe", record, {"axial_depth": depth}, seen=book.get("recipe", record).sha)


def told(book, record=RECIPE, kind="recipe"):
    return [(one.number, one.how, one.of) for one in book.history.states(kind, record)]


def depths(book, record=RECIPE):
    return [tomllib.loads(one.data.decode())["axial_depth"] for one in book.history.states("recipe", record)]


def test_every_save_is_a_state_and_the_first_file_is_one(book):
    before = book.path("recipe", RECIPE).read_bytes()
    saved(book, "2 mm")
    saved(book, "1 mm")
    assert told(book) == [(1, "found", ""), (2, "saved", ""), (3, "saved", "")]
    assert depths(book) == ["3 mm", "2 mm", "1 mm"]
    assert book.history.states("recipe", RECIPE)[0].data == before
    assert book.history.told() == []


def test_a_save_that_changes_nothing_is_no_state(book):
    saved(book, "2 mm")
    saved(book, "2 mm")
    assert depths(book) == ["3 mm", "2 mm"]


def test_what_another_program_wrote_is_kept_before_it_is_written_over(book):
    saved(book, "2 mm")
    path = book.path("recipe", RECIPE)
    theirs = path.read_text().replace('"2 mm"', '"2.5 mm"') + "# theirs\n"
    path.write_text(theirs)
    saved(book, "1 mm")
    assert [how for _, how, _ in told(book)] == ["found", "saved", "found", "saved"]
    assert book.history.states("recipe", RECIPE)[2].data == theirs.encode()


def test_any_bytes_are_kept_as_they_are(book):
    data = b'# caf\xe9 \xed\xb2\x80 \x00\x1b[2J\r\n "\xf0\x9f\x98\x80" \\u00e9\n'
    with pytest.raises(SwarfbookError):
        book.restore_state("recipe", RECIPE, 1)
    book.history.add("recipe", RECIPE, "found", data)
    assert book.history.states("recipe", RECIPE)[0].data == data
    with pytest.raises(SwarfbookError, match=f"recipes/{RECIPE}.toml in state 1: not UTF-8"):
        book.restore_state("recipe", RECIPE, 1)


def test_only_the_last_fifty_are_kept_and_numbers_count_on(book):
    for number in range(60):
        saved(book, f"1.{number:02d}1 mm")
    states = book.history.states("recipe", RECIPE)
    assert [one.number for one in states] == list(range(12, 62))
    assert depths(book)[0] == "1.101 mm"
    size = (book.root / f".swarfbook/history/recipe/{RECIPE}.states").stat().st_size
    assert size < 20 * len(states[-1].data)


def test_a_file_of_states_stays_small_whatever_is_in_them(book, monkeypatch):
    monkeypatch.setattr(history, "MOST_PACKED", 20_000)
    for number in range(12):
        book.history.add("recipe", RECIPE, "saved", os.urandom(3000) + bytes([number]))
        assert (book.root / f".swarfbook/history/recipe/{RECIPE}.states").stat().st_size <= 20_000
    assert told(book)[-1][0] == 12
    assert len(told(book)) >= 2


def test_a_state_comes_back_and_that_is_taken_back_as_well(book):
    path = book.path("recipe", RECIPE)
    first = path.read_bytes()
    saved(book, "2 mm")
    book.restore_state("recipe", RECIPE, 1)
    assert path.read_bytes() == first
    assert told(book)[-1] == (3, "restored", "1")
    book.restore_state("recipe", RECIPE, 2)
    assert depths(book)[-1] == "2 mm"
    with pytest.raises(SwarfbookError, match="found state 9; no such state is kept; states 1 to 4 are"):
        book.restore_state("recipe", RECIPE, 9)


def test_a_deleted_record_keeps_its_states_and_comes_back_by_one(book):
    saved(book, "2 mm")
    book.delete("recipe", RECIPE)
    assert told(book)[-1] == (3, "deleted", "")
    book.restore_state("recipe", RECIPE, 1)
    assert book.get("recipe", RECIPE).raw["axial_depth"] == "3 mm"
    book.delete("recipe", RECIPE)
    book.restore("recipe", RECIPE)
    assert [how for _, how, _ in told(book)[-3:]] == ["restored", "deleted", "brought-back"]


def test_states_follow_a_rename_and_those_that_follow_it_have_a_state(book):
    saved(book, "2 mm")
    book.rename("recipe", RECIPE, "anew")
    assert told(book) == []
    assert told(book, "anew")[-1] == (3, "renamed", RECIPE)
    assert depths(book, "anew") == ["3 mm", "2 mm", "2 mm"]
    book.rename("machine", MACHINE, "bed")
    assert told(book, "anew")[-1] == (4, "followed", f"machine:{MACHINE}")
    assert told(book, "bed", "machine")[-1] == (1, "renamed", MACHINE)


def test_a_rename_finished_after_a_cut_adds_no_state_twice(book):
    before, after = b"machine = 1\n", b"machine = 2\n"
    for _ in range(2):
        book.history.follow("recipe", RECIPE, before, after, of="machine:a", at=datetime.now(UTC))
    assert told(book) == [(1, "found", ""), (2, "followed", "machine:a")]
    book.history.follow("recipe", RECIPE, after, before, of="machine:b", at=datetime.now(UTC))
    book.history.follow("recipe", RECIPE, before, after, of="machine:a", at=datetime.now(UTC))
    assert [one.data for one in book.history.states("recipe", RECIPE)] == [before, after, before, after]


def test_a_state_names_other_records_as_they_are_called_now(book):
    book.save("job", JOB, values("job"), seen=None)
    book.rename("machine", MACHINE, "bed")
    book.rename("recipe", RECIPE, "anew")
    for kind, record in (("recipe", "anew"), ("job", JOB)):
        assert f'"{MACHINE}"'.encode() in book.history.states(kind, record)[0].data
        book.restore_state(kind, record, 1)
        assert book.get(kind, record).raw["machine"] == "bed"
    assert {step["recipe"] for step in book.get("job", JOB).raw["steps"]} == {"anew"}


def test_states_of_an_id_used_before_stay_before_those_of_its_next_record(book):
    book.save("recipe", "old", values("recipe", {"axial_depth": "1 mm"}), seen=None)
    book.delete("recipe", "old")
    saved(book, "2 mm")
    book.rename("recipe", RECIPE, "old")
    assert depths(book, "old") == ["1 mm", "1 mm", "3 mm", "2 mm", "2 mm"]
    assert [number for number, _, _ in told(book, "old")] == [1, 2, 3, 4, 5]


@pytest.mark.parametrize(
    "work",
    [
        lambda book: saved(book, "1 mm"),
        lambda book: book.rename("machine", MACHINE, "bed"),
        lambda book: book.delete("recipe", RECIPE),
        lambda book: book.duplicate("recipe", RECIPE, "twin"),
        lambda book: book.restore_state("recipe", RECIPE, 1),
    ],
    ids=["save", "rename", "delete", "duplicate", "state"],
)
def test_a_history_that_cannot_be_written_stops_nothing_and_is_told_in_a_line(book, monkeypatch, work):
    saved(book, "2 mm")

    def full(*_args, **_kwargs):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(history.History, "_write", full)
    work(book)
    lines = [str(problem) for problem in book.history.told()]
    assert lines
    assert all(
        line.startswith("history of ") and "not kept: no space left on device" in line for line in lines
    )
    assert len(lines) == len(set(lines))
    assert book.history.told() == []


@pytest.mark.parametrize("spoil", [lambda data: data[:-3], lambda data: data[:0], lambda data: b"x" + data])
def test_a_history_that_does_not_read_is_set_aside_and_begun_anew(book, spoil):
    saved(book, "2 mm")
    path = book.root / f".swarfbook/history/recipe/{RECIPE}.states"
    bad = spoil(path.read_bytes())
    path.write_bytes(bad)
    with pytest.raises(SwarfbookError, match="this is no history"):
        book.history.states("recipe", RECIPE)
    saved(book, "1 mm")
    assert depths(book) == ["2 mm", "1 mm"]
    assert path.with_name(f"{RECIPE}.unreadable").read_bytes() == bad
    assert "begun anew" in str(book.history.told()[0])


def test_a_history_that_may_not_be_read_just_now_is_left_alone(book, monkeypatch):
    saved(book, "2 mm")
    path = book.root / f".swarfbook/history/recipe/{RECIPE}.states"
    before, plain = path.read_bytes(), Path.read_bytes

    def refused(self):
        if self == path:
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
        return plain(self)

    with monkeypatch.context() as patch:
        patch.setattr(Path, "read_bytes", refused)
        saved(book, "1 mm")
        assert str(book.history.told()[0]) == f"history of {RECIPE}: not kept: permission denied"
    assert path.read_bytes() == before
    assert not list(path.parent.glob("*.unreadable"))


def test_a_private_record_has_a_private_history_that_git_passes_over(book):
    book.path("recipe", RECIPE).chmod(0o600)
    saved(book, "2 mm")
    path = book.root / f".swarfbook/history/recipe/{RECIPE}.states"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert (book.root / ".swarfbook/.gitignore").read_text() == "*\n"
