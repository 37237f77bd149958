"""No text of a file drives a terminal or a page: it is shown escaped, or refused."""

from __future__ import annotations

import csv
import json
import shutil
from pathlib import Path

import pytest
from click import Context

from support.hostile import TERMINAL
from swarfbook import resources
from swarfbook.book import Book
from swarfbook.cli.main import COMMANDS, group
from swarfbook.errors import drives
from swarfbook.records import record_keys
from swarfbook.tui.app import SwarfbookApp
from tui.conftest import seen

DEMO = resources.demo_book_dir()
HOSTILE = "".join(TERMINAL).replace("\x00", "")
MARKUP = "[bold]<b onclick=x>&amp;[/bold]"
RECIPE, JOB = "long-bed-6mm-6082-rough", "mast-clamps"
GOOD = {RECIPE, "long-bed-router", "em-6mm-1f", "6082-t6", JOB}
"""Records that stay as they are, so that commands get past them."""


def toml_text(text: str) -> str:
    """Write a text for TOML by escapes, so that the reader gives it whole."""
    return '"' + "".join(f"\\U{ord(char):08X}" for char in text) + '"'


def spoil(path: Path, key: str, text: str) -> None:
    """Give a key of a record's file another text, by hand."""
    lines = [line for line in path.read_text().splitlines() if not line.startswith(f"{key} =")]
    at = next(number for number, line in enumerate(lines) if line.startswith("schema"))
    path.write_text("\n".join([*lines[: at + 1], f"{key} = {toml_text(text)}", *lines[at + 1 :], ""]))


def books(root: Path, text: str) -> Path:
    """Copy the demo, and put a text wherever a hand can put one."""
    shutil.copytree(DEMO, root)
    for path in (root, *root.rglob("*")):
        path.chmod(path.stat().st_mode | 0o200)
    files = {
        kind: sorted((root / kind).glob("*.toml"))
        for kind in ("machines", "tools", "materials", "recipes", "jobs")
    }
    for kind, found in files.items():
        for path in found:
            if path.stem not in GOOD or text == MARKUP:
                spoil(path, "name", text)
                if "notes" in record_keys(kind.removesuffix("s")):
                    spoil(path, "notes", text)
        name = text.replace("/", "_")[:60]
        (root / kind / f"{name}.toml").write_bytes(found[0].read_bytes())
        (root / kind / "broken.toml").write_bytes(b'schema = "' + text.encode() + b"\n")
        (root / kind / f"folder {name}").mkdir()
        (root / kind / f".{name}.toml.0123abcd.tmp").write_text("left over")
        (root / kind / "link.toml").symlink_to(root.parent / name)
    (root / "recipes/odd.toml").write_text(f"schema = {toml_text(text)}\n{toml_text(text)} = 1\n")
    (root / "recipes/odder.toml").write_text(
        f'schema = "recipe/1"\nname = "x"\n{toml_text(text)} = 1\nmachine = {toml_text(text)}\n'
    )
    _spoil_log(root, text)
    return root


def _spoil_log(root: Path, text: str) -> None:
    path = root / "runs/2026-11.jsonl"
    lines = []
    for number, line in enumerate(path.read_text().splitlines()):
        raw = json.loads(line)
        if number % 2:
            raw |= {"note": text, "by": text}
        if number % 3 == 0:
            raw["snapshot"] = _everywhere(raw["snapshot"], text)
        if number % 5 == 0:
            raw["id"] = text
        lines.append(json.dumps(raw, ensure_ascii=bool(number % 4)))
    path.write_text("\n".join([*lines, text, "{" + text, ""]))
    told = {"schema": "rename/1", "at": text, "kind": text, "from": text, "to": text}
    (root / "renames.jsonl").write_text(json.dumps(told) + "\n" + text + "\n")


def _everywhere(value: object, text: str) -> object:
    if isinstance(value, dict):
        return {key: _everywhere(one, text) for key, one in value.items()} | {text: text}
    return text if isinstance(value, str) else value


WORDS = {
    "list": [[], ["--json"]],
    "show": [
        [RECIPE],
        [f"machine:{HOSTILE}"],
        [HOSTILE],
        [f"job:{JOB}"],
        [RECIPE, "--json"],
        ["broken"],
        ["odd"],
        ["odder"],
    ],
    "check": [[RECIPE], [HOSTILE], [RECIPE, "--json"], ["odder"]],
    "derate": [[RECIPE, "--margin", "15 %"], [RECIPE, "--margin", HOSTILE]],
    "sensitivity": [[RECIPE]],
    "map": [[RECIPE, "--x", HOSTILE]],
    "compare": [[RECIPE, HOSTILE], [RECIPE, "odd"]],
    "log": [[RECIPE, "--minutes", HOSTILE]],
    "runs": [[], ["--json"], ["--cutters"], [RECIPE]],
    "correct": [[HOSTILE]],
    "fit": [[], ["--json"], ["--merge", HOSTILE]],
    "export": [["runs", HOSTILE], ["tools", HOSTILE], ["book", HOSTILE]],
    "import": [
        ["tools", HOSTILE],
        ["tools", "drawer.csv"],
        ["tools", "drawer.csv", "--json"],
        [
            "tools",
            "drawer.csv",
            "--map",
            f"{HOSTILE}={HOSTILE}",
            "--unit",
            f"a={HOSTILE}",
            "--set",
            f"name={HOSTILE}",
        ],
    ],
    "pick": [["--material", HOSTILE]],
    "job": [[JOB], [HOSTILE], [JOB, "--json"]],
    "solve": [["--machine", HOSTILE]],
    "copy": [[RECIPE, HOSTILE]],
    "rename": [[RECIPE, HOSTILE], [f"tool:{HOSTILE}", "x"]],
    "delete": [[HOSTILE], ["machine:long-bed-router"]],
    "history": [[RECIPE], ["broken"], [HOSTILE]],
    "restore": [[], [HOSTILE]],
    "verify": [[], ["--json"], ["--leftovers", "keep"], ["--leftovers", "remove"]],
    "table": [[HOSTILE]],
    "measure": [["odder"], ["machine:long-bed-router"]],
    "keys": [[]],
    "schema": [["tool"], ["--editors"], [HOSTILE]],
    "completions": [["bash"], ["fish"], [HOSTILE]],
    "init": [[]],
}
UNSEEN = {"open", "serve"}
"""They end with the person; what they show is in the tests below."""


@pytest.fixture
def root(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.chdir(tmp_path)
    cells = [
        [HOSTILE, "shape", "name", "DC"],
        [HOSTILE] * 4,
        ["x", HOSTILE, "x", HOSTILE],
        ["x", "ball", "y", "6"],
    ]
    with (tmp_path / "drawer.csv").open("w", newline="") as file:
        csv.writer(file).writerows([[cell.replace("\0", "") for cell in row] for row in cells])
    return books(tmp_path / "book", HOSTILE)


def test_every_command_is_among_them():
    assert {*WORDS, *UNSEEN} == {*COMMANDS}


@pytest.mark.parametrize(
    ("command", "words"), [(name, words) for name, lines in WORDS.items() for words in lines], ids=repr
)
def test_no_text_of_a_file_drives_the_terminal(command, words, root, run_cli):
    of_a_book = "book_dir" in {option.name for option in group.get_command(Context(group), command).params}
    done = run_cli(command, *words, *(["--book", root] if of_a_book else []))
    said = done.stdout + done.stderr
    assert said
    assert not [char for char in said if drives(char) and char not in "\n"]
    assert "Traceback" not in said


def test_json_reads_the_same_with_what_drives_a_terminal_escaped(root, run_cli):
    said = json.loads(run_cli("verify", "--json", "--book", root).stdout)
    assert any(drives(char) for char in json.dumps(said, ensure_ascii=False))


def test_states_are_shown_with_what_drives_a_terminal_escaped(root, run_cli):
    path = root / f"recipes/{RECIPE}.toml"
    run_cli("history", RECIPE, "--book", root)
    book = Book.open(root)
    book.save("recipe", RECIPE, {"standing": "proven"}, seen=book.get("recipe", RECIPE).sha)
    text = path.read_text()
    path.write_text(f"{text}# {HOSTILE}\n", newline="")
    book.history.add("recipe", RECIPE, "saved", path.read_bytes())
    for words in (["--show", "2"], ["--diff", "1"], ["--diff", "1", "2"]):
        done = run_cli("history", RECIPE, *words, "--book", root)
        assert "evil" in done.stdout or words == ["--diff", "1"]
        assert not [char for char in done.stdout if drives(char) and char not in "\n\t"]


async def test_no_text_of_a_file_drives_the_screen_and_markup_is_text(tmp_path):
    for name, text in (("driving", HOSTILE), ("marked", MARKUP)):
        root = books(tmp_path / name, text)
        for open_on in (RECIPE, None):
            app = SwarfbookApp(Book.open(root), open_on)
            async with app.run_test(size=(140, 50)) as pilot:
                shown = await seen(pilot)
                for key in (
                    "question_mark",
                    "escape",
                    "l",
                    "escape",
                    "r",
                    "escape",
                    "P",
                    "escape",
                    "tab",
                    "enter",
                ):
                    await pilot.press(key)
                    shown += await seen(pilot)
            assert not [char for char in shown if drives(char) and char != "\n"]
            if name == "marked":
                assert "[bold]<b" in shown


def test_the_sheet_in_html_shows_markup_as_text(tmp_path, run_cli):
    root, path = books(tmp_path / "marked", MARKUP), tmp_path / "sheet.html"
    assert run_cli("job", JOB, "--sheet", path, "--book", root).returncode in (0, 1)
    page = path.read_text()
    assert "<b onclick" not in page
    assert "&lt;b onclick" in page
    assert "<script" not in page


def test_a_folder_of_an_odd_name_drives_nothing(tmp_path, run_cli):
    root = tmp_path / HOSTILE.replace("/", "_")
    first = run_cli("init", "--demo", root)
    saved = run_cli(
        "solve",
        "--machine",
        "small-mill",
        "--tool",
        "em-8mm-3f",
        "--material",
        "6082-t6",
        "--operation",
        "rough",
        "--save",
        "new-one",
        "--book",
        root,
    )
    exported = run_cli("export", "runs", root / "runs.csv", "--book", root)
    assert saved.stderr == "saved recipes/new-one.toml\n"
    for done in (first, saved, exported):
        said = done.stdout + done.stderr
        assert "evil" in said or done is saved  # a save names its file within the book
        assert not [char for char in said if drives(char) and char != "\n"]
