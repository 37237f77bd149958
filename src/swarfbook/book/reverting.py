"""Give a record the text of one of its states again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from swarfbook.book.deleting import named_as_now
from swarfbook.book.history import RESTORED, State
from swarfbook.book.ids import file_name
from swarfbook.book.inside import to_write
from swarfbook.book.locking import locked, write_atomically
from swarfbook.book.mentions import PARTS
from swarfbook.book.reading import parse_toml, trouble
from swarfbook.records import parse

if TYPE_CHECKING:
    from swarfbook.book.store import Book


def restore_state(book: Book, kind: str, record: str, number: int) -> State:
    """Write a state into the record's file as `Book.restore_state` says."""
    where, history = file_name(kind, record), book.history
    path = to_write(book.root, where)
    try:
        with locked(book.root):
            state = history.state(kind, record, number)
            data = _as_now(book, kind, state, where=f"{where} in state {number}")
            path.parent.mkdir(exist_ok=True)
            history.found(kind, record, history.now(kind, record))
            write_atomically(path, data)
            history.add(kind, record, RESTORED, data, str(number))
            return state
    except OSError as error:
        raise trouble(where, "written", error) from error


def _as_now(book: Book, kind: str, state: State, *, where: str) -> bytes:
    """Give the text of a state, proved to read today."""
    data = state.data
    if kind in PARTS:
        data = named_as_now(book.root, kind, data, state.at, where=where)
    parse(kind, parse_toml(data, where=where), where=where)
    return data
