"""The screen: first paint and key to ladder, as ratios to bare Textual apps, all in one run on one machine.

    python benchmarks/screen.py [ROUNDS]

All run in a pseudo-terminal of 80 x 24. First paint is the time from starting the process until the recipe's
own words are written to the terminal, against a bare app with a table; the ladder comes once the physics is
loaded. Key to ladder is the time from a digit typed over the depth until the last of what it changes is
written, the ladder included, against a bare form with a label that follows what is typed. Both again with
ten thousand recipes in the book.
"""

from __future__ import annotations

import fcntl
import os
import pty
import select
import struct
import sys
import termios
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import large_book
from measure import BIN, CHECKOUT, ENVIRONMENT, ratio_line

BOOK = str(CHECKOUT / "recipes" / "saltmarsh")
RECIPE = "long-bed-6mm-6082-rough"
TABLE = """
from textual.app import App
from textual.widgets import DataTable
class Bare(App):
    def compose(self):
        yield DataTable()
    def on_mount(self):
        table = self.query_one(DataTable)
        table.add_columns("name", "standing", "tightest", "verdict")
        for row in range(30):
            table.add_row(f"recipe {row} painted", "proven", "0.86", "holds")
    def on_key(self, event):
        if event.key == "q":
            self.exit()
Bare().run()
"""
"""A bare app with a table of as many rows as the demo has recipes, for the first paint."""
FORM = """
from textual.app import App
from textual.widgets import Input, Label
class Bare(App):
    CSS = "Input { height: 1; border: none; }"
    def compose(self):
        for name in ("speed", "feed", "depth", "width", "stickout", "painted"):
            yield Label(name)
            yield Input(id=name)
    def on_input_changed(self, event):
        self.query_one(Label).update(event.value)
    def on_key(self, event):
        if event.key == "escape":
            self.exit()
Bare().run()
"""
"""A bare form whose one label follows what is typed, for a key."""
PATIENCE = 30.0  # s
QUIET = 0.3  # s without output after which nothing more is coming
PAUSE = 0.08  # s without output after which a key's work is done; the relief is searched for later than that
TO_DEPTH = b"\t\t\t\t"
LARGE = 10_000  # recipes


class Terminal:
    """A program in a pseudo-terminal."""

    def __init__(self, words: Sequence[str]) -> None:
        self.started = time.perf_counter()
        self.process, self.file = pty.fork()
        if self.process == 0:
            os.execve(words[0], words, {**ENVIRONMENT, "TERM": "xterm-256color", "LC_ALL": "C.UTF-8"})  # noqa: S606 - this program on a terminal of its own
        fcntl.ioctl(self.file, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))

    def until(self, words: bytes) -> float:
        """Read until words are written, and give the time that was."""
        written, end = b"", time.perf_counter() + PATIENCE
        while words not in written:
            if time.perf_counter() > end:
                raise SystemExit(f"never written: {words!r}; the last was {written[-300:]!r}")
            if select.select([self.file], [], [], 0.05)[0]:
                written += os.read(self.file, 1 << 16)
        return time.perf_counter()

    def quiet(self) -> None:
        """Read until nothing more comes."""
        while select.select([self.file], [], [], QUIET)[0]:
            os.read(self.file, 1 << 16)

    def answered(self, key: bytes) -> float:
        """Press a key and give the time until the last of the answer is written [s]."""
        pressed = last = self.press(key)
        while select.select([self.file], [], [], PAUSE if last > pressed else PATIENCE)[0]:
            os.read(self.file, 1 << 16)
            last = time.perf_counter()
        self.quiet()
        return last - pressed

    def press(self, keys: bytes) -> float:
        """Type, and give the time that was."""
        now = time.perf_counter()
        os.write(self.file, keys)
        return now

    def leave(self, keys: bytes) -> None:
        """Quit and wait for the end."""
        self.press(keys)
        try:
            while os.read(self.file, 1 << 16):
                pass
        except OSError:
            pass  # the other side is closed: it left
        os.waitpid(self.process, 0)
        os.close(self.file)


@contextmanager
def running(words: Sequence[str], painted: bytes, *, leave: bytes = b"q") -> Iterator[tuple[Terminal, float]]:
    """Start a program and give it with the time to its first paint [s]."""
    terminal = Terminal(words)
    first = terminal.until(painted) - terminal.started
    yield terminal, first
    terminal.leave(leave)


def table() -> dict[str, float]:
    """Time the first paint of a bare app with a table [s]."""
    with running([sys.executable, "-c", TABLE], b"painted") as (terminal, first):
        terminal.quiet()
        return {"first paint": first}


def form() -> dict[str, float]:
    """Time the quickest key of a bare form [s]."""
    with running([sys.executable, "-c", FORM], b"painted", leave=b"\x1b") as (terminal, _):
        terminal.quiet()
        return {"key": min(terminal.answered(b"%c" % key) for key in b"1234567123")}


def swarfbook(book: str) -> dict[str, float]:
    """Time the first paint, the ladder and the quickest key from a digit to the moved ladder [s]."""
    words = [str(BIN / "swarfbook"), "open", RECIPE, "--book", book]
    with running(words, b"deep") as (terminal, first):
        ladder = terminal.until(b"limit") - terminal.started
        terminal.quiet()
        terminal.press(TO_DEPTH)
        terminal.quiet()
        key = min(_to_ladder(terminal, b"%c" % key) for key in b"1234567123")
        return {"first paint": first, "ladder": ladder, "key": key}


def _to_ladder(terminal: Terminal, digit: bytes) -> float:
    took = terminal.answered(digit)
    terminal.press(b"\x1b")
    terminal.quiet()
    return took


def least_of(timed: Callable[[], dict[str, float]], least: dict[str, float]) -> None:
    """Keep the least of each time."""
    for name, seconds in timed().items():
        least[name] = min(least.get(name, float("inf")), seconds)


def measured(rounds: int) -> dict[str, dict[str, float]]:
    """Run all programs in turn, and give the least of each time by program [s]."""
    with TemporaryDirectory() as folder:
        large = large_book.write(Path(folder) / "book", LARGE)
        programs: dict[str, Callable[[], dict[str, float]]] = {
            "table": table, "form": form,
            "demo": lambda: swarfbook(BOOK), "large": lambda: swarfbook(str(large)),
        }  # fmt: skip
        least: dict[str, dict[str, float]] = {name: {} for name in programs}
        for _ in range(rounds):
            for name, timed in programs.items():
                least_of(timed, least[name])
        return least


def main(rounds: int) -> None:
    """Print every figure as a ratio to the bare app of the same run."""
    least = measured(rounds)
    paint, key = least["table"]["first paint"], least["form"]["key"]
    print(f"least of {rounds} rounds: a bare app with a table paints in {paint * 1e3:.0f} ms,")
    print(f"a bare form follows a key in {key * 1e3:.1f} ms; ratios to those")
    for name, book in (("", "demo"), (f", {LARGE} recipes", "large")):
        print(ratio_line(f"first paint{name}", least[book]["first paint"], paint, at_most=1.5))
        print(ratio_line(f"ladder painted{name}", least[book]["ladder"], paint))
        print(ratio_line(f"key to ladder{name}", least[book]["key"], key, at_most=2.0))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
