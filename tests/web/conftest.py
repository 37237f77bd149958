"""A server of a small program that speaks as the screen does, and a client for it."""

from __future__ import annotations

import socket
import sys
from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from dataclasses import dataclass
from pathlib import Path

import aiohttp
import pytest
from aiohttp import web
from aiohttp.test_utils import TestClient, TestServer

from swarfbook.web.door import Door
from swarfbook.web.places import Places
from swarfbook.web.server import Served, runner_of

TOKEN = "a-token-that-is-known-in-tests-only"  # noqa: S105 - made up for these tests
ECHO = """
import os, pathlib, sys

def send(kind, content):
    sys.stdout.buffer.write(kind + len(content).to_bytes(4, "big") + content)
    sys.stdout.buffer.flush()

print("a line before", "__GANGLION__", sep="\\n", flush=True)
send(b"D", f"{os.environ['COLUMNS']} x {os.environ['ROWS']}".encode())
while head := sys.stdin.buffer.read(5):
    content = sys.stdin.buffer.read(int.from_bytes(head[1:], "big"))
    if content == b"a link":
        send(b"M", b'{"type": "open_url", "url": "https://example.org", "new_tab": true}')
    if content == b"leave":
        send(b"M", b'{"type": "exit"}')
    send(b"D", head[:1] + b" " + content)
pathlib.Path(sys.argv[1]).write_text("left when its input ended")
"""


class Clock:
    """A clock that goes when it is told to."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


@dataclass
class House:
    """A server under test.

    Attributes:
        client: asks it.
        door, places, clock: what it was made of.
        left: file that a program writes when it left by itself.
    """

    client: TestClient
    door: Door
    places: Places
    clock: Clock
    left: Path

    @property
    def origin(self) -> str:
        """The address of its page, as a browser names it."""
        return f"http://127.0.0.1:{self.client.server.port}"

    async def get(self, path: str, **headers: str) -> aiohttp.ClientResponse:
        """Ask for a path as it is written, and follow nothing."""
        return await self.client.get(path, headers=headers, allow_redirects=False)

    async def socket(self, query: str = "", **headers: str) -> aiohttp.ClientWebSocketResponse:
        """Open a socket as the page does, or with other headers."""
        return await self.client.ws_connect(f"/socket{query}", headers={"Origin": self.origin, **headers})


class AsServed(TestServer):
    """A test server that runs an application as `serve` does."""

    def __init__(self, served: Served, listening: socket.socket) -> None:
        self._runs = runner_of(served)
        super().__init__(self._runs.app, socket_factory=lambda *_: listening)

    async def _make_runner(self, **_: object) -> web.AppRunner:
        return self._runs


Housing = Callable[..., AbstractAsyncContextManager[House]]


@pytest.fixture
def housed(tmp_path: Path) -> Housing:
    """Give what starts a server: `housed(token=TOKEN, sessions=1, words=[...])`."""

    @asynccontextmanager
    async def start(
        token: str | None = None, sessions: int = 4, idle: float = 1800.0, words: list[str] | None = None
    ) -> AsyncIterator[House]:
        listening, clock, left = socket.create_server(("127.0.0.1", 0)), Clock(), tmp_path / "left"
        door = Door("http", "192.0.2.7", listening.getsockname()[1], token)
        places = Places(sessions, idle, clock)
        words = words or [sys.executable, "-c", ECHO, str(left)]
        server = AsServed(Served(words, "none:None", door, places), listening)
        async with TestClient(server) as client:
            yield House(client, door, places, clock, left)

    return start
