"""Where a write goes: into the book, whatever links stand there."""

from __future__ import annotations

from pathlib import Path

from swarfbook.book.reading import fail


def to_write(root: Path, where: str) -> Path:
    """Give the file that a write goes to, its links followed, so that a link within the book stays one.

    Args:
        root: folder of the book.
        where: the file, relative to that.

    Raises:
        SwarfbookError: a link leads out of the book, or in a ring.
    """
    try:
        path = (root / where).resolve()
    except (OSError, RuntimeError):
        raise fail(where, "this link leads in a ring; take it away") from None
    if not path.is_relative_to(root.resolve()):
        raise fail(where, "this link leads out of the book; put the file itself here", found=str(path))
    return path
