"""Everything in a book that does not read or does not fit together."""

from __future__ import annotations

from collections.abc import Iterator

from swarfbook.book import Book
from swarfbook.decisions.case import load_case
from swarfbook.decisions.cutting_law import require_numbers
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.records import Material

PARTS = ("machine", "tool", "material")


def troubles(book: Book) -> Iterator[Problem]:
    """Yield every problem of a book once: of machines, cutters, materials, recipes, then the run log.

    A recipe is resolved as for a check, so one that names a record that is not there is among them.
    """
    told: set[Problem] = set()
    for problem in _all(book):
        if problem not in told:
            told.add(problem)
            yield problem


def _all(book: Book) -> Iterator[Problem]:
    for kind in PARTS:
        yield from book.entries(kind)[1]
    for entry in book.entries("material")[0]:
        yield from lacks(entry.record, where=entry.where)
    for recipe in book.ids("recipe"):
        yield from _of_recipe(book, recipe)
    yield from book.run_log()[1]


def lacks(material: Material, *, where: str) -> Iterator[Problem]:
    """Yield what a material that reads still lacks: its row of the tables, or numbers of its cutting law."""
    try:
        require_numbers(material, where=where)
    except SwarfbookError as error:
        yield from error.problems


def _of_recipe(book: Book, recipe: str) -> Iterator[Problem]:
    try:
        load_case(book, recipe)
    except SwarfbookError as error:
        yield from error.problems
