"""Sums of measured over predicted power that add without rounding, however a log is split, in any order.

Every run is one of a material, a cutter and a machine, and counts with its weight. A sum is kept as floats
that do not overlap, of which the first is the sum rounded once; what they are depends on the sum alone. So
the sums of several logs add up to the sums of all their runs, bit for bit.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from operator import mul
from typing import Any

from swarfbook.errors import Problem, SwarfbookError

LARGEST = 1e9  # of a stored sum: no log is that long, and much more leaves the Cholesky factor no digits
Key = tuple[str, str, str]
IDS = ("material", "tool", "machine")
NUMBERS = ("weight", "total", "square")
Terms = tuple[float, ...]
NO_REST: tuple[Terms, Terms, Terms] = ((), (), ())
Observed = tuple[Key, list[float], list[float]]
"""The ids of a cell, and the log ratios and weights of its runs."""


@dataclass(frozen=True, slots=True)
class Observation:
    """One run whose power was read; raises ValueError for what would spoil every sum it enters.

    Attributes:
        material, tool, machine: ids.
        log_ratio: log of measured over predicted cutting power, finite [1].
        weight: what it counts for, above 0; its variance is that of the scatter over this [1].
    """

    material: str
    tool: str
    machine: str
    log_ratio: float
    weight: float = 1.0

    def __post_init__(self) -> None:
        if not math.isfinite(self.log_ratio) or not 0 < self.weight < math.inf:
            raise ValueError(f"log ratio {self.log_ratio} is not finite or weight {self.weight} not above 0")


@dataclass(frozen=True, slots=True)
class Cell:
    """Sums over the runs of one material, cutter and machine: of w, w y and w y^2, and how many.

    Attributes:
        weight, total, square: the sums, rounded once.
        runs: how many runs.
        rest: what rounding left of each, as floats that are added, so that sums of sums lose nothing.
    """

    weight: float
    total: float
    square: float
    runs: int
    rest: tuple[Terms, Terms, Terms] = field(default=NO_REST, compare=False)

    @classmethod
    def of(cls, weight: Iterable[float], total: Iterable[float], square: Iterable[float], runs: int) -> Cell:
        """Add terms up; neither their order nor how they were added up before changes a bit."""
        sums = [exact(terms) for terms in (weight, total, square)]
        (w, w_rest), (t, t_rest), (s, s_rest) = sums
        return cls(w, t, s, runs, (w_rest, t_rest, s_rest))

    def terms(self) -> tuple[Terms, Terms, Terms]:
        """Give the floats that add up to each of the sums without rounding."""
        weight, total, square = self.rest
        return (self.weight, *weight), (self.total, *total), (self.square, *square)


def exact(terms: Iterable[float]) -> tuple[float, Terms]:
    """Add up without rounding: the nearest float, then the nearest to what is left, until nothing is.

    The floats depend on the sum alone, not on the terms that it was made of.
    """
    left = list(terms)
    found: list[float] = []
    while value := math.fsum(left):
        found.append(value)
        left.append(-value)
    return (found[0], tuple(found[1:])) if found else (0.0, ())


@dataclass(frozen=True, slots=True)
class Sums:
    """The sums of a log, by the ids of material, cutter and machine."""

    cells: Mapping[Key, Cell] = field(default_factory=dict)

    @classmethod
    def of(cls, observations: Iterable[Observation]) -> Sums:
        """Add runs up; their order changes nothing, not even the last bit."""
        running: dict[Key, _Running] = {}
        for one in observations:
            running.setdefault((one.material, one.tool, one.machine), _Running()).add(one)
        return cls({key: sums.cell() for key, sums in running.items()})

    @classmethod
    def of_cells(cls, observed: Iterable[Observed]) -> Sums:
        """Add runs up that are sorted already; as `of`, where each of them is valid."""
        cells = {}
        for key, ratios, weights in observed:
            if ratios:
                totals = list(map(mul, weights, ratios))
                cells[key] = Cell.of(weights, totals, map(mul, totals, ratios), len(ratios))
        return cls(cells)

    def __add__(self, other: Sums) -> Sums:
        return Sums(
            {key: _both(self.cells.get(key), other.cells.get(key)) for key in {**self.cells, **other.cells}}
        )

    def to_json(self) -> list[dict[str, Any]]:
        """Give the cells as plain objects, in order and in full precision."""
        return [_cell_json(key, cell) for key, cell in sorted(self.cells.items())]

    @classmethod
    def from_json(cls, raw: object, *, where: str) -> Sums:
        """Read what `to_json` gives; a cell that stands there twice counts twice.

        Args:
            raw: the list, as parsed.
            where: the file it came from, for the message.

        Raises:
            SwarfbookError: one line that names the first cell and key that will not do.
        """
        if not isinstance(raw, list):
            raise SwarfbookError(Problem(where, "cells", str(raw), "write a list of cells"))
        cells: dict[Key, Cell] = {}
        for number, item in enumerate(raw, start=1):
            key, cell = _read_cell(item, place=f"cells.{number}", where=where)
            cells[key] = _both(cells.get(key), cell)
        return cls(cells)


class _Running:
    """Sums of one cell while runs are added, kept without rounding: memory does not grow with the runs."""

    __slots__ = ("runs", "square", "total", "weight")

    def __init__(self) -> None:
        self.weight: list[float] = []
        self.total: list[float] = []
        self.square: list[float] = []
        self.runs = 0

    def add(self, one: Observation) -> None:
        _add_exactly(self.weight, one.weight)
        _add_exactly(self.total, one.weight * one.log_ratio)
        _add_exactly(self.square, one.weight * one.log_ratio * one.log_ratio)
        self.runs += 1

    def cell(self) -> Cell:
        return Cell.of(self.weight, self.total, self.square, self.runs)


def _add_exactly(terms: list[float], value: float) -> None:
    """Add to a sum kept as a few terms that do not overlap (Shewchuk 1997, grow-expansion)."""
    kept = 0
    for term in terms:
        larger, smaller = (term, value) if abs(value) < abs(term) else (value, term)
        value = larger + smaller
        if rest := smaller - (value - larger):
            terms[kept] = rest
            kept += 1
    terms[kept:] = [value]


def _both(one: Cell | None, other: Cell | None) -> Cell:
    if one is None or other is None:
        return one or other or Cell(0.0, 0.0, 0.0, 0)
    weight, total, square = ((*a, *b) for a, b in zip(one.terms(), other.terms(), strict=True))
    return Cell.of(weight, total, square, one.runs + other.runs)


def _cell_json(key: Key, cell: Cell) -> dict[str, Any]:
    """Write a cell; floats as `repr` has them, and what rounding left only where it left anything."""
    told = {**dict(zip(IDS, key, strict=True)), **{name: getattr(cell, name) for name in (*NUMBERS, "runs")}}
    rest = dict(zip(NUMBERS, map(list, cell.rest), strict=True))
    return told | ({"rest": rest} if any(cell.rest) else {})


def _read_cell(item: object, *, place: str, where: str) -> tuple[Key, Cell]:
    if not isinstance(item, dict):
        raise SwarfbookError(Problem(where, place, str(item), "write an object"))
    for key, suits, remedy in _SUITS:
        if not suits(item.get(key)):
            found = str(item[key]) if key in item else ""
            raise SwarfbookError(Problem(where, f"{place}.{key}", found, remedy))
    material, tool, machine = (item[key] for key in IDS)
    rest = item.get("rest") or dict.fromkeys(NUMBERS, ())
    weight, total, square = ((float(item[key]), *map(float, rest[key])) for key in NUMBERS)
    return (material, tool, machine), Cell.of(weight, total, square, item["runs"])


def _is_rest(value: object) -> bool:
    if value is None:
        return True
    if not isinstance(value, dict) or value.keys() != set(NUMBERS):
        return False
    return all(isinstance(terms, list) and all(map(_is_number, terms)) for terms in value.values())


def _is_id(value: object) -> bool:
    return isinstance(value, str) and value != ""


def _is_number(value: object) -> bool:
    # Compared and not converted: an integer may be too long for a float.
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) <= LARGEST


def _is_count(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= LARGEST


_SUITS: tuple[tuple[str, Callable[[Any], bool], str], ...] = (
    *((key, _is_id, "write an id") for key in IDS),
    ("weight", lambda value: _is_number(value) and value > 0, f"write a number above 0, up to {LARGEST:g}"),
    ("total", _is_number, f"write a number from {-LARGEST:g} to {LARGEST:g}"),
    ("square", lambda value: _is_number(value) and value >= 0, f"write a number from 0 to {LARGEST:g}"),
    ("runs", _is_count, "write a whole number, 1 or more"),
    ("rest", _is_rest, "write lists of numbers by weight, total and square, or leave it out"),
)
