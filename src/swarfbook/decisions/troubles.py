"""Everything in a book that does not read or does not fit together."""

from __future__ import annotations

from collections.abc import Iterator

from swarfbook.book import Book
from swarfbook.book.glance import glance
from swarfbook.book.ids import file_name, require_id
from swarfbook.book.leftovers import leftovers
from swarfbook.book.mentions import dangling
from swarfbook.decisions.case import Gives, case_of
from swarfbook.decisions.cutting_law import require_numbers
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.records import Material

PARTS = ("machine", "tool", "material")


def troubles(book: Book) -> Iterator[Problem]:
    """Yield every problem of a book once: of machines, cutters, materials, recipes, jobs, then the run log.

    A recipe is resolved as for a check, so one that names a record that is not there is among them; so is a
    job that does.
    """
    for _, problems in look_through(book):
        yield from problems


def look_through(book: Book) -> Iterator[tuple[int, list[Problem]]]:
    """Look through a book step by step: yield how many recipes are done and what problems were new.

    The first step has the machines, cutters and materials, the last the run log and what saves that were cut
    off left behind; in between each is a recipe, then a job.
    """
    told: set[Problem] = set()
    for done, problems in _steps(book):
        new = [problem for problem in dict.fromkeys(problems) if problem not in told]
        told.update(new)
        yield done, new


def _steps(book: Book) -> Iterator[tuple[int, list[Problem]]]:
    recipes, gives = book.ids("recipe"), Gives()
    yield 0, list(_of_parts(book))
    for done, recipe in enumerate(recipes, start=1):
        yield done, list(_of_recipe(book, recipe, gives))
    for job in book.ids("job"):
        yield len(recipes), list(_of_job(book, job))
    left = (one.problem for one in leftovers(book.root))
    yield len(recipes), [*book.light_log().problems, *left]


def _of_parts(book: Book) -> Iterator[Problem]:
    for kind in PARTS:
        yield from book.entries(kind)[1]
    for entry in book.entries("material")[0]:
        yield from lacks(entry.record, where=entry.where)


def lacks(material: Material, *, where: str) -> Iterator[Problem]:
    """Yield what a material that reads still lacks: its row of the tables, or numbers of its cutting law."""
    try:
        require_numbers(material, where=where)
    except SwarfbookError as error:
        yield from error.problems


def _of_recipe(book: Book, recipe: str, gives: Gives) -> Iterator[Problem]:
    try:
        # Read for this once and not kept: thousands of recipes would stay in memory.
        require_id(recipe, where=file_name("recipe", recipe))
        case_of(book, recipe, glance(book, "recipe", recipe), gives)
    except SwarfbookError as error:
        yield from error.problems


def _of_job(book: Book, job: str) -> Iterator[Problem]:
    try:
        yield from dangling(book, book.require("job", job, where=file_name("job", job)))
    except SwarfbookError as error:
        yield from error.problems
