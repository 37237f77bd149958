"""The fit of a book: what measured power teaches of materials, cutters and machines, and how well it fits."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any, overload

import numpy as np

from swarfbook.book import Book
from swarfbook.book.columns import IDLE, POWER, Columns, counted_in, joined
from swarfbook.decisions.cuts import Floats
from swarfbook.decisions.evidence import Evidence, Parts, evidence
from swarfbook.decisions.force_learning import Learning
from swarfbook.decisions.learning import Posterior, part_names
from swarfbook.decisions.merging import OWN, Added, Share, combined, share_of, share_of_lines
from swarfbook.decisions.powers import Three
from swarfbook.decisions.sums import Sums

Z95 = 1.6448536269514722  # standard normal quantile of 0.95: the band from 5 % to 95 %


@dataclass(frozen=True, slots=True)
class Fitted:
    """One run whose power was read.

    Attributes:
        run: its name in the log.
        recipe: id of its recipe.
        predicted: cutting power by the tables alone [W].
        measured: cutting power behind the reading [W].
        fitted: cutting power by what has been learnt of its material, cutter and machine [W].
        low, high: 5 % and 95 % points of such a run [W].
        weight: what the run counts for [1].
    """

    run: str
    recipe: str
    predicted: float
    measured: float
    fitted: float
    low: float
    high: float
    weight: float

    @property
    def ratio(self) -> float:
        """Measured over predicted [1]."""
        return self.measured / self.predicted

    @property
    def inside(self) -> bool:
        """Whether the reading lies in the band."""
        return self.low <= self.measured <= self.high


@dataclass(frozen=True, slots=True)
class Idle:
    """No-load readings of one machine, apart from cutting.

    Attributes:
        machine: its id.
        readings: how many there are.
        mean: of them [W].
        told: what its file says [W]; None where it says nothing.
    """

    machine: str
    readings: int
    mean: float
    told: float | None


class FittedRuns(Sequence[Fitted]):
    """Runs beside the fit in the order of the log: numbers in columns, each run made when it is asked for."""

    def __init__(self, known: Evidence, posterior: Posterior) -> None:
        """Fit the runs of a book's evidence whose power teaches something."""
        metered = known.metered()
        self._table = known.table
        self.rows = metered.rows
        self.predicted, self.measured, self.weight = metered.predicted, metered.measured, metered.weight
        centres, reaches = _factors(posterior, metered.threes)
        self.fitted = self.predicted * centres[metered.three]
        reach = reaches[metered.three]
        self.low, self.high = self.fitted / reach, self.fitted * reach

    def __len__(self) -> int:
        return len(self.rows)

    @overload
    def __getitem__(self, index: int) -> Fitted: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Fitted]: ...
    def __getitem__(self, index: int | slice) -> Fitted | Sequence[Fitted]:
        if isinstance(index, slice):
            return [self._one(place) for place in range(*index.indices(len(self)))]
        return self._one(range(len(self))[index])

    def __iter__(self) -> Iterator[Fitted]:
        return map(self._one, range(len(self)))

    def _one(self, place: int) -> Fitted:
        row = int(self.rows[place])
        columns = (self.predicted, self.measured, self.fitted, self.low, self.high, self.weight)
        recipe = self._table.recipes[self._table.recipe[row]]
        return Fitted(self._table.name(row), recipe, *(float(column[place]) for column in columns))

    @property
    def inside(self) -> int:
        """How many readings lie in the band of their cut."""
        return int(np.count_nonzero((self.low <= self.measured) & (self.measured <= self.high)))

    def light(self) -> list[int]:
        """Give the places of those that count for less than a whole run."""
        return list(np.flatnonzero(self.weight < 1).tolist())


def _factors(posterior: Posterior, threes: Sequence[Three]) -> tuple[Floats, Floats]:
    """Give the factor on predicted power, and that to either end of the band, of each of `threes`."""
    centres, reaches = np.ones(len(threes)), np.ones(len(threes))
    for place, (machine, tool, material) in enumerate(threes):
        parts = part_names((material, tool, machine))
        centres[place] = math.exp(posterior.of(*parts)[0])
        reaches[place] = math.exp(Z95 * posterior.predictive_sd(*parts))
    return centres, reaches


@dataclass(frozen=True, slots=True)
class Fit:
    """What is learnt, and from what.

    Attributes:
        sums: of all runs, merged ones among them.
        posterior: what is thought of each part now.
        runs: this book's runs beside the fit, in the order of the log.
        idle: no-load readings by machine.
        unread: runs with a power reading that teaches nothing: under the floor, cut otherwise than the model
            takes it, or nothing to predict from.
    """

    sums: Sums
    posterior: Posterior
    runs: FittedRuns
    idle: tuple[Idle, ...]
    unread: int


def fit(book: Book, merged: Sums | None = None) -> Fit:
    """Fit a book's runs, and what other logs add.

    Args:
        book: the book.
        merged: sums of other logs; materials, cutters and machines are known by their ids.

    Raises:
        SwarfbookError: the merged sums name a part that this book does not have.
    """
    known = evidence(book)
    sums = known.learning().sums + merged if merged else None
    return _fit(book, known, None if sums is None else _learning(book, sums, where="--merge"))


def fit_with(book: Book, added: Sequence[Added]) -> tuple[Fit, Share]:
    """Fit a book's runs together with other logs and sums of such, each run counted once.

    A line with the name of one before it, in the book or in a log named before, is that run again, and
    corrections hold in all logs. Runs of other logs count by what their day made of them.

    Returns:
        The fit, and what went into it.

    Raises:
        SwarfbookError: as `merging.combined`, or a part that this book does not have.
    """
    known, others = _told_apart(book, [one.columns for one in added if one.columns is not None])
    shares = [(OWN, share_of(known)), *others]
    shares += [(one.where, one.share) for one in added if one.share is not None]
    share = combined(shares)
    learning = _learning(book, share.sums, where="--merge") if added else None
    return _fit(book, known, learning), share


def fit_archive(book: Book, sums: Sums, unread: int) -> Fit:
    """Fit what an archive adds up to in place of a book's log, with what the book's records say before.

    Args:
        book: the book.
        sums: of the archive.
        unread: runs in it with a power reading that teaches nothing.

    Raises:
        SwarfbookError: the sums name a part that this book does not have.
    """
    learning = _learning(book, sums, where="--archive")
    known = evidence(book)
    runs = FittedRuns(known.among(known.rows[:0]), learning.posterior)
    return Fit(sums, learning.posterior, runs, (), unread)


def _told_apart(book: Book, logs: Sequence[Columns]) -> tuple[Evidence, list[tuple[str, Share]]]:
    """Tell which runs of a book and of other logs count when all their lines are one log."""
    known = evidence(book)
    if not logs:
        return known, []
    every = joined([known.table.columns, *logs])
    rows = counted_in(every)
    own = len(known.table.rows)
    others = rows[rows >= own]
    return known.among(rows[rows < own]), [(OWN, share_of_lines(every, others))]


def _fit(book: Book, known: Evidence, merged: Learning | None) -> Fit:
    learning = known.learning() if merged is None else merged
    fitted = FittedRuns(known, learning.posterior)
    flags = known.table.rows["flags"][known.rows]
    read = int(np.count_nonzero(flags & POWER))
    idle = tuple(_idle(book, known))
    return Fit(learning.sums, learning.posterior, fitted, idle, read - len(fitted))


def _learning(book: Book, sums: Sums, *, where: str) -> Learning:
    """Learn from sums of any log, with what the book's records say before; raises SwarfbookError."""
    parts: dict[Three, Parts] = {}
    for material, tool, machine in sums.cells:
        parts[machine, tool, material] = (
            book.require("machine", machine, where=where).record,
            book.require("tool", tool, where=where).record,
            book.require("material", material, where=where).record,
        )
    return Learning.of_sums(sums, parts, book.settings)


def _idle(book: Book, known: Evidence) -> Iterator[Idle]:
    table = known.table
    machines = [str(one["recipe"].get("machine")) if _has_recipe(one) else None for one in table.snapshots]
    readings: dict[str, list[float]] = {}
    flags = table.rows["flags"][known.rows]
    for row in known.rows[flags & IDLE != 0].tolist():
        read, machine = table.idle_power(row), machines[table.snapshot[row]]
        if read is not None and read.side != "shaft" and machine is not None:
            readings.setdefault(machine, []).append(read.si)
    for machine, powers in sorted(readings.items()):
        told = (
            book.get("machine", machine).record.spindle.idle_power if book.has("machine", machine) else None
        )
        yield Idle(machine, len(powers), math.fsum(powers) / len(powers), told)


def _has_recipe(snapshot: Mapping[str, Any]) -> bool:
    return isinstance(snapshot.get("recipe"), dict)


def fit_json(found: Fit) -> dict[str, Any]:
    """Give a fit as one object."""
    return fit_head(found) | {"runs": list(runs_json(found.runs))}


def fit_head(found: Fit) -> dict[str, Any]:
    """Give a fit as one object, its `runs` left empty: there may be a million."""
    posterior = found.posterior
    return {
        "parts": [_part_json(posterior, part) for part in posterior.parts],
        "spread": posterior.spread,
        "run_to_run": posterior.priors.noise_sd,
        "runs": [],
        "inside_band": found.runs.inside / len(found.runs) if found.runs else None,
        "idle": [asdict(one) | {"unit": "W"} for one in found.idle],
        "runs_that_teach_nothing": found.unread,
    }


def _part_json(posterior: Posterior, part: str) -> dict[str, Any]:
    factor, low, high = posterior.factor(part)
    return {"part": part, "factor": factor, "low": low, "high": high, "runs": posterior.runs(part)}


def runs_json(runs: Iterable[Fitted]) -> Iterator[dict[str, Any]]:
    """Give runs beside the fit as objects, one after the other."""
    return map(_run_json, runs)


def _run_json(one: Fitted) -> dict[str, Any]:
    return {
        "id": one.run,
        "recipe": one.recipe,
        "predicted": one.predicted,
        "measured": one.measured,
        "ratio": one.ratio,
        "fitted": one.fitted,
        "low": one.low,
        "high": one.high,
        "weight": one.weight,
    }
