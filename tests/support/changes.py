"""The changes that pages of docs/extending show, applied to a copy of the tree."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
COPIED = ("src", "tests", "reference_tables", "recipes", "pyproject.toml", "README.md")
MARKED = re.compile(
    r"<!-- change: (?P<path>\S+) -->\n+```(?P<kind>\w+)\n(?P<body>.*?)^```$", re.DOTALL | re.MULTILINE
)
LEFT_OUT = shutil.ignore_patterns("__pycache__", "snapshots", "mutation", ".*")


@dataclass(frozen=True)
class Change:
    """One fenced block of a page: what it does to one file.

    Attributes:
        path: the file, from the root of the tree.
        kind: `diff` changes it, `csv` adds rows at its end, any other word is a whole new file.
        body: the block's text.
    """

    path: str
    kind: str
    body: str


def changes_of(page: Path) -> list[Change]:
    """Give the changes a page shows, in its order; raises AssertionError where it shows none."""
    found = [Change(**one.groupdict()) for one in MARKED.finditer(page.read_text(encoding="utf-8"))]
    assert found, f"{page.relative_to(ROOT)} shows no change"
    return found


def copy_tree(place: Path) -> Path:
    """Copy what the program and its tests are made of; give the copy's folder."""
    place.mkdir(exist_ok=True)
    for name in COPIED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, place / name, ignore=LEFT_OUT)
        else:
            shutil.copy(source, place / name)
    return place


def apply(page: Path, tree: Path) -> None:
    """Make every change of a page in a tree; raises AssertionError that says which page is to be mended."""
    for change in changes_of(page):
        trouble = _WAYS.get(change.kind, _create)(change, tree)
        assert not trouble, f"mend {page.relative_to(ROOT)}: its change of {change.path} {trouble}"


def _patch(change: Change, tree: Path) -> str:
    # Few lines of context, wherever they stand now: the page outlives edits nearby.
    if f"+++ b/{change.path}\n" not in change.body:
        return "names another file in its first lines"
    git = ("git", "apply", "--recount", "-C1", "-")
    beyond = {"GIT_CEILING_DIRECTORIES": str(tree.parent), "GIT_DIR": str(tree / ".git")}
    done = subprocess.run(
        git,
        input=change.body,
        cwd=tree,
        env={**os.environ, **beyond},
        capture_output=True,
        text=True,
        check=False,
    )
    return "" if done.returncode == 0 else f"no longer applies: {done.stderr.strip()}"


def _append(change: Change, tree: Path) -> str:
    table = tree / change.path
    if not table.exists():
        return "adds rows to a table that is not there"
    with table.open("a", encoding="utf-8", newline="") as file:
        file.write(change.body)
    return ""


def _create(change: Change, tree: Path) -> str:
    new = tree / change.path
    if new.exists():
        return "would write over a file that is there"
    new.write_text(change.body, encoding="utf-8")
    return ""


_WAYS = {"diff": _patch, "csv": _append}


def run_in(tree: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run a module of the copy: `run_in(tree, "swarfbook", "check", ...)`; its own sources come first."""
    env = {
        name: value for name, value in os.environ.items() if not name.startswith(("PYTEST_", "SWARFBOOK_"))
    }
    env["PYTHONPATH"] = str(tree / "src")
    return subprocess.run(
        [sys.executable, "-m", *words], cwd=tree, env=env, capture_output=True, text=True, check=False
    )
