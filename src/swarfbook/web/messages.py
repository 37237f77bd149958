"""What a browser may say over its socket."""

from __future__ import annotations

import json

from swarfbook.web.session import Session, Size

LONGEST = 64 * 1024
"""Bytes of one message: a long paste, and no more."""
LONGEST_STAMP = 32
DEFAULT_SIZE = (80, 24)


class WrongMessageError(Exception):
    """A browser says what the page that it was given never does."""


def size_asked(width: str, height: str) -> Size:
    """Read the size with which a socket is asked for; what is no number counts as the usual terminal's."""
    asked = (width, height)
    read = [int(one) if one.isascii() and one.isdigit() and len(one) < 9 else None for one in asked]
    return Size.of(*(usual if one is None else one for one, usual in zip(read, DEFAULT_SIZE, strict=True)))


async def hear(text: str, session: Session) -> tuple[bool, str | None]:
    """Hand a message on; give whether a person did something, and the answer to it, None for none.

    Raises:
        WrongMessageError: it is none of those known.
    """
    match _read(text):
        case ["stdin", str(typed)]:
            await session.type(typed)
        case ["resize", {"width": int(width), "height": int(height)}]:
            await session.resize(Size.of(width, height))
        case ["focus" | "blur" as event]:
            await session.attend(event)
        case ["ping", str(stamp)] if len(stamp) <= LONGEST_STAMP:
            return False, json.dumps(["pong", stamp])
        case _:
            raise WrongMessageError
    return True, None


def _read(text: str) -> object:
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        raise WrongMessageError from None
