"""The cuts of a long log in order of time: columns, and a `Cut` of each where somebody asks for it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, overload

import numpy as np
from numpy.typing import NDArray

from swarfbook.book.columns import AS_PROGRAMMED
from swarfbook.book.table import Table
from swarfbook.decisions.past import HAIR, Cut, Tracked
from swarfbook.records import CLEAN

Whole = NDArray[np.intp]
Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


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

    def has(self, recipe: str) -> bool:
        """Say whether there is a cut of a recipe."""
        return bool(self._named(recipe).any())

    def _named(self, recipe: str) -> Flags:
        return _point_to(self._table.recipe[self._asked.rows], self._table.recipes, recipe)

    def tracked(self, recipe: str, numbers: str, clean_time: float) -> Tracked:
        """Give what tells of a recipe's standing at its numbers; arguments as of `past.track_record`."""
        asked, of = self._asked, self._table.rows[self._asked.rows]
        named = self._named(recipe)
        same = _point_to(asked.numbers, asked.digests, numbers)
        own = named & same & (of["flags"] & AS_PROGRAMMED != 0)
        bad = np.flatnonzero(own & ~self._clean())
        since = own & (of["at"] > of["at"][bad[-1]]) if bad.size else own
        clean = np.flatnonzero(since & self._long_enough(clean_time))
        return Tracked(
            named=int(np.count_nonzero(named)),
            own=int(np.count_nonzero(own)),
            trouble=self[int(bad[-1])] if bad.size else None,
            minutes=of["minutes"][clean].tolist(),
            last_clean=self[int(clean[-1])].at if clean.size else None,
        )

    def telling(self, clean_time: float) -> tuple[list[Cut], list[Cut]]:
        """Give the cuts clean for long enough, and the bad ones, without those that say nothing of their own.

        Of clean ones that asked the same the first and the latest say it all: a mark is told by the latest of
        its height, and whether a bad cut went beyond by what had run before. Of bad ones that asked the same
        the latest does: it disputes the most, and if it went beyond what had run, so did those before it.

        Args:
            clean_time: time that a run must be clean to count [s].
        """
        clean, bad = np.flatnonzero(self._long_enough(clean_time)), np.flatnonzero(~self._clean())
        asked = self._asked
        _, depth = np.unique(asked.stickout[clean], return_inverse=True)
        groups = asked.demands[clean] * (len(clean) + 1) + depth
        _, first = np.unique(groups, return_index=True)
        latest = self._latest(clean, groups)
        # Of several that ended in the same moment a mark takes the first one, and a dispute any.
        _, of_latest = np.unique(groups[latest], return_index=True)
        # Asked for places as well, numpy does without its masked arrays, which take long to load.
        both, _ = np.unique(np.append(first, latest[of_latest]), return_index=True)
        told = clean[both]
        worst = bad[self._latest(bad, asked.demands[bad])]
        return self._some(told.tolist()), self._some(worst.tolist())

    def _latest(self, places: Whole, groups: Whole) -> Whole:
        """Give which of some places ended as late as any of their group."""
        at = self._table.rows["at"][self._asked.rows[places]]
        _, which = np.unique(groups, return_inverse=True)
        latest = np.full(which.max(initial=-1) + 1, np.iinfo(np.int64).min)
        np.maximum.at(latest, which, at)
        return np.flatnonzero(at == latest[which])

    def _long_enough(self, clean_time: float) -> Flags:
        minutes = self._table.rows["minutes"][self._asked.rows]
        return self._clean() & (minutes * 60 >= clean_time * (1 - HAIR))

    def _clean(self) -> Flags:
        outcomes = self._table.columns.pools["outcome"]
        clean = np.array([word == CLEAN for word in outcomes], dtype=bool)
        return clean[self._table.rows["outcome"][self._asked.rows]] if clean.size else np.zeros(0, bool)


def _point_to(places: NDArray[np.integer[Any]], words: Sequence[str | None], word: str) -> Flags:
    """Say which places in a list of words, -1 for none, point to one word; `np.isin` would load far more."""
    marked = np.array([*(one == word for one in words), False])
    found: Flags = marked[places]
    return found
