"""What the benchmarks share: commands run in turn, each fresh, the least of many counted."""

from __future__ import annotations

import json
import os
import platform
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

BIN = Path(sys.executable).parent
CHECKOUT = Path(__file__).resolve().parent.parent
# Bytecode is written as it is for any installed program; timing compilation would time the wrong thing.
ENVIRONMENT = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}

FIGURES = "BENCH_FIGURES"
"""Names, in the environment, the file that takes a line of JSON for every figure; see `run_all.py`."""


def machine() -> dict[str, Any]:
    """What the ratios are measured on."""
    described = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
    names = [line.split(":", 1)[1].strip() for line in described if line.startswith("model name")]
    return {
        "processor": names[0] if names else platform.machine(),
        "processors": len(os.sched_getaffinity(0)),
        "system": platform.release(),
        "python": platform.python_version(),
        "load": round(os.getloadavg()[0], 2),
    }


def noted(name: str, value: float, target: str = "") -> None:
    """Write a figure down where the environment says so."""
    where = os.environ.get(FIGURES)
    if where is None:
        return
    line = {"script": Path(sys.argv[0]).stem, "name": name, "value": value, "target": target or None}
    with Path(where).open("a", encoding="utf-8") as file:
        file.write(f"{json.dumps(line)}\n")


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
    noted(name, ratio, "" if at_most is None else f"at most {at_most:g}")
    target = (
        ""
        if at_most is None
        else f"   target {at_most:.2f} or less: {'met' if ratio <= at_most else 'MISSED'}"
    )
    return f"{name:<34}{ratio:6.2f}{target}"
