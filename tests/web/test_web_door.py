"""Who is let in: names, tokens, cookies, and what every answer says to the browser."""

from __future__ import annotations

import asyncio
import logging
from http.cookies import SimpleCookie

import aiohttp
import pytest

from web.conftest import TOKEN, House, Housing


async def cookie_of(house: House) -> str:
    answer = await house.get(f"/?token={TOKEN}")
    return answer.headers["Set-Cookie"].partition(";")[0]


async def test_on_this_machine_the_page_comes_without_a_token(housed: Housing) -> None:
    async with housed() as house:
        answer = await house.get("/")
        assert answer.status == 200
        assert f'"ws://127.0.0.1:{house.client.server.port}/socket"' in await answer.text()
        assert "Set-Cookie" not in answer.headers


async def test_the_right_token_is_exchanged_for_a_cookie_and_an_address_without_it(housed: Housing) -> None:
    async with housed(token=TOKEN) as house:
        answer = await house.get(f"/?token={TOKEN}")
        assert (answer.status, answer.headers["Location"]) == (303, "/")
        (cookie,) = SimpleCookie(answer.headers["Set-Cookie"]).values()
        assert cookie.key == house.door.cookie == f"swarfbook-{house.client.server.port}"
        assert cookie["httponly"] is True
        assert (cookie["samesite"], cookie["path"], cookie["domain"]) == ("Strict", "/", "")
        assert not cookie["secure"]  # this one is served without TLS
        assert cookie.value != TOKEN
        page = await house.get("/", Cookie=f"{cookie.key}={cookie.value}")
        assert page.status == 200
        assert TOKEN not in await page.text()


def test_with_tls_the_cookie_is_for_tls_alone() -> None:
    from swarfbook.web.door import Door

    assert Door("https", "192.0.2.7", 8000, TOKEN)._exchanged().cookies["swarfbook-8000"]["secure"] is True


@pytest.mark.parametrize("path", ["/", "/files/textual.js", "/files/page.css", "/socket", "/no-such-page"])
@pytest.mark.parametrize("cookie", [None, "", "wrong", TOKEN, "é"])
async def test_without_the_cookie_nothing_is_answered(housed: Housing, path: str, cookie: str | None) -> None:
    async with housed(token=TOKEN) as house:
        headers = {} if cookie is None else {"Cookie": f"{house.door.cookie}={cookie}"}
        answer = await house.get(path, **headers)
        assert answer.status == 403
        assert await answer.text() == "Open the address with the token, as the server gave it.\n"


@pytest.mark.parametrize("brought", ["", "wrong", TOKEN[:-1], TOKEN + "x", TOKEN.upper(), "%C3%A9", "%ff"])
async def test_a_wrong_token_is_refused_even_with_the_cookie(housed: Housing, brought: str) -> None:
    async with housed(token=TOKEN) as house:
        for headers in ({}, {"Cookie": await cookie_of(house)}):
            answer = await house.get(f"/?token={brought}", **headers)
            assert (answer.status, await answer.text()) == (403, "That token is not right.\n")
            assert "Set-Cookie" not in answer.headers


async def test_the_token_opens_the_first_page_only(housed: Housing) -> None:
    async with housed(token=TOKEN) as house:
        assert (await house.get(f"/files/textual.js?token={TOKEN}")).status == 403
        assert (await house.get(f"/socket?token={TOKEN}")).status == 403


@pytest.mark.parametrize(
    ("name", "status"),
    [
        ("127.0.0.1:PORT", 200),
        ("localhost:PORT", 200),
        ("LocalHost:PORT", 200),
        ("[::1]:PORT", 200),
        ("192.0.2.7:PORT", 200),
        ("127.0.0.1", 421),
        ("127.0.0.1:1", 421),
        ("evil.example:PORT", 421),
        ("127.0.0.1.evil.example:PORT", 421),
        ("evil.example:PORT@127.0.0.1:PORT", 421),
        ("192.0.2.8:PORT", 421),
        ("", 421),
    ],
)
async def test_only_the_names_of_the_server_are_answered(housed: Housing, name: str, status: int) -> None:
    async with housed() as house:
        for path in ("/", "/files/textual.js"):
            answer = await house.get(path, Host=name.replace("PORT", str(house.client.server.port)))
            assert answer.status == status
        if status == 421:
            refused = await house.get(f"/?token={TOKEN}", Host=name)
            assert refused.status == 421


@pytest.mark.parametrize(
    "origin",
    [
        "http://evil.example",
        "null",
        "",
        "http://127.0.0.1",
        "http://127.0.0.1:1",
        "https://127.0.0.1:PORT",
        "http://localhost:PORT",  # a name of the server, but not the one that was asked for
        "http://127.0.0.1:PORT.evil.example",
    ],
)
async def test_a_socket_is_for_the_page_of_this_server_alone(housed: Housing, origin: str) -> None:
    async with housed() as house:
        headers = {"Origin": origin.replace("PORT", str(house.client.server.port))}
        with pytest.raises(aiohttp.WSServerHandshakeError, match="403"):
            await house.socket(**headers)
        with pytest.raises(aiohttp.WSServerHandshakeError, match="403"):
            await house.client.ws_connect("/socket")


async def test_a_socket_needs_the_cookie(housed: Housing) -> None:
    async with housed(token=TOKEN) as house:
        with pytest.raises(aiohttp.WSServerHandshakeError, match="403"):
            await house.socket()
        channel = await house.socket(Cookie=await cookie_of(house))
        assert (await channel.receive()).data == b"80 x 24"
        await channel.close()


@pytest.mark.parametrize("path", ["/", "/files/mono.ttf", "/nothing", "/socket", "/?token=wrong"])
async def test_every_answer_says_what_a_browser_may_do_with_it(housed: Housing, path: str) -> None:
    async with housed(token=TOKEN if "token" in path else None) as house:
        headers = (await house.get(path)).headers
        policy = dict(part.split(" ", 1) for part in headers["Content-Security-Policy"].split("; "))
        assert policy["default-src"] == "'none'"
        assert policy["script-src"] == policy["connect-src"] == policy["font-src"] == "'self'"
        assert policy["frame-ancestors"] == policy["base-uri"] == policy["form-action"] == "'none'"
        assert "http" not in headers["Content-Security-Policy"]
        assert headers["Referrer-Policy"] == "no-referrer"
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["X-Frame-Options"] == "DENY"
        assert headers["Cross-Origin-Opener-Policy"] == "same-origin"
        assert headers["Cache-Control"] == ("no-cache" if path.startswith("/files") else "no-store")
        assert headers["Server"] == "swarfbook"


async def test_no_log_and_no_answer_holds_the_token(
    housed: Housing, caplog: pytest.LogCaptureFixture, capfd: pytest.CaptureFixture[str]
) -> None:
    caplog.set_level(logging.DEBUG)
    async with housed(token=TOKEN) as house:
        secret = (await cookie_of(house)).partition("=")[2]
        said = []
        for path in (f"/?token={TOKEN}", f"/x?token={TOKEN}", f"/?token={TOKEN}x", f"/files/?token={TOKEN}"):
            for headers in ({}, {"Cookie": f"{house.door.cookie}={secret}"}, {"Host": "evil.example"}):
                answer = await house.get(path, **headers)
                said.append(await answer.text())
                said.append(answer.headers.get("Location", ""))
        for line in ("GET /?token={} HTTP/9.9", "G@T /?token={} HTTP/1.1", "GET /?token={}"):
            await raw(house, line.format(TOKEN))
    logged = caplog.text + "".join(capfd.readouterr())
    assert TOKEN not in "".join(said)
    assert secret not in "".join(said)
    assert TOKEN not in logged
    assert secret not in logged


async def test_a_fault_is_told_to_the_server_and_not_to_the_browser(
    housed: Housing, caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    from swarfbook.web import client

    monkeypatch.setattr(client, "page", lambda _: 1 / 0)
    async with housed(token=TOKEN) as house:
        answer = await house.get("/", Cookie=await cookie_of(house))
        assert answer.status == 500
        assert "ZeroDivisionError" not in await answer.text()
        assert answer.headers["Referrer-Policy"] == "no-referrer"
    assert "ZeroDivisionError" in caplog.text
    assert "token" not in caplog.text


async def raw(house: House, line: str) -> None:
    reader, writer = await asyncio.open_connection("127.0.0.1", house.client.server.port)
    writer.write(f"{line}\r\n\r\n".encode())
    writer.write_eof()
    await reader.read()
    writer.close()
    await writer.wait_closed()


async def test_the_token_is_compared_in_constant_time(
    housed: Housing, monkeypatch: pytest.MonkeyPatch
) -> None:
    from swarfbook.web import door

    asked = []
    compare = door.hmac.compare_digest
    monkeypatch.setattr(door.hmac, "compare_digest", lambda *both: asked.append(both) or compare(*both))
    async with housed(token=TOKEN) as house:
        await house.get("/?token=wrong")
        await house.get("/", Cookie=f"{house.door.cookie}=wrong-too")
    assert [brought for brought, _ in asked] == [b"wrong", b"wrong-too"]
