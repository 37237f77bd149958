"""The recipe book on disk: a folder of TOML files that a person can read, edit and keep in git."""

from swarfbook.book.entry import Entry
from swarfbook.book.locating import create, find_book
from swarfbook.book.store import Book

__all__ = ["Book", "Entry", "create", "find_book"]
