"""The line under the sentence: what the chosen value may be, where it came from, and its units."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from swarfbook import quantities, records
from swarfbook.decisions.case import Case
from swarfbook.decisions.following import DIMENSIONS, LEADERS, OTHER_FEED, facts_of
from swarfbook.decisions.titles import said
from swarfbook.reports.sentence import shown
from swarfbook.tui.draft import Draft
from swarfbook.tui.pens import WordPen

MOST_UNITS = 4
MOST_WORDS = 5


def value_hint(draft: Draft, key: str) -> str:
    """Say what the chosen value may be and where it came from."""
    parts = [said(key), span(draft.case, key, draft.values), origin(draft, key), units(key)]
    return " · ".join(part for part in parts if part)


def word_hint(pen: WordPen) -> str:
    """Say which words may stand, those around the one in hand where there are many."""
    first = min(max(pen.place - MOST_WORDS // 2, 0), max(len(pen.options) - MOST_WORDS, 0))
    window = range(first, min(first + MOST_WORDS, len(pen.options)))
    words = [f"[{pen.options[at].said}]" if at == pen.place else pen.options[at].said for at in window]
    more = f" · {pen.place + 1} of {len(pen.options)}" if len(pen.options) > MOST_WORDS else ""
    return f"{said(pen.key)}: {' · '.join(words)}{more}"


def units(key: str) -> str:
    """Name the units a value takes, the usual ones first; empty for words."""
    dimension = DIMENSIONS.get(key) or records.dimension("recipe", key)
    if dimension is None:
        return ""
    return ", ".join(quantities.pretty(unit) for unit in quantities.units(dimension)[:MOST_UNITS] if unit)


def origin(draft: Draft, key: str) -> str:
    """Say where a value came from: the file, the desk, a recipe it was backed off from, or another value."""
    if key in LEADERS:
        return f"changes {said(LEADERS[key])}"
    if key not in draft.values:
        return f"follows from {said(OTHER_FEED[key])}" if key in OTHER_FEED else "not given"
    before = draft.saved.get(key)
    if before != draft.values[key]:
        return f"changed, was {shown(before, key)}" if before is not None else "new"
    parent = draft.saved.get("derived", {}).get("from")
    return f"backed off from {parent}" if parent and records.dimension("recipe", key) else "as in the file"


def span(case: Case | None, key: str, values: Mapping[str, Any]) -> str:
    """Say what range the machine and the cutter leave a value; empty where they leave it free."""
    if case is None:
        return ""
    if key == "spindle_speed":
        return _speeds(case, values)
    if key == "cutting_speed":
        path = facts_of(case).edge_path
        low, high = (quantities.show(speed * path, "surface_speed") for speed in _ends(case))
        return f"{low} to {high}"
    tops = {
        "axial_depth": (case.optional("flute_length"), "flute length"),
        "radial_width": (case.optional("diameter"), "diameter"),
        "stickout": (case.optional("overall_length"), "the cutter's length"),
        "feed_rate": (case.optional("max_feed"), "the machine's"),
        "feed_per_tooth": (_fastest_tooth(case), "the machine's at this speed"),
    }
    top, what = tops.get(key, (None, ""))
    return "" if top is None else f"up to {_show(top, key, values)}, {what}"


def _speeds(case: Case, values: Mapping[str, Any]) -> str:
    dial = case.machine.spindle.speeds
    if dial:
        return "dial: " + ", ".join(_show(speed, "spindle_speed", values) for speed in sorted(dial))
    low, high = (_show(speed, "spindle_speed", values) for speed in _ends(case))
    return f"{low} to {high}"


def _ends(case: Case) -> tuple[float, float]:
    return case["min_speed"], min(case["max_speed"], case.optional("tool_max_speed") or case["max_speed"])


def _fastest_tooth(case: Case) -> float:
    return case["max_feed"] / (case["flutes"] * case["spindle_speed"])


def _show(si: float, key: str, values: Mapping[str, Any]) -> str:
    dimension = records.dimension("recipe", key) or ""
    try:
        unit = quantities.read(values.get(key), dimension).unit
    except quantities.QuantityError:
        unit = None
    return quantities.show(si, dimension, unit=unit)
