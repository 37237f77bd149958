"""The cuts of a long log in order of time: columns, and a `Cut` of each where somebody asks for it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import overload

import numpy as np
from numpy.typing import NDArray

from swarfbook.book.table import Table
from swarfbook.decisions.past import HAIR, Cut
from swarfbook.records import CLEAN

Whole = NDArray[np.intp]
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Asked:
    """What the runs of some rows asked.

    Attributes:
        rows: of the table, in any order, N of them.
        numbers: digest of each one's numbers: place in `digests`, shape (N,).
        stickout: cutter out of the collet [m], shape (N,).
        demands: place of each one's demands in `known`, shape (N,).
        digests: the digests.
        known: demands by name [SI].
    """

    rows: Whole
    numbers: Whole
    stickout: Floats
    demands: Whole
    digests: Sequence[str]
    known: Sequence[Mapping[str, float]]

    def taken(self, which: Whole) -> Asked:
        """Give some of them, in the order told."""
        return replace(
            self,
            rows=self.rows[which],
            numbers=self.numbers[which],
            stickout=self.stickout[which],
            demands=self.demands[which],
        )


class Cuts(Sequence[Cut]):
    """The cuts of a machine, cutter and material in order of time."""

    def __init__(self, table: Table, asked: Asked) -> None:
        """Take the runs that asked anything; a run whose demands cannot be worked out is none."""
        told = np.array([bool(one) for one in asked.known], dtype=bool)
        asked = asked.taken(np.flatnonzero(told[asked.demands]) if told.size else np.arange(0))
        at = table.rows["at"][asked.rows]
        self._table = table
        self._asked = asked.taken(np.argsort(at, kind="stable"))

    def __len__(self) -> int:
        return len(self._asked.rows)

    @overload
    def __getitem__(self, index: int) -> Cut: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Cut]: ...
    def __getitem__(self, index: int | slice) -> Cut | Sequence[Cut]:
        if isinstance(index, slice):
            return [self._cut(place) for place in range(*index.indices(len(self)))]
        return self._cut(range(len(self))[index])

    def __iter__(self) -> Iterator[Cut]:
        return map(self._cut, range(len(self)))

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Sequence) or len(self) != len(other):
            return False
        return all(one == another for one, another in zip(self, other, strict=True))

    __hash__ = None  # type: ignore[assignment]

    def _cut(self, place: int) -> Cut:
        asked, table = self._asked, self._table
        row = int(asked.rows[place])
        one, pools = table.rows[row], table.columns.pools
        return Cut(
            run=table.name(row),
            recipe=table.recipes[table.recipe[row]],
            numbers=asked.digests[asked.numbers[place]],
            as_programmed=table.as_programmed(row),
            at=table.at(row),
            outcome=pools["outcome"][one["outcome"]],
            minutes=float(one["minutes"]),
            stickout=float(asked.stickout[place]),
            demands=asked.known[asked.demands[place]],
        )

    def _some(self, places: Iterable[int]) -> list[Cut]:
        return [self._cut(place) for place in places]

    def named(self, recipe: str) -> list[Cut]:
        """Give the cuts of a recipe."""
        known = [place for place, name in enumerate(self._table.recipes) if name == recipe]
        return self._some(np.flatnonzero(np.isin(self._table.recipe[self._asked.rows], known)).tolist())

    def bad(self) -> list[Cut]:
        """Give the cuts that did not run clean."""
        return self._some(np.flatnonzero(~self._clean()).tolist())

    def telling(self, clean_time: float) -> list[Cut]:
        """Give the cuts clean for long enough; of those that asked the same the first and the latest alone.

        Those in between say nothing that these two do not: a mark is told by the latest of its height, and
        whether a bad cut went beyond by what had run before.

        Args:
            clean_time: time that a run must be clean to count [s].
        """
        asked = self._asked
        minutes = self._table.rows["minutes"][asked.rows]
        places = np.flatnonzero(self._clean() & (minutes * 60 >= clean_time * (1 - HAIR)))
        _, depth = np.unique(asked.stickout[places], return_inverse=True)
        groups = asked.demands[places].astype(np.int64) * (len(places) + 1) + depth
        _, first = np.unique(groups, return_index=True)
        at = self._table.rows["at"][asked.rows[places]]
        # Of several that ended in the same moment the first one is the latest, as it is for a mark.
        order = np.lexsort((-np.arange(len(places)), at, groups))
        _, last = np.unique(groups[order][::-1], return_index=True)
        latest = order[::-1][last]
        return self._some(places[np.union1d(first, latest)].tolist())

    def _clean(self) -> NDArray[np.bool_]:
        outcomes = self._table.columns.pools["outcome"]
        clean = np.array([word == CLEAN for word in outcomes], dtype=bool)
        return clean[self._table.rows["outcome"][self._asked.rows]] if clean.size else np.zeros(0, bool)
