"""Work beside the keys: when it rests, in what pieces it is shown, and how far it says it is. No widget."""

from __future__ import annotations

import time
from typing import ClassVar

from textual.worker import Worker

GAP = 0.001  # s the work rests, so that a key gets in
HELD = 0.15  # s without a key until the work goes on
PATIENCE = 0.5  # s after which the work says how far it is
READS = 64  # files read between two rests
FIRST = 32  # things done until some are shown


class Pace:
    """The pace of one worker: it rests now and then, and for as long as keys come.

    Attributes:
        key_at: when the last key was pressed, on whatever screen; there is one keyboard.
    """

    key_at: ClassVar[float] = float("-inf")

    def __init__(self, worker: Worker[None], *, every: int = 1) -> None:
        """Set a pace.

        Args:
            worker: the worker.
            every: steps between two rests; a rest of 1 ms costs as much as ten files that are read.
        """
        self._worker = worker
        self._every = every
        self._steps = 0

    @classmethod
    def key(cls) -> None:
        """Hold all work for a moment."""
        cls.key_at = time.monotonic()

    def stops(self) -> bool:
        """Take a step, resting where one is due; True if there is nothing to go on for."""
        self._steps += 1
        if self._steps % self._every == 0:
            time.sleep(GAP)
        while not self._worker.is_cancelled and time.monotonic() - self.key_at < HELD:
            time.sleep(GAP)
        return self._worker.is_cancelled


class Pieces:
    """How much is done until it is shown: twice as much every time.

    Rows that are shown are sorted among all others. In pieces of one size that would cost the square of their
    number.
    """

    def __init__(self) -> None:
        self._enough = FIRST

    def full(self, done: int) -> bool:
        """Say whether what is done by now is to be shown; the next piece is larger then."""
        if done < self._enough:
            return False
        self._enough *= 2
        return True


class Progress:
    """How far a piece of work is, once it takes long enough to tell.

    Attributes:
        word: what is done.
        total: how many steps there are; 0 for work of which nobody knows.
        done: how many are done.
    """

    def __init__(self, word: str, total: int = 0, done: int = 0) -> None:
        self.word = word
        self.total = total
        self.done = done
        self._started = self._told = time.monotonic()

    def due(self) -> bool:
        """Say whether it is time to tell again."""
        return time.monotonic() - self._told > PATIENCE

    def text(self) -> str:
        """Tell, from the time on when it has taken long; empty before."""
        self._told = time.monotonic()
        if self._told - self._started < PATIENCE:
            return ""
        done = min(self.done, self.total)  # what was looked at in brief may be looked at once more
        return f"{self.word} {grouped(done)} of {grouped(self.total)}" if self.total else self.word


def grouped(number: int) -> str:
    """Write a whole number, its thousands apart."""
    return f"{number:,}".replace(",", " ")
