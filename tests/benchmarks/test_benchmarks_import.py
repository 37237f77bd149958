"""What the benchmarks take from the program is there; what they measure is no affair of the tests."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

FOLDER = Path(__file__).parents[2] / "benchmarks"
SCRIPTS = sorted(path.stem for path in FOLDER.glob("*.py"))


@pytest.mark.parametrize("name", SCRIPTS)
def test_a_benchmark_finds_what_it_imports(name):
    done = subprocess.run(
        [sys.executable, "-c", f"import {name}"], cwd=FOLDER, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
