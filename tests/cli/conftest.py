"""Fixtures that run commands as a person calls them."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from swarfbook.cli import main


@dataclass(frozen=True)
class Done:
    """A command that has run."""

    returncode: int
    stdout: str
    stderr: str

    @property
    def lines(self) -> list[str]:
        """What it printed, line by line."""
        return self.stdout.splitlines()


@pytest.fixture
def run_cli(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Callable[..., Done]:
    """Give a function that runs `swarfbook WORDS`, in the folder `cwd` if one is given."""
    monkeypatch.delenv("SWARFBOOK_BOOK", raising=False)

    def run(*words: object, cwd: Path | None = None) -> Done:
        with monkeypatch.context() as patch:
            patch.setattr(sys, "argv", ["swarfbook", *map(str, words)])
            patch.chdir(cwd or Path.cwd())
            code = main.run_words()
        return Done(code, *capsys.readouterr())

    return run
