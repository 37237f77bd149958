"""The records of one kind as a mapping from ids, for whoever holds a book in hand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from textwrap import fill
from typing import TYPE_CHECKING, Generic, TypeVar

from swarfbook.errors import SwarfbookError, UnknownIdError
from swarfbook.records import Record

if TYPE_CHECKING:
    from swarfbook.book.store import Book
    from swarfbook.records import Machine, Material, Recipe, Tool
    from swarfbook.records.job import Job

RecordT_co = TypeVar("RecordT_co", bound=Record, covariant=True)


class Shelf(Mapping[str, RecordT_co]):
    """The records of one kind, by id: SI values, read when they are asked for.

    Args:
        book: the book.
        kind: kind of record.
    """

    def __init__(self, book: Book, kind: str) -> None:
        self._book, self._kind = book, kind

    def __getitem__(self, record: str) -> RecordT_co:
        """Read one record; raises UnknownIdError, and SwarfbookError for a file that does not read."""
        try:
            self._book.there(self._kind, record, where=self._kind)
        except SwarfbookError as error:
            raise UnknownIdError(*error.problems) from None
        found: RecordT_co = self._book.require(self._kind, record, where=self._kind).record
        return found

    def __iter__(self) -> Iterator[str]:
        return iter(self._book.ids(self._kind))

    def __len__(self) -> int:
        return len(self._book.ids(self._kind))

    def __repr__(self) -> str:
        ids = self._book.ids(self._kind)
        text = f"{self._kind} ({len(ids)}): {', '.join(ids)}"
        return fill(text, 88, subsequent_indent="    ", break_on_hyphens=False, break_long_words=False)

    def _ipython_key_completions_(self) -> list[str]:
        return self._book.ids(self._kind)


class Shelved(Generic[RecordT_co]):
    """Declares a kind of record as an attribute of a book: `book.recipes` is the `Shelf` of its recipes."""

    def __init__(self, kind: str) -> None:
        self._kind = kind

    def __get__(self, book: Book, owner: type[Book]) -> Shelf[RecordT_co]:
        """Give the shelf of one book."""
        return Shelf(book, self._kind)


class Shelves:
    """The kinds of record that a book has.

    Attributes:
        recipes, machines, tools, materials, jobs: the records by id.
    """

    recipes: Shelved[Recipe] = Shelved("recipe")
    machines: Shelved[Machine] = Shelved("machine")
    tools: Shelved[Tool] = Shelved("tool")
    materials: Shelved[Material] = Shelved("material")
    jobs: Shelved[Job] = Shelved("job")
