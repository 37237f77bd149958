"""Looking things up in the run log."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from swarfbook.book import Book
from swarfbook.decisions.evidence import three_of
from swarfbook.errors import Problem, SwarfbookError, did_you_mean
from swarfbook.records import Reading, Run

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

    def takes(self, run: Run) -> bool:
        """Say whether a run is wanted."""
        return (
            self.recipe in (None, run.recipe)
            and self._takes_parts(run)
            and (self.outcome in (None, run.outcome) or (self.outcome == BAD and not run.clean))
            and (self.cutter is None or self.cutter.casefold() in (run.cutter or "").casefold())
            and (self.since is None or run.at >= self.since)
        )

    def _takes_parts(self, run: Run) -> bool:
        asked = (self.machine, self.tool, self.material)
        if asked == (None, None, None):
            return True
        three = three_of(run) or ("", "", "")
        return all(wish in (None, part) for wish, part in zip(asked, three, strict=True))


def wanted_runs(book: Book, runs: Iterable[Run], wanted: Wanted) -> list[Run]:
    """Give the runs that are wanted, in order of time.

    Raises:
        SwarfbookError: an id that neither the book nor any run knows.
    """
    every = list(runs)
    found = sorted(filter(wanted.takes, every), key=lambda run: run.at)
    if not found:
        _refuse_unknown(book, every, wanted)
    return found[-wanted.last :] if wanted.last else found


def _refuse_unknown(book: Book, runs: Sequence[Run], wanted: Wanted) -> None:
    for kind in ("recipe", "machine", "tool", "material"):
        record = getattr(wanted, kind)
        if record is None or book.has(kind, record):
            continue
        known = {run.recipe for run in runs} if kind == "recipe" else set()
        if record not in known:
            remedy = f"no {kind} of that id in this book; {did_you_mean(record, book.ids(kind))}"
            raise SwarfbookError(Problem(kind if kind == "recipe" else f"--{kind}", "", record, remedy))


def run_named(runs: Iterable[Run], name: str) -> Run:
    """Give the run of a name, or of the last letters of one.

    Raises:
        SwarfbookError: there is none of that name, or several end so.
    """
    found = {run.id: run for run in runs if run.id == name or (len(name) > 2 and run.id.endswith(name))}
    if name in found:
        return found[name]
    if len(found) == 1:
        return next(iter(found.values()))
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
