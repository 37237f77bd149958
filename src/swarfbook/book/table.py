"""The run log as one table of columns, under the names of today; a run in full is read from its line."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

import numpy as np
from numpy.typing import NDArray

from swarfbook.book.columns import (
    AS_PROGRAMMED,
    IDLE,
    IDLE_SIDE,
    POWER,
    POWER_SIDE,
    SIDE,
    SIDES,
    Builder,
    Columns,
    Rows,
    counted_in,
    microseconds,
    moment,
    part_of,
)
from swarfbook.book.jsonl import line_at, open_regular
from swarfbook.book.reading import fail
from swarfbook.book.renames import Renames
from swarfbook.errors import Problem
from swarfbook.records import CLEAN, Reading, Run, parse
from swarfbook.records.run import Outcome

if TYPE_CHECKING:
    from swarfbook.book.kept_columns import Seen

Places = NDArray[np.int32]


@dataclass(frozen=True, slots=True)
class Source:
    """The file behind some rows.

    Attributes:
        path: the file.
        where: as messages name it.
        first, last: its rows are those from `first` to before `last`.
        problems: of its lines that do not read.
        seen: what told of its state when it was read; None where there was none.
    """

    path: Path
    where: str
    first: int
    last: int
    problems: tuple[Problem, ...]
    seen: Seen | None


@dataclass(frozen=True, slots=True)
class Brief:
    """What a list says of a run: attributes as of `records.Run`."""

    id: str
    recipe: str
    at: datetime
    snapshot: dict[str, Any]
    cutter: str | None
    minutes: float
    outcome: Outcome
    power: Reading | None

    @property
    def clean(self) -> bool:
        """Whether it ran clean."""
        return self.outcome == CLEAN


class Table:
    """Every line of a log that reads, as columns.

    Attributes:
        columns: the lines as they stand.
        recipe: place of each row's recipe in `recipes`, under the name of today.
        snapshot: place of each row's snapshot in `snapshots`, under the names of today.
        recipes, snapshots: what those point to.
        sources: the files behind the rows, in order.
    """

    def __init__(self, columns: Columns, sources: Sequence[Source], renames: Renames) -> None:
        self.columns = columns
        self.recipe: Places = columns.rows["recipe"]
        self.snapshot: Places = columns.rows["snapshot"]
        self.recipes: list[str] = columns.pools["recipe"]
        self.snapshots: list[dict[str, Any]] = columns.pools["snapshot"]
        self.sources, self._renames = tuple(sources), renames
        self._runs: Sequence[Run] | None = None
        if times := renames.times():
            self._follow(renames, times)

    @classmethod
    def of_runs(cls, runs: Sequence[Run]) -> Table:
        """Make the table of runs that are at hand, under the names of today."""
        builder = Builder()
        for run in runs:
            builder.add(dict(run))
        table = cls(builder.columns(()), (), Renames())
        table._runs = runs
        return table

    def _follow(self, renames: Renames, times: Sequence[datetime]) -> None:
        # What a record is called now depends on the renames since: the same for all runs between two of them.
        era = np.searchsorted([microseconds(at) for at in times], self.rows["at"], side="left")

        def followed(places: Places, pool: list[Any], now: Callable[[Any, datetime], Any]) -> Places:
            groups = places.astype(np.int64) * (len(times) + 1) + era
            _, some, place = np.unique(groups, return_index=True, return_inverse=True)
            pool[:] = [now(pool[places[row]], self.at(row)) for row in some.tolist()]
            return np.asarray(place, dtype=np.int32)

        self.recipes, self.snapshots = list(self.recipes), list(self.snapshots)
        self.recipe = followed(self.recipe, self.recipes, lambda name, at: renames.now("recipe", name, at))
        self.snapshot = followed(self.snapshot, self.snapshots, renames.of_snapshot)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Of the lines that do not read."""
        return self.columns.problems

    @property
    def rows(self) -> Rows:
        """One row a line, as they stand."""
        return self.columns.rows

    @cached_property
    def counts(self) -> NDArray[np.intp]:
        """The rows of the runs that count, in order of time."""
        return self._by_time(counted_in(self.columns))

    @property
    def every(self) -> NDArray[np.intp]:
        """All rows, in order of time, those that were corrected or withdrawn among them."""
        return self._by_time(np.arange(len(self.rows)))

    def _by_time(self, rows: NDArray[np.intp]) -> NDArray[np.intp]:
        """Order rows by time; they mostly are, but for logs that were merged."""
        at = self.rows["at"][rows]
        return rows if bool((at[1:] >= at[:-1]).all()) else rows[np.argsort(at, kind="stable")]

    def name(self, row: int) -> str:
        """Give the name of a row's run."""
        return self.columns.name(row)

    def where(self, row: int) -> str:
        """Give the file a row stands in, as messages name it; `runs` where the runs were at hand."""
        ends = [source.last for source in self.sources]
        return self.sources[bisect_right(ends, row)].where if ends else "runs"

    def at(self, row: int) -> datetime:
        """Give when a row's run ended."""
        one = self.rows[row]
        return moment(int(one["at"]), self.columns.pools["zone"][one["zone"]])

    def as_programmed(self, row: int) -> bool:
        """Say whether no override was on when a row's run ran."""
        return bool(self.rows["flags"][row] & AS_PROGRAMMED)

    def power(self, row: int) -> Reading | None:
        """Give the power that was read."""
        return self._reading(row, POWER, POWER_SIDE, ("power", "shown", "unit"))

    def idle_power(self, row: int) -> Reading | None:
        """Give the power that was read without a cut."""
        return self._reading(row, IDLE, IDLE_SIDE, ("idle", "idle_shown", "idle_unit"))

    def _reading(self, row: int, which: int, side: int, names: tuple[str, str, str]) -> Reading | None:
        one = self.rows[row]
        flags = int(one["flags"])
        if not flags & which:
            return None
        si, shown, unit = names
        return Reading(
            si=float(one[si]),
            number=float(one[shown]),
            unit=self.columns.pools[unit][one[unit]],
            side=SIDES[flags >> side & SIDE],
        )

    def brief(self, row: int) -> Brief:
        """Give what a list says of a row's run."""
        one, pools = self.rows[row], self.columns.pools
        return Brief(
            id=self.name(row),
            recipe=self.recipes[self.recipe[row]],
            at=self.at(row),
            snapshot=self.snapshots[self.snapshot[row]],
            cutter=pools["cutter"][one["cutter"]],
            minutes=float(one["minutes"]),
            outcome=pools["outcome"][one["outcome"]],
            power=self.power(row),
        )

    def runs(self, rows: Iterable[int]) -> Iterator[Run]:
        """Read the lines of rows and give their runs, under the names of today; raises SwarfbookError."""
        if self._runs is not None:
            yield from (self._runs[row] for row in rows)
            return
        ends = [source.last for source in self.sources]
        wanted = iter(rows)
        row = next(wanted, None)
        while row is not None:
            source = self.sources[bisect_right(ends, row)]
            with open_regular(source.path, where=source.where) as file:
                while row is not None and source.first <= row < source.last:
                    yield self._run(file, source, row)
                    row = next(wanted, None)

    def _run(self, file: BinaryIO, source: Source, row: int) -> Run:
        one = self.rows[row]
        start, length = int(one["start"]), int(one["length"])
        raw = line_at(file, start, length, where=source.where, what="run")
        run = parse("run", raw, where=source.where)
        if run.id != self.name(row):
            raise fail(source.where, "this file was changed while it was read; say it again")
        return self._renames.follow(run)

    def part(self, place: int) -> Columns:
        """Give the columns of one of the files, as they stand."""
        source = self.sources[place]
        return part_of(self.columns, source.first, source.last, source.problems)
