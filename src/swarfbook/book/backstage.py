"""The folder inside a book for what the program keeps there for itself; version control passes it over."""

from __future__ import annotations

import errno
from contextlib import suppress
from pathlib import Path

from swarfbook.book.reading import stamp

FOLDER = ".swarfbook"
IGNORE = ".gitignore"
UNFINISHED = f"{FOLDER}/renaming.json"
"""What a write of several files is about, while it lasts; so called since the first such was a rename."""


def backstage(root: Path, *parts: str) -> Path:
    """Give a folder backstage of a book, made where it was not there; raises OSError."""
    from swarfbook.book.locking import write_atomically  # noqa: PLC0415 - reading a book takes none of it

    folder = root / FOLDER
    inner = folder.joinpath(*parts)
    if not inner.resolve().is_relative_to(root.resolve()):
        raise OSError(errno.ELOOP, "a link here leads out of the book")
    folder.mkdir(exist_ok=True)
    if not (folder / IGNORE).exists():
        write_atomically(folder / IGNORE, b"*\n")
    inner.mkdir(parents=True, exist_ok=True)
    return inner


def finish_cut_off(root: Path) -> None:
    """Finish a write that was cut off; where the folder cannot be written the book holds together anyway."""
    if stamp(root / UNFINISHED) is not None:
        from swarfbook.book import unfinished  # noqa: PLC0415 - as above

        with suppress(OSError):
            unfinished.finish(root)
