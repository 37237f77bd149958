"""What the benchmarks share: commands run in turn, each fresh, the least of many counted."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

BIN = Path(sys.executable).parent
CHECKOUT = Path(__file__).resolve().parent.parent
# Bytecode is written as it is for any installed program; timing compilation would time the wrong thing.
ENVIRONMENT = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}


def least_seconds(commands: Mapping[str, Sequence[str]], *, rounds: int) -> dict[str, float]:
    """Run every command once a round, one after the other, and give the least wall time of each [s]."""
    least = dict.fromkeys(commands, float("inf"))
    for _ in range(rounds + 1):
        for name, words in commands.items():
            start = time.perf_counter()
            subprocess.run(words, env=ENVIRONMENT, check=False, capture_output=True)
            least[name] = min(least[name], time.perf_counter() - start)
    return least


def ratio_line(name: str, seconds: float, base: float, *, at_most: float | None = None) -> str:
    """Write one line: a ratio to the base of the same run, and the target if there is one."""
    ratio = seconds / base
    target = (
        ""
        if at_most is None
        else f"   target {at_most:.2f} or less: {'met' if ratio <= at_most else 'MISSED'}"
    )
    return f"{name:<34}{ratio:6.2f}{target}"
