"""Which other records a file names: a recipe its parts and where it came from, a job what it is made with."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import chain
from typing import TYPE_CHECKING, Any

from swarfbook.errors import Problem, SwarfbookError

if TYPE_CHECKING:
    from swarfbook.book.entry import Entry
    from swarfbook.book.store import Book
    from swarfbook.records.job import Job

PARTS = {"recipe": ("machine", "tool", "material"), "job": ("machine", "material")}
"""Kinds of records that a kind of file names by a key of that name."""
NAMED_BY = {
    "machine": ("recipe", "job"),
    "tool": ("recipe",),
    "material": ("recipe", "job"),
    "recipe": ("recipe", "job"),
    "job": (),
}
"""Kinds of files that name a kind of record."""

Another = Callable[[str, object], str | None]
"""Gives another id for a kind of record and the id a file has; None where it stays."""


def parent_of(raw: Mapping[str, Any]) -> str | None:
    """Give the id of the recipe another came from, as its file has it; None for none."""
    derived = raw.get("derived")
    parent = derived.get("from") if isinstance(derived, Mapping) else None
    return parent if isinstance(parent, str) else None


def named_anew(user: str, raw: Mapping[str, Any], another: Another) -> dict[str, Any]:
    """Give what changes in a file where records it names get other ids, nested as in the file.

    Args:
        user: kind of the file, a recipe or a job.
        raw: the file as typed, whether or not its values will do.
        another: the other ids.
    """
    changes: dict[str, Any] = {kind: another(kind, raw.get(kind)) for kind in PARTS[user]}
    if user == "job":
        changes["steps"] = _steps_anew(raw.get("steps"), another)
    else:
        parent = another("recipe", parent_of(raw))
        changes["derived"] = {"from": parent} if parent else None
    return {key: value for key, value in changes.items() if value}


def _steps_anew(steps: object, another: Another) -> list[Any] | None:
    """Give all steps where one of them has another recipe now, else None."""
    if not isinstance(steps, list):
        return None
    anew = [_step_anew(step, another) for step in steps]
    return anew if anew != steps else None


def _step_anew(step: object, another: Another) -> object:
    recipe = another("recipe", step.get("recipe")) if isinstance(step, Mapping) else None
    return {**step, "recipe": recipe} if isinstance(step, Mapping) and recipe else step


def names(user: str, raw: Mapping[str, Any], kind: str, record: str) -> bool:
    """Say whether a recipe's or a job's file names a record."""
    other = f"{record}-"  # no id, and so no name that stands there already
    return bool(named_anew(user, raw, lambda of, named: other if (of, named) == (kind, record) else None))


def dangling(book: Book, entry: Entry[Job]) -> Iterator[Problem]:
    """Yield where a job names a machine, a material or a recipe that is not in the book."""
    job = entry.record
    steps = ((f"steps[{at}].recipe", "recipe", one.recipe) for at, one in enumerate(job.steps, start=1))
    parts = ((kind, kind, getattr(job, kind)) for kind in PARTS["job"])
    for place, kind, record in chain(parts, steps):
        try:
            book.there(kind, record, where=entry.where, key=place)
        except SwarfbookError as error:
            yield from error.problems
