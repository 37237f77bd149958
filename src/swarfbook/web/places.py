"""How many may be in at a time, and who has been still for too long."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Awaitable, Callable, Iterable, Iterator
from contextlib import contextmanager

Close = Callable[[], Awaitable[object]]


class Place:
    """One place that is taken.

    Attributes:
        close: makes whoever has it leave.
        used: when it was used last, on the clock of its places.
    """

    def __init__(self, close: Close, clock: Callable[[], float]) -> None:
        """Take a place, used just now."""
        self.close = close
        self._clock = clock
        self.touch()

    def touch(self) -> None:
        """Note that it is in use."""
        self.used = self._clock()


class Places:
    """The places there are."""

    def __init__(self, most: int, idle: float, clock: Callable[[], float] = time.monotonic) -> None:
        """Begin with every place free.

        Args:
            most: how many there are.
            idle: s after which one who does nothing has to leave.
            clock: gives the time, s.
        """
        self._most, self.idle, self._clock = most, idle, clock
        self._taken: set[Place] = set()

    @property
    def full(self) -> bool:
        """Whether every place is taken."""
        return len(self._taken) >= self._most

    @contextmanager
    def take(self, close: Close) -> Iterator[Place]:
        """Have a place for as long as a block runs; there has to be one, see `full`."""
        if self.full:
            raise RuntimeError("no place is free")
        place = Place(close, self._clock)
        self._taken.add(place)
        try:
            yield place
        finally:
            self._taken.discard(place)

    async def close_idle(self) -> None:
        """Make those leave who have done nothing for too long."""
        due = self._clock() - self.idle
        await _leave(place for place in self._taken if place.used <= due)

    async def close_all(self) -> None:
        """Make everybody leave."""
        await _leave(self._taken)


async def _leave(places: Iterable[Place]) -> None:
    # One who cannot be told keeps nobody else.
    await asyncio.gather(*(place.close() for place in places), return_exceptions=True)
