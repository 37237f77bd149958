"""Which tests run which lines of the physics, and how long each takes: a fault is tried on those only."""

from __future__ import annotations

import contextlib
import io
import json
import sys
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import coverage
import pytest
from hypothesis import Phase, settings

PLAIN = ["-o", "addopts=", "-p", "no:xdist", "-p", "no:cacheprovider", "--assert=plain", "--tb=no", "-q"]


def as_function(node_id: str) -> str:
    """A test's name without the brackets of its parameters."""
    return node_id.split("[", 1)[0]


class SameDraws:
    """Pytest plugin: the same random examples every time, and no search for a smaller one that fails."""

    @pytest.hookimpl(trylast=True)
    def pytest_configure(self) -> None:
        """Go before any settings of the tests' own."""
        settings.register_profile(
            "mutation",
            deadline=None,
            derandomize=True,
            database=None,
            phases=[Phase.explicit, Phase.generate],
        )
        settings.load_profile("mutation")


@dataclass
class Covering:
    """Seconds of each test function, and the tests that run each line of each module."""

    seconds: dict[str, float] = field(default_factory=dict)
    runs: dict[str, dict[int, set[str]]] = field(default_factory=dict)

    def of_lines(self, module: str, lines: range) -> set[str]:
        """Tests that run any of these lines, and all tests of a file that runs one while it is loaded."""
        by_line = self.runs.get(module, {})
        found = {test for line in lines for test in by_line.get(line, ())}
        return {test for test in self.seconds if test in found or test.split("::")[0] in found}

    def of_module(self, module: str) -> set[str]:
        """Tests that run any line of a module, themselves."""
        return {test for tests in self.runs.get(module, {}).values() for test in tests if "::" in test}

    def write(self, path: Path) -> None:
        """Keep for later."""
        runs = {m: {line: sorted(tests) for line, tests in by.items()} for m, by in self.runs.items()}
        path.write_text(json.dumps({"seconds": self.seconds, "runs": runs}))

    @classmethod
    def read(cls, path: Path) -> Covering:
        """What `write` kept."""
        kept = json.loads(path.read_text())
        runs = {m: {int(line): set(tests) for line, tests in by.items()} for m, by in kept["runs"].items()}
        return cls(kept["seconds"], runs)


class Watch:
    """Pytest plugin: notes what each test runs and how long it takes."""

    def __init__(self, watcher: coverage.Coverage) -> None:
        self.watcher = watcher
        self.seconds: dict[str, float] = defaultdict(float)

    @pytest.hookimpl(hookwrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """Count lines under the test's name while it runs."""
        self.watcher.switch_context(as_function(item.nodeid))
        yield
        self.watcher.switch_context("")

    @pytest.hookimpl(hookwrapper=True)
    def pytest_make_collect_report(self, collector: pytest.Collector) -> Iterator[None]:
        """Count what a file of tests runs while it is loaded under the file's name."""
        self.watcher.switch_context(collector.nodeid if isinstance(collector, pytest.Module) else "")
        yield
        self.watcher.switch_context("")

    def pytest_runtest_logreport(self, report: Any) -> None:
        """Add up the parts of a test, and its cases."""
        self.seconds[as_function(report.nodeid)] += report.duration


def measure(physics: Path, tests: list[str]) -> Covering:
    """Run the tests once in this process, which must not have loaded the physics yet.

    Raises:
        SystemExit: a test fails with no fault in the physics.
    """
    watcher = coverage.Coverage(data_file=None, include=[f"{physics}/*"], config_file=False)
    watch = Watch(watcher)
    watcher.start()
    code = pytest.main([*PLAIN, *tests], plugins=[SameDraws(), watch])
    watcher.stop()
    if code != 0:
        raise SystemExit(f"the tests fail before any fault is put in (pytest left with {int(code)})")
    data = watcher.get_data()
    found = Covering(dict(watch.seconds))
    for file in data.measured_files():
        by_line = data.contexts_by_lineno(file)
        found.runs[Path(file).stem] = {line: {t for t in tests if t} for line, tests in by_line.items()}
    return found


def passes(tests: list[str]) -> bool:
    """Tell whether every one of these tests passes in this process; nothing is printed."""
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        return pytest.main([*PLAIN, "-x", *tests], plugins=[SameDraws()]) == 0


def outside_modules() -> list[str]:
    """Modules this process has loaded from outside the project: worth loading once before many runs."""
    own = Path.cwd()
    files = {name: getattr(module, "__file__", None) for name, module in list(sys.modules.items())}
    return [name for name, file in files.items() if file and own not in Path(file).resolve().parents]
