"""Renaming: what names the record follows, nothing else changes, and nothing is ever half done."""

from __future__ import annotations

import json
import stat
import tomllib
from datetime import UTC, datetime, timedelta

import pytest

from support.books import MACHINE, MATERIAL, RECIPE, RUN, TOOL, to_toml, values
from support.cut_off import KilledError, dying_rename
from swarfbook import records
from swarfbook.book import Book, renames, unfinished
from swarfbook.decisions.case import load_case
from swarfbook.decisions.troubles import troubles
from swarfbook.errors import SwarfbookError
from swarfbook.records.examples import EXAMPLES

CHILD, GRANDCHILD, COUSIN = "child", "grandchild", "cousin"
REMARK = "# the fast one\n"


def derived(book, parent):
    digest = records.digest(book.get("recipe", parent).record)
    return {"from": parent, "parent_digest": digest, "method": "depth", "margin": 0.2}


@pytest.fixture
def book(make_book):
    """Write a book with a line of three recipes, and one beside it on another machine."""
    root = make_book()
    write(root, "machines/small-mill", values("machine", {"name": "Small mill"}))
    book = Book.open(root)
    for recipe, parent in ((CHILD, RECIPE), (GRANDCHILD, CHILD)):
        write(root, f"recipes/{recipe}", values("recipe", {"derived": derived(book, parent)}))
    write(root, f"recipes/{COUSIN}", values("recipe", {"machine": "small-mill"}))
    return book


def write(root, stem, raw):
    (root / f"{stem}.toml").write_text(REMARK + to_toml(raw))


def typed(book, recipe):
    return book.path("recipe", recipe).read_text()


def followed(done):
    return {user.called for user in done.followed}


def stale(book):
    return [recipe for recipe in book.ids("recipe") if load_case(book, recipe).stale_parent]


@pytest.mark.parametrize(("kind", "old"), [("machine", MACHINE), ("tool", TOOL), ("material", MATERIAL)])
def test_the_file_moves_and_the_recipes_that_name_it_follow(book, kind, old):
    path = book.path(kind, old)
    path.chmod(0o640)
    before, cousin, text = path.read_bytes(), typed(book, COUSIN), typed(book, RECIPE)
    done = book.rename(kind, old, "another")
    assert (done.kind, done.old, done.new) == (kind, old, "another")
    assert followed(done) == {RECIPE, CHILD, GRANDCHILD} | ({COUSIN} if kind != "machine" else set())
    assert book.path(kind, "another").read_bytes() == before
    assert stat.S_IMODE(book.path(kind, "another").stat().st_mode) == 0o640
    assert not path.exists()
    assert typed(book, RECIPE) == text.replace(f'{kind} = "{old}"', f'{kind} = "another"')
    assert (typed(book, COUSIN) == cousin) == (kind == "machine")
    assert typed(book, CHILD).startswith(REMARK)
    assert list(troubles(book)) == []


@pytest.mark.parametrize(("kind", "old"), [("machine", MACHINE), ("tool", TOOL), ("recipe", RECIPE)])
def test_a_rename_makes_no_child_stale(book, kind, old):
    assert stale(book) == []
    book.rename(kind, old, "another")
    assert stale(book) == []


def test_a_child_that_was_stale_stays_so_and_its_own_children_are_not(book):
    entry = book.get("recipe", RECIPE)
    book.save("recipe", RECIPE, {"stickout": "23 mm"}, seen=entry.sha)
    assert stale(book) == [CHILD]
    book.rename("machine", MACHINE, "another")
    assert stale(book) == [CHILD]


def test_a_renamed_recipe_is_still_the_parent_of_its_children(book):
    text = typed(book, GRANDCHILD)
    done = book.rename("recipe", RECIPE, "first-of-all")
    assert followed(done) == {CHILD, GRANDCHILD}
    assert book.get("recipe", CHILD).record.derived.from_ == "first-of-all"
    now = book.get("recipe", GRANDCHILD).raw["derived"]
    assert now["from"] == CHILD
    # The child's values, its parent's name among them, are others: what the grandchild remembers follows.
    before = tomllib.loads(text)["derived"]
    assert typed(book, GRANDCHILD) == text.replace(before["parent_digest"], now["parent_digest"])
    assert now["parent_digest"] != before["parent_digest"]


def test_recipes_that_came_from_each_other_do_not_hang_it(book):
    digest = f"sha256:{'0' * 64}"
    for recipe, parent in (("ring-a", "ring-b"), ("ring-b", "ring-a"), ("ring-c", "ring-c")):
        ring = {"from": parent, "parent_digest": digest, "method": "depth", "margin": 0.2}
        write(book.root, f"recipes/{recipe}", values("recipe", {"derived": ring}))
    assert {"ring-a", "ring-b", "ring-c"} <= followed(book.rename("tool", TOOL, "another"))
    assert followed(book.rename("recipe", "ring-a", "ring-d")) == {"ring-b"}


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("long-bed", "x", f"'long-bed'; no machine of that id in this book; did you mean {MACHINE}"),
        (MACHINE, "small-mill", "machines/small-mill.toml: there is one of that id already"),
        (MACHINE, MACHINE, "there is one of that id already"),
        (MACHINE, "../router", "not a path"),
        (MACHINE, "Router", "an id is lower-case letters"),
    ],
)
def test_a_rename_that_will_not_do_is_refused(book, old, new, told):
    before = snapshot(book)
    with pytest.raises(SwarfbookError) as caught:
        book.rename("machine", old, new)
    assert told in str(caught.value)
    assert snapshot(book) == before


def snapshot(book):
    paths = (path for path in book.root.rglob("*.*") if ".swarfbook" not in path.parts and path.is_file())
    return {path: path.read_bytes() for path in paths if path.name != ".lock"}


@pytest.mark.parametrize("odd", [f'machine = "{MACHINE}', f'"\\u006dachine" = "{MACHINE}"\nmachine.x = ['])
def test_a_file_that_may_name_it_and_does_not_read_stops_it_before_anything_changes(book, odd):
    book.path("recipe", "zz-broken").write_text(odd)
    before = snapshot(book)
    with pytest.raises(SwarfbookError, match=r"recipes/zz-broken\.toml: mend this file first: it may name"):
        book.rename("machine", MACHINE, "another")
    assert snapshot(book) == before
    book.path("recipe", "zz-broken").write_text("name = ")
    assert RECIPE in followed(book.rename("machine", MACHINE, "another"))


def test_a_recipe_whose_other_values_will_not_do_follows_too(book):
    write(book.root, "recipes/half", values("recipe", {"stickout": "2 furlongs"}))
    book.rename("machine", MACHINE, "another")
    assert 'machine = "another"' in typed(book, "half")
    assert "2 furlongs" in typed(book, "half")


def test_the_demo_book_is_not_renamed_in():
    from swarfbook import resources

    book = Book.open(resources.demo_book_dir())
    with pytest.raises(SwarfbookError, match="demo"):
        book.rename("machine", "small-mill", "another")


# Cut off


def noon(day):
    return (datetime(2026, 11, 1, 12, tzinfo=UTC) + timedelta(days=day - 1)).isoformat()


def cut_off(book, monkeypatch, step):
    """Rename the machine as far as the step before `step`."""
    with monkeypatch.context() as patch:
        dying_rename(patch, step)
        with pytest.raises(KilledError):
            book.rename("machine", MACHINE, "another")


STEPS = ["write_atomically"] * 5 + ["add_rename", "flush_folder"]


@pytest.mark.parametrize("step", range(len(STEPS) + 1))
def test_a_rename_that_was_cut_off_is_finished_or_never_was(book, monkeypatch, step):
    with monkeypatch.context() as patch:
        taken = dying_rename(patch, step)
        try:
            book.rename("machine", MACHINE, "another")
        except KilledError:
            assert step < len(STEPS)
        assert taken == STEPS[:step]
    # What lies there, looked at without opening it, holds together ...
    as_left = Book(book.root, book.settings)
    assert list(troubles(as_left)) == []
    # ... and opening it finishes what was begun.
    again = Book.open(book.root)
    begun = step > 0
    assert again.ids("machine") == (["another", "small-mill"] if begun else [MACHINE, "small-mill"])
    assert {load_case(again, recipe).recipe.machine for recipe in (RECIPE, CHILD, GRANDCHILD)} == {
        "another" if begun else MACHINE
    }
    assert stale(again) == []
    assert (book.root / "renames.jsonl").exists() == begun
    if begun:
        assert (book.root / "renames.jsonl").read_text().count("\n") == 1
    assert not (book.root / ".swarfbook/renaming.json").exists()


def test_what_was_edited_after_the_cut_is_not_lost(book, monkeypatch):
    cut_off(book, monkeypatch, 2)
    old, child = book.path("machine", MACHINE), book.path("recipe", CHILD)
    old.write_text(old.read_text() + "# mine\n")
    child.write_text(child.read_text() + "# mine too\n")
    again = Book.open(book.root)
    assert old.read_text().endswith("# mine\n")
    assert child.read_text().endswith("# mine too\n")
    assert again.get("recipe", CHILD).record.machine == MACHINE
    assert again.get("recipe", RECIPE).record.machine == "another"


def note(**changes):
    plan = {"at": noon(1), "kind": "machine", "old": "x", "new": "y", "sha": "", "followers": []}
    return json.dumps({"schema": "renaming/1", **plan, **changes})


@pytest.mark.parametrize(
    "left",
    [
        "",
        "[1]",
        '{"schema": "renaming/2"}',
        note(old="../../x"),
        note(kind="recipe", followers=[{"recipe": "../../book", "before": "", "text": ""}]),
        note(kind=".."),
        note(more=1),
    ],
)
def test_a_note_that_no_rename_left_writes_nothing_and_is_told(book, left):
    (book.root / ".swarfbook").mkdir()
    (book.root / ".swarfbook/renaming.json").write_text(left)
    before = snapshot(book)
    with pytest.raises(SwarfbookError, match="take the file away"):
        Book.open(book.root)
    assert snapshot(book) == before


def test_a_book_that_cannot_be_written_opens_with_the_rename_left_as_it_was(book, monkeypatch):
    cut_off(book, monkeypatch, 2)

    def refused(_):
        raise PermissionError

    monkeypatch.setattr(unfinished, "locked", refused)
    assert Book.open(book.root).ids("machine") == ["another", MACHINE, "small-mill"]


# The run log


def renamed(root, *lines):
    text = "".join(
        json.dumps({"schema": "rename/1", "at": at, "kind": kind, "from": old, "to": new}) + "\n"
        for at, kind, old, new in lines
    )
    (root / "renames.jsonl").write_text(text)


def ran(root, day, recipe="a", **snapshot_recipe):
    line = RUN | {"id": f"{day}", "at": noon(day), "recipe": recipe}
    if snapshot_recipe:
        line["snapshot"] = {"recipe": {"machine": "m", "wear": 1.5} | snapshot_recipe}
    with (root / "runs/2026-11.jsonl").open("a") as file:
        file.write(json.dumps(line) + "\n")


@pytest.mark.parametrize(
    ("lines", "now"),
    [
        ([], {1: "a", 3: "a", 5: "a"}),
        ([(2, "recipe", "a", "b")], {1: "b", 3: "a", 5: "a"}),
        ([(2, "machine", "a", "b")], {1: "a", 3: "a", 5: "a"}),
        # A chain; a line of a merge may stand before one that is older.
        ([(4, "recipe", "b", "c"), (2, "recipe", "a", "b")], {1: "c", 3: "a", 5: "a"}),
        # The id is used again by a later record, which is then renamed to something else.
        ([(2, "recipe", "a", "b"), (4, "recipe", "a", "c")], {1: "b", 3: "c", 5: "a"}),
        # There and back, and two that change places.
        ([(2, "recipe", "a", "b"), (4, "recipe", "b", "a")], {1: "a", 3: "a", 5: "a"}),
        ([(2, "recipe", "a", "x"), (3.5, "recipe", "b", "a"), (4, "recipe", "x", "b")],
         {1: "b", 3: "a", 5: "a"}),
    ],
)  # fmt: skip
def test_runs_are_told_under_todays_names(make_book, lines, now):
    root = make_book()
    renamed(root, *((noon(day), *rest) for day, *rest in lines))
    for day in (1, 3, 5):
        ran(root, day)
    assert {int(run.id): run.recipe for run in Book.open(root).runs()} == now


def test_what_a_run_remembers_of_its_recipe_follows_too(make_book):
    root = make_book()
    renamed(root, (noon(2), "machine", "m", "n"), (noon(2), "recipe", "p", "q"), (noon(2), "tool", "m", "o"))
    parent = {"from": "p", "margin": 0.2}
    ran(root, 1, derived=parent)
    ran(root, 3, derived=parent)
    before, after = (run.snapshot["recipe"] for run in Book.open(root).runs())
    assert before == {"machine": "n", "wear": 1.5, "derived": {"from": "q", "margin": 0.2}}
    assert after == {"machine": "m", "wear": 1.5, "derived": parent}


def test_a_run_without_much_of_a_snapshot_reads(make_book):
    root = make_book()
    renamed(root, (noon(2), "machine", "m", "n"))
    line = RUN | {"at": noon(1), "snapshot": {"recipe": ["m"]}}
    other = line | {"id": "other", "snapshot": {"recipe": {"machine": ["m"], "derived": "m"}}}
    (root / "runs/2026-11.jsonl").write_text(f"{json.dumps(line)}\n{json.dumps(other)}\n")
    assert [run.snapshot for run in Book.open(root).runs()] == [line["snapshot"], other["snapshot"]]


def test_a_real_rename_is_followed_by_the_runs_before_it_and_not_by_those_after(book):
    ran(book.root, 2, RECIPE, machine=MACHINE)
    book.rename("machine", MACHINE, "another")
    book.rename("recipe", RECIPE, "anew")
    log = (book.root / "runs/2026-11.jsonl").read_text()
    [run] = book.runs()
    assert (run.recipe, run.snapshot["recipe"]["machine"]) == ("anew", "another")
    assert (book.root / "runs/2026-11.jsonl").read_text() == log
    # A new record takes the old id, and a run of it is its own.
    write(book.root, f"recipes/{RECIPE}", values("recipe", {"machine": "another"}))
    later = RUN | {"id": "later", "recipe": RECIPE, "at": "2100-01-01T00:00:00+00:00"}
    (book.root / "runs/2100-01.jsonl").write_text(json.dumps(later) + "\n")
    assert [run.recipe for run in book.runs()] == ["anew", RECIPE]


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("{", "renames.jsonl line 1: found '{'; broken JSON"),
        ("[]", "a rename is a JSON object"),
        (json.dumps(EXAMPLES["rename"] | {"kind": "job"}), "renames.jsonl line 1: kind: found 'job'"),
        (json.dumps(EXAMPLES["rename"] | {"to": "../x"}), "not a path"),
    ],
)
def test_a_bad_line_among_the_renames_is_told_and_the_others_serve(make_book, line, told):
    root = make_book()
    good = {"schema": "rename/1", "at": noon(2), "kind": "recipe", "from": "a", "to": "b"}
    (root / "renames.jsonl").write_text(f"{line}\n{json.dumps(good)}\n")
    ran(root, 1)
    log = Book.open(root).run_log()
    [run], [problem] = log.in_force, log.problems
    assert run.recipe == "b"
    assert told in str(problem)


def test_a_rename_does_not_join_a_line_that_was_torn(make_book):
    root = make_book()
    (root / "renames.jsonl").write_text('{"schema": "rena')
    line = {"at": noon(2), "kind": "recipe", "from": "a", "to": "b"}
    renames.add_rename(root, line)
    renames.add_rename(root, line)
    assert (root / "renames.jsonl").read_text().split("\n")[0] == '{"schema": "rena'
    assert len((root / "renames.jsonl").read_text().split("\n")) == 3
    found, problems = renames.read_renames(root)
    assert found.now("recipe", "a", datetime(2026, 1, 1, tzinfo=UTC)) == "b"
    assert len(problems) == 1
