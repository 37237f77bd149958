"""What a shell offers at a press of Tab: by click's own door, and by driving the shells that are here."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from support.books import RECIPE
from swarfbook.book.known import known_ids, latest_runs
from swarfbook.cli import main
from swarfbook.cli.completing import BY_PARAM, NAMES, Known, complete, completer, teach
from swarfbook.resources import demo_book_dir

DEMO = str(demo_book_dir())
SCRIPTS = Path(sys.executable).parent


@pytest.fixture(autouse=True)
def demo(monkeypatch):
    monkeypatch.setenv("SWARFBOOK_BOOK", DEMO)


@pytest.fixture
def offered(monkeypatch):
    """Give what is offered behind some words, the last of which is what is typed of the next."""

    def ask(*words: str, shell: str = "bash") -> list[str]:
        monkeypatch.setenv("COMP_WORDS", "\n".join(("swarfbook", *words)))
        monkeypatch.setenv("COMP_CWORD", str(len(words)))
        found = completer(shell, main.group, main.COMPLETING).complete()
        return [line.partition(",")[2] for line in found.splitlines()]

    return ask


def test_commands_options_and_words_of_lists_are_offered(offered):
    assert offered("che") == ["check"]
    assert set(offered("")) == set(main.COMMANDS)
    assert offered("check", "x", "--js") == ["--json"]
    assert offered("check", "x", "--units", "") == ["metric", "imperial"]
    assert offered("derate", "x", "--by", "f") == ["feed"]


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (("check", "long-bed-6mm-6082-ro"), "long-bed-6mm-6082-rough"),
        (("compare", "x", "long-bed-6mm-6082-ro"), "long-bed-6mm-6082-rough"),
        (("delete", "machine:sm"), "machine:small-mill"),
        (("show", "tool:em-6mm-1"), "tool:em-6mm-1f"),
        (("job", "mast-clamps"), "mast-clamps"),
        (("solve", "--machine", "small"), "small-mill"),
        (("pick", "--material", "6082"), "6082-t6"),
        (("table", "cutting_s"), "cutting_speeds"),
        (("correct", "2026-10-19"), "2026-10-19-1"),
        (("runs", "--outcome", "b"), "bad"),
        (("log", "x", "--outcome", "cha"), "chatter"),
        (("map", "x", "--x", "axial"), "axial_depth"),
        (("measure", "stiff"), "stiffness"),
        (("schema", "too"), "tool"),
        (("completions", "z"), "zsh"),
    ],
)
def test_names_of_the_book_at_hand_are_offered(offered, words, found):
    assert found in [one if ":" in one or ":" not in found else f"{words[-1].partition(':')[0]}:{one}"
                     for one in offered(*words)]  # fmt: skip


def test_a_book_named_before_is_the_one_asked(offered, make_book):
    assert offered("check", "--book", str(make_book()), "") == [RECIPE]
    assert offered("check", "--book", "/no such folder", "") == []


def test_every_argument_that_names_a_record_is_known_to_the_table():
    told = set()
    for name in main.COMMANDS:
        command = main.group.get_command(main.group.make_context("x", [], resilient_parsing=True), name)
        told |= {str(param.name) for param in teach(command).params if isinstance(param.type, Known)}
    assert told == {*BY_PARAM, *(param for _, param in NAMES)}


def test_names_that_are_no_ids_are_offered_to_no_shell(offered, tmp_path, monkeypatch):
    book = tmp_path / "book"
    shutil.copytree(DEMO, book)
    for name in ("a b", "a\nb", "$(touch x)", "-rf", "a;b", "\x1b[31mred", "über", ".hidden", "long-" * 40):
        (book / "recipes" / f"{name}.toml").write_text("", encoding="utf-8")
    log = book / "runs" / "2026-12.jsonl"
    log.write_text('{"id": "a b; rm x"}\nnonsense\n{"id": "2026-12-01-1"}\n{"schema"', encoding="utf-8")
    monkeypatch.setenv("SWARFBOOK_BOOK", str(book))
    assert offered("check", "") == known_ids(Path(DEMO), "recipe")
    assert latest_runs(book)[0] == "2026-12-01-1"
    assert latest_runs(book)[1] == latest_runs(Path(DEMO))[0]


@pytest.mark.parametrize("folder", ["/", "/dev/null"])
def test_a_book_that_does_not_read_offers_nothing_and_says_nothing(capfd, monkeypatch, folder):
    monkeypatch.setenv("COMP_WORDS", "\n".join(("swarfbook", "check", "--book", folder, "")))
    monkeypatch.setenv("COMP_CWORD", "4")
    complete(main.group, "bash_complete", main.COMPLETING)
    assert "".join(capfd.readouterr()).strip() == ""


@pytest.mark.parametrize("asked", ["bash_complete", "tcsh_complete", "bash", "", "bash_nonsense"])
def test_a_shell_that_asks_nonsense_gets_nothing(capfd, monkeypatch, asked):
    monkeypatch.delenv("COMP_WORDS", raising=False)
    assert complete(main.group, asked, main.COMPLETING) in {0, 1}
    assert "".join(capfd.readouterr()) == ""


def run(*words: str, env: dict[str, str], **more) -> subprocess.CompletedProcess[str]:
    env = {**os.environ, "PATH": f"{SCRIPTS}{os.pathsep}{os.environ['PATH']}", **env}
    return subprocess.run(words, env=env, capture_output=True, text=True, timeout=120, check=False, **more)


@pytest.mark.parametrize("words", ["check", "show", "derate", "list", "fit", "map", "sensitivity", "solve"])
def test_completing_loads_neither_numbers_nor_models(words):
    script = (
        "import sys\nsys.argv = ['swarfbook']\nfrom swarfbook.cli.main import run\n"
        "try: run()\nexcept SystemExit: pass\nprint(*sorted(sys.modules), file=sys.stderr)\n"
    )
    asked = {main.COMPLETING: "bash_complete", "COMP_WORDS": f"swarfbook\n{words}\nlo", "COMP_CWORD": "2"}
    done = run(sys.executable, "-c", script, env=asked)
    assert "swarfbook.cli.completing" in done.stderr
    heavy = {"numpy", "pandas", "textual", "scipy", "pint", "pydantic", "tomlkit"}
    loaded = set(done.stderr.split())
    assert not loaded & heavy
    assert not [name for name in loaded if name.startswith("swarfbook.physics")]


BASH = """
source <(swarfbook completions bash)
COMP_WORDS=("$@"); COMP_CWORD=$(( $# - 1 ))
_swarfbook_completion swarfbook
printf '%s\\n' "${COMPREPLY[@]}"
"""


@pytest.mark.skipif(not shutil.which("bash"), reason="no bash here")
@pytest.mark.parametrize(
    ("words", "found"),
    [
        (("check", "long-bed-6mm-6082-ro"), ["long-bed-6mm-6082-rough"]),
        (("show", "machine", ":", "sm"), ["small-mill"]),
        (("show", "machine", ":"), ["bench-router", "long-bed-router", "small-mill"]),
        (("show", "mach"), ["machine:bench-router", "machine:long-bed-router", "machine:small-mill"]),
        (("check", "'a b'", "--uni"), ["--units"]),
        (("nonsense", "che"), ["check"]),
    ],
)
def test_bash_itself_completes(words, found):
    done = run("bash", "--norc", "-c", BASH, "bash", "swarfbook", *words, env={"SWARFBOOK_BOOK": DEMO})
    assert (done.stdout.splitlines(), done.stderr) == (found, "")


@pytest.mark.skipif(not shutil.which("fish"), reason="no fish here")
def test_fish_itself_completes():
    script = (
        "swarfbook completions fish | source; complete --do-complete 'swarfbook check long-bed-6mm-6082-ro'"
    )
    done = run("fish", "--no-config", "-c", script, env={"SWARFBOOK_BOOK": DEMO})
    assert done.stdout.split() == ["long-bed-6mm-6082-rough"]


@pytest.mark.skipif(not shutil.which("zsh"), reason="no zsh here")
def test_zsh_takes_the_script():
    script = (
        "autoload -U compinit; compinit -D; source <(swarfbook completions zsh); print $_comps[swarfbook]"
    )
    assert run("zsh", "-f", "-c", script, env={}).stdout.split() == ["_swarfbook_completion"]


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_script_is_printed_and_asks_the_program(run_cli, shell):
    done = run_cli("completions", shell)
    assert done.returncode == 0
    assert main.COMPLETING in done.stdout
    assert f"{shell}_complete" in done.stdout


@pytest.mark.parametrize("shell", ["zsh", "fish"])
def test_the_other_shells_get_whole_names(monkeypatch, shell):
    monkeypatch.setenv("COMP_WORDS", "swarfbook show machine:sm")
    monkeypatch.setenv("COMP_CWORD", "2" if shell == "zsh" else "machine:sm")
    found = completer(shell, main.group, main.COMPLETING).complete()
    assert "machine:small-mill" in found.replace(",", "\n").splitlines()


def test_an_unknown_shell_is_told_which_there_are(run_cli):
    done = run_cli("completions", "tcsh")
    assert done.returncode == 2
    assert "bash" in done.stderr
