"""The screen: first paint and key to ladder, as ratios to a bare Textual app, all in one run on one machine.

    python benchmarks/screen.py [ROUNDS]

Both run in a pseudo-terminal of 80 x 24. First paint is the time from starting the process until the words
looked for are written to the terminal. Key to ladder is the time from a digit typed over the depth until the
last of what it changes is written, the ladder included, against the time the bare app takes to write which
key it was given.
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
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from measure import BIN, CHECKOUT, ENVIRONMENT, ratio_line

BOOK = str(CHECKOUT / "recipes" / "saltmarsh")
RECIPE = "long-bed-6mm-6082-rough"
BARE = """
from textual.app import App
from textual.widgets import Static
class Bare(App):
    def compose(self):
        yield Static("painted", id="said")
    def on_key(self, event):
        if event.key == "q":
            self.exit()
        self.query_one("#said", Static).update(f"key {event.key}")
Bare().run()
"""
PATIENCE = 30.0  # s
QUIET = 0.3  # s without output after which nothing more is coming
PAUSE = 0.08  # s without output after which a key's work is done; the relief is searched for later than that
TO_DEPTH = b"\t\t\t"


class Terminal:
    """A program in a pseudo-terminal."""

    def __init__(self, words: Sequence[str]) -> None:
        self.started = time.perf_counter()
        self.process, self.file = pty.fork()
        if self.process == 0:
            os.execve(words[0], words, {**ENVIRONMENT, "TERM": "xterm-256color", "LC_ALL": "C.UTF-8"})
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

    def leave(self) -> None:
        """Quit and wait for the end."""
        self.press(b"q")
        try:
            while os.read(self.file, 1 << 16):
                pass
        except OSError:
            pass  # the other side is closed: it left
        os.waitpid(self.process, 0)
        os.close(self.file)


@contextmanager
def running(words: Sequence[str], painted: bytes) -> Iterator[tuple[Terminal, float]]:
    """Start a program and give it with the time to its first paint [s]."""
    terminal = Terminal(words)
    first = terminal.until(painted) - terminal.started
    terminal.quiet()
    yield terminal, first
    terminal.leave()


def bare() -> tuple[float, float]:
    """Time a bare app: first paint and the quickest key [s]."""
    with running([sys.executable, "-c", BARE], b"painted") as (terminal, first):
        return first, min(terminal.answered(b"%c" % key) for key in b"abcdefghij")


def swarfbook() -> tuple[float, float]:
    """Time the page: first paint, ladder included, and the quickest key to the ladder [s]."""
    words = [str(BIN / "swarfbook"), "open", RECIPE, "--book", BOOK]
    with running(words, b"limit asks") as (terminal, first):
        terminal.press(TO_DEPTH)
        terminal.quiet()
        return first, min(_to_ladder(terminal, b"%c" % key) for key in b"1234567123")


def _to_ladder(terminal: Terminal, digit: bytes) -> float:
    took = terminal.answered(digit)
    terminal.press(b"\x1b")
    terminal.quiet()
    return took


def main(rounds: int) -> None:
    least = {"bare": (float("inf"), float("inf")), "swarfbook": (float("inf"), float("inf"))}
    for _ in range(rounds):
        for name, timed in (("bare", bare), ("swarfbook", swarfbook)):
            first, key = timed()
            least[name] = (min(least[name][0], first), min(least[name][1], key))
    base = least["bare"]
    sizes = f"{base[0] * 1e3:.0f} ms, a key {base[1] * 1e3:.1f} ms"
    print(f"ratio to a bare Textual app, least of {rounds} rounds: {sizes}")
    print(ratio_line("first paint, ladder included", least["swarfbook"][0], base[0]))
    print(ratio_line("key to ladder", least["swarfbook"][1], base[1]))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 7)
