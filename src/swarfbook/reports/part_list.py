"""The machines, cutters, materials or jobs of a book as a list: name, what tells most, and what uses it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from swarfbook import tables
from swarfbook.book import Book
from swarfbook.book.glance import glance
from swarfbook.book.mentions import NAMED_BY
from swarfbook.errors import SwarfbookError
from swarfbook.reports.listing import findable, has_all, wanted
from swarfbook.reports.part_page import at, hung
from swarfbook.reports.part_words import KINDS, PLURALS
from swarfbook.reports.words import counted, used_by

ID_WIDTH = 20
WIDE = 100  # columns from which what tells most has room beside the name


@dataclass(frozen=True, slots=True)
class Part:
    """One machine, cutter, material or job in a list.

    Attributes:
        id: its id.
        name: its name; empty where its file does not read.
        tells: what tells most of it, or what is wrong with its file.
        uses: how many recipes use it; None while they are not counted.
        jobs: how many jobs use it; 0 while they are not counted.
    """

    id: str
    name: str
    tells: str
    uses: int | None = None
    jobs: int = 0

    @property
    def used(self) -> str:
        """How many recipes and jobs use it, in words; empty while they are not counted."""
        return "" if self.uses is None else used_by(self.uses, self.jobs)

    def has(self, words: str) -> bool:
        """Say whether words of it begin with all of some words, as in the lists on screen."""
        return has_all(findable(f"{self.id} {self.name} {self.tells}"), wanted(words))


def parts(book: Book, kind: str) -> list[Part]:
    """List the records of a kind, those that do not read among them; the recipes are not counted."""
    return [_part(book, kind, record) for record in book.ids(kind)]


def _part(book: Book, kind: str, record: str) -> Part:
    try:
        values = book.get(kind, record).raw
    except SwarfbookError as error:
        return Part(record, "", f"does not read: {counted(len(error.problems), 'problem')}")
    return Part(record, str(values["name"]), tells(kind, values))


def tells(kind: str, values: Mapping[str, Any]) -> str:
    """Say what tells most of a record, as typed."""
    if kind == "machine":
        motor, power, speed = (at(values, f"spindle.{key}") for key in ("motor", "rated_power", "max_speed"))
        return f"{motor}, {power}, to {speed}"
    if kind == "tool":
        diameter, flutes, shape, substrate = (
            values[key] for key in ("diameter", "flutes", "shape", "substrate")
        )
        return f"{diameter} {shape}, {counted(flutes, 'flute')}, {substrate}"
    if kind == "job":
        return f"{counted(values['quantity'], 'part')} of {values['material']} on {values['machine']}"
    row = tables.load("materials").find(values["table"])
    return row.text("name") if row else f"no row {values['table']}"


Use = tuple[str, str]
"""The kind of a file, a recipe or a job, and the id of a record it names."""


def uses(book: Book, kind: str) -> Counter[Use]:
    """Count the recipes and jobs that name each record of a kind; a file that is no TOML is not counted."""
    return Counter(use for use in naming(book, kind) if use[1])


def naming(book: Book, kind: str) -> Iterator[Use]:
    """Yield, recipe by recipe and then job by job, which record of a kind it names; no id where unread.

    Args:
        book: the book.
        kind: machine, tool or material, none of which is named but by its kind; nothing uses a job.
    """
    for brief in book.index.look():
        yield "recipe", getattr(brief, kind) or ""
    if "job" in NAMED_BY[kind]:
        for job in book.ids("job"):
            yield "job", _of_job(book, job, kind)


def _of_job(book: Book, job: str, kind: str) -> str:
    try:
        return str(glance(book, "job", job).get(kind, ""))
    except SwarfbookError:
        return ""


def with_uses(listed: Iterable[Part], counts: Mapping[Use, int]) -> list[Part]:
    """Put the counts in."""
    return [
        replace(one, uses=counts.get(("recipe", one.id), 0), jobs=counts.get(("job", one.id), 0))
        for one in listed
    ]


def parts_lines(title: str, kind: str, listed: list[Part], *, width: int) -> list[str]:
    """Write the list for the command line."""
    lines = [f"{title} · {counted(len(listed), KINDS[kind], PLURALS[kind])}", ""]
    names = max((len(one.name) for one in listed), default=0)
    for one in listed:
        start = f"  {one.id:<{ID_WIDTH}} "
        said = ", ".join(filter(None, (one.tells, one.used and f"used by {one.used}")))
        if width < WIDE:
            lines += [f"{start}{one.name}", *hung(" " * len(start), said, width)]
        else:
            lines += hung(f"{start}{one.name:<{names}}  ", said, width)
    return lines
