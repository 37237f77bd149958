"""Another record like one that is there: its text, comments and all, under an id and a name of its own."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import count
from typing import Any

from swarfbook.book import Book
from swarfbook.book.ids import require_new_id
from swarfbook.errors import SwarfbookError
from swarfbook.records.fields import NAME_LENGTH

LONGEST_STEM = 60  # letters of an id that a proposal keeps
AGAIN = ", another"


def proposal(book: Book, kind: str, record: str) -> str:
    """Give an id that is free, made from that of a record."""
    names = (f"{record[:LONGEST_STEM]}-{number}" for number in count(2))
    return next(name for name in names if not book.has(kind, name))


def taken(book: Book, kind: str, new: str) -> str:
    """Say why an id will not do for a record that is to have it; empty where it will."""
    try:
        require_new_id(new, where=kind)
    except SwarfbookError as error:
        return error.problems[0].remedy
    return "there is one of that id already; choose another id" if book.has(kind, new) else ""


def begin(book: Book, kind: str, record: str, new: str, changes: Mapping[str, Any]) -> str:
    """Write a new record like another; a recipe's is on trial and has no parent.

    Args:
        book: the book.
        kind: kind of record.
        record: id of the one to begin with.
        new: id of the new one.
        changes: what is to be different, nested as in the file; with a name among them that one stands, else
            the old one's has `another` behind it, for two of a name are not told apart in a list.

    Returns:
        Why it was not written; empty when it was.
    """
    try:
        name = str(book.get(kind, record).raw["name"])[: NAME_LENGTH - len(AGAIN)]
        book.duplicate(kind, record, new, {"name": f"{name}{AGAIN}", **changes})
    except SwarfbookError as error:
        return error.problems[0].remedy
    return ""
