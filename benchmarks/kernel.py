"""The force kernel in bulk: ratios to the same written by hand in C, all in one run on one machine.

    python benchmarks/kernel.py [ROUNDS [JSON]]

Many sets of depth, width and feed of one cutter in one material, linear edge-force law, climb milling: mean
torque, and the peaks of torque, in-plane force, Fx, Fy and Fz over a turn. `kernel.c` is compiled for this
machine by gcc and does the same at the same angles. One thread each, by the processor time of the thread;
two threads against one by the clock. The last lines are of the plain sum over discs and angles that the
kernel stands for, as fine as it must be to come within what the kernel promises, and of the memory that ten
million sets take on top of their arguments. With a second word the ratios are written there as JSON.
"""

from __future__ import annotations

import ctypes
import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from functools import partial
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np
from measure import machine, noted

from swarfbook.physics.fast import VARIABLE
from swarfbook.physics.laws import LinearEdge
from swarfbook.physics.turn import Loads, loads

COEFFICIENTS = (631e6, 99e6, 273e6, 13e3, 10e3, 2.8e3)
CUTTER: dict[str, float] = {"diameter": 6e-3, "flutes": 3.0, "helix": np.radians(30.0)}
SIZES = (10_000, 100_000, 1_000_000)
PLAIN = ("-O3", "-march=native")
LOOSE = (*PLAIN, "-ffast-math")
WITHIN = 1e-3  # of the exact peaks: what the kernel promises of the least of them
TRIED = 4  # sets that the plain sum is tried on
SHARED = 262_144
STREAMED = 10_000_000
FIGURES = Loads.__slots__
TARGETS = {"numpy": 4.5, "compiled": 2.0}
FASTER = 20_000
EXTRA_MB = 300


def sets(number: int) -> dict[str, Any]:
    """Arguments of `loads`: any depth, width and feed people run with the cutter."""
    rng = np.random.default_rng(1)
    return {
        "law": LinearEdge(*COEFFICIENTS),
        **CUTTER,
        "axial_depth": rng.uniform(0.1e-3, 12e-3, number),
        "radial_width": rng.uniform(0.02, 1.0, number) * CUTTER["diameter"],
        "feed_per_tooth": rng.uniform(5e-6, 150e-6, number),
        "climb": True,
    }


def table(found: Loads) -> np.ndarray:
    return np.stack([getattr(found, name) for name in FIGURES])


def compiled_c(folder: str, flags: tuple[str, ...]) -> Callable[[dict[str, Any]], np.ndarray]:
    """Compile `kernel.c` and give it as a function of the same arguments."""
    library = Path(folder) / f"kernel{len(flags)}.so"
    source = Path(__file__).with_name("kernel.c")
    subprocess.run(["gcc", *flags, "-shared", "-fPIC", str(source), "-o", str(library), "-lm"], check=True)
    entry = ctypes.CDLL(str(library)).loads
    law = np.array(COEFFICIENTS)

    def run(given: dict[str, Any]) -> np.ndarray:
        arrays = [given[name] for name in ("axial_depth", "radial_width", "feed_per_tooth")]
        found = np.empty((6, arrays[0].size))
        cutter = [ctypes.c_double(CUTTER[name]) for name in ("diameter", "flutes", "helix")]
        places = [array.ctypes.data_as(ctypes.c_void_p) for array in (law, *arrays, found)]
        entry(ctypes.c_size_t(arrays[0].size), places[0], *cutter, *places[1:])
        return found

    return run


def by(word: str) -> Callable[[dict[str, Any]], np.ndarray]:
    """Give `loads` with or without the compiler."""

    def run(given: dict[str, Any]) -> np.ndarray:
        os.environ[VARIABLE] = word
        return table(loads(**given))

    return run


def least(
    works: dict[str, Callable[[], object]], rounds: int, clock: Callable[[], float]
) -> dict[str, float]:
    """Run every work once a round, in turn, and give the least time of each."""
    found = dict.fromkeys(works, float("inf"))
    for _ in range(rounds + 1):
        for name, work in works.items():
            start = clock()
            work()
            found[name] = min(found[name], clock() - start)
    return found


def say(name: str, value: float, target: str = "", *, met: bool = True) -> dict[str, Any]:
    """Print a ratio and its target, and give the line for the JSON."""
    told = f"   target {target}: {'met' if met else 'MISSED'}" if target else ""
    print(f"{name:<46}{value:12.5g}{told}", flush=True)
    noted(name, value, target)
    return {"name": name, "value": value, "target": target or None, "met": met if target else None}


def against_c(ways: dict[str, Callable[..., np.ndarray]], rounds: int) -> list[dict[str, Any]]:
    """Ratios to C of every way at every size, one thread each, and how far their numbers are apart."""
    lines = []
    for size in SIZES:
        given = sets(size)
        works = {name: partial(way, given) for name, way in ways.items()}
        seconds = least(works, max(rounds if size < 1e6 else rounds // 3, 1), time.thread_time)
        print(f"{size} sets: C takes {seconds['C'] / size * 1e9:.0f} ns a set")
        for name in (name for name in ways if name != "C"):
            ratio, most = seconds[name] / seconds["C"], TARGETS.get(name)
            target = f"{most} or less" if most else ""
            lines.append(say(f"  {name} over C, {size} sets", ratio, target, met=ratio <= (most or np.inf)))
    given = sets(SIZES[0])
    exact = ways["C"](given)
    for name, way in ways.items():
        apart = float(np.abs(way(given) / exact - 1).max())
        lines.append(say(f"  {name} and C, largest difference", apart, "1e-12 or less", met=apart <= 1e-12))
    return lines


def plain_sum(given: dict[str, Any], steps: int) -> np.ndarray:
    """The six figures of one set from a sum over `steps` discs at `steps` angles of one pitch."""
    ktc, krc, kac, kte, kre, kae = COEFFICIENTS
    diameter, flutes = CUTTER["diameter"], int(CUTTER["flutes"])
    depth, feed = given["axial_depth"], given["feed_per_tooth"]
    entry = np.pi - np.arccos(1 - 2 * given["radial_width"] / diameter)
    lag = 2 * np.tan(CUTTER["helix"]) / diameter * depth * (np.arange(steps) + 0.5) / steps
    course = np.zeros((4, steps))
    for tooth in range(flutes):
        angle = 2 * np.pi / flutes * ((np.arange(steps) + 0.5) / steps + tooth)
        phi = np.mod(angle[:, None] - lag, 2 * np.pi)
        inside = (phi >= entry) & (phi <= np.pi)
        sine, cosine = np.sin(phi), np.cos(phi)
        tangential, radial, axial = ktc * feed * sine + kte, krc * feed * sine + kre, kac * feed * sine + kae
        parts = (tangential, -tangential * cosine - radial * sine, tangential * sine - radial * cosine, axial)
        course += np.stack([np.where(inside, part, 0).sum(axis=1) for part in parts]) * depth / steps
    torque, along, across, lift = course * [[diameter / 2], [1], [1], [1]]
    peaks = [np.abs(one).max() for one in (torque, np.hypot(along, across), along, across, lift)]
    return np.array([torque.mean(), *peaks])


def against_plain_sum(numpy_way: Callable[..., np.ndarray]) -> list[dict[str, Any]]:
    """Ratio of the plain sum to the kernel, a set, where both come equally near the exact figures."""
    given = sets(TRIED)
    exact = table(loads(**given, samples=4000))
    ones = [
        {name: value[at] if np.ndim(value) else value for name, value in given.items()} for at in range(TRIED)
    ]
    for steps in 50 * 2 ** np.arange(8):
        start = time.thread_time()
        found = np.stack([plain_sum(one, int(steps)) for one in ones], axis=1)
        seconds = (time.thread_time() - start) / TRIED
        error = float(np.abs(found / exact - 1).max())
        if error <= WITHIN:
            break
    many = sets(SIZES[1])
    kernel = least({"numpy": lambda: numpy_way(many)}, 3, time.thread_time)["numpy"] / SIZES[1]
    own = float(np.abs(table(loads(**given)) / exact - 1).max())
    print(f"plain sum of {steps} discs at {steps} angles: within {error:.1g}; the kernel: within {own:.1g}")
    ratio = seconds / kernel
    return [say("  plain sum over numpy, a set", ratio, f"{FASTER} or more", met=ratio >= FASTER)]


def on(processors: set[int], way: Callable[..., np.ndarray], given: dict[str, Any]) -> None:
    """Work on some of the processors, with a thread on each."""
    os.sched_setaffinity(0, processors)
    way(given)


def side_by_side(ways: dict[str, Callable[..., np.ndarray]], rounds: int) -> list[dict[str, Any]]:
    """Ratio of all processors to one, by the clock: of use on a machine that does nothing else."""
    given, every, lines = sets(SHARED), os.sched_getaffinity(0), []
    for name, way in ways.items():
        works = {"one": partial(on, {min(every)}, way, given), "all": partial(on, every, way, given)}
        seconds = least(works, rounds, time.perf_counter)
        lines.append(say(f"  {name}, {len(every)} processors over one", seconds["all"] / seconds["one"]))
    return lines


STREAM = f"""
import sys
sys.path.insert(0, {str(Path(__file__).parent)!r})
from kernel import sets, STREAMED
from swarfbook.physics.turn import loads_in_parts
def status(key):
    return next(int(line.split()[1]) for line in open("/proc/self/status") if line.startswith(key)) / 1024
given = sets(STREAMED)
before, highest = status("VmRSS"), 0.0
open("/proc/self/clear_refs", "w").write("5")
for rows, part in loads_in_parts(**given):
    highest = max(highest, part.force_peak.max())
print(status("VmHWM") - before, highest)
"""


def streamed() -> list[dict[str, Any]]:
    """Memory on top of the arguments while ten million sets are worked through, part by part."""
    environment = os.environ | {VARIABLE: "0"}
    done = subprocess.run(
        [sys.executable, "-c", STREAM], capture_output=True, text=True, check=True, env=environment
    )
    extra = float(done.stdout.split()[0])
    return [say(f"  MB for {STREAMED} sets", extra, f"{EXTRA_MB} or less", met=extra <= EXTRA_MB)]


def main(rounds: int, where: str | None) -> None:
    if shutil.which("gcc") is None:
        print("gcc is not installed: nothing to measure the kernel against")
        return
    compiler = subprocess.run(["gcc", "--version"], capture_output=True, text=True, check=True).stdout
    facts = machine() | {"numpy": np.__version__, "gcc": compiler.splitlines()[0]}
    print(", ".join(f"{name} {value}" for name, value in facts.items()))
    print(f"least of {rounds} rounds")
    with TemporaryDirectory() as folder:
        ways = {"C": compiled_c(folder, PLAIN), "C, loose": compiled_c(folder, LOOSE), "numpy": by("0")}
        if find_spec("numba"):
            ways["compiled"] = by("1")
        else:
            print("numba is not installed: `pip install 'swarfbook[fast]'` adds the compiled kernel")
        every = os.sched_getaffinity(0)
        os.sched_setaffinity(0, {min(every)})
        lines = against_c(ways, rounds) + against_plain_sum(ways["numpy"])
        os.sched_setaffinity(0, every)
        own = {name: way for name, way in ways.items() if not name.startswith("C")}
        lines += side_by_side(own, rounds) + streamed()
    if where:
        Path(where).write_text(json.dumps({"machine": facts, "lines": lines}, indent=1), encoding="utf-8")


if __name__ == "__main__":
    words = sys.argv[1:]
    main(int(words[0]) if words else 9, words[1] if len(words) > 1 else None)
