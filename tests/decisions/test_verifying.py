"""A whole book verified: every kind of thing that can be wrong is found once, and a sound book has none."""

from __future__ import annotations

import json
import tomllib

import pytest

from support.books import JOB, MACHINE, RECIPE, RUN, to_toml, values
from swarfbook import records, resources
from swarfbook.book import Book, create
from swarfbook.book.reading import MOST_BYTES
from swarfbook.decisions.verifying import opened, verify
from swarfbook.errors import SwarfbookError


@pytest.fixture
def root(make_book):
    return make_book()


def found(root):
    return [(one.note, str(one.problem)) for one in verify(Book.open(root))]


def only(root):
    """Give the one finding there is."""
    ((note, line),) = found(root)
    assert not note
    return line


def write(root, name, text):
    (root / name).write_text(text)


def test_a_sound_book_has_no_findings(root, tmp_path):
    book = Book.open(root)
    book.save("job", JOB, values("job"), seen=None)
    book.log(RUN | {"id": "a"})
    book.delete("job", JOB)
    (root / "recipes/.gitkeep").touch()
    (root / "README.md").write_text("ours")
    assert found(root) == []
    assert found(create(tmp_path / "demo", demo=True)) == []
    assert found(resources.demo_book_dir()) == []


@pytest.mark.parametrize(
    ("name", "text", "rest"),
    [
        (
            "recipes/x.toml",
            to_toml(values("recipe", {"tool": "gone"})),
            ": tool: found 'gone'; no tool of that id",
        ),
        ("recipes/x.toml", to_toml(values("recipe", {"axial_depth": "3"})), ": axial_depth: found '3'"),
        ("recipes/x.toml", to_toml(values("recipe", {"axial_depth": "3 W"})), ": axial_depth: found '3 W'"),
        ("recipes/x.toml", "a = 1\n<<<<<<< HEAD\n", ": found '<<<<<<< HEAD'; broken TOML at line 2"),
        ("jobs/x.toml", to_toml(values("job", {"machine": "gone"})), ": machine: found 'gone'; no machine"),
        ("machines/x.toml", 'schema = "machine/9"\n', ": schema"),
        ("recipes/x.toml", "#" * (MOST_BYTES + 1), ": this file is larger than 256 KiB"),
        ("recipes/x.tml", "", ": not read: a record ends in .toml"),
        ("runs/x.csv", "", ": not read: a month of the run log ends in .jsonl"),
        ("runs/2026-11.jsonl", "{\n", " line 1: found '{'; broken JSON"),
        ("renames.jsonl", "[]\n", " line 1: found '[]'; a rename is a JSON object"),
        ("tools/.x.toml.0a1b2c3d.tmp", "", ": a save that was cut off left this"),
    ],
)
def test_each_is_one_finding(root, name, text, rest):
    write(root, name, text)
    assert only(root).startswith(name + rest)


def test_an_oversized_file_is_not_parsed(root, monkeypatch):
    write(root, "recipes/x.toml", to_toml(values("recipe")) + "#" * MOST_BYTES)
    parsed, real = [], tomllib.loads
    monkeypatch.setattr("tomllib.loads", lambda text: (parsed.append(len(text)), real(text))[1])
    assert "larger than 256 KiB" in only(root)
    assert max(parsed) < MOST_BYTES


def test_a_parent_that_is_gone_is_found_and_one_that_changed_is_noted(root):
    book = Book.open(root)
    parent = records.digest(book.get("recipe", RECIPE).record)
    derived = {"from": RECIPE, "parent_digest": parent, "method": "feed", "margin": 0.1}
    book.save("recipe", "child", values("recipe", {"derived": derived}), seen=None)
    assert found(root) == []
    book.save("recipe", RECIPE, {"wear": 1.1}, seen=book.get("recipe", RECIPE).sha)
    ((note, line),) = found(root)
    assert note
    assert line.startswith(f"recipes/child.toml: derived.parent_digest: {RECIPE} changed since")
    book.path("recipe", RECIPE).unlink()
    assert only(root).startswith(f"recipes/child.toml: derived.from: found '{RECIPE}'; no recipe of that id")


def test_a_run_id_that_stands_several_times_is_told_once(root):
    line = json.dumps(RUN | {"id": "a"}) + "\n"
    write(root, "runs/2026-11.jsonl", line * 3)
    assert only(root).startswith(
        "runs/2026-11.jsonl: id: found 'a'; this run stands in runs/2026-11.jsonl already"
    )
    write(root, "runs/2026-12.jsonl", line.replace('"clean"', '"chatter"'))
    write(root, "runs/2026-11.jsonl", line)
    assert only(root).startswith(
        "runs/2026-12.jsonl: id: found 'a'; another run in runs/2026-11.jsonl has that id"
    )


def test_ids_that_differ_by_case_are_found(root):
    (root / "recipes/x.toml").write_text(to_toml(values("recipe")))
    (root / "recipes/X.toml").write_text(to_toml(values("recipe")))
    lines = [line for _, line in found(root)]
    assert (
        "recipes/x.toml: differs from X.toml only by case; where case does not count one of them is lost"
        in lines
    )
    assert any(line.startswith("recipes/X.toml: found 'X'") for line in lines)


def test_folders_and_links_are_found(root, tmp_path):
    (root / "recipes/old").mkdir()
    (root / "runs/meters").mkdir(parents=True)
    outside = tmp_path / "outside.toml"
    outside.write_text(to_toml(values("tool")))
    (root / "tools/linked.toml").symlink_to(outside)
    (root / "tools/inside.toml").symlink_to(root / "tools/em-6mm-1f.toml")
    (root / "machines/broken.toml").symlink_to(root / "machines/nowhere.toml")
    (root / "machines/ring.toml").symlink_to(root / "machines/ring.toml")
    lines = [line for _, line in found(root)]
    assert "recipes/old: a folder in here is not read; move its records up, or it elsewhere" in lines
    assert any(
        line.startswith("tools/linked.toml: found") and "leads out of the book" in line for line in lines
    )
    assert any(line.startswith("machines/broken.toml: found") and "leads nowhere" in line for line in lines)
    assert any(line.startswith("machines/ring.toml") for line in lines)
    assert not any("inside.toml" in line or "meters" in line for line in lines)


def test_under_git_a_book_without_its_attributes_is_noted(root):
    (root / ".git").mkdir()
    lines = found(root)
    assert [note for note, _ in lines] == [True, True]
    assert "runs/*.jsonl merge=union" in lines[0][1]
    write(root, ".gitattributes", "*.toml text\nruns/*.jsonl   merge=union\nrenames.jsonl merge=union\n")
    assert found(root) == []


def test_a_book_whose_settings_do_not_read_has_findings_and_a_folder_without_is_none(root, tmp_path):
    write(root, "book.toml", 'schema = "book/1"\ntitel = "x"\n')
    book, findings = opened(root)
    assert book is None
    assert [one.problem.where for one in findings] == ["book.toml"] * len(findings)
    assert findings
    with pytest.raises(SwarfbookError, match="not a book"):
        opened(tmp_path)
    write(root, "book.toml", 'schema = "book/1"\ntitle = "x"\n')
    assert opened(root)[1] == []
    assert MACHINE in opened(root)[0].ids("machine")
