"""A book as it will be once other records stand in it, for proving them before any is written."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from swarfbook.book.entry import Entry
from swarfbook.book.reading import Stamp
from swarfbook.book.store import Book


class Together(Book):
    """A book and records that are not written yet, which count before its own."""

    def __init__(self, book: Book, given: Mapping[tuple[str, str], Entry[Any]]) -> None:
        super().__init__(book.root, book.settings)
        self._given = given

    def ids(self, kind: str) -> list[str]:
        """Give the ids of a kind of both, sorted."""
        return sorted({*super().ids(kind), *(record for of, record in self._given if of == kind)})

    def require(self, kind: str, record: str, *, where: str, key: str = "") -> Entry[Any]:
        """Read a record as `Book.require` does."""
        given = self._given.get((kind, record))
        return super().require(kind, record, where=where, key=key) if given is None else given

    def there(self, kind: str, record: str, *, where: str, key: str = "") -> Stamp | None:
        """Look for a record as `Book.there` does."""
        given = self._given.get((kind, record))
        return super().there(kind, record, where=where, key=key) if given is None else given.stamp
