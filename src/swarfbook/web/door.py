"""Who is let in, and what every answer says to the browser about safety."""

from __future__ import annotations

import hmac
import secrets

from aiohttp import web
from aiohttp.typedefs import Handler, Middleware

from swarfbook.web.address import LOOPBACK_NAMES
from swarfbook.web.lobby import Lobby

# Styles may stand in the page: the terminal writes its own there as it measures the letters.
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; font-src 'self'; "
    "img-src 'self' data:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Server": "swarfbook",
}
FRESH = "no-store"
"""What pages say of being kept; the files of the terminal say otherwise."""
DEFAULT_PORTS = {"http": 80, "https": 443}


class Door:
    """Who is let in.

    Attributes:
        origins: the addresses, `http://127.0.0.1:8000`, under which the server may be asked.
        cookie: name of the cookie; it holds the port, since browsers keep one jar for all ports of a host.
    """

    def __init__(self, scheme: str, host: str, port: int, token: str | None) -> None:
        """Let in whoever asks under the right name and, where there is a token, brings it.

        Args:
            scheme: http or https.
            host: as a browser names it.
            port: the port listened on.
            token: the token; None lets everybody in who reaches the address.
        """
        self._token = token
        self._secure = scheme == "https"
        self._pass = secrets.token_urlsafe(32)
        self.cookie = f"swarfbook-{port}"
        ends = ("", f":{port}") if port == DEFAULT_PORTS[scheme] else (f":{port}",)
        self._hosts = {f"{name}{end}" for name in (*LOOPBACK_NAMES, host) for end in ends}
        self.origins = {f"{scheme}://{name}" for name in self._hosts}

    def admit(self, request: web.Request) -> None:
        """Raise the answer to whoever is not let in, and to whoever brings the token.

        Raises:
            HTTPMisdirectedRequest: asked under another name, as a page does that gave its own name this
                address.
            HTTPSeeOther: the token is right; goes on to the address without it, with a cookie.
            HTTPForbidden: neither token nor cookie, or wrong ones.
        """
        if request.host.lower() not in self._hosts:
            raise web.HTTPMisdirectedRequest(text="This is not the address the server was started for.\n")
        if self._token is None:
            return
        brought = request.query.get("token")
        if brought is not None and request.path == "/":
            raise self._exchanged() if _same(brought, self._token) else _refused("That token is not right.")
        if not _same(request.cookies.get(self.cookie, ""), self._pass):
            raise _refused("Open the address with the token, as the server gave it.")

    def of_own_page(self, request: web.Request) -> bool:
        """Say whether a socket is asked for by a page of this server, under the name it came from."""
        origin = request.headers.get("Origin", "").lower()
        return origin in self.origins and origin.endswith(f"://{request.host.lower()}")

    def _exchanged(self) -> web.HTTPSeeOther:
        answer = web.HTTPSeeOther("/")
        answer.set_cookie(
            self.cookie, self._pass, path="/", httponly=True, samesite="Strict", secure=self._secure
        )
        return answer


def guarded(door: Door, lobby: Lobby) -> Middleware:
    """Give the middleware that asks the door before anything else looks at a request.

    Args:
        door: who is let in.
        lobby: told of whoever was.
    """

    @web.middleware
    async def guard(request: web.Request, handler: Handler) -> web.StreamResponse:
        door.admit(request)
        lobby.let_in(request.transport)
        return await handler(request)

    return guard


async def say_headers(_request: web.Request, answer: web.StreamResponse) -> None:
    """Put the headers of safety on an answer of any kind, refusals and troubles among them."""
    answer.headers.update(HEADERS)
    answer.headers.setdefault("Cache-Control", FRESH)


def _same(brought: str, right: str) -> bool:
    # Takes the same time wherever they differ.
    return hmac.compare_digest(brought.encode(errors="replace"), right.encode())


def _refused(text: str) -> web.HTTPForbidden:
    return web.HTTPForbidden(text=f"{text}\n")
