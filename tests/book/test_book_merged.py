"""A book in git: two clones that are worked in at the same time merge without a conflict."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys

import pytest

from support.books import MACHINE, RECIPE, RUN, make_book, values
from swarfbook.book import Book
from swarfbook.book.attributes import LINES, lacking, under_version_control, unmerged, write_attributes
from swarfbook.decisions.verifying import verify

pytestmark = pytest.mark.skipif(shutil.which("git") is None, reason="git is not here")

OURS = {
    "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_NOSYSTEM": "1", "GIT_AUTHOR_NAME": "a",
    "GIT_AUTHOR_EMAIL": "a@example.org", "GIT_COMMITTER_NAME": "a", "GIT_COMMITTER_EMAIL": "a@example.org",
}  # fmt: skip


def git(folder, *words, fails=False):
    done = subprocess.run(
        ["git", *words], cwd=folder, env=os.environ | OURS, capture_output=True, text=True, check=False
    )
    assert (done.returncode != 0) == fails, done.stdout + done.stderr
    return done.stdout + done.stderr


def begin(tmp_path):
    """Make a book in git and two clones of it."""
    root = make_book(tmp_path / "origin")
    book = Book.open(root)
    for name in ("left", "right"):
        book.save("recipe", name, values("recipe"), seen=None)
        book.save("machine", f"bench-{name}", values("machine"), seen=None)
    (root / ".gitignore").write_text(".lock\n*.tmp\n")
    write_attributes(root)
    git(root, "init", "-q", "-b", "main")
    commit(root, "a book")
    for name in ("left", "right"):
        git(tmp_path, "clone", "-q", str(root), name)
    return tmp_path / "left", tmp_path / "right"


def commit(root, message):
    git(root, "add", "-A")
    git(root, "commit", "-q", "-m", message)


def work(root, name, days):
    """Edit a recipe, rename a machine and log runs."""
    book = Book.open(root)
    entry = book.get("recipe", name)
    book.save("recipe", name, {"axial_depth": "2 mm", "notes": name}, seen=entry.sha)
    book.rename("machine", f"bench-{name}", f"mill-{name}")
    for day in days:
        book.log(RUN | {"id": f"{name}-{day}", "at": f"2026-11-{day:02d}T12:00:00+00:00"})
    commit(root, name)


def test_two_clones_merge_without_a_conflict_and_the_log_is_in_order(tmp_path):
    left, right = begin(tmp_path)
    work(left, "left", (3, 9, 20))
    work(right, "right", (2, 10, 15))
    git(left, "pull", "-q", "--no-rebase", "--no-edit", str(right), "main")
    assert git(left, "status", "--porcelain") == ""
    book = Book.open(left)
    assert [run.id for run in book.runs()] == [
        "right-2",
        "left-3",
        "left-9",
        "right-10",
        "right-15",
        "left-20",
    ]
    assert [run.id for run in book.run_log().lines] == [run.id for run in book.runs()]
    assert {book.get("recipe", one).raw["notes"] for one in ("left", "right")} == {"left", "right"}
    assert book.ids("machine") == [MACHINE, "mill-left", "mill-right"]
    assert len((left / "renames.jsonl").read_text().splitlines()) == 2
    assert list(verify(book)) == []
    light = Book.open(left).light_log()
    assert (
        [run.id for run in light.in_force]
        == [run.id for run in light.lines]
        == [run.id for run in book.runs()]
    )
    git(right, "pull", "-q", "--no-rebase", "--no-edit", str(left), "main")
    assert [run.id for run in Book.open(right).runs()] == [run.id for run in book.runs()]


def test_without_the_attributes_they_conflict_and_that_is_told(tmp_path):
    left, right = begin(tmp_path)
    for root in (left, right):
        (root / ".gitattributes").unlink()
        assert [one.remedy.split("`")[1] for one in unmerged(root)] == list(LINES)
    work(left, "left", (3,))
    work(right, "right", (2,))
    assert "CONFLICT" in git(left, "pull", "-q", "--no-rebase", "--no-edit", str(right), "main", fails=True)
    assert not all(one.note for one in verify(Book.open(left)))


def test_the_same_run_on_both_sides_counts_once(tmp_path):
    left, right = begin(tmp_path)
    same = RUN | {"id": "same", "at": "2026-11-05T12:00:00+00:00"}
    for root, name, days in ((left, "left", (3,)), (right, "right", (2, 4))):
        work(root, name, days)
        Book.open(root).log(same)
        commit(root, "same")
    git(left, "pull", "-q", "--no-rebase", "--no-edit", str(right), "main")
    book = Book.open(left)
    assert [run.id for run in book.runs()] == ["right-2", "left-3", "right-4", "same"]
    assert sum(one.problem.found == "'same'" for one in verify(book)) <= 1


def test_what_the_program_keeps_for_itself_is_not_in_git(tmp_path):
    left, _ = begin(tmp_path)
    work(left, "left", (3,))
    Book.open(left).delete("recipe", "left")
    tracked = git(left, "ls-files").split("\n")
    assert not any(".swarfbook" in name or ".lock" in name for name in tracked)
    assert git(left, "status", "--porcelain") == " D recipes/left.toml\n"


def test_the_attributes_gain_only_the_lines_they_lack(tmp_path):
    assert not under_version_control(tmp_path)
    (tmp_path / ".gitattributes").write_bytes(b"*.toml text\r\n" + LINES[1].encode())
    assert lacking(tmp_path) == [LINES[0]]
    assert write_attributes(tmp_path) == [LINES[0]]
    text = f"*.toml text\r\n{LINES[1]}\n{LINES[0]}\n"
    assert (tmp_path / ".gitattributes").read_bytes().decode() == text
    assert write_attributes(tmp_path) == []


def test_before_a_commit_the_book_can_be_verified(tmp_path):
    left, _ = begin(tmp_path)
    hook = left / ".git/hooks/pre-commit"
    hook.parent.mkdir(exist_ok=True)
    hook.write_text(f"#!/bin/sh\nexec {sys.executable} -m swarfbook verify --book .\n")
    hook.chmod(0o755)
    path = left / f"recipes/{RECIPE}.toml"
    whole = path.read_text()
    path.write_text(whole.replace('"24 mm"', '"24 m m"'))
    git(left, "add", "-A")
    assert f"recipes/{RECIPE}.toml: stickout: found '24 m m'" in git(left, "commit", "-m", "x", fails=True)
    path.write_text(whole.replace('"24 mm"', '"25 mm"'))
    git(left, "add", "-A")
    git(left, "commit", "-q", "-m", "x")
