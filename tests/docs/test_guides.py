"""Every command of README, docs and guides runs as printed, and the runner that says so can go red."""

from __future__ import annotations

import os
import shutil
import time
from pathlib import Path

import pytest

from support import consoles
from support.consoles import PageError, faults, read_page, refreshed, rewritten, run_page

ROOT = Path(__file__).resolve().parents[2]
GUIDES = sorted((ROOT / "docs" / "guides").glob("*.md"))
PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md")), *GUIDES]


def name(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


@pytest.mark.parametrize("path", PAGES, ids=name)
def test_page_says_what_its_commands_print(path: Path):
    page = read_page(path, name(path))
    if any(step.text.startswith("git ") for step in page.commands) and shutil.which("git") is None:
        pytest.skip("git is not here")
    told = faults(page, run_page(page))
    assert not told, "\n\n".join(["", *told, "", f"python tests/support/consoles.py --write {name(path)}"])


@pytest.mark.parametrize("path", [path for path in GUIDES if path.name != "index.md"], ids=name)
def test_guide_shows_what_a_command_prints(path: Path):
    assert path in PAGES
    assert any(step.expected for step in read_page(path).commands), f"{name(path)} shows no output"


def test_index_names_every_guide():
    index = (ROOT / "docs" / "guides" / "index.md").read_text(encoding="utf-8")
    missing = [path.name for path in GUIDES if path.name != "index.md" and f"({path.name})" not in index]
    assert GUIDES
    assert missing == []


def told(tmp_path: Path, *lines: str) -> list[str]:
    """Write a page, run it and give its faults."""
    path = tmp_path / "page.md"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    page = read_page(path, "page.md")
    return faults(page, run_page(page))


def test_right_page_has_no_faults(tmp_path):
    lines = (
        "# Page",
        "",
        "```console",
        "$ echo one two",
        "one ...",
        "$ printf 'a\\nb\\nc\\n'",
        "...",
        "c",
        "```",
    )
    assert told(tmp_path, *lines) == []


def test_wrong_line_names_page_line_and_both(tmp_path):
    (fault,) = told(tmp_path, "# Page", "```console", "$ printf 'a\\nb\\n'", "a", "c", "```")
    assert fault.startswith(
        "page.md:5: under `printf 'a\\nb\\n'` the page says\n    c\nand it prints\n    b\n"
    )


def test_line_too_many_and_too_few(tmp_path):
    (fewer,) = told(tmp_path, "```console", "$ echo a", "a", "b", "```")
    assert "page.md:4:" in fewer
    assert "says\n    b\nand it prints\n    no more lines" in fewer
    (more,) = told(tmp_path, "```console", "$ printf 'a\\nb\\n'", "a", "```")
    assert "says\n    no more lines\nand it prints\n    b" in more


def test_wrong_code_is_told_with_what_was_printed(tmp_path):
    (fault,) = told(tmp_path, "```console", "$ sh -c 'echo worse; exit 3'", "worse", "```")
    assert fault.startswith("page.md:2: `sh -c 'echo worse; exit 3'` left with 3, not with 0")
    assert fault.endswith("\n    worse")


def test_code_that_is_asked_for_is_compared_there(tmp_path):
    lines = ["```console", "$ sh -c 'exit 3'", "$ echo $?", "3", "```"]
    assert told(tmp_path, *lines) == []
    lines[3] = "2"
    (fault,) = told(tmp_path, *lines)
    assert "page.md:4:" in fault


def test_missing_command_is_told(tmp_path):
    (fault,) = told(tmp_path, "```console", "$ swarfbok list", "```")
    assert fault.startswith("page.md:2: `swarfbok list` left with 127")
    assert "not found" in fault


def test_what_ends_the_shell_is_told_of_every_command_after(tmp_path):
    lines = told(tmp_path, "```console", "$ echo 'open", "$ echo a", "a", "```")
    assert [line.split("`")[0] for line in lines] == ["page.md:2: ", "page.md:3: "]
    assert all("did not come to an end" in line for line in lines)


def test_what_hangs_is_ended_and_told(tmp_path, monkeypatch):
    monkeypatch.setattr(consoles, "SECONDS", 0.5)
    (fault,) = told(tmp_path, "```console", "$ sleep 600", "```")
    assert "page.md:2: `sleep 600` did not come to an end" in fault


def is_running(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    state = Path(f"/proc/{process}/stat")  # one that has ended and that nobody asked for yet is not running
    return not (state.exists() and state.read_text().rsplit(")", 1)[1].split()[0] == "Z")


def test_what_is_left_running_ends_with_its_page(tmp_path):
    kept = tmp_path / "process"
    assert told(tmp_path, "```console", "$ sleep 600 &", f"$ echo $! > {kept}", "$ kill -0 $!", "```") == []
    process = int(kept.read_text())
    for _ in range(200):
        if not is_running(process):
            break
        time.sleep(0.05)
    assert not is_running(process)


def test_commands_share_folder_and_shell_and_nothing_of_ours(tmp_path, monkeypatch):
    monkeypatch.setenv("SWARFBOOK_BOOK", "/elsewhere")
    monkeypatch.setenv("NO_COLOR", "1")
    lines = [
        "```console",
        "$ ls -A",
        "$ mkdir a && cd a",
        "$ pwd",
        ".../page/a",
        "```",
        "Text.",
        "```console",
    ]
    lines += ["$ basename $PWD; echo [$SWARFBOOK_BOOK$NO_COLOR] $COLUMNS", "a", "[] 80", "```"]
    assert told(tmp_path, *lines) == []


def test_folder_is_empty_at_first(tmp_path):
    assert told(tmp_path, "```console", "$ ls -A | wc -l", "0", "$ touch a; ls", "a", "```") == []


def test_block_marked_as_file_is_written_there(tmp_path):
    lines = ("<!-- file: book/tools/a b.toml -->", "```toml", 'a = "1 mm"', "", "```")
    shown = ("```console", "$ cd book", "$ cat 'tools/a b.toml'", 'a = "1 mm"', "```")
    with pytest.raises(PageError, match=r"page\.md:2: \.\./x leads out"):
        told(tmp_path, "<!-- file: ../x -->", "```toml", "```")
    assert told(tmp_path, *(line.replace("a b", "a-b") for line in (*lines, *shown))) == []


def test_plain_spaces_in_the_page_stand_for_those_that_do_not_break(tmp_path):
    assert told(tmp_path, "```console", "$ printf '16\\342\\200\\257000 rpm\\n'", "16 000 rpm", "```") == []


def test_command_goes_on_after_a_backslash(tmp_path):
    assert told(tmp_path, "```console", "$ echo one \\", "      two", "one two", "```") == []


def test_other_blocks_are_not_run(tmp_path):
    lines = ["```text", "$ exit 3", "```", "````text", "```console", "$ exit 3", "```", "````"]
    lines += ["```{eval-rst} of", "$ exit 3", "```", "```{console}", "$ exit 3", "```"]
    assert told(tmp_path, *lines) == []


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        (("```console", "echo a", "```"), r"page\.md:2: a console block begins with"),
        (("  ```console", "  $ echo a", "  ```"), r"page\.md:1: a console block stands at the margin"),
        (("```console", "$ echo a"), r"page\.md:1: a block begins here and does not end"),
    ],
)
def test_page_that_cannot_be_read_says_where(tmp_path, lines, says):
    with pytest.raises(PageError, match=says):
        told(tmp_path, *lines)


def test_refreshing_keeps_the_wildcards_that_still_match():
    expected = ("run ... minutes", "...", "old total 4", "last")
    assert refreshed(expected, ("run 3 minutes", "x", "y", "new total 5", "last")) == [
        "run ... minutes",
        "...",
        "new total 5",
        "last",
    ]
    assert refreshed(("to be seen",), ("a", "b")) == ["a", "b"]


def test_rewritten_page_has_no_faults_and_the_same_text_around(tmp_path):
    path = tmp_path / "page.md"
    text = "# Page\n\n```console\n$ printf 'a\\n\\nb\\n'\n?\n\n$ echo c\n?\n```\n\nAfter.\n"
    path.write_text(text, encoding="utf-8")
    page = read_page(path)
    path.write_text(rewritten(page, run_page(page)), encoding="utf-8")
    again = read_page(path)
    assert faults(again, run_page(again)) == []
    assert path.read_text(encoding="utf-8") == text.replace("\n?\n\n", "\na\n\nb\n\n").replace(
        "\n?\n", "\nc\n"
    )
