"""The recipe book on disk: a folder of TOML files that a person can read, edit and keep in git.

The store is imported when it is first asked for: finding the folder takes none of it, and the screen paints
its first frame before.
"""

from typing import TYPE_CHECKING

from swarfbook.book.locating import find_book
from swarfbook.book.starting import create

if TYPE_CHECKING:
    from swarfbook.book.entry import Entry
    from swarfbook.book.store import Book

__all__ = ["Book", "Entry", "create", "find_book"]


def __getattr__(name: str) -> object:
    """Import the store; raises AttributeError for a name that is not in it."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from swarfbook.book import store  # noqa: PLC0415 - see above

    return getattr(store, name)
