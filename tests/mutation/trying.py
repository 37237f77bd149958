"""Tries a fault: puts it into a copy of the project, runs the tests that could see it, takes it out again."""

from __future__ import annotations

import contextlib
import importlib
import os
import shutil
import signal
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from covering import Covering, measure, outside_modules, passes
from making import Mutant

PHYSICS = Path("src/swarfbook/physics")
COPIED = ("src", "tests", "reference_tables", "recipes", "pyproject.toml")
LEFT_BEHIND = shutil.ignore_patterns("__pycache__", ".hypothesis")
PATIENCE = 30.0  # seconds on top of three times what the tests take: an endless loop is a fault found


def copy_project(root: Path, place: Path) -> None:
    """Copy what the tests need to `place`."""
    for name in COPIED:
        source = root / name
        if source.is_dir():
            shutil.copytree(source, place / name, ignore=LEFT_BEHIND)
        else:
            shutil.copy(source, place / name)


def in_a_child(work: Callable[[], bool], *, seconds: float | None = None) -> bool | None:
    """Do `work` in a copy of this process; None when it takes longer than `seconds`."""
    sys.stdout.flush()
    child = os.fork()
    if child == 0:
        done = False
        with contextlib.suppress(BaseException):
            done = work()
        os._exit(0 if done else 1)
    return _outcome(child, seconds)


def _outcome(child: int, seconds: float | None) -> bool | None:
    """Wait for a child and tell how it left."""
    end = time.monotonic() + seconds if seconds else None
    while True:
        found, status = os.waitpid(child, os.WNOHANG if end else 0)
        if found:
            return status == 0
        if end and time.monotonic() > end:
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)
            return None
        time.sleep(0.02)


def measured(tests: list[str], kept: Path) -> Covering:
    """What the tests cover, measured in a child; then load here what they load from outside the project."""
    if not kept.exists():
        loaded = kept.with_suffix(".loaded")

        def work() -> bool:
            measure(PHYSICS.resolve(), tests).write(kept)
            loaded.write_text("\n".join(outside_modules()))
            return True

        if not in_a_child(work):
            raise SystemExit("the tests could not be measured")
    for name in kept.with_suffix(".loaded").read_text().split():
        with contextlib.suppress(ImportError):
            importlib.import_module(name)
    return Covering.read(kept)


def chosen_tests(mutant: Mutant, covering: Covering, scopes: dict[str, dict[str, range]]) -> list[str]:
    """Tests that could see a fault: its own module's first, then the quickest first.

    A fault in a function is seen by tests that run the function; one in a value that a module sets up once by
    tests that run a function, of any module, that names it, and by tests that name it themselves.
    """
    lines = scopes[mutant.module].get(mutant.scope)
    if lines is not None:
        tests = covering.of_lines(mutant.module, lines)
    else:
        tests = _naming(mutant, covering, scopes) | covering.of_module(mutant.module)
    return sorted(tests, key=lambda test: (mutant.module not in test, covering.seconds[test], test))


def _naming(mutant: Mutant, covering: Covering, scopes: dict[str, dict[str, range]]) -> set[str]:
    """Tests that name a value set up on loading, and those that run a function that does."""
    name = mutant.scope.rsplit(".", 1)[-1]
    found: set[str] = set()
    for module, functions in scopes.items():
        text = (PHYSICS / f"{module}.py").read_text().splitlines()
        for lines in functions.values():
            if any(name in text[line - 1] for line in lines):
                found |= covering.of_lines(module, lines)
    return found | {test for test in covering.seconds if name in Path(test.split("::")[0]).read_text()}


@contextmanager
def put_in(mutant: Mutant) -> Iterator[None]:
    """Have a fault in the copy for a while."""
    path = PHYSICS / f"{mutant.module}.py"
    source = path.read_text()
    path.write_text(mutant.applied_to(source))
    try:
        yield
    finally:
        path.write_text(source)


def is_killed(mutant: Mutant, tests: list[str], covering: Covering) -> bool:
    """Tell whether a test notices the fault, or the tests never come to an end with it."""
    if not tests:
        return False
    with put_in(mutant):
        patience = PATIENCE + 3 * sum(covering.seconds[test] for test in tests)
        return in_a_child(lambda: passes(tests), seconds=patience) is not True
