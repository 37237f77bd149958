"""`swarfbook schema`, and the schemas at work in an editor's checker."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from swarfbook.records.examples import EXAMPLES
from swarfbook.records.file_schema import KINDS
from swarfbook.resources import demo_book_dir

TAPLO = shutil.which("taplo", path=str(Path(sys.executable).parent)) or shutil.which("taplo")
TOOL = "tools/em-6mm-1f.toml"


@pytest.fixture
def book(tmp_path):
    made = tmp_path / "book"
    shutil.copytree(demo_book_dir(), made)
    return made


@pytest.mark.parametrize("kind", KINDS)
def test_a_schema_is_printed_with_every_key_in_words_and_an_example(run_cli, kind):
    done = run_cli("schema", kind)
    assert (done.returncode, done.stderr) == (0, "")
    schema = json.loads(done.stdout)
    Draft202012Validator.check_schema(schema)
    assert list(wordless(schema)) == []
    assert schema["$schema"].endswith("/2020-12/schema")
    assert "$schema" in schema


def wordless(table: dict, place: str = ""):
    for name, node in table["properties"].items():
        if not node.get("description"):
            yield f"{place}{name}"
        inner = node.get("items", node)
        if "properties" in inner:
            yield from wordless(inner, f"{place}{name}.")


def test_examples_are_what_the_schema_itself_takes(run_cli):
    for kind in KINDS:
        schema = json.loads(run_cli("schema", kind).stdout)
        for name, node in schema["properties"].items():
            for shown in node.get("examples", ()):
                assert Draft202012Validator(node).is_valid(shown), (kind, name)
        assert schema["properties"]["schema"]["const"] == EXAMPLES[kind]["schema"]


def test_without_a_kind_they_are_listed_and_an_unknown_one_is_told(run_cli):
    assert run_cli("schema").lines == list(KINDS)
    assert run_cli("schema", "cutter").returncode == 2


def test_editors_are_given_all_of_them_and_the_book_reads_as_before(run_cli, book):
    before = run_cli("list", "--book", book).stdout
    done = run_cli("schema", "--editors", "--book", book)
    assert (done.returncode, done.stdout) == (0, "")
    assert len(list((book / "schemas").glob("*.schema.json"))) == 6
    assert run_cli("list", "--book", book).stdout == before
    assert run_cli("verify", "--strict", "--book", book).returncode == 0
    tied = (book / ".taplo.toml").read_bytes()
    assert run_cli("schema", "--editors", "--book", book).returncode == 0
    assert (book / ".taplo.toml").read_bytes() == tied


@pytest.mark.parametrize(
    "own",
    [
        "[formatting]\nindent_tables = true\n",
        "broken = \n",
        "rule = 3\n",
        "rule = [[[]]]\n",
        f"x = {'[' * 5000}",
    ],
)
def test_a_file_of_somebody_else_is_left_alone_and_the_lines_to_add_are_printed(run_cli, book, own):
    (book / ".taplo.toml").write_text(own, encoding="utf-8")
    done = run_cli("schema", "--editors", "--book", book)
    assert done.returncode == 1
    assert (book / ".taplo.toml").read_text(encoding="utf-8") == own
    assert done.stdout.count("[[rule]]") == 6
    if own.startswith("["):
        (book / ".taplo.toml").write_text(f"{own}\n{done.stdout}", encoding="utf-8")
        assert run_cli("schema", "--editors", "--book", book).returncode == 0


def test_the_built_in_demo_is_not_written(run_cli):
    done = run_cli("schema", "--editors", "--book", demo_book_dir())
    assert done.returncode == 2
    assert not (demo_book_dir() / "schemas").exists()


def test_a_link_out_of_the_book_is_not_written_through(run_cli, book, tmp_path):
    (tmp_path / "elsewhere").mkdir()
    (book / "schemas").symlink_to(tmp_path / "elsewhere")
    assert run_cli("schema", "--editors", "--book", book).returncode == 2
    assert list((tmp_path / "elsewhere").iterdir()) == []


@pytest.fixture
def linted(run_cli, book):
    """Give a function that spoils a file of a book and gives what the checker says, by line of the file."""
    if TAPLO is None:
        pytest.skip("no taplo here")
    run_cli("schema", "--editors", "--book", book)

    def lint(*words: str) -> str:
        done = subprocess.run(
            [TAPLO, "lint", "--colors", "never", *words],
            cwd=book, capture_output=True, text=True, timeout=120, check=False,
        )  # fmt: skip
        return done.stdout + done.stderr if done.returncode else ""

    return lint


def test_an_editors_checker_takes_every_file_of_the_demo(linted):
    assert linted() == ""


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('diameter = "6 mm"', "diameter = 6"),
        ('diameter = "6 mm"', 'diameter = "6"'),
        ('diameter = "6 mm"', 'diameter = "6 rpm"'),
        ('shape = "square"', 'shape = "sqare"'),
        ("flutes = 1", 'flutes = 1\nfluts = "1 mm"'),
        ("flutes = 1", 'flutes = 1\ntaper = "2 deg"'),
        ("flutes = 1", "flutes = 1.5"),
        ('schema = "tool/1"', 'schema = "tool/2"'),
    ],
)
def test_an_editors_checker_marks_the_key(linted, book, old, new):
    path = book / TOOL
    text = path.read_text(encoding="utf-8")
    line = text[: text.index(old)].count("\n") + new.count("\n") + 1
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    assert f"{path.name}:{line}:" in linted(TOOL)
