"""The index: what lists ask of every recipe, and how many files that takes."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from support.books import MACHINE, MATERIAL, RECIPE, TOOL, to_toml, values
from support.indexed import HOUR, INDEX, ODD, looked, read_all, tick
from swarfbook import resources
from swarfbook.book import Book, index, index_file
from swarfbook.decisions.pick import Asked, pick
from swarfbook.reports.part_list import uses

GRAIN = index.GRAIN
pytestmark = pytest.mark.usefixtures("later")


def test_a_warm_look_opens_no_file_and_tells_the_same(shop: Path, opened: list[str]) -> None:
    cold = looked(shop)
    assert sorted(opened) == sorted([*ODD, RECIPE])
    opened.clear()
    assert looked(shop) == cold == read_all(Book.open(shop))
    opened.clear()
    assert looked(shop) == cold
    assert opened == []
    assert [one.id for one in cold if one.problems] == ["a-broken", "b-empty", "c-latin"]


def test_what_is_kept_says_what_stands_there(shop: Path) -> None:
    looked(shop)
    brief = {one.id: one for one in looked(shop)}
    one = brief[RECIPE]
    assert (one.machine, one.tool, one.material) == (MACHINE, TOOL, MATERIAL)
    assert (one.operation, one.standing, one.parent) == ("rough", "max-effort", None)
    assert one.values["name"] == values("recipe")["name"]
    assert brief["e-parent"].parent == RECIPE
    assert brief["f-no-parent"].values == {}
    assert brief["d-numbers"].values == {
        "name": "3", "machine": "[1, 'x']", "operation": "1979-05-27", "standing": "{'a': 1}",
    }  # fmt: skip
    assert str(brief["b-empty"].problems[0]) == "recipes/b-empty.toml: the file is empty"


def test_a_changed_file_costs_one_file(shop: Path, opened: list[str]) -> None:
    looked(shop)
    (shop / "recipes/b-empty.toml").write_text('name = "no longer"\n')
    opened.clear()
    assert "no longer" in [one.name for one in looked(shop)]
    assert opened == ["b-empty"]
    assert "no longer" in [one.name for one in looked(shop)]
    assert opened == ["b-empty"]


def test_a_book_that_stays_open_reads_what_changed_only(shop: Path, opened: list[str]) -> None:
    book = Book.open(shop)
    list(book.index.look())
    (shop / INDEX).unlink()
    opened.clear()
    book.save("recipe", "another", values("recipe", {"name": "Another"}), seen=None)
    opened.clear()
    assert "Another" in [one.name for one in book.index.look()]
    assert opened == ["another"]


def test_a_file_that_is_gone_is_dropped(shop: Path, opened: list[str]) -> None:
    looked(shop)
    (shop / "recipes/a-broken.toml").unlink()
    opened.clear()
    assert "a-broken" not in [one.id for one in looked(shop)]
    assert opened == []
    assert b"a-broken" not in (shop / INDEX).read_bytes()


def test_nothing_is_written_where_nothing_changed(shop: Path) -> None:
    looked(shop)
    before = (shop / INDEX).stat()
    looked(shop)
    after = (shop / INDEX).stat()
    assert (before.st_ino, before.st_mtime_ns) == (after.st_ino, after.st_mtime_ns)
    assert (shop / ".swarfbook/.gitignore").read_text() == "*\n"
    assert sorted(path.name for path in (shop / ".swarfbook").iterdir()) == [".gitignore", "recipes.json"]


def test_a_look_that_ends_early_keeps_what_it_read(shop: Path, opened: list[str]) -> None:
    look = iter(Book.open(shop).index.look())
    first = [next(look), next(look)]
    look.close()
    opened.clear()
    assert looked(shop)[:2] == first
    assert len(opened) == len(ODD) - 1


def test_what_was_written_a_moment_ago_is_read_again(
    shop: Path, opened: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(index, "GRAIN", GRAIN)
    long_ago = time.time_ns() - HOUR
    for path in (shop / "recipes").iterdir():
        os.utime(path, ns=(long_ago, long_ago))  # which itself is a change, by the inode's own time
    looked(shop)
    opened.clear()
    looked(shop)
    assert len(opened) == len(ODD) + 1
    assert not (shop / INDEX).exists()


@pytest.mark.parametrize("stays_open", [True, False])
def test_on_a_coarse_clock_a_second_change_at_once_is_seen(
    shop: Path, monkeypatch: pytest.MonkeyPatch, stays_open: bool
) -> None:
    started = time.time_ns()

    def coarse(file: os.DirEntry[str]) -> bytes:
        return index_file.STAMP.pack(started, file.stat().st_size, file.stat().st_ino, started)

    monkeypatch.setattr(index, "GRAIN", GRAIN)
    monkeypatch.setattr(index, "_stamp", coarse)
    book, path = Book.open(shop), shop / "recipes/e-parent.toml"
    list(book.index.look())
    path.write_bytes(path.read_bytes().replace(b"child", b"chill"))
    book = book if stays_open else Book.open(shop)
    assert list(book.index.look()) == read_all(book)


def test_what_the_system_refuses_is_not_kept(shop: Path) -> None:
    (shop / "recipes/i-folder.toml").mkdir()
    (shop / "recipes/j-nowhere.toml").symlink_to(shop / "not-there")
    (shop / "recipes/k-elsewhere.toml").symlink_to(shop / "there")
    (shop / "there").write_text('name = "elsewhere"\n')
    os.mkfifo(shop / "recipes/l-pipe.toml")
    for _ in range(2):
        assert looked(shop) == read_all(Book.open(shop))
    kept = (shop / INDEX).read_bytes()
    assert b"k-elsewhere" in kept
    assert not any(name in kept for name in (b"i-folder", b"j-nowhere", b"l-pipe"))
    tick(shop)
    (shop / "there").write_text('name = "elsewhen !"\n')
    assert looked(shop) == read_all(Book.open(shop))


def test_a_file_that_came_to_be_after_the_listing_is_read_again(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(index, "_stamp", lambda _: b"")
        assert looked(shop) == read_all(Book.open(shop))
    assert not (shop / INDEX).exists()
    assert looked(shop) == read_all(Book.open(shop))


def test_a_link_turned_elsewhere_while_it_is_read_is_read_again(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    link, plain = shop / "recipes/k-link.toml", index._read
    for name in ("one", "two"):
        (shop / name).write_text(f'name = "{name}"\n')

    def turn(name: str) -> None:
        link.unlink(missing_ok=True)
        link.symlink_to(shop / name)

    turn("one")
    with monkeypatch.context() as patch:
        patch.setattr(index, "_read", lambda root, recipe: (turn("two"), plain(root, recipe))[1])
        assert "two" in [one.name for one in looked(shop)]
    turn("one")
    assert looked(shop) == read_all(Book.open(shop))


def test_the_demo_is_never_written() -> None:
    demo = resources.demo_book_dir()
    before = sorted(demo.rglob("*"))
    assert len(looked(demo)) > 20
    assert sorted(demo.rglob("*")) == before


def test_a_book_without_recipes_has_no_index(make_book: Callable[..., Path]) -> None:
    root = make_book()
    (root / f"recipes/{RECIPE}.toml").unlink()
    (root / "recipes").rmdir()
    assert looked(root) == []
    assert not (root / ".swarfbook").exists()


# Who uses the index


@pytest.fixture
def family(make_book: Callable[..., Path]) -> Path:
    """A child, its child, and others that name other parts."""
    root = make_book()
    other = {"machine": "other", "tool": "other", "material": "other", "operation": "slot"}
    for name, changes in {
        "child": {"derived": {"from": RECIPE, "parent_digest": "0" * 64}, **other},
        "grandchild": {"derived": {"from": "child", "parent_digest": "0" * 64}, **other},
        "ring-a": {"derived": {"from": "ring-b", "parent_digest": "0" * 64}, **other},
        "ring-b": {"derived": {"from": "ring-a", "parent_digest": "0" * 64}, **other},
        "stranger": other,
        "tool-alone": {**other, "tool": TOOL},
    }.items():
        (root / f"recipes/{name}.toml").write_text(to_toml({**values("recipe"), **changes}))
    (root / "recipes/zz-broken.toml").write_text("name = ")
    return root


@pytest.mark.parametrize(
    ("kind", "record", "users", "read"),
    [
        ("machine", MACHINE, [RECIPE], {RECIPE, "child", "grandchild", "zz-broken"}),
        ("tool", TOOL, [RECIPE, "tool-alone"], {RECIPE, "tool-alone", "child", "grandchild", "zz-broken"}),
        ("recipe", "ring-a", ["ring-b"], {"ring-a", "ring-b", "zz-broken"}),
        ("recipe", RECIPE, ["child"], {"child", "grandchild", "zz-broken"}),
        ("recipe", "stranger", [], {"zz-broken"}),
    ],
)
def test_who_uses_a_record_is_asked_of_those_that_may(
    family: Path, opened: list[str], kind: str, record: str, users: list[str], read: set[str]
) -> None:
    looked(family)
    opened.clear()
    found = Book.open(family).users(kind, record)
    assert sorted(user.id for user in found) == sorted(users)
    assert set(opened) == read


def test_a_rename_reads_and_proves_what_it_writes(family: Path, opened: list[str]) -> None:
    looked(family)
    opened.clear()
    book = Book.open(family)
    renamed = book.rename("machine", "other" if book.has("machine", "other") else MACHINE, "another")
    assert [user.id for user in renamed.followed] == [RECIPE]
    assert "stranger" not in opened
    assert {one.id: one.machine for one in book.index.look()}[RECIPE] == "another"


def test_uses_are_counted_without_opening_a_recipe(family: Path, opened: list[str]) -> None:
    looked(family)
    opened.clear()
    counted = uses(Book.open(family), "tool")
    assert counted == {("recipe", "other"): 5, ("recipe", TOOL): 2}
    assert opened == []


def test_a_pick_opens_the_recipes_of_the_operation(family: Path, opened: list[str]) -> None:
    looked(family)
    opened.clear()
    assert [one.recipe for one in pick(Book.open(family), Asked(MATERIAL, "rough"))] == [RECIPE]
    assert opened == [RECIPE]
