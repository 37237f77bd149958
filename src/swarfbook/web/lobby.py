"""Who has come and was not let in yet: how many at a time, and for how long.

A connection takes memory and a file before its first word. Those that the door has let in are counted no
more: whoever holds the token is trusted, and how many screens there may be is a matter of `places`.
"""

from __future__ import annotations

import asyncio
from collections import Counter
from collections.abc import Callable

MOST = 64
"""Strangers at a time from everywhere."""
MOST_EACH = 16
"""Strangers at a time from one address: a browser opens six for a page, and one for a screen."""
PATIENCE = 10.0
"""Seconds in which a stranger has to be let in, and in which both have to agree on TLS."""

Serves = Callable[[], asyncio.Protocol]


class Lobby:
    """The connections that were not let in yet."""

    def __init__(self, most: int = MOST, most_each: int = MOST_EACH, patience: float = PATIENCE) -> None:
        """Begin with nobody there.

        Args:
            most: strangers at a time.
            most_each: those from one address.
            patience: s after which one who was not let in has to leave.
        """
        self._most, self._most_each, self._patience = most, most_each, patience
        self._strangers: dict[asyncio.BaseTransport, str] = {}

    @property
    def strangers(self) -> int:
        """How many wait."""
        self._forget_the_gone()
        return len(self._strangers)

    def come(self, transport: asyncio.Transport) -> bool:
        """Note one who has come; False, the connection being cut, where there are too many already."""
        self._forget_the_gone()
        address = _address(transport)
        if (
            len(self._strangers) >= self._most
            or Counter(self._strangers.values())[address] >= self._most_each
        ):
            transport.abort()
            return False
        self._strangers[transport] = address
        asyncio.get_running_loop().call_later(self._patience, self._turn_out, transport)
        return True

    def let_in(self, transport: asyncio.BaseTransport | None) -> None:
        """Note that the door let one in."""
        if transport is not None:
            self._strangers.pop(transport, None)

    def _turn_out(self, transport: asyncio.Transport) -> None:
        if self._strangers.pop(transport, None) is not None:
            transport.abort()

    def _forget_the_gone(self) -> None:
        for transport in [one for one in self._strangers if one.is_closing()]:
            del self._strangers[transport]

    def before(self, serves: Serves) -> Serves:
        """Give what makes a connection's first protocol: it asks the lobby, then what serves takes over."""
        return lambda: _Gate(self, serves)


class _Gate(asyncio.Protocol):
    """The first protocol of a connection, until the lobby has noted it."""

    def __init__(self, lobby: Lobby, serves: Serves) -> None:
        self._lobby, self._serves = lobby, serves

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        """Hand the connection on to what serves, or cut it; see asyncio."""
        if isinstance(transport, asyncio.Transport) and self._lobby.come(transport):
            serving = self._serves()
            transport.set_protocol(serving)
            serving.connection_made(transport)


def _address(transport: asyncio.BaseTransport) -> str:
    peer = transport.get_extra_info("peername")
    return str(peer[0]) if peer else ""
