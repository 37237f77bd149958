"""Files that a command writes where a person asks for them."""

from __future__ import annotations

from pathlib import Path

from swarfbook.errors import Problem, SwarfbookError


def write_file(option: str, name: str, content: bytes) -> None:
    """Write a file whole or not at all.

    Args:
        option: the option that names it, for the message.
        name: the file as typed.
        content: what is to stand in it.

    Raises:
        SwarfbookError: it cannot be written.
    """
    from swarfbook.book.locking import write_atomically

    try:
        write_atomically(Path(name), content)
    except OSError as error:
        reason = (error.strerror or "unknown trouble").lower()
        raise SwarfbookError(Problem(option, "", name, f"this cannot be written: {reason}")) from None
