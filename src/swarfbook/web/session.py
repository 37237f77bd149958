"""One screen program in a process of its own, and what goes to and fro: Textual's packets for a browser.

A packet is a letter, the length in four bytes and the content: `D` is what a terminal would be sent or would
send, `M` a JSON object. The program's first packet comes after the line `__GANGLION__`; see
`textual.drivers.web_driver`.
"""

from __future__ import annotations

import asyncio
import json
import os
from asyncio.subprocess import PIPE, Process
from collections.abc import AsyncIterator, Mapping, Sequence
from dataclasses import dataclass

READY = b"__GANGLION__\n"
GRACE = 5.0
"""Seconds a program has to leave by itself."""
PATIENCE = 10.0
"""Seconds a program may leave its input standing; one that does is stuck."""
WIDTHS, HEIGHTS = range(20, 401), range(5, 201)
"""Terminals that are drawn for, in cells; a size outside counts as the nearest."""


@dataclass(frozen=True, slots=True)
class Size:
    """Size of a terminal in cells, within what is drawn for."""

    width: int
    height: int

    @classmethod
    def of(cls, width: int, height: int) -> Size:
        """Give the size nearest to what was asked for."""
        return cls(_within(width, WIDTHS), _within(height, HEIGHTS))


def _within(number: int, bounds: range) -> int:
    return min(max(number, bounds[0]), bounds[-1])


class Session:
    """One screen program that runs."""

    def __init__(self, process: Process) -> None:
        """Speak to a process, whose input and output are pipes."""
        self._process = process

    @classmethod
    async def start(cls, words: Sequence[str], size: Size, driver: str) -> Session:
        """Start a program for a size; `driver` is how Textual names what draws in it, `module:Class`."""
        # Its stderr is the server's: a fault is told to whoever runs the server, not to the browser. Its own
        # session keeps Ctrl+C from it: the server ends it in order.
        process = await asyncio.create_subprocess_exec(
            *words, stdin=PIPE, stdout=PIPE, env=_environment(size, driver), start_new_session=True
        )
        return cls(process)

    async def type(self, text: str) -> None:
        """Hand on what a terminal sent."""
        await self._send(b"D", text.encode(errors="replace"))

    async def resize(self, size: Size) -> None:
        """Tell of another size."""
        await self._say({"type": "resize", "width": size.width, "height": size.height})

    async def attend(self, event: str) -> None:
        """Tell that the terminal got the `focus`, or lost it: `blur`."""
        await self._say({"type": event})

    async def painted(self) -> AsyncIterator[bytes]:
        """Give what the program draws, until it ends."""
        out = self._process.stdout
        assert out is not None  # noqa: S101 - for the type checker: it was started with pipes
        try:
            while await out.readline() != READY:
                if out.at_eof():
                    return
            while True:
                kind, content = await out.readexactly(1), await _content(out)
                if kind == b"D":
                    yield content
                elif json.loads(content).get("type") == "exit":
                    return
        except asyncio.IncompleteReadError:
            return

    async def end(self) -> None:
        """End the program: its input ends, on which it leaves; one that does not is killed."""
        try:
            async with asyncio.timeout(GRACE):
                await self._process.communicate(b"")  # nothing more, and the end of it
        except TimeoutError:
            self._process.kill()
            await self._process.wait()

    async def _say(self, content: Mapping[str, object]) -> None:
        await self._send(b"M", json.dumps(content).encode())

    async def _send(self, kind: bytes, content: bytes) -> None:
        pipe = self._process.stdin
        assert pipe is not None  # noqa: S101 - as above
        pipe.write(kind + len(content).to_bytes(4, "big") + content)
        async with asyncio.timeout(PATIENCE):
            await pipe.drain()


async def _content(out: asyncio.StreamReader) -> bytes:
    return await out.readexactly(int.from_bytes(await out.readexactly(4), "big"))


def _environment(size: Size, driver: str) -> dict[str, str]:
    return {
        **os.environ,
        "TEXTUAL_DRIVER": driver,
        "TEXTUAL_COLOR_SYSTEM": "truecolor",
        "TERM_PROGRAM": "textual",
        "COLUMNS": str(size.width),
        "ROWS": str(size.height),
    }
