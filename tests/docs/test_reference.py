"""The reference pages are those the code makes and leave nothing out; no page tells what is not there."""

from __future__ import annotations

import re

import click
import pytest

from support.reference import claims
from support.reference.command_page import commands
from support.reference.json_page import has_json, shapes
from support.reference.limit_page import names as limit_names
from support.reference.pages import DOCS, PAGES
from support.reference.prose import prose
from support.reference.quantity_page import every_quantity
from support.reference.record_page import KINDS, every_key
from swarfbook import tables
from swarfbook.cli.exits import SAYS, Exit
from swarfbook.tui.commands import COMMANDS as ON_SCREEN

WRITTEN = claims.markdown()
NAMES = [str(path.relative_to(claims.ROOT)) for path in WRITTEN]
ON_PAGES = pytest.mark.parametrize("page", WRITTEN, ids=NAMES)


def committed(name: str) -> str:
    return (DOCS / name).read_text(encoding="utf-8")


@pytest.mark.parametrize("name", PAGES)
def test_a_committed_page_is_the_one_that_the_code_makes(name):
    assert committed(name) == PAGES[name](), "write it anew: make reference"


def test_every_command_and_every_option_is_told():
    text = committed("reference/commands.md")
    parts = dict(re.findall(r"^## ([\w-]+)\n(.*?)(?=^## |\Z)", text, re.MULTILINE | re.DOTALL))
    for name, command in commands().items():
        for one in command.params:
            told = [f"`{option}`" in parts[name] for option in one.opts if isinstance(one, click.Option)]
            assert all(told), (name, one.name)


@pytest.mark.parametrize("name", commands())
def test_every_option_says_what_it_does_and_every_command_has_an_example(name):
    command = commands()[name]
    assert [one.opts for one in command.params if isinstance(one, click.Option) and not one.help] == []
    assert (command.epilog or "").startswith(f"Example: swarfbook {name}")


def test_every_exit_code_is_told():
    assert set(SAYS) == set(Exit)
    assert all(f"| {int(one)} | {words}" in committed("reference/commands.md") for one, words in SAYS.items())


def test_every_environment_variable_is_told():
    assert all(f"| `{name}` |" in committed("reference/commands.md") for name in prose()["environment"])


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_of_a_record_is_told(kind):
    title, _ = KINDS[kind]
    text = committed("reference/records.md")
    parts = re.findall(
        rf"^##+ {title}(?:: `\[+([\w.]+)\]+`)?\n(.*?)(?=^##|\Z)", text, re.MULTILINE | re.DOTALL
    )
    told = {
        f"{place}.{key}".lstrip(".")
        for place, part in parts
        for key in re.findall(r"^\| `(\w+)`", part, re.M)
    }
    assert told == {place for place, _, _ in every_key(kind)}


def test_every_limit_quantity_table_and_key_of_the_screen_is_told():
    assert all(f"\n## {name}\n" in committed("reference/limits.md") for name in limit_names())
    assert all(f"\n| `{name}` |" in committed("reference/quantities.md") for name in every_quantity())
    assert all(f"\n## {name}\n" in committed("reference/tables.md") for name in tables.names())
    assert all(f"`{one.id}`" in committed("reference/keys.md") for one in ON_SCREEN)


def test_the_keys_of_every_json_object_are_told():
    assert set(shapes()) == {name for name, command in commands().items() if has_json(command)}
    text = committed("reference/json.md")
    assert all(f"\n## {name}\n" in text for name in shapes())
    assert all(len(found) > 1 for asked in shapes().values() for _, found in asked)
    keys = {place.rpartition(".")[2] for asked in shapes().values() for _, found in asked for place in found}
    assert set(prose()["json_units"]) <= keys


@ON_PAGES
def test_every_option_on_a_page_is_one(page):
    assert claims.unknown_options(page.read_text(encoding="utf-8")) == set()


@ON_PAGES
def test_every_command_on_a_page_is_one(page):
    assert claims.unknown_commands(page.read_text(encoding="utf-8")) == set()


@ON_PAGES
def test_every_key_of_a_toml_block_on_a_page_is_one(page):
    text = page.read_text(encoding="utf-8")
    assert claims.unknown_keys(text) == set()
    assert claims.broken_toml(text) == []


@ON_PAGES
def test_every_file_on_a_page_is_there(page):
    assert claims.missing_files(page.read_text(encoding="utf-8"), page) == set()


@ON_PAGES
def test_every_module_on_a_page_is_there(page):
    assert claims.missing_modules(page.read_text(encoding="utf-8")) == set()


@ON_PAGES
def test_every_link_on_a_page_leads_somewhere(page):
    assert list(claims.broken_links(page.read_text(encoding="utf-8"), page)) == []


def test_what_is_not_there_is_found(tmp_path):
    """The checks above can fail: each finds the fault in a page of faults."""
    page = tmp_path / "page.md"
    page.write_text(
        "# A page\n\nSee [there](#nowhere), [that](none.md), [this](#a-page).\n\n"
        "`swarfbook frobnicate --sideways`, `--json`, `src/none.py`, `book/saving.py`, `decisions.none`,\n"
        "`decisions.past`, `physics.chip.minimum_chip_thickness`\n\n"
        '```toml\nstickout = "20 mm"\nsticking = "20 mm"\n```\n\n```toml\nno toml\n```\n',
        encoding="utf-8",
    )
    text = page.read_text(encoding="utf-8")
    assert claims.unknown_options(text) == {"--sideways"}
    assert claims.unknown_commands(text) == {"frobnicate"}
    assert claims.unknown_keys(text) == {"sticking"}
    assert len(claims.broken_toml(text)) == 1
    assert claims.missing_files(text, page) == {"src/none.py"}
    assert claims.missing_modules(text) == {"decisions.none"}
    assert list(claims.broken_links(text, page)) == ["#nowhere", "none.md"]
