"""The server: a page, the files it is made of, and a socket for each screen program."""

from __future__ import annotations

import asyncio
import logging
import socket
import ssl
from collections.abc import AsyncIterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from functools import partial

from aiohttp import WSCloseCode, WSMessage, WSMsgType, web
from aiohttp.http_exceptions import HttpProcessingError

from swarfbook.book.system import when_told_to_end
from swarfbook.web import client, messages
from swarfbook.web.address import WAITING
from swarfbook.web.door import Door, guarded, say_headers
from swarfbook.web.lobby import PATIENCE, Lobby
from swarfbook.web.places import Place, Places
from swarfbook.web.session import GRACE, Session

BEAT = 20.0
"""Seconds between two signs of life asked of a browser; one that gives none is gone."""
FAREWELL = 2.0
"""Seconds a browser has to answer that a socket is to be closed."""
LOOKS = 10
"""How often idleness is looked for within the time that is allowed."""


def _of_ours(record: logging.LogRecord) -> bool:
    """Say whether a fault is ours and not a request that does not read, which would be told word by word."""
    return not (record.exc_info and isinstance(record.exc_info[1], HttpProcessingError))


# Faults are told, requests are not: an address may hold the token.
_LOG = logging.getLogger(__name__)
_LOG.addFilter(_of_ours)


@dataclass(frozen=True, slots=True)
class Served:
    """What is served.

    Attributes:
        words: the program and its arguments.
        driver: what draws in it, `module:Class`.
        door: who is let in.
        places: how many at a time.
        lobby: how many may be there that were not let in.
    """

    words: Sequence[str]
    driver: str
    door: Door
    places: Places
    lobby: Lobby = field(default_factory=Lobby)


def application(served: Served) -> web.Application:
    """Make the application: three kinds of addresses, and nothing of it is found by a path from outside."""
    app = web.Application(middlewares=[guarded(served.door, served.lobby)])
    app.on_response_prepare.append(say_headers)
    app.add_routes([web.get("/", partial(_page, served)), web.get("/socket", partial(_socket, served))])
    for name in client.FILES:
        app.router.add_get(f"/files/{name}", partial(_file, name))
    app.cleanup_ctx.append(partial(_watch, served.places))
    app.on_shutdown.append(partial(_close, served.places))
    return app


def runner_of(served: Served) -> web.AppRunner:
    """Give what runs the application: it logs no request, and gives sessions time to end."""
    return web.AppRunner(application(served), access_log=None, logger=_LOG, shutdown_timeout=GRACE + FAREWELL)


async def serve(served: Served, listening: socket.socket, tls: ssl.SSLContext | None) -> None:
    """Serve until the process is told to end, then end every session."""
    ended = asyncio.Event()
    when_told_to_end(asyncio.get_running_loop(), ended.set)
    runner = runner_of(served)
    await runner.setup()
    try:
        taking = await take(served, runner, listening, tls)
        await ended.wait()
        taking.close()
    finally:
        await runner.cleanup()


async def take(
    served: Served, runner: web.AppRunner, listening: socket.socket, tls: ssl.SSLContext | None
) -> asyncio.Server:
    """Begin to take connections; the runner has been set up."""
    if runner.server is None:
        raise RuntimeError("the runner was not set up")
    return await asyncio.get_running_loop().create_server(
        served.lobby.before(runner.server),
        sock=listening,
        backlog=WAITING,
        ssl=tls,
        ssl_handshake_timeout=PATIENCE if tls else None,
    )


# The page and its files


async def _page(served: Served, request: web.Request) -> web.Response:
    if served.places.full:
        return web.Response(status=503, text=client.full_page(), content_type="text/html")
    scheme = "wss" if request.secure else "ws"
    return web.Response(
        text=client.page(f"{scheme}://{request.host}/socket"), content_type="text/html", charset="utf-8"
    )


async def _file(name: str, _request: web.Request) -> web.FileResponse:
    # Kept by the browser, and asked for again only to hear that it is the same.
    return web.FileResponse(client.FILES[name], headers={"Cache-Control": "no-cache"})


# The socket


async def _socket(served: Served, request: web.Request) -> web.StreamResponse:
    if not served.door.of_own_page(request):
        raise web.HTTPForbidden(text="A socket is for the page of this server.\n")
    if served.places.full:
        raise web.HTTPServiceUnavailable(text="Every place is taken.\n")
    channel = web.WebSocketResponse(
        max_msg_size=messages.LONGEST, heartbeat=BEAT, timeout=FAREWELL, compress=False
    )
    with served.places.take(partial(channel.close, code=WSCloseCode.GOING_AWAY)) as place:
        await channel.prepare(request)
        asked = messages.size_asked(request.query.get("width", ""), request.query.get("height", ""))
        session = await Session.start(served.words, asked, served.driver)
        await _both_ways(channel, session, place)
    return channel


async def _both_ways(channel: web.WebSocketResponse, session: Session, place: Place) -> None:
    painting = asyncio.create_task(_paint(channel, session))
    try:
        async for message in channel:
            await _take(message, channel, session, place)
    except messages.WrongMessageError:
        await channel.close(code=WSCloseCode.POLICY_VIOLATION)
    except (ConnectionError, TimeoutError):
        pass  # the program has ended, or is stuck
    finally:
        painting.cancel()
        await asyncio.gather(painting, return_exceptions=True)
        await session.end()
        await channel.close()


async def _take(message: WSMessage, channel: web.WebSocketResponse, session: Session, place: Place) -> None:
    if message.type is not WSMsgType.TEXT:
        raise messages.WrongMessageError
    done, answer = await messages.hear(message.data, session)
    if done:
        place.touch()
    if answer is not None:
        await channel.send_str(answer)


async def _paint(channel: web.WebSocketResponse, session: Session) -> None:
    with suppress(ConnectionError):
        async for drawn in session.painted():
            await channel.send_bytes(drawn)
    await channel.close()


# Idleness, and the end


async def _watch(places: Places, _app: web.Application) -> AsyncIterator[None]:
    async def look() -> None:
        while True:
            await asyncio.sleep(places.idle / LOOKS)
            await places.close_idle()

    looking = asyncio.create_task(look())
    yield
    looking.cancel()


async def _close(places: Places, _app: web.Application) -> None:
    await places.close_all()
