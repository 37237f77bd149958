"""What commands do where they print: lacking letters, full disks, readers that leave, closed streams."""

from __future__ import annotations

import errno
import io
import json
import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from swarfbook.cli import main, streams
from swarfbook.cli.streams import Dressed
from swarfbook.resources import demo_book_dir

ROUGH = "long-bed-6mm-6082-rough"
WORDS = {
    "init": ["init", "new"],
    "open": ["open"],
    "serve": ["serve", "--host", "nowhere"],
    "list": ["list"],
    "show": ["show", ROUGH],
    "check": ["check", ROUGH],
    "derate": ["derate", ROUGH, "--margin", "25%"],
    "sensitivity": ["sensitivity", ROUGH],
    "map": ["map", ROUGH, "--points", "10"],
    "compare": ["compare", ROUGH, "long-bed-6mm-6082-max"],
    "log": ["log", ROUGH, "--minutes", "12", "--outcome", "clean", "--at", "2026-11-20T10:00"],
    "runs": ["runs"],
    "correct": ["correct", "2026-10-19-1", "--minutes", "3"],
    "fit": ["fit"],
    "export": ["export", "runs", "runs.csv"],
    "pick": ["pick", "--material", "6082-t6", "--operation", "rough"],
    "job": ["job", "mast-clamps"],
    "solve": ["solve", "--machine", "small-mill", "--tool", "em-10mm-4f-hss", "--material", "6082-t6",
              "--operation", "rough"],
    "copy": ["copy", ROUGH, "another"],
    "rename": ["rename", "machine:small-mill", "mill"],
    "delete": ["delete", "bench-3mm-brass-letters"],
    "history": ["history", ROUGH],
    "restore": ["restore"],
    "verify": ["verify"],
    "table": ["table", "softening"],
    "keys": ["keys"],
    "schema": ["schema", "tool"],
    "completions": ["completions", "fish"],
    "measure": ["measure", "stiffness"],
}  # fmt: skip
"""How each command is called; a command that is not here is asked for its help."""
EVERY = [*main.COMMANDS, "--help", "--version"]
NARRATES = {"init", "open", "serve", "copy", "rename", "delete", "restore", "verify"}
"""Commands that, so called, have nothing to give on stdout."""
ONCE = {"correct"}
"""Commands that, so called, find nothing to do the second time."""
AS_JSON = (
    "check",
    "list",
    "show",
    "derate",
    "job",
    "runs",
    "table",
    "compare",
    "solve",
    "map",
    "fit",
    "keys",
)


class Raw(io.RawIOBase):
    """Where bytes go: kept, or refused with an error."""

    def __init__(self, refusal: OSError | None = None) -> None:
        self.kept, self.refusal = bytearray(), refusal

    def writable(self) -> bool:
        return True

    def write(self, data) -> int:
        if self.refusal is not None:
            raise self.refusal
        self.kept += bytes(data)
        return len(data)


@pytest.fixture
def at(monkeypatch, tmp_path):
    """Give a function that runs words on a copy of the demo, with streams of one's own."""
    book = tmp_path / "book"
    shutil.copytree(demo_book_dir(), book)
    monkeypatch.setenv("SWARFBOOK_BOOK", str(book))
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.chdir(tmp_path)

    def run(*words: str, encoding: str = "utf-8", refusal: OSError | None = None, out=None, err=None):
        raw, told = Raw(refusal), Raw()
        made = out or io.TextIOWrapper(io.BufferedWriter(raw), encoding=encoding)
        said = err or io.TextIOWrapper(io.BufferedWriter(told), encoding=encoding)
        with monkeypatch.context() as patch:
            patch.setattr(sys, "argv", ["swarfbook", *words])
            patch.setattr(sys, "stdin", streams._Closed())
            patch.setattr(sys, "stdout", Dressed(made, "stdout"))
            patch.setattr(sys, "stderr", Dressed(said, "stderr"))
            code = main.run_words()
        return code, raw.kept.decode(encoding), told.kept.decode(encoding)

    return run


def words_of(name: str) -> list[str]:
    return WORDS.get(name, [name] if name.startswith("-") else [name, "--help"])


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
@pytest.mark.parametrize("name", EVERY)
def test_a_terminal_that_lacks_letters_gets_those_it_has(at, name, encoding):
    code, out, err = at(*words_of(name), encoding=encoding)
    assert code in {0, 1, 2}
    assert bool(out) or name in NARRATES
    assert bool(err) or name not in {"init", "open", "serve", "copy", "rename", "delete"}
    assert "\ufffd" not in out


@pytest.mark.parametrize("name", AS_JSON)
def test_json_says_the_same_in_any_letters(at, name):
    words = [*words_of(name), "--json"]
    assert json.loads(at(*words, encoding="ascii")[1]) == json.loads(at(*words)[1])


def test_json_escapes_a_letter_beyond_the_first_plane(at, tmp_path):
    path = tmp_path / "book" / "tools" / "em-6mm-1f.toml"
    text = path.read_text(encoding="utf-8").replace('name = "6 mm', 'name = "\U0001f600 ü 6 mm', 1)
    path.write_text(text, encoding="utf-8")
    shown = at("list", "--kind", "tool", "--json", encoding="ascii")[1]
    assert "\U0001f600 ü 6 mm" in [one["name"][:8] for one in json.loads(shown)]


@pytest.mark.parametrize("name", EVERY)
def test_a_full_disk_is_one_line_and_bad_input(at, name):
    code, out, err = at(*words_of(name), refusal=OSError(errno.ENOSPC, "No space left on device"))
    assert out == ""
    if name in NARRATES and "stdout" not in err:
        assert code in {0, 1, 2}
    else:
        assert code == 2
        assert err.splitlines()[-1] == "swarfbook: stdout: this cannot be written: no space left on device"
    assert "Traceback" not in err


@pytest.mark.parametrize("name", EVERY)
def test_a_reader_that_leaves_is_no_mistake(at, name):
    code, _, err = at(*words_of(name), refusal=BrokenPipeError(errno.EPIPE, "Broken pipe"))
    assert code in ({0, 1, 2} if name in NARRATES else {0})
    assert "Traceback" not in err
    assert "pipe" not in err


@pytest.mark.parametrize("name", EVERY)
def test_closed_streams_are_told_where_that_can_be_told(at, name):
    code, _, err = at(*words_of(name), out=streams._Closed())
    assert ("stdout: this cannot be written: it is closed" in err) == (name not in NARRATES)
    assert code == 2 or name in NARRATES
    silent, out, _ = at(*words_of(name), err=streams._Closed())
    assert silent in {0, 1, 2}
    assert bool(out) or name in NARRATES | ONCE


def test_a_terminal_that_moves_no_cursor_gets_no_screen(at, monkeypatch):
    monkeypatch.setattr(streams._Closed, "isatty", lambda _: True)
    monkeypatch.setenv("TERM", "dumb")
    code, _, err = at("open", out=streams._Closed())
    assert (code, err.count("\n")) == (2, 1)
    assert "moves a cursor" in err


@pytest.mark.parametrize("columns", ["1", "20", "0", "nonsense", "400"])
def test_a_narrow_terminal_is_no_trouble(at, monkeypatch, columns):
    monkeypatch.setenv("COLUMNS", columns)
    for name in ("list", "check", "map", "job", "table", "compare"):
        assert at(*words_of(name))[0] in {0, 1}


def real(*words: str, **more) -> subprocess.CompletedProcess[str]:
    env = {**os.environ, "SWARFBOOK_BOOK": str(demo_book_dir()), **more.pop("env", {})}
    return subprocess.run(
        [sys.executable, "-m", "swarfbook", *words],
        capture_output=True, text=True, timeout=120, check=False, env=env, **more,
    )  # fmt: skip


SHELL = pytest.mark.skipif(not shutil.which("sh"), reason="no sh here")


@SHELL
@pytest.mark.parametrize(
    ("ending", "code", "told"),
    [
        (">&-", 2, "swarfbook: stdout: this cannot be written: it is closed\n"),
        (">&- <&- 2>&-", 2, ""),
        ("2>&- >/dev/null", 0, ""),
        ("| head -n 1 >/dev/null", 0, ""),
    ],
)
@pytest.mark.parametrize("unbuffered", ["", "1"])
def test_the_program_itself_in_a_shell(ending, code, told, unbuffered):
    command = f'"{sys.executable}" -m swarfbook table {ending}'
    env = {**os.environ, "PYTHONUNBUFFERED": unbuffered}
    done = subprocess.run(
        ["sh", "-c", command], capture_output=True, text=True, env=env, timeout=120, check=False
    )
    assert (done.returncode, done.stderr) == (code, told)


@SHELL
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no full disk here")
def test_a_disk_that_is_really_full():
    command = f'"{sys.executable}" -m swarfbook table > /dev/full'
    done = subprocess.run(["sh", "-c", command], capture_output=True, text=True, timeout=120, check=False)
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)


@pytest.mark.parametrize("env", [{"PYTHONIOENCODING": "ascii"}, {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0"}])
def test_the_program_itself_without_letters(env):
    done = real("check", ROUGH, env=env)
    assert (done.returncode, done.stderr) == (0, "")
    assert "axis thrust" in done.stdout


@pytest.mark.skipif(os.name != "posix", reason="signals of POSIX")
@pytest.mark.parametrize(("sent", "code"), [(signal.SIGINT, 130), (signal.SIGTERM, -signal.SIGTERM)])
def test_signals_end_it_as_a_shell_expects(sent, code, tmp_path):
    book = tmp_path / "book"
    shutil.copytree(demo_book_dir(), book)
    script = (
        "import sys, time\nfrom swarfbook.cli import main\n"
        "sys.argv = ['swarfbook', 'keys']\n"
        "main.group.main = lambda **_: (print('up', flush=True), time.sleep(60))\nmain.run()\n"
    )
    process = subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert process.stdout.readline() == b"up\n"
    process.send_signal(sent)
    _, err = process.communicate(timeout=60)
    assert (process.returncode, err) == (code, b"")
