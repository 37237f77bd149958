"""Jobs for tests: a small valid one, changed key by key."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from support.books import MACHINE, MATERIAL, RECIPE, make_book, to_toml, values
from swarfbook.book import Book
from swarfbook.records import parse

VALUES: dict[str, Any] = {
    "schema": "job/1",
    "name": "Clamp plates",
    "machine": MACHINE,
    "material": MATERIAL,
    "quantity": 4,
    "stock": {"form": "flat-bar", "thickness": "12.7 mm", "width": "76 mm", "length": "300 mm"},
    "part": {"thickness": "12.5 mm", "width": "60 mm", "length": "280 mm"},
    "features": [
        {"id": "window", "kind": "pocket", "depth": "8 mm", "inside_corner": "4 mm"},
        {"id": "outline", "kind": "outside", "depth": "12.5 mm"},
    ],
    "holds": [{"method": "tape", "length": "300 mm", "width": "76 mm"}],
    "steps": [{"recipe": RECIPE, "feature": "window", "volume": "20 cm^3"}],
}


def job_values(**changes: Any) -> dict[str, Any]:
    """Give a valid job as typed, with top-level keys replaced; None takes one out."""
    values = deepcopy(VALUES) | deepcopy(changes)
    return {key: value for key, value in values.items() if value is not None}


def job(**changes: Any):
    """Give a job's record; see `job_values`."""
    return parse("job", job_values(**changes), where="jobs/test.toml")


def job_book(path, jobs=None, recipes=None, **changes):
    """Write the small book with jobs and further recipes, and open it.

    Args:
        path: folder to write to.
        jobs: changes of the job by id, as `job_values` takes them; None writes one, "plates", as it stands.
        recipes: changes by dotted key, by the id of a further recipe.
        changes: of the book's files, as `make_book` takes them.
    """
    make_book(path, **changes)
    own = {key.removeprefix("recipe."): value for key, value in changes.items() if key.startswith("recipe.")}
    for name, different in (recipes or {}).items():
        text = to_toml(values("recipe", own | different))
        (path / f"recipes/{name}.toml").write_text(text, encoding="utf-8")
    for name, different in ({"plates": {}} if jobs is None else jobs).items():
        (path / f"jobs/{name}.toml").write_text(to_toml(job_values(**different)), encoding="utf-8")
    return Book.open(path)
