"""The screen as a program of its own, behind Textual's driver for browsers."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

from swarfbook.web.screen import DRIVER
from swarfbook.web.session import READY


def screen(book: Path) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-P", "-m", "swarfbook.web.screen", str(book)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env={**os.environ, "TEXTUAL_DRIVER": DRIVER, "COLUMNS": "120", "ROWS": "36"},
    )


def test_it_leaves_when_its_input_ends_as_it_does_with_the_server(make_book: Callable[..., Path]) -> None:
    with screen(make_book()) as process:
        assert process.stdout.readline() == READY
        drawn, told = process.communicate(timeout=60)
        assert process.returncode == 0
    assert drawn.endswith(b'{"type": "exit"}')
    assert told == b""


def test_it_leaves_quietly_when_nobody_draws_any_more(make_book: Callable[..., Path]) -> None:
    with screen(make_book()) as process:
        assert process.stdout.readline() == READY
        process.stdout.close()
        process.stdin.close()
        assert process.wait(timeout=60) == 0
        assert process.stderr.read() == b""


def test_a_book_that_is_gone_is_told_to_the_server(tmp_path: Path) -> None:
    with screen(tmp_path / "gone") as process:
        _, told = process.communicate(timeout=60)
        assert process.returncode == 2
    assert told.startswith(b"swarfbook: ")
    assert b"Traceback" not in told
