"""Files outside the book, written where a person asks for them."""

from __future__ import annotations

from pathlib import Path

from swarfbook.book.locking import write_atomically
from swarfbook.errors import Problem, SwarfbookError


def typed_path(name: str) -> Path:
    """Give the file a person typed, `~` and all; without a folder it lies where the program was started."""
    try:
        return Path(name).expanduser()
    except RuntimeError:  # nobody of that name has a home
        return Path(name)


def write_outside(name: str, content: bytes, *, where: str = "") -> None:
    """Write a file whole or not at all.

    Args:
        name: the file as typed.
        content: what is to stand in it.
        where: the option that names it, for the message.

    Raises:
        SwarfbookError: it cannot be written.
    """
    try:
        write_atomically(typed_path(name), content)
    except (OSError, ValueError) as error:  # ValueError: a name no file can have
        reason = getattr(error, "strerror", None) or "unknown trouble"
        raise SwarfbookError(Problem(where, "", name, f"this cannot be written: {reason.lower()}")) from None
