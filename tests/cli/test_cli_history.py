"""The states of records and whole books verified, at the command line."""

from __future__ import annotations

import errno
import json
import os

import pytest

from cli.test_cli_commands import assert_refused, call  # noqa: F401 - the latter is a fixture
from support.books import MACHINE, RECIPE, to_toml, values
from swarfbook.book import Book, history


@pytest.fixture
def root(make_book):
    """Write a book with a recipe of three states, and something of another program's since."""
    root = make_book()
    book = Book.open(root)
    for changes in ({"axial_depth": "2.2 mm"}, {"axial_depth": "2 mm", "wear": 1.1, "allowance": None}):
        book.save("recipe", RECIPE, changes, seen=book.get("recipe", RECIPE).sha)
    return root


@pytest.fixture
def run(call, root):  # noqa: F811
    return lambda *words: call(*words, book=root)


def test_the_states_are_listed_with_what_each_changed(run, root):
    lines = run("history", RECIPE).lines
    assert lines[0] == f"{RECIPE} · 3 states"
    assert lines[1].startswith("*   3 ")
    assert lines[1].endswith("saved; axial_depth 2.2 mm -> 2 mm; wear set to 1.1; allowance 0.5 mm taken out")
    assert lines[2].endswith("saved; axial_depth 3 mm -> 2.2 mm")
    assert lines[3].endswith("changed by another program")
    path = root / f"recipes/{RECIPE}.toml"
    path.write_text(path.read_text().replace('"2 mm"', '"4 mm"'))
    told = run("history", RECIPE).lines[1]
    assert told == "Changed by another program since state 3, kept at the next save: axial_depth 2 mm -> 4 mm"


def test_a_state_is_shown_as_it_was_and_compared(run, root):
    assert run("history", RECIPE, "--show", "3").stdout == (root / f"recipes/{RECIPE}.toml").read_text()
    compared = run("history", RECIPE, "--diff", "1", "2").lines
    assert compared[:2] == [f"--- recipe:{RECIPE} state 1", f"+++ recipe:{RECIPE} state 2"]
    assert [line for line in compared[3:] if line[0] in "+-"] == [
        '-axial_depth = "3 mm"',
        '+axial_depth = "2.2 mm"',
    ]
    assert run("history", RECIPE, "--diff", "2").lines[1] == f"+++ recipe:{RECIPE} now"
    assert run("history", RECIPE, "--diff", "3").stderr == "no difference from state 3 to now\n"


def test_a_state_comes_back_and_a_deleted_record_by_one(run, root):
    assert run("history", RECIPE, "--restore", "1").stderr == f"recipe {RECIPE} is as in state 1 again\n"
    assert Book.open(root).get("recipe", RECIPE).raw["axial_depth"] == "3 mm"
    assert "state 1 again; axial_depth 2 mm -> 3 mm" in run("history", RECIPE).lines[1]
    run("delete", RECIPE)
    listed = run("history", RECIPE).lines
    assert listed[0] == f"{RECIPE} · 5 states, not in the book now"
    assert listed[1].endswith("deleted")
    assert run("history", RECIPE, "--diff", "1").stderr == "no difference from state 1 to state 5\n"
    assert run("history", RECIPE, "--restore", "2").returncode == 0
    assert Book.open(root).get("recipe", RECIPE).raw["axial_depth"] == "2.2 mm"


def test_json_gains_the_same(run):
    listed = json.loads(run("history", RECIPE, "--json").stdout)
    assert (listed["record"], listed["present"]) == (f"recipe:{RECIPE}", True)
    assert [(one["state"], one["how"], one["stands"]) for one in listed["states"]] == [
        (1, "found", False), (2, "saved", False), (3, "saved", True)
    ]  # fmt: skip
    assert listed["states"][0]["changes"] is None
    assert listed["states"][1]["changes"] == [{"key": "axial_depth", "before": "3 mm", "after": "2.2 mm"}]
    assert json.loads(run("history", RECIPE, "--show", "1", "--json").stdout)["text"].count('"3 mm"') == 1
    assert (
        '-axial_depth = "3 mm"' in json.loads(run("history", RECIPE, "--diff", "1", "--json").stdout)["diff"]
    )
    restored = json.loads(run("history", RECIPE, "--restore", "1", "--json").stdout)
    assert (restored["restored"], restored["states"]) == (1, [1, 2, 3, 4])


def test_lists_of_tables_are_compared_entry_by_entry(run, root):
    book = Book.open(root)
    entry = book.save("job", "plates", values("job"), seen=None)
    steps = [dict(one) for one in entry.raw["steps"]]
    steps[1]["path"] = "2 m"
    entry = book.save("job", "plates", {"steps": steps}, seen=entry.sha)
    book.save("job", "plates", {"steps": steps[:1]}, seen=entry.sha)
    lines = run("history", "job:plates").lines
    assert lines[2].endswith("saved; steps[2].path 1.6 m -> 2 m")
    assert lines[1].endswith("saved; steps 2 entries -> 1 entry")


def test_a_record_without_states_says_so_and_one_that_never_was_is_asked_about(run):
    assert run("history", f"machine:{MACHINE}").lines == [
        f"machine:{MACHINE} · 0 states",
        "No state is kept yet: they are kept from the first save on.",
    ]
    assert_refused(run("history", RECIPE[:-1]), f"did you mean {RECIPE}?")
    assert_refused(run("history", "../x"), "not a path")
    run("rename", RECIPE, "anew")
    assert_refused(run("history", RECIPE), "it is called anew now")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--show", "9"), "found state 9; no such state is kept; states 1 to 3 are"),
        (("--restore", "9"), "no such state is kept"),
        (("--diff", "1", "9"), "no such state is kept"),
        (("--show", "1", "--restore", "1"), "choose one of"),
        (("--show", "x"), "x"),
        (("--show", "0"), "0"),
        (("3",), "a second state goes with --diff"),
    ],
)
def test_bad_words_are_told_in_one_line(run, words, told):
    done = run("history", RECIPE, *words)
    assert_refused(done, told)
    assert done.stderr.count("\n") == 1


def test_a_history_that_cannot_be_written_warns_in_one_line(run, monkeypatch):
    def full(*_args):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(history.History, "_write", full)
    done = run("delete", RECIPE)
    assert done.returncode == 0
    assert f"swarfbook: history of {RECIPE}: not kept: no space left on device\n" in done.stderr


def test_what_could_drive_a_terminal_is_escaped(run, root):
    history.History(root).add("recipe", RECIPE, "found", b"\x1b[2J x\tb\r\n\xc2\x9b")
    shown = run("history", RECIPE, "--show", "4").stdout
    assert shown == "\\x1b[2J x\tb\r\n\\x9b\n"


# Verifying


def test_nothing_found_leaves_with_0_and_findings_with_1(run, root):
    done = run("verify")
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "nothing found\n")
    (root / "recipes/x.txt").touch()
    (root / "recipes/second.toml").write_text(to_toml(values("recipe", {"tool": "gone"})))
    done = run("verify")
    assert done.returncode == 1
    assert len(done.lines) == 2
    assert done.lines[1].startswith("recipes/x.txt: not read")
    findings = json.loads(run("verify", "--json").stdout)["findings"]
    assert [(one["level"], one["where"]) for one in findings] == [
        ("finding", "recipes/second.toml"), ("finding", "recipes/x.txt")
    ]  # fmt: skip


def test_notes_count_only_where_that_is_asked_for(run, root):
    (root / ".git").mkdir()
    done = run("verify")
    assert done.returncode == 0
    assert all(line.startswith("note: .gitattributes: ") for line in done.lines)
    assert run("verify", "--strict").returncode == 1
    done = run("verify", "--strict", "--merging")
    assert done.returncode == 0
    assert (root / ".gitattributes").read_text().count("merge=union") == 2


def test_what_saves_left_is_kept_or_removed(run, root):
    left = root / "recipes/.third.toml.0a1b2c3d.tmp"
    for how, told in (("keep", "`swarfbook history third --restore 1`"), ("remove", "removed")):
        left.write_text(to_toml(values("recipe")))
        assert run("verify").returncode == 1
        done = run("verify", "--leftovers", how)
        assert done.returncode == 0
        assert told in done.stderr
        assert not left.exists()
    assert run("history", "third", "--restore", "1").returncode == 0
    assert (root / "recipes/third.toml").exists()


def test_bad_usage_leaves_with_2_and_settings_that_do_not_read_with_1(call, run, root, tmp_path):  # noqa: F811
    assert_refused(run("verify", "--leftovers", "burn"), "burn")
    assert_refused(call("verify", book=tmp_path / "nowhere"), "no such folder")
    (root / "book.toml").write_text("x = 1\n")
    done = run("verify")
    assert done.returncode == 1
    assert done.stdout.startswith("book.toml: ")
    assert json.loads(run("verify", "--json").stdout)["findings"]
