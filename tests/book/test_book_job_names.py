"""What jobs name: followed by renames, in the way of deletes, told where it leads nowhere."""

from __future__ import annotations

import json
import tomllib

import pytest

from support.books import JOB, MACHINE, MATERIAL, RECIPE, TOOL, values
from support.cut_off import KilledError, dying_rename
from support.typed_job import FIRST, SECOND, TYPED, job_book, typed
from swarfbook.book import Book, renaming
from swarfbook.book.mentions import dangling
from swarfbook.decisions.troubles import troubles
from swarfbook.errors import SwarfbookError


@pytest.fixture
def book(make_book):
    return job_book(make_book)


def saved(book, changes):
    return book.save("job", JOB, changes, seen=book.get("job", JOB).sha)


# Who names what


@pytest.fixture
def shop(book):
    """Add to the two recipes three more on the machine, and two more jobs."""
    for recipe in ("third", "fourth", "fifth"):
        book.save("recipe", recipe, values("recipe"), seen=None)
    for job in ("plates", "rails"):
        book.save("job", job, values("job"), seen=None)
    return book


def called(users):
    return [user.called for user in users]


JOBS = [f"job:{JOB}", "job:plates", "job:rails"]
RECIPES = ["fifth", "fourth", RECIPE, "other", "third"]


def test_users_are_recipes_and_jobs(shop):
    assert called(shop.users("machine", MACHINE)) == [*RECIPES, *JOBS]
    assert called(shop.users("material", MATERIAL)) == [*RECIPES, *JOBS]
    assert called(shop.users("tool", TOOL)) == RECIPES
    assert called(shop.users("recipe", RECIPE)) == JOBS
    assert called(shop.users("recipe", "other")) == [f"job:{JOB}"]
    assert shop.users("recipe", "third") == shop.users("job", JOB) == []


@pytest.mark.parametrize(
    ("kind", "record", "said"),
    [
        (
            "machine",
            MACHINE,
            f"recipes name it: {', '.join(RECIPES)}; jobs name it: {JOB}, plates, rails; delete",
        ),
        (
            "recipe",
            "other",
            f"jobs name it: {JOB}; set its standing to retired instead, or delete those first",
        ),
    ],
)
def test_what_a_job_names_is_kept_and_the_job_is_said(shop, kind, record, said):
    with pytest.raises(SwarfbookError) as caught:
        shop.delete(kind, record)
    assert said in str(caught.value)
    assert shop.has(kind, record)
    for job in shop.ids("job"):
        shop.delete("job", job)
    if kind == "recipe":
        shop.delete(kind, record)


@pytest.mark.parametrize(
    ("kind", "old"), [("machine", MACHINE), ("material", MATERIAL), ("recipe", RECIPE), ("recipe", "other")]
)
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_a_job_follows_a_rename_and_nothing_else_of_it_changes(shop, kind, old, ends):
    shop.path("job", JOB).write_bytes(TYPED.replace("\n", ends).encode())
    done = shop.rename(kind, old, "another")
    assert typed(shop) == TYPED.replace(f'= "{old}"', '= "another"').replace("\n", ends)
    assert set(called(done.followed)) >= ({f"job:{JOB}"} if old == "other" else set(JOBS))
    assert list(troubles(shop)) == []


def test_a_renamed_cutter_leaves_jobs_alone_even_those_that_do_not_read(shop):
    shop.path("job", "plates").write_text(f'name = "{TOOL}')
    assert called(shop.rename("tool", TOOL, "six").followed) == RECIPES
    shop.path("job", "plates").write_text(f'name = "{MACHINE}')
    with pytest.raises(SwarfbookError, match=r"jobs/plates\.toml: mend this file first"):
        shop.rename("machine", MACHINE, "another")


def test_a_job_whose_other_values_will_not_do_follows_too(shop):
    bad = TYPED.replace('"305 mm"', '"2 furlongs"').replace("[[holds]]", "[[holds]]\nmore = 1")
    shop.path("job", JOB).write_text(bad)
    shop.rename("recipe", "other", "another")
    assert typed(shop) == bad.replace('"other"', '"another"')
    shop.path("job", JOB).write_text(f'steps = [3, {{ recipe = "{RECIPE}" }}]\nmachine = 3\n')
    shop.path("job", "rails").write_text('steps = "none"\n')
    shop.rename("recipe", RECIPE, "first")
    assert tomllib.loads(typed(shop)) == {"steps": [3, {"recipe": "first"}], "machine": 3}


def test_a_record_may_be_called_by_any_id(book):
    book.rename("recipe", "other", "another")
    assert called(book.users("recipe", "another")) == [f"job:{JOB}"]


def test_a_job_that_comes_back_names_its_records_as_they_are_called_now(shop):
    shop.delete("job", JOB)
    shop.rename("machine", MACHINE, "router")
    shop.rename("recipe", "other", "another")
    shop.restore("job", JOB)
    assert typed(shop) == TYPED.replace(f'"{MACHINE}"', '"router"').replace('"other"', '"another"')


# Cut off


STEPS = {
    "machine": ["write_atomically"] * (2 + 5 + 3) + ["add_rename", "flush_folder"],
    "recipe": ["write_atomically"] * (2 + 3) + ["add_rename", "flush_folder"],
    "job": ["write_atomically"] * 2 + ["flush_folder"],
}


@pytest.mark.parametrize(
    ("kind", "old", "step"),
    [
        (kind, old, step)
        for kind, old in (("machine", MACHINE), ("recipe", RECIPE), ("job", JOB))
        for step in range(len(STEPS[kind]) + 1)
    ],
)
def test_a_rename_with_jobs_that_was_cut_off_is_finished_or_never_was(shop, monkeypatch, kind, old, step):
    with monkeypatch.context() as patch:
        taken = dying_rename(patch, step)
        try:
            shop.rename(kind, old, "another")
        except KilledError:
            assert step < len(STEPS[kind])
        assert taken == STEPS[kind][:step]
    # At every moment each name leads somewhere ...
    assert list(troubles(Book(shop.root, shop.settings))) == []
    # ... and opening the book finishes what was begun.
    again, begun = Book.open(shop.root), step > 0
    assert (again.has(kind, "another"), again.has(kind, old)) == (begun, not begun)
    if kind != "job":
        now = "another" if begun else old
        assert len([user for user in again.users(kind, now) if user.kind == "job"]) == 3
        assert typed(again) == TYPED.replace(f'= "{old}"', f'= "{now}"')
    assert not (shop.root / ".swarfbook/renaming.json").exists()
    assert list(troubles(again)) == []


def test_a_rename_that_a_version_before_jobs_left_is_finished(book):
    data = book.path("recipe", RECIPE).read_text()
    follower = {"recipe": RECIPE, "before": renaming.sha256(data.encode()), "text": f"{data}# followed\n"}
    machine = book.path("machine", MACHINE).read_bytes()
    plan = {"at": "2026-11-01T12:00:00+00:00", "kind": "machine", "old": MACHINE, "new": "another"}
    left = {"schema": "renaming/1", **plan, "sha": renaming.sha256(machine), "followers": [follower]}
    (book.root / ".swarfbook").mkdir()
    (book.root / ".swarfbook/renaming.json").write_text(json.dumps(left))
    assert Book.open(book.root).ids("machine") == ["another"]
    assert book.path("recipe", RECIPE).read_text().endswith("# followed\n")


@pytest.mark.parametrize("other", [{"kind": "machine"}, {"kind": ["job"]}, {"id": "../../book"}, {"more": 1}])
def test_a_note_that_names_other_files_writes_nothing(book, other):
    follower = {"kind": "job", "id": JOB, "before": renaming.sha256(TYPED.encode()), "text": "", **other}
    plan = {"at": "", "kind": "machine", "old": "x", "new": "y", "sha": "", "followers": [follower]}
    (book.root / ".swarfbook").mkdir()
    (book.root / ".swarfbook/renaming.json").write_text(json.dumps({"schema": "renaming/2", **plan}))
    with pytest.raises(SwarfbookError, match="take the file away"):
        Book.open(book.root)
    assert typed(book) == TYPED


# What does not fit


def test_names_that_lead_nowhere_are_told_with_their_places(book):
    assert list(dangling(book, book.get("job", JOB))) == []
    changes = {"machine": "lathe", "material": "6082", "steps": [FIRST, {**SECOND, "recipe": "othr"}]}
    saved(book, changes)
    found = list(dangling(book, book.get("job", JOB)))
    assert [(one.where, one.key) for one in found] == [
        (f"jobs/{JOB}.toml", key) for key in ("machine", "material", "steps[2].recipe")
    ]
    assert str(found[2]).endswith("found 'othr'; no recipe of that id in this book; did you mean other?")
    assert "no material of that id in this book; did you mean 6082-t6" in str(found[1])


def test_jobs_are_among_the_troubles_of_a_book(book):
    saved(book, {"machine": "lathe"})
    book.path("job", "bad").write_text(TYPED.replace('"3 m"', '"3 miles an hour"'))
    book.path("job", "torn").write_text("name = ")
    (book.root / "runs/2026-11.jsonl").write_text("not a run\n")
    assert [(one.where, one.key) for one in troubles(book)] == [
        ("jobs/bad.toml", "steps[1].path"),
        (f"jobs/{JOB}.toml", "machine"),
        ("jobs/torn.toml", ""),
        ("runs/2026-11.jsonl line 1", ""),
    ]
