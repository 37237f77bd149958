"""Where the runs of a machine, cutter and material stood: their knobs, and how they went."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from swarfbook import quantities, records
from swarfbook.book import Book
from swarfbook.decisions.case import Case
from swarfbook.decisions.evidence import evidence
from swarfbook.decisions.limits import RUNG_ORDER
from swarfbook.decisions.numbers import Knobs
from swarfbook.decisions.past import LOADS, Cut, Ground, Sense, excess, ground, mark

Went = Literal["clean", "disputed", "bad"]
Covers = Mapping[tuple[str, Sense], float | None]


@dataclass(frozen=True, slots=True)
class Ran:
    """A run at its place.

    Attributes:
        run: its name in the log.
        went: `clean`; `disputed`, where a later run that went wrong speaks against some demand of it; `bad`.
        knobs: what it ran at [SI], overrides in them.
    """

    run: str
    went: Went
    knobs: Knobs


def ran(book: Book, case: Case) -> tuple[Ran, ...]:
    """Give the runs that marks are taken from, in order of time, without those whose record does not read.

    Args:
        book: the book with the log.
        case: a recipe, resolved with what the log says (`evidence.load_case`).
    """
    if not case.past.cuts:
        return ()
    found = ground(case.past, stickout=case["stickout"], clean_time=case.settings.thresholds.clean_time)
    covers = _covers(found)
    went: dict[str, Went] = {cut.run: "bad" for cut in found.bad}
    went |= {cut.run: _clean(cut, covers, found.factor) for cut in found.clean}
    placed = ((run, knobs) for run, knobs in _placed(book, case) if run in went)
    return tuple(Ran(run, went[run], knobs) for run, knobs in placed if knobs is not None)


def _placed(book: Book, case: Case) -> Iterator[tuple[str, Knobs | None]]:
    """Yield the runs of a case's machine, cutter and material in order of time, each with its knobs."""
    recipe, known = case.recipe, evidence(book)
    table = known.table
    told = known.told(
        (recipe.machine, recipe.tool, recipe.material), (case.machine, case.tool, case.material)
    )
    rows = told.asked.rows
    of_snapshot = {
        place: _knobs(table.snapshots[place]["recipe"], case["flutes"])
        for place in np.unique(table.snapshot[rows]).tolist()
    }
    for row in rows[np.argsort(table.rows["at"][rows], kind="stable")].tolist():
        yield table.name(row), of_snapshot[int(table.snapshot[row])]


def _covers(found: Ground) -> Covers:
    marks = {(rule.demand, rule.sense): mark(found, rule.demand, rule.sense) for rule in RUNG_ORDER}
    return {key: one.covers for key, one in marks.items() if one is not None}


def _clean(cut: Cut, covers: Covers, factor: float) -> Went:
    for (demand, sense), covered_to in covers.items():
        asked = cut.demands.get(demand, 0.0) * (factor if demand in LOADS else 1.0)
        if asked and (covered_to is None or excess(asked, covered_to, sense) > 0):
            return "disputed"
    return "clean"


def _knobs(raw: Mapping[str, Any], flutes: float) -> Knobs | None:
    try:
        depth, width, speed = (_si(raw, key) for key in ("axial_depth", "radial_width", "spindle_speed"))
        feed = (
            _si(raw, "feed_per_tooth")
            if "feed_per_tooth" in raw
            else _si(raw, "feed_rate") / (flutes * speed)
        )
    except (quantities.QuantityError, KeyError, ZeroDivisionError):
        return None
    return Knobs(depth, width, feed, speed)


def _si(raw: Mapping[str, Any], key: str) -> float:
    return quantities.parse(raw[key], records.dimension("recipe", key) or "")
