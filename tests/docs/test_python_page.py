"""The page on Python: every example on it comes out as it stands there."""

from __future__ import annotations

import doctest
import re
import shutil
from pathlib import Path

from swarfbook.resources import demo_book_dir

PAGE = Path(__file__).parents[2] / "docs" / "python.md"
FLAGS = doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE
BLOCK = re.compile(r"^```pycon\n(.*?)^```$", re.DOTALL | re.MULTILINE)


def examples(text):
    """Give the page with nothing but its examples, each on its own line, so that a failure names the line."""
    kept = [""] * (text.count("\n") + 1)
    for block in BLOCK.finditer(text):
        first = text.count("\n", 0, block.start(1))
        for number, line in enumerate(block[1].splitlines()):
            kept[first + number] = line
    return "\n".join(kept)


def test_every_example_comes_out_as_it_stands(tmp_path, monkeypatch):
    shutil.copytree(demo_book_dir(), tmp_path / "my-workshop")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "80")
    page = doctest.DocTestParser().get_doctest(examples(PAGE.read_text()), {}, PAGE.name, str(PAGE), 0)
    told: list[str] = []
    found = doctest.DocTestRunner(optionflags=FLAGS).run(page, out=told.append)
    assert not found.failed, "".join(told)


def test_the_page_speaks_of_every_function_and_has_examples():
    import swarfbook

    text = PAGE.read_text()
    assert examples(text).count(">>> ") > 50
    functions = [name for name in swarfbook.__all__ if name.islower()]
    assert [name for name in functions if f"swarfbook.{name}" not in text] == []
