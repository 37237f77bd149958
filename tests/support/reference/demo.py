"""What only shows in cuts: the demo's recipes and jobs, and two more, looked through once."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from support import books
from swarfbook.book import Book
from swarfbook.decisions.check import Check, Limit, check
from swarfbook.decisions.evidence import load_case
from swarfbook.decisions.figures import Figure
from swarfbook.decisions.leaves import leavings
from swarfbook.decisions.limits import RUNG_ORDER
from swarfbook.resources import demo_book_dir

BESIDE: tuple[dict[str, object], ...] = (
    {"tool.shape": "corner-radius", "tool.corner_radius": "0.5 mm", "recipe.operation": "face-finish"},
    *(
        {
            "machine.spindle.rated_power": "100 W",
            "machine.spindle.overload": {"power": "130 W", "duty": duty},
            "machine.spindle.thermal_time": "30 min",
        }
        for duty in ("S6 40%", "S2 10 min")
    ),
)
"""What no recipe of the demo has: a corner radius that leaves ridges, and cuts above the S1 rating."""


@cache
def demo() -> Book:
    """Give the demo's book."""
    return Book.open(demo_book_dir())


@cache
def leaving_figures() -> dict[str, Figure]:
    """Give the quantities that only some cuts have, by name."""
    found: dict[str, Figure] = {}
    for recipe in sorted(demo().ids("recipe")):
        found |= _new(check(load_case(demo(), recipe)), found)
    for changes in BESIDE:
        with TemporaryDirectory() as folder:
            book = Book.open(books.make_book(Path(folder) / "book", **changes))
            found |= _new(check(load_case(book, books.RECIPE)), found)
    return found


def _new(checked: Check, found: dict[str, Figure]) -> dict[str, Figure]:
    return {name: one for name, one in leavings(checked).items() if name not in found}


@cache
def job_limits() -> dict[str, Limit]:
    """Give the limits that only a job has, by name."""
    from swarfbook.decisions.jobs.judging import judge_job
    from swarfbook.decisions.jobs.loading import load_job

    own = {rule.name for rule in RUNG_ORDER}
    steps = judge_job(load_job(demo(), "mast-clamps")).steps
    return {one.name: one for step in steps for one in step.limits if one.name not in own}
