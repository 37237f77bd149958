"""A whole book looked through for whatever is wrong with it, before others get a copy."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from swarfbook.book import Book
from swarfbook.book.attributes import unmerged
from swarfbook.book.glance import glance
from swarfbook.book.ids import SETTINGS, file_name
from swarfbook.book.mentions import parent_of
from swarfbook.book.reading import stamp
from swarfbook.book.strays import strays
from swarfbook.decisions.troubles import troubles
from swarfbook.errors import Problem, SwarfbookError, did_you_mean
from swarfbook.records import digest


@dataclass(frozen=True, slots=True)
class Finding:
    """Something in a book that is wrong, or worth knowing.

    Attributes:
        problem: what and where.
        note: it is worth knowing only.
    """

    problem: Problem
    note: bool


def verify(book: Book) -> Iterator[Finding]:
    """Yield what is wrong with a book, then what is worth knowing.

    Wrong are files and keys that do not read or fit, names that lead nowhere, runs of one id, what saves that
    were cut off left behind, files that are no records, names that differ by case and links that lead out of
    the book. Worth knowing are recipes whose parent has changed since, and how git would merge.
    """
    parents = Parents(book)
    for problem in (*troubles(book), *parents.dangling, *_doubles(book), *strays(book.root)):
        yield Finding(problem, note=False)
    for problem in (*parents.stale, *([] if book.built_in else unmerged(book.root))):
        yield Finding(problem, note=True)


def opened(root: Path) -> tuple[Book | None, list[Finding]]:
    """Open a book to be verified; one whose own files do not read gives its findings instead.

    Raises:
        SwarfbookError: the folder is no book.
    """
    try:
        return Book.open(root), []
    except SwarfbookError as error:
        if stamp(root / SETTINGS) is None:
            raise
        return None, [Finding(problem, note=False) for problem in error.problems]


class Parents:
    """The recipes of a book by the ones they came from.

    Attributes:
        dangling: where a parent is not in the book.
        stale: where a parent's values changed since its child was made.
    """

    def __init__(self, book: Book) -> None:
        """Read every recipe of a book; one that does not read is told elsewhere."""
        self._book = book
        self._ids = set(book.ids("recipe"))
        self._digests: dict[str, str | None] = {}
        self.dangling: list[Problem] = []
        self.stale: list[Problem] = []
        for recipe in sorted(self._ids):
            self._look(recipe)

    def _look(self, recipe: str) -> None:
        try:
            raw = glance(self._book, "recipe", recipe)
        except SwarfbookError:
            return
        parent, where = parent_of(raw), file_name("recipe", recipe)
        if parent is None:
            return
        if parent not in self._ids:
            remedy = f"no recipe of that id in this book; {did_you_mean(parent, self._ids)}"
            self.dangling.append(Problem(where, "derived.from", f"'{parent}'", remedy))
        elif self._digest(parent) not in (None, raw["derived"].get("parent_digest")):
            remedy = (
                f"{parent} changed since this recipe was backed off from it; derate it anew, or keep it so"
            )
            self.stale.append(Problem(where, "derived.parent_digest", "", remedy))

    def _digest(self, parent: str) -> str | None:
        """Give the digest of a recipe as it stands; None where it does not read."""
        if parent not in self._digests:
            try:
                found = digest(self._book.get("recipe", parent).record)
            except SwarfbookError:
                found = None
            self._digests[parent] = found
        return self._digests[parent]


def _doubles(book: Book) -> Iterator[Problem]:
    """Yield each id that several lines of the run log have, once."""
    table = book.light_log().table
    first: dict[str, int] = {}
    told: set[str] = set()
    for row in range(len(table.rows)):
        name = table.name(row)
        before = first.setdefault(name, row)
        if before != row and name not in told:
            told.add(name)
            one, other = table.runs((before, row))
            yield Problem(table.where(row), "id", f"'{name}'", _doubled(one == other, table.where(before)))


def _doubled(same: bool, where: str) -> str:
    if same:
        return f"this run stands in {where} already; it counts once, and one of the lines may be taken out"
    return f"another run in {where} has that id, and only the earlier one counts; give one of them another id"
