"""Which folder is the book, what is not one, and how a new one begins."""

from __future__ import annotations

import pytest

from support.books import RECIPE
from swarfbook import resources
from swarfbook.book import Book, create, find_book
from swarfbook.errors import SwarfbookError


@pytest.fixture
def demo(make_book, monkeypatch):
    root = make_book("demo")
    monkeypatch.setattr(resources, "demo_book_dir", lambda: root)
    return root


def told(function, *args, **kwargs):
    with pytest.raises(SwarfbookError) as caught:
        function(*args, **kwargs)
    return str(caught.value)


def test_the_option_comes_before_the_variable_before_the_folder_before_the_demo(make_book, demo, tmp_path):
    here = make_book("here")
    env = {"SWARFBOOK_BOOK": "/from/env"}
    deep = here / "recipes" / "deep"
    deep.mkdir()
    assert find_book("/from/option", env, here) == (demo.__class__("/from/option"), "")
    assert find_book(None, env, here) == (demo.__class__("/from/env"), "")
    assert find_book(None, {}, here) == (here, "")
    assert find_book(None, {}, deep) == (here, "")
    path, note = find_book(None, {}, tmp_path)
    assert path == demo
    assert "`swarfbook init --demo DIR`" in note
    assert "\n" not in note


def test_a_book_toml_of_something_else_does_not_make_a_book(make_book, demo, tmp_path):
    outer = make_book("outer")
    inner = outer / "inner"
    for text in (b'[book]\ntitle = "The Rust Book"\n', b"not toml", b"\xff\xfe", b'schema = "recipe/1"\n'):
        inner.mkdir(exist_ok=True)
        (inner / "book.toml").write_bytes(text)
        assert find_book(None, {}, inner)[0] == outer
    assert find_book(None, {}, tmp_path)[0] == demo


def test_a_folder_that_is_no_book_is_told(make_book, tmp_path):
    root = make_book()
    assert told(Book.open, tmp_path / "nothing").endswith(
        "there is no such folder; `swarfbook init DIR` starts a book"
    )
    assert told(Book.open, root / "book.toml").endswith(
        "there is no such folder; `swarfbook init DIR` starts a book"
    )
    assert told(Book.open, root / "recipes").endswith(
        "not a book: it holds no book.toml; `swarfbook init DIR` starts one"
    )
    for name in ("a" * 300, "a\x00b"):
        said = told(Book.open, tmp_path / name)
        assert said.endswith("there is no such folder; `swarfbook init DIR` starts a book")
        assert said.isprintable()


def test_problems_of_the_settings_are_told(make_book):
    root = make_book(**{"book.title": None, "book.titel": "x", "book.schema": "book/1"})
    assert told(Book.open, root).split("\n") == [
        "book.toml: titel: found 'x'; unknown key; did you mean title?",
        'book.toml: title: missing; write for example title = "Saltmarsh workshop"',
    ]
    (root / "book.toml").write_text('schema = "book/2"\n')
    assert told(Book.open, root) == "book.toml: schema: found 'book/2'; write \"book/1\" if this is a book"


def test_settings_are_read(make_book):
    root = make_book(**{"book.units": "imperial", "book.thresholds": {"tight": 0.7, "clean_time": "10 min"}})
    settings = Book.open(root).settings
    assert (settings.title, settings.units) == ("Test workshop", "imperial")
    assert (settings.thresholds.tight, settings.thresholds.clean_time) == (0.7, 600.0)


def test_an_empty_book_opens_and_is_kept_by_git(tmp_path):
    root = create(tmp_path / "deep" / "my-shop", demo=False)
    book = Book.open(root)
    assert book.settings.title == "My shop"
    assert all(book.ids(kind) == [] for kind in ("machine", "tool", "material", "recipe"))
    for folder in ("machines", "tools", "materials", "recipes", "jobs", "runs"):
        assert [path.name for path in (root / folder).iterdir()] == [".gitkeep"]
    assert ".lock" in (root / ".gitignore").read_text()


@pytest.mark.parametrize("name", ['a"b\\', "…", "x" * 240, "\n"])
def test_a_book_opens_whatever_its_folder_is_called(tmp_path, name):
    assert Book.open(create(tmp_path / name, demo=False)).settings.title


def test_a_copy_of_the_demo_can_be_written_to(demo, tmp_path):
    for path in (*demo.rglob("*"), demo):
        path.chmod(0o555 if path.is_dir() else 0o444)
    target = tmp_path / "mine"
    target.mkdir()
    root = create(target, demo=True)
    assert all(path.stat().st_mode & 0o200 for path in (root, *root.rglob("*")))
    assert Book.open(root).get("recipe", RECIPE).raw == Book.open(demo).get("recipe", RECIPE).raw


@pytest.mark.usefixtures("demo")
@pytest.mark.parametrize("copied", [True, False])
def test_a_folder_that_holds_something_is_left_alone(make_book, copied):
    root = make_book("mine")
    before = sorted(root.rglob("*"))
    assert "there is a book in this folder; name a new one" in told(create, root, demo=copied)
    assert told(create, root / "recipes", demo=copied).endswith("this folder is not empty; name a new one")
    assert sorted(root.rglob("*")) == before


@pytest.mark.usefixtures("demo")
def test_a_file_in_the_way_is_told(tmp_path):
    (tmp_path / "mine").write_text("")
    assert told(create, tmp_path / "mine", demo=True).endswith("this is a file; name a new folder")
    assert told(create, tmp_path / "mine" / "x", demo=False).endswith(
        "this cannot be written: not a directory"
    )
    assert told(create, tmp_path / ("a" * 300), demo=False).endswith(
        "this cannot be written: file name too long"
    )
