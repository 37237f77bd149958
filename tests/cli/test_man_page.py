"""The man page, and the exit codes that it and the help tell of."""

from __future__ import annotations

import importlib.util
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from swarfbook.cli import main
from swarfbook.cli.exits import SAYS, Exit

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "man" / "swarfbook.1"
COMMANDS = ROOT / "src" / "swarfbook" / "cli"
DOCUMENT = ROOT / "docs" / "command-line.md"


@pytest.fixture(scope="module")
def generate():
    spec = importlib.util.spec_from_file_location("generate_man_page", ROOT / "man" / "generate.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_man_page_is_what_the_commands_make_of_it(generate):
    assert PAGE.read_text(encoding="utf-8") == generate.page(), "run python man/generate.py"


def test_every_command_and_option_is_in_it():
    text = PAGE.read_text(encoding="utf-8").replace("\\-", "-")
    for name in main.COMMANDS:
        assert f"\n.SS {name} " in text
    assert "--inside-corner LENGTH" in text


@pytest.mark.skipif(not shutil.which("groff"), reason="no groff here")
def test_the_formatter_has_nothing_to_complain_of():
    done = subprocess.run(
        ["groff", "-man", "-ww", "-Tutf8", str(PAGE)], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stderr == ""
    assert "Back RECIPE off" in re.sub(r"\x1b\[[0-9;]*m|.\x08", "", " ".join(done.stdout.split()))


@pytest.mark.skipif(not shutil.which("mandoc"), reason="no mandoc here")
def test_the_other_formatter_has_no_complaint_worth_a_warning():
    assert subprocess.run(["mandoc", "-T", "lint", "-W", "warning", str(PAGE)], check=False).returncode == 0


def test_every_code_is_said_and_is_in_the_documents_table():
    assert set(SAYS) == set(Exit)
    rows = re.findall(r"^\| (\d+) \| (.+) \|$", DOCUMENT.read_text(encoding="utf-8"), re.MULTILINE)
    assert {int(code): says.rstrip(".") for code, says in rows} == {int(code): SAYS[code] for code in SAYS}


@pytest.mark.parametrize("path", sorted(COMMANDS.glob("*_command.py")), ids=lambda path: path.stem)
def test_a_command_that_may_leave_with_1_says_so_in_its_help(path, run_cli):
    done = run_cli(path.stem.removesuffix("_command"), "--help")
    assert done.returncode == 0
    said = re.search("[Ll]eaves with 1", " ".join(done.stdout.split())) is not None
    assert said == ("Exit.OVER" in path.read_text(encoding="utf-8"))


def test_every_variable_that_is_asked_for_is_in_the_page_and_the_document(generate):
    pattern = re.compile(r"(?:environ(?:\.get)?[\[(]|getenv\(|VARIABLE = )\"([A-Z_]+)\"")
    asked = set()
    for path in (ROOT / "src").rglob("*.py"):
        asked |= set(pattern.findall(path.read_text(encoding="utf-8")))
    assert "SWARFBOOK_BOOK" in asked
    told = ", ".join(generate.ENVIRONMENT)
    document = DOCUMENT.read_text(encoding="utf-8")
    for name in asked - {"_SWARFBOOK_COMPLETE", "COMP_WORDS", "COMP_CWORD"}:  # a shell's, not a person's
        assert name in told, name
        assert f"`{name}`" in document, name
