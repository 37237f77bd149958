"""The page, its files, and a screen program for each socket."""

from __future__ import annotations

import asyncio
import sys

import aiohttp
import pytest
from yarl import URL

from swarfbook.web import session
from swarfbook.web.places import Places
from web.conftest import Housing


async def drawn(channel: aiohttp.ClientWebSocketResponse) -> str:
    return (await channel.receive(timeout=60)).data.decode()


@pytest.mark.parametrize(
    "path",
    [
        "/files",
        "/files/",
        "/static/",
        "/files/../page.html",
        "/files/..%2fpage.html",
        "/files/%2e%2e/%2e%2e/server.py",
        "/../../../../etc/passwd",
        "/files//etc/passwd",
        "/files/textual.js/../../server.py",
        "/files/textual.js%00.txt",
        "/server.py",
        "/download/key",
    ],
)
async def test_nothing_is_found_by_a_path(housed: Housing, path: str) -> None:
    async with housed() as house:
        address = URL(house.origin + path, encoded=True)
        async with aiohttp.ClientSession() as client, client.get(address) as answer:
            assert (answer.status, await answer.text()) == (404, "404: Not Found")


async def test_the_page_asks_for_what_the_server_has_and_nothing_else(housed: Housing) -> None:
    import re

    async with housed() as house:
        page = await (await house.get("/")).text()
        style = await (await house.get("/files/page.css")).text()
        asked = re.findall(r'(?:href|src)="([^"]+)"', page) + re.findall(r'url\("([^"]+)"\)', style)
        assert sorted({one for one in asked if one.startswith("/files")}) == [
            "/files/mono.ttf",
            "/files/page.css",
            "/files/page.js",
            "/files/textual.js",
            "/files/xterm.css",
        ]
        assert {one for one in asked if not one.startswith("/files")} == {"/", "data:,"}
        for one in asked[1:]:
            if one.startswith("/files"):
                assert (await house.get(one)).status == 200


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS"])
async def test_only_reading_is_answered(housed: Housing, method: str) -> None:
    async with housed() as house:
        assert (await house.client.request(method, "/")).status == 405


async def test_what_is_said_goes_to_the_program_and_what_it_draws_comes_back(housed: Housing) -> None:
    async with housed() as house:
        channel = await house.socket("?width=100&height=30")
        assert await drawn(channel) == "100 x 30"
        await channel.send_json(["stdin", "12 µm"])
        assert await drawn(channel) == "D 12 µm"
        await channel.send_json(["resize", {"width": 90, "height": 20}])
        assert await drawn(channel) == 'M {"type": "resize", "width": 90, "height": 20}'
        await channel.send_json(["blur"])
        assert await drawn(channel) == 'M {"type": "blur"}'
        await channel.send_json(["ping", "1764356400000"])
        assert await channel.receive_json() == ["pong", "1764356400000"]
        await channel.close()


@pytest.mark.parametrize(
    ("query", "size"),
    [
        ("", "80 x 24"),
        ("?width=99999&height=99999", "400 x 200"),
        ("?width=1&height=0", "20 x 5"),
        ("?width=-3&height=1e3", "80 x 24"),
        ("?width=NaN&height=٣٣", "80 x 24"),
        ("?width=" + "9" * 50, "80 x 24"),
    ],
)
async def test_a_terminal_has_a_size_within_bounds(housed: Housing, query: str, size: str) -> None:
    async with housed() as house:
        channel = await house.socket(query)
        assert await drawn(channel) == size
        await channel.send_json(["resize", {"width": 10**12, "height": -1}])
        assert await drawn(channel) == 'M {"type": "resize", "width": 400, "height": 5}'
        await channel.close()


@pytest.mark.parametrize(
    "message",
    [
        "",
        "[",
        "[" * 60000,
        "{}",
        "[]",
        '["stdin"]',
        '["stdin", 3]',
        '["resize", {"width": 90}]',
        '["resize", {"width": 1.5, "height": 2}]',
        '["resize", {"width": ' + "9" * 5000 + ', "height": 2}]',
        '["ping", "' + "x" * 33 + '"]',
        '["quit"]',
        b"\x00",
    ],
    ids=range(13),
)
async def test_a_message_the_page_never_sends_closes_the_socket(
    housed: Housing, message: str | bytes
) -> None:
    async with housed() as house:
        channel = await house.socket()
        await drawn(channel)
        await (channel.send_str(message) if isinstance(message, str) else channel.send_bytes(message))
        assert (await channel.receive(timeout=60)).data == aiohttp.WSCloseCode.POLICY_VIOLATION


async def test_a_message_that_is_too_long_closes_the_socket(housed: Housing) -> None:
    async with housed() as house:
        channel = await house.socket()
        await drawn(channel)
        await channel.send_json(["stdin", "x" * 65536])
        assert (await channel.receive(timeout=60)).data == aiohttp.WSCloseCode.MESSAGE_TOO_BIG


async def test_half_a_character_does_no_harm(housed: Housing) -> None:
    async with housed() as house:
        channel = await house.socket()
        await drawn(channel)
        await channel.send_str('["stdin", "a\\ud800b"]')
        assert await drawn(channel) == "D a?b"
        await channel.close()


async def test_of_links_and_files_the_browser_is_told_nothing(housed: Housing) -> None:
    async with housed() as house:
        channel = await house.socket()
        await drawn(channel)
        await channel.send_json(["stdin", "a link"])
        assert await drawn(channel) == "D a link"
        await channel.close()


async def test_a_program_that_is_left_closes_its_socket(housed: Housing) -> None:
    async with housed() as house:
        channel = await house.socket()
        await drawn(channel)
        await channel.send_json(["stdin", "leave"])
        while (message := await channel.receive(timeout=60)).type is aiohttp.WSMsgType.BINARY:
            pass
        assert message.type is aiohttp.WSMsgType.CLOSE
        await seen(lambda: house.left.exists() and not house.places.full)


async def test_a_program_that_does_not_start_closes_its_socket(housed: Housing) -> None:
    async with housed(words=[sys.executable, "-c", "pass"]) as house:
        channel = await house.socket()
        assert (await channel.receive(timeout=60)).type is aiohttp.WSMsgType.CLOSE


async def test_a_socket_that_closes_ends_its_program_and_frees_its_place(housed: Housing) -> None:
    async with housed(sessions=1) as house:
        channel = await house.socket()
        await drawn(channel)
        assert house.places.full
        await channel.close()
        await seen(lambda: not house.places.full)
        assert house.left.read_text() == "left when its input ended"


async def test_a_program_that_will_not_leave_is_killed(
    housed: Housing, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(session, "GRACE", 0.05)
    stubborn = (
        "import time\nprint('__GANGLION__', 'D\\0\\0\\0\\1x', sep='\\n', end='', flush=True)\ntime.sleep(600)"
    )
    async with housed(sessions=1, words=[sys.executable, "-c", stubborn]) as house:
        channel = await house.socket()
        assert await drawn(channel) == "x"
        await channel.close()
        await seen(lambda: not house.places.full)


async def test_a_program_that_takes_nothing_in_is_ended(
    housed: Housing, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(session, "GRACE", 0.05)
    monkeypatch.setattr(session, "PATIENCE", 0.05)
    deaf = "import time\nprint('__GANGLION__', flush=True)\ntime.sleep(600)"
    async with housed(sessions=1, words=[sys.executable, "-c", deaf]) as house:
        channel = await house.socket()
        for _ in range(40):  # more than pipe and buffer hold
            if not channel.closed:
                await channel.send_json(["stdin", "x" * 60000])
        await seen(lambda: not house.places.full)


async def test_where_every_place_is_taken_a_plain_page_says_so(housed: Housing) -> None:
    async with housed(sessions=1) as house:
        channel = await house.socket()
        await drawn(channel)
        answer = await house.get("/")
        assert answer.status == 503
        assert "Every place is taken." in await answer.text()
        with pytest.raises(aiohttp.WSServerHandshakeError, match="503"):
            await house.socket()
        await channel.close()
        await seen(lambda: not house.places.full)
        assert (await house.get("/")).status == 200


async def test_who_does_nothing_for_too_long_has_to_leave(housed: Housing) -> None:
    async with housed(sessions=2, idle=1800.0) as house:
        busy, still = await house.socket(), await house.socket()
        await drawn(busy)
        await drawn(still)
        house.clock.now += 1799.0
        await busy.send_json(["stdin", "x"])
        assert await drawn(busy) == "D x"
        await still.send_json(["ping", "1"])  # the page's own doing, and nobody's
        assert await still.receive_json() == ["pong", "1"]
        await house.places.close_idle()
        assert house.places.full
        house.clock.now += 1.0
        closing = asyncio.create_task(house.places.close_idle())
        assert (await still.receive(timeout=60)).data == aiohttp.WSCloseCode.GOING_AWAY
        await closing
        await seen(lambda: not house.places.full)
        await busy.send_json(["stdin", "still here"])
        assert await drawn(busy) == "D still here"
        await busy.close()


async def test_the_server_looks_for_the_idle_by_itself(housed: Housing) -> None:
    async with housed(idle=0.05) as house:
        channel = await house.socket()
        await drawn(channel)
        house.clock.now += 1.0
        assert (await channel.receive(timeout=60)).data == aiohttp.WSCloseCode.GOING_AWAY


async def test_one_who_cannot_be_told_keeps_nobody_else() -> None:
    told = []

    async def never() -> None:
        raise RuntimeError

    async def close() -> None:
        told.append("told")

    places = Places(3, 60.0)
    with places.take(never), places.take(close), places.take(never):
        await places.close_all()
    assert told == ["told"]


async def test_the_end_of_the_server_ends_every_program(housed: Housing) -> None:
    async with housed() as house:
        channel = await house.socket()
        await drawn(channel)
        receiving = asyncio.create_task(channel.receive())
        await house.client.server.close()
        assert (await receiving).data == aiohttp.WSCloseCode.GOING_AWAY
        assert house.left.read_text() == "left when its input ended"


async def seen(holds) -> None:
    async with asyncio.timeout(60):
        while not holds():
            await asyncio.sleep(0.005)
