"""Connections before the token: how many from everywhere, how many from one address, and for how long."""

from __future__ import annotations

import asyncio
import socket
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress

import pytest

from swarfbook.web.door import Door
from swarfbook.web.lobby import Lobby
from swarfbook.web.places import Places
from swarfbook.web.server import Served, runner_of, take
from web.conftest import TOKEN

LONG = 60.0  # s, more than a test takes
Stream = tuple[asyncio.StreamReader, asyncio.StreamWriter]


class Knocking:
    """A server and those who come to it, each by a connection of their own."""

    def __init__(self, port: int) -> None:
        self.port = port
        self._writers: list[asyncio.StreamWriter] = []

    async def come(self, address: str = "127.0.0.1") -> Stream:
        reader, writer = await asyncio.open_connection("127.0.0.1", self.port, local_addr=(address, 0))
        self._writers.append(writer)
        return reader, writer

    async def ask(self, stream: Stream, path: str = "/") -> bytes:
        reader, writer = stream
        with suppress(ConnectionError):
            writer.write(f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{self.port}\r\n\r\n".encode())
            await writer.drain()
            return await reader.readline()
        return b""

    async def go(self) -> None:
        for writer in self._writers:
            writer.close()
            with suppress(ConnectionError):
                await writer.wait_closed()


@asynccontextmanager
async def knocking(lobby: Lobby, token: str | None = TOKEN) -> AsyncIterator[Knocking]:
    listening = socket.create_server(("127.0.0.1", 0))
    port = listening.getsockname()[1]
    served = Served(["false"], "none:None", Door("http", "127.0.0.1", port, token), Places(2, 1800.0), lobby)
    runner = runner_of(served)
    await runner.setup()
    taking, there = await take(served, runner, listening, None), Knocking(port)
    try:
        yield there
    finally:
        await there.go()
        taking.close()
        await runner.cleanup()


async def test_one_address_has_so_many_and_another_its_own() -> None:
    lobby = Lobby(most=5, most_each=2, patience=LONG)
    async with knocking(lobby) as house:
        held = [await house.come() for _ in range(3)]
        assert await house.ask(held[2]) == b""
        assert b"403" in await house.ask(held[0])
        assert b"403" in await house.ask(await house.come("127.0.0.2"))
        assert lobby.strangers == 3


async def test_all_addresses_together_have_so_many() -> None:
    async with knocking(Lobby(most=3, most_each=2, patience=LONG)) as house:
        held = [await house.come(f"127.0.0.{at}") for at in range(2, 6)]
        assert b"403" in await house.ask(held[2])
        assert await house.ask(held[3]) == b""
        # Whoever goes makes room.
        held[0][1].close()
        await held[0][1].wait_closed()
        answer = b""
        while not answer:
            answer = await house.ask(await house.come("127.0.0.9"))
        assert b"403" in answer


async def test_who_is_let_in_is_counted_no_more() -> None:
    lobby = Lobby(most=2, most_each=2, patience=LONG)
    async with knocking(lobby, token=None) as house:
        for _ in range(4):
            assert b"200" in await house.ask(await house.come())
        assert lobby.strangers == 0


@pytest.mark.parametrize("says", [b"", b"GET / HTTP/1.1\r\nHost: 127.0.0.1"])
async def test_who_is_not_let_in_in_time_is_turned_out(says: bytes) -> None:
    async with knocking(Lobby(patience=0.05)) as house:
        reader, writer = await house.come()
        writer.write(says)
        with suppress(ConnectionError):
            assert await asyncio.wait_for(reader.read(), LONG) == b""


async def test_who_was_let_in_stays() -> None:
    async with knocking(Lobby(patience=0.02), token=None) as house:
        reader, _ = stream = await house.come()
        for _ in range(2):
            assert b"200" in await house.ask(stream)
            await reader.readuntil(b"</html>\n")
            await asyncio.sleep(0.1)
