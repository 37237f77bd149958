"""Which recipes and jobs name a record: what a rename has to follow and a delete would leave hanging."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from swarfbook.book.ids import called, file_name
from swarfbook.book.mentions import NAMED_BY, PARTS, names
from swarfbook.book.reading import MOST_BYTES, fail, parse_toml, read_bytes
from swarfbook.errors import SwarfbookError
from swarfbook.records.fields import ID_PATTERN

if TYPE_CHECKING:
    from swarfbook.book.index_file import Brief
    from swarfbook.book.store import Book


class User(NamedTuple):
    """A recipe or a job that names a record."""

    kind: str
    id: str

    @property
    def called(self) -> str:
        """What it is called: a recipe by its id, a job as `job:id`."""
        return called(self.kind, self.id)


@dataclass(frozen=True, slots=True)
class Typed:
    """A recipe's or a job's file: its bytes, and what the TOML reader gives."""

    data: bytes
    raw: dict[str, Any]


def may_name(book: Book, kind: str, record: str) -> dict[User, Typed]:
    """Read every file that may name a record, whether or not its values will do: recipes, then jobs.

    Of the recipes, those that name it or do not read, and all that came from one of them, however far back.

    Raises:
        SwarfbookError: a file that is no TOML holds the id, so that nobody can say what it names.
    """
    found = (_typed(book, user, record) for user in _suspects(book, kind, record))
    return {user: typed for user, typed in filter(None, found) if user != (kind, record)}


def _suspects(book: Book, kind: str, record: str) -> Iterator[User]:
    if "recipe" in NAMED_BY[kind]:
        briefs = list(book.index.look())
        named = {one.id for one in briefs if one.problems or _names(one, kind, record)}
        family = _with_children(named, briefs)
        yield from (User("recipe", one.id) for one in briefs if one.id in family)
    if "job" in NAMED_BY[kind]:
        yield from (User("job", job) for job in book.ids("job"))


def _names(brief: Brief, kind: str, record: str) -> bool:
    return record == (getattr(brief, kind) if kind in PARTS["recipe"] else brief.parent)


def _with_children(recipes: set[str], briefs: list[Brief]) -> set[str]:
    """Give recipes and all that came from them: what they name is part of the values a child remembers."""
    children: dict[str | None, list[str]] = {}
    for brief in briefs:
        children.setdefault(brief.parent, []).append(brief.id)
    found, waiting = set(recipes), list(recipes)
    while waiting:
        new = [child for child in children.get(waiting.pop(), ()) if child not in found]
        found.update(new)
        waiting += new
    return found


def _typed(book: Book, user: User, word: str) -> tuple[User, Typed] | None:
    """Read a file; None for one whose name is no id, or that does not read and holds no such word."""
    if not ID_PATTERN.match(user.id):
        return None
    where = file_name(user.kind, user.id)
    data = read_bytes(book.path(user.kind, user.id), where=where, most=MOST_BYTES)
    try:
        return user, Typed(data, parse_toml(data, where=where))
    except SwarfbookError as error:
        if word.encode() in data:
            raise fail(where, f"mend this file first: it may name {word} and does not read") from error
    return None


def users_of(book: Book, kind: str, record: str) -> list[User]:
    """Give the recipes and jobs that name a record, but for itself; raises SwarfbookError as `may_name`."""
    found = may_name(book, kind, record)
    return [user for user, typed in found.items() if names(user.kind, typed.raw, kind, record)]


def told(users: list[User], most: int) -> Iterator[tuple[str, str]]:
    """Yield each kind of them that there is, and the ids of those, at most so many named."""
    for kind in ("recipe", "job"):
        ids = [user.id for user in users if user.kind == kind]
        if ids:
            yield kind, ", ".join(ids[:most]) + (" and others" if len(ids) > most else "")
