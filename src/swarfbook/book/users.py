"""Which recipes name a record: what a rename has to follow and what a delete would leave hanging."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from swarfbook.book.ids import file_name
from swarfbook.book.reading import MOST_BYTES, fail, parse_toml, read_bytes
from swarfbook.errors import SwarfbookError
from swarfbook.records.fields import ID_PATTERN

if TYPE_CHECKING:
    from swarfbook.book.store import Book


@dataclass(frozen=True, slots=True)
class Typed:
    """A recipe's file: its bytes, and what the TOML reader gives."""

    data: bytes
    raw: dict[str, Any]


def typed_recipes(book: Book, word: str) -> dict[str, Typed]:
    """Read every recipe's file, whether or not its values will do.

    Args:
        book: the book.
        word: the id that is looked for.

    Raises:
        SwarfbookError: a file that is no TOML holds the word, so that nobody can say what it names.
    """
    found: dict[str, Typed] = {}
    for recipe in filter(ID_PATTERN.match, book.ids("recipe")):
        where = file_name("recipe", recipe)
        data = read_bytes(book.path("recipe", recipe), where=where, most=MOST_BYTES)
        try:
            found[recipe] = Typed(data, parse_toml(data, where=where))
        except SwarfbookError as error:
            if word.encode() in data:
                raise fail(where, f"mend this file first: it may name {word} and does not read") from error
    return found


def parent_of(raw: Mapping[str, Any]) -> str | None:
    """Give the id of the recipe another came from, as its file has it; None for none."""
    derived = raw.get("derived")
    parent = derived.get("from") if isinstance(derived, Mapping) else None
    return parent if isinstance(parent, str) else None


def names(raw: Mapping[str, Any], kind: str, record: str) -> bool:
    """Say whether a recipe's file names a record, as its machine, cutter or material or as its parent."""
    return (parent_of(raw) if kind == "recipe" else raw.get(kind)) == record


def users_of(book: Book, kind: str, record: str) -> list[str]:
    """Give the recipes that name a record, but for itself; raises SwarfbookError as `typed_recipes` does."""
    recipes = typed_recipes(book, record)
    mine = {record} if kind == "recipe" else set()
    return [recipe for recipe, one in recipes.items() if recipe not in mine and names(one.raw, kind, record)]
