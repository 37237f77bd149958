"""Where the server listens: one address of this machine, and whether others can reach it."""

from __future__ import annotations

import ipaddress
import socket
from dataclasses import dataclass

from swarfbook.errors import Problem, SwarfbookError

LOOPBACK_NAMES = ("localhost", "127.0.0.1", "[::1]")
WAITING = 32
"""Connections that may wait to be taken."""


@dataclass(frozen=True, slots=True)
class Address:
    """One address to listen on.

    Attributes:
        named: as a person named it, IPv6 in brackets: what a browser asks for.
        number: the IP address behind it.
    """

    named: str
    number: ipaddress.IPv4Address | ipaddress.IPv6Address

    @property
    def own(self) -> bool:
        """Whether only this machine reaches it."""
        return self.number.is_loopback

    def listen(self, port: int) -> socket.socket:
        """Begin to listen; port 0 takes any that is free. Raises SwarfbookError where that cannot be."""
        family = socket.AF_INET6 if self.number.version == 6 else socket.AF_INET
        try:
            return socket.create_server((str(self.number), port), family=family, backlog=WAITING)
        except OSError as error:
            reason = (error.strerror or "unknown trouble").lower()
            remedy = f"this cannot be listened on: {reason}; --port takes another, 0 any that is free"
            raise SwarfbookError(Problem("--host", "", f"{self.named}:{port}", remedy)) from None


def address_of(host: str) -> Address:
    """Find the address of a host; raises SwarfbookError for none, and for one that means every address.

    Which name a browser must ask for is known for one address only, and that is what keeps pages of other
    sites from reaching the server under a name of theirs.
    """
    bare = host.strip("[]").lower()
    number = _number(bare)
    if number.is_unspecified or number.is_multicast:
        remedy = "that is no single address; name one of this machine, such as 192.168.1.20"
        raise SwarfbookError(Problem("--host", "", host, remedy))
    # Of IPv6 a browser asks in the short form, whatever was typed.
    return Address(f"[{number}]" if ":" in bare else bare, number)


def _number(host: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address:
    try:
        return ipaddress.ip_address(host)
    except ValueError:
        pass
    try:
        found = socket.getaddrinfo(host, None, type=socket.SOCK_STREAM)
        return ipaddress.ip_address(str(found[0][4][0]))
    except (OSError, UnicodeError, ValueError):
        remedy = "no address of that name; leave it out, or name an address of this machine"
        raise SwarfbookError(Problem("--host", "", host, remedy)) from None
