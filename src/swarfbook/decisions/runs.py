"""Looking things up in the run log."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from swarfbook.book import Book
from swarfbook.book.columns import microseconds
from swarfbook.book.table import Table
from swarfbook.decisions.cuts import Whole
from swarfbook.decisions.evidence import three_in
from swarfbook.errors import Problem, SwarfbookError, did_you_mean
from swarfbook.records import CLEAN, Reading, Run

BAD = "bad"


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which runs are wanted; None wants all.

    Attributes:
        recipe, machine, tool, material: ids.
        outcome: an outcome's word, or `bad` for all that were not clean.
        cutter: text in the name of the cutter, whatever its case.
        since: runs from then on.
        last: only so many, the latest.
    """

    recipe: str | None = None
    machine: str | None = None
    tool: str | None = None
    material: str | None = None
    outcome: str | None = None
    cutter: str | None = None
    since: datetime | None = None
    last: int | None = None

    def rows(self, table: Table, rows: Whole) -> Whole:
        """Give the rows of a table that are wanted, in their order."""
        of, pools = table.rows[rows], table.columns.pools
        found = np.ones(len(rows), dtype=bool)

        def keep(places: NDArray[Any], pool: Sequence[Any], suits: Callable[[Any], bool]) -> None:
            good = np.array([suits(value) for value in pool], dtype=bool)
            found[:] &= good[places] if good.size else False

        if self.recipe is not None:
            keep(table.recipe[rows], table.recipes, lambda recipe: recipe == self.recipe)
        if (self.machine, self.tool, self.material) != (None, None, None):
            keep(table.snapshot[rows], table.snapshots, self._takes_parts)
        if self.outcome is not None:
            keep(of["outcome"], pools["outcome"], self._takes_outcome)
        if (text := self.cutter) is not None:
            keep(of["cutter"], pools["cutter"], lambda cutter: text.casefold() in (cutter or "").casefold())
        if self.since is not None:
            found &= of["at"] >= microseconds(self.since)
        return rows[found]

    def _takes_outcome(self, outcome: str) -> bool:
        return outcome == self.outcome or (self.outcome == BAD and outcome != CLEAN)

    def _takes_parts(self, snapshot: Mapping[str, Any]) -> bool:
        asked = (self.machine, self.tool, self.material)
        three = three_in(snapshot) or ("", "", "")
        return all(wish in (None, part) for wish, part in zip(asked, three, strict=True))


def wanted_rows(book: Book, table: Table, rows: Whole, wanted: Wanted) -> Whole:
    """Give the rows of a table that are wanted, in order of time.

    Args:
        book: the book.
        table: its log.
        rows: the rows to look through.
        wanted: which are wanted.

    Raises:
        SwarfbookError: an id that neither the book nor any run knows.
    """
    found = wanted.rows(table, rows)
    if not found.size:
        known = {table.recipes[place] for place in np.unique(table.recipe[rows]).tolist()}
        _refuse_unknown(book, known, wanted)
    found = found[np.argsort(table.rows["at"][found], kind="stable")]
    return found[-wanted.last :] if wanted.last else found


def latest_first(table: Table, rows: Whole) -> list[int]:
    """Give rows by time, the latest first; of those that ended together the first stays the first."""
    return list(rows[np.argsort(-table.rows["at"][rows], kind="stable")].tolist())


def _refuse_unknown(book: Book, recipes: Set[str], wanted: Wanted) -> None:
    for kind in ("recipe", "machine", "tool", "material"):
        record = getattr(wanted, kind)
        if record is None or book.has(kind, record):
            continue
        if kind != "recipe" or record not in recipes:
            remedy = f"no {kind} of that id in this book; {did_you_mean(record, book.ids(kind))}"
            raise SwarfbookError(Problem(kind if kind == "recipe" else f"--{kind}", "", record, remedy))


def run_named(table: Table, rows: Whole, name: str) -> Run:
    """Give the run of a name among some rows, or of the last letters of one.

    Raises:
        SwarfbookError: there is none of that name, or several end so.
    """
    found: dict[str, int] = {}
    for row in rows.tolist():
        if (run := table.name(row)) == name or (len(name) > 2 and run.endswith(name)):
            found[run] = row
    if name in found or len(found) == 1:
        row = found[name] if name in found else next(iter(found.values()))
        return next(table.runs([row]))
    remedy = (
        f"{len(found)} runs end so; write more of the name"
        if found
        else "no such run; `swarfbook runs` lists them"
    )
    raise SwarfbookError(Problem("run", "", name, remedy))


def run_json(run: Run) -> dict[str, Any]:
    """Give a run as its line in the log has it."""
    readings = ("power", "power_peak", "idle_power", "stock_temperature", "ambient")
    line: dict[str, Any] = {"schema": "run/1"}
    for key, value in dict(run).items():
        line[key] = _reading(value) if key in readings else value
    line["at"] = run.at.isoformat()
    return {key: value for key, value in line.items() if value not in (None, "", {})}


def _reading(reading: Reading | None) -> dict[str, Any] | None:
    if reading is None:
        return None
    told = {"value": reading.number, "unit": reading.unit}
    return told | ({"side": reading.side} if reading.side else {})
