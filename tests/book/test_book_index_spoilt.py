"""Whatever befalls the index, it never raises and never changes an answer."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from support.books import RECIPE
from support.indexed import HOUR, INDEX, ODD, looked, read_all
from swarfbook.book import Book, index, index_file
from swarfbook.book.index_file import Brief

pytestmark = pytest.mark.usefixtures("later")


def _kept(root: Path) -> Path:
    looked(root)
    return root / INDEX


def _other_schema(data: bytes) -> bytes:
    return data.replace(b"recipe-index/1", b"recipe-index/0", 1)


def _with_body(change: Callable[[dict[str, object]], object]) -> Callable[[bytes], bytes]:
    """Change what stands in an index, and sign it as the program does."""

    def changed(data: bytes) -> bytes:
        columns = json.loads(data.partition(b"\n")[2])
        body = json.dumps(change(columns) or columns).encode()
        return index_file._head(body) + b"\n" + body

    return changed


SPOILT: dict[str, Callable[[bytes], bytes]] = {
    "empty": lambda _: b"",
    "cut short": lambda data: data[: len(data) // 2],
    "only the head": lambda data: data.partition(b"\n")[0],
    "a bit over": lambda data: data.replace(b"bulk roughing", b"bulk soughing"),
    "another schema": _other_schema,
    "another program's": lambda _: b"\x80\x04\x95 pickled",
    "zeros": lambda data: bytes(len(data)),
    "signed, no body": _with_body(lambda _: [1]),
    "signed, a number": _with_body(lambda _: 7),
    "signed, names of another kind": _with_body(lambda columns: {**columns, "name": [[]] * 9}),
    "signed, ids of another kind": _with_body(lambda columns: {**columns, "id": list(range(9))}),
    "signed, too few names": _with_body(lambda columns: {**columns, "name": []}),
    "signed, no stamps": _with_body(lambda columns: {**columns, "stamp": ""}),
    "signed, stamps that are none": _with_body(lambda columns: {**columns, "stamp": "é*"}),
    "signed, odd stamps": _with_body(lambda columns: {**columns, "stamp": "AAAA"}),
    "signed, words that are not there": _with_body(lambda columns: {**columns, "tool": [["x"], [9] * 9]}),
    "signed, words of another kind": _with_body(lambda columns: {**columns, "tool": [[1], [0] * 9]}),
    "signed, problems of another kind": _with_body(
        lambda columns: {**columns, "problems": {"a-broken": [3]}}
    ),
    "signed, a problem with a number": _with_body(
        lambda columns: {**columns, "problems": {"a-broken": [["", "", 3]]}}
    ),
    "signed, too deep": lambda _: index_file._head(b"[" * 100_000) + b"\n" + b"[" * 100_000,
}


@pytest.mark.parametrize("how", SPOILT)
def test_an_index_that_is_none_is_made_anew(shop: Path, opened: list[str], how: str) -> None:
    kept = _kept(shop)
    good = kept.read_bytes()
    kept.write_bytes(SPOILT[how](good))
    opened.clear()
    assert looked(shop) == read_all(Book.open(shop))
    assert kept.read_bytes() == good
    assert sorted(set(opened)) == sorted([*ODD, RECIPE])


def test_a_huge_index_is_not_read(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kept = _kept(shop)
    size = kept.stat().st_size
    os.truncate(kept, 1 << 40)
    assert looked(shop) == read_all(Book.open(shop))
    assert kept.stat().st_size == size
    monkeypatch.setattr(index, "MOST_INDEX", size - 1)
    kept.unlink()
    assert looked(shop) == read_all(Book.open(shop))
    assert not kept.exists()


def _folder(path: Path) -> None:
    path.mkdir()


def _full_folder(path: Path) -> None:
    path.mkdir()
    (path / "x").touch()


def _pipe(path: Path) -> None:
    os.mkfifo(path)


def _to_a_recipe(path: Path) -> None:
    path.symlink_to(path.parent.parent / f"recipes/{RECIPE}.toml")


def _to_itself(path: Path) -> None:
    path.symlink_to(path)


def _to_nowhere(path: Path) -> None:
    path.symlink_to(path.parent / "not-there")


@pytest.mark.parametrize("put", [_folder, _full_folder, _pipe, _to_a_recipe, _to_itself, _to_nowhere])
def test_something_else_in_place_of_the_index_is_left_or_replaced(
    shop: Path, put: Callable[[Path], None]
) -> None:
    kept = _kept(shop)
    recipe = (shop / f"recipes/{RECIPE}.toml").read_bytes()
    kept.unlink()
    put(kept)
    for _ in range(2):
        assert looked(shop) == read_all(Book.open(shop))
    assert (shop / f"recipes/{RECIPE}.toml").read_bytes() == recipe
    assert sorted(path.name for path in (shop / ".swarfbook").iterdir()) == [".gitignore", "recipes.json"]


def test_a_file_in_place_of_the_folder_backstage_is_left(shop: Path) -> None:
    (shop / ".swarfbook").write_text("mine")
    for _ in range(2):
        assert looked(shop) == read_all(Book.open(shop))
    assert (shop / ".swarfbook").read_text() == "mine"


def test_a_folder_that_cannot_be_written_is_read_all_the_same(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "mkdir", refused)
    assert looked(shop) == read_all(Book.open(shop))
    monkeypatch.undo()
    monkeypatch.setattr(index, "GRAIN", -HOUR)
    shop.chmod(0o555)
    try:
        assert looked(shop) == read_all(Book.open(shop))
    finally:
        shop.chmod(0o755)


@given(data=st.binary(max_size=200), at=st.integers(0, 3000), signed=st.booleans())
@example(data=b"{}", at=0, signed=True)
def test_random_bytes_never_raise_and_never_tell(data: bytes, at: int, signed: bool) -> None:
    good = index_file.dump({"a": (bytes(32), Brief("a", "name"))})
    spoilt = good[:at] + data + good[at + len(data) :]
    assert index_file.load(spoilt) in ({}, index_file.load(good))
    assert index_file.load(index_file._head(data) + b"\n" + data if signed else data) == {}


TEXTS = st.none() | st.text(max_size=20)
BRIEFS = st.builds(
    lambda texts, told: Brief._make((*texts, tuple(told))),
    st.tuples(st.text(max_size=9), *[TEXTS] * 7),
    st.lists(st.builds(lambda *texts: texts, *[st.text(max_size=9)] * 3), max_size=2),
)


@given(st.lists(st.tuples(st.binary(min_size=32, max_size=32), BRIEFS), max_size=9))
def test_what_is_written_is_what_is_read(rows: list[tuple[bytes, Brief]]) -> None:
    known = {
        brief.id: (
            stamp,
            brief._replace(problems=tuple(index_file._problem(brief.id, *one) for one in brief.problems)),
        )
        for stamp, brief in rows
    }
    assert index_file.load(index_file.dump(known)) == known


def test_many_at_once_never_break_each_other(shop: Path) -> None:
    whole = read_all(Book.open(shop))

    def look_and_take_away(_: int) -> list[Brief]:
        (shop / INDEX).unlink(missing_ok=True)
        return looked(shop)

    with ThreadPoolExecutor(4) as threads:
        assert all(found == whole for found in threads.map(look_and_take_away, range(40)))
    assert looked(shop) == whole
    assert sorted(path.name for path in (shop / ".swarfbook").iterdir()) == [".gitignore", "recipes.json"]
